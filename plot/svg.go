package plot

import (
	"bytes"
	"fmt"
	"html"
	"io"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// An svgCanvas is the library's, with a root element of our own and texts that
// keep their width in whatever font the reader has.
type svgCanvas struct {
	*vgsvg.Canvas
	title  string
	widths []vg.Length // of the texts so far
}

func newSVG(w, h vg.Length, title string) *svgCanvas {
	return &svgCanvas{Canvas: vgsvg.NewWith(vgsvg.UseWH(w, h)), title: title}
}

// FillString notes the width that the layout has reckoned with.
func (c *svgCanvas) FillString(face font.Face, pt vg.Point, s string) {
	c.widths = append(c.widths, face.Width(s))
	c.Canvas.FillString(face, pt, s)
}

// Readers without the Liberation fonts get others of the same widths, or some
// sans serif. The library escapes quotes and brackets in text, so neither
// pattern occurs within a name.
var (
	textElement   = []byte("<text ")
	libraryFamily = []byte(`style="font-family:Liberation Sans;font-variant:normal;`)
	ourFamily     = []byte(`style="font-family:'Liberation Sans',Arimo,Arial,Helvetica,sans-serif;`)
)

// WriteTo writes the element that an HTML page can hold: the library's
// prologue and comment would not be valid there.
func (c *svgCanvas) WriteTo(w io.Writer) (int64, error) {
	var buf bytes.Buffer
	if _, err := c.Canvas.WriteTo(&buf); err != nil {
		return 0, err
	}
	_, body, found := bytes.Cut(buf.Bytes(), []byte("<svg"))
	if found {
		_, body, found = bytes.Cut(body, []byte(">"))
	}
	pieces := bytes.Split(bytes.ReplaceAll(body, libraryFamily, ourFamily), textElement)
	if !found || len(pieces) != len(c.widths)+1 {
		return 0, fmt.Errorf("plot: drawing library wrote an unexpected svg document")
	}
	width, height := c.Size()
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.5gpt" height="%.5gpt" `+
		`viewBox="0 0 %.5g %.5g" style="max-width:100%%;height:auto" role="img" aria-label="%s">`,
		width.Points(), height.Points(), width.Points(), height.Points(), html.EscapeString(c.title))
	out.Write(pieces[0])
	for i, piece := range pieces[1:] {
		fmt.Fprintf(&out, `<text textLength="%.5g" lengthAdjust="spacingAndGlyphs" `, c.widths[i].Points())
		out.Write(piece)
	}
	return out.WriteTo(w)
}
