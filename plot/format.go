package plot

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

// A Format is a kind of picture file.
type Format string

const (
	SVG Format = "svg"
	PNG Format = "png"
	PDF Format = "pdf"
)

// dpi is the resolution of PNG pictures: 18 cm are 1063 pixels.
const dpi = 150

// tallest bounds the memory that a picture takes.
const tallest = 300 * vg.Centimeter

// FormatOf returns the format that the extension of a file name asks for.
func FormatOf(file string) (Format, error) {
	ext := filepath.Ext(file)
	switch f := Format(strings.ToLower(strings.TrimPrefix(ext, "."))); f {
	case SVG, PNG, PDF:
		return f, nil
	case "":
		return "", fmt.Errorf("plot: %q has no extension, expected .svg, .png or .pdf", file)
	}
	return "", fmt.Errorf("plot: %q has extension %q, expected .svg, .png or .pdf", file, ext)
}

// Encode checks the figure and writes it to w. Nothing is written if the
// figure cannot be drawn. The same figure gives the same bytes.
//
// An SVG picture may be put into an HTML page as it is: it has no prologue,
// no script and no outside reference, and shrinks to the width of the page.
func (f *Figure) Encode(w io.Writer, format Format) error {
	picture, err := f.render(format)
	if err != nil {
		return err
	}
	_, err = w.Write(picture)
	return err
}

// render draws the figure into memory. A panic of the drawing library becomes
// an error.
func (f *Figure) render(format Format) (picture []byte, err error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	defer func() {
		if r := recover(); r != nil {
			picture, err = nil, fault(f.Title, "cannot be drawn: %v", r)
		}
	}()
	s := f.layOut()
	if s.h > tallest {
		return nil, fault(f.Title, "would be %.0f cm high, more than %.0f: too many series or panels",
			s.h/vg.Centimeter, tallest/vg.Centimeter)
	}
	canvas, err := newCanvas(s.w, s.h, format, clean(f.Title))
	if err != nil {
		return nil, err
	}
	s.draw(draw.New(canvas))
	var buf bytes.Buffer
	if _, err := canvas.WriteTo(&buf); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

func newCanvas(w, h vg.Length, format Format, title string) (vg.CanvasWriterTo, error) {
	switch format {
	case SVG:
		return newSVG(w, h, title), nil
	case PNG:
		return vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(w, h), vgimg.UseDPI(dpi))}, nil
	case PDF:
		return newPDF(w, h, title), nil
	}
	return nil, fmt.Errorf("plot: unknown format %q, expected svg, png or pdf", string(format))
}
