package plot

import (
	"bytes"
	"image"
	"image/color"
	"io"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// A pdfCanvas draws to a PDF of one page. The library's own PDF canvas knows
// the letters of one Western code page only, which lacks Ω and the minus
// sign; it also stores fonts in temporary files and the time in the document.
type pdfCanvas struct {
	doc   *fpdf.Fpdf
	w, h  vg.Length
	fonts map[string]bool
	width []vg.Length // of lines, one for each Push
}

var _ vg.CanvasWriterTo = (*pdfCanvas)(nil)

// born is written into every document and blanked again: the PDF library
// insists on a date.
var born = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

func newPDF(w, h vg.Length, title string) *pdfCanvas {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: w.Points(), Ht: h.Points()},
	})
	doc.SetCatalogSort(true)
	doc.SetCreationDate(born)
	doc.SetModificationDate(born)
	doc.SetTitle(title, true)
	doc.SetProducer("loadscape", true)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.AddPage()
	doc.SetLineJoinStyle("round")
	c := &pdfCanvas{doc: doc, w: w, h: h, fonts: map[string]bool{}, width: make([]vg.Length, 1)}
	c.Push()
	// The canvas counts upwards from the bottom left, fpdf downwards from
	// the top left.
	doc.TransformTranslate(0, h.Points())
	doc.TransformScale(100, -100, 0, 0)
	vg.Initialize(c)
	return c
}

func (c *pdfCanvas) Size() (w, h vg.Length) { return c.w, c.h }

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.width[len(c.width)-1] = w
	c.doc.SetLineWidth(w.Points())
}

func (c *pdfCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	dashes := make([]float64, len(pattern))
	for i, d := range pattern {
		dashes[i] = d.Points()
	}
	c.doc.SetDashPattern(dashes, offset.Points())
}

func (c *pdfCanvas) SetColor(clr color.Color) {
	if clr == nil {
		clr = color.Black
	}
	n := color.NRGBAModel.Convert(clr).(color.NRGBA)
	r, g, b := int(n.R), int(n.G), int(n.B)
	c.doc.SetFillColor(r, g, b)
	c.doc.SetDrawColor(r, g, b)
	c.doc.SetTextColor(r, g, b)
	c.doc.SetAlpha(float64(n.A)/math.MaxUint8, "Normal")
}

func (c *pdfCanvas) Rotate(rad float64)    { c.doc.TransformRotate(-rad*180/math.Pi, 0, 0) }
func (c *pdfCanvas) Translate(pt vg.Point) { c.doc.TransformTranslate(pt.X.Points(), pt.Y.Points()) }
func (c *pdfCanvas) Scale(x, y float64)    { c.doc.TransformScale(100*x, 100*y, 0, 0) }

func (c *pdfCanvas) Push() {
	c.width = append(c.width, c.width[len(c.width)-1])
	c.doc.TransformBegin()
}

func (c *pdfCanvas) Pop() {
	c.width = c.width[:len(c.width)-1]
	c.doc.TransformEnd()
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.width[len(c.width)-1] > 0 {
		c.path(p)
		c.doc.DrawPath("D")
	}
}

func (c *pdfCanvas) Fill(p vg.Path) {
	c.path(p)
	c.doc.DrawPath("F")
}

// path draws the components that this package and the axes of the library
// make: all but arcs.
func (c *pdfCanvas) path(p vg.Path) {
	for _, comp := range p {
		x, y := comp.Pos.X.Points(), comp.Pos.Y.Points()
		switch {
		case comp.Type == vg.MoveComp:
			c.doc.MoveTo(x, y)
		case comp.Type == vg.LineComp:
			c.doc.LineTo(x, y)
		case comp.Type == vg.CurveComp && len(comp.Control) == 2:
			a, b := comp.Control[0], comp.Control[1]
			c.doc.CurveBezierCubicTo(a.X.Points(), a.Y.Points(), b.X.Points(), b.Y.Points(), x, y)
		case comp.Type == vg.CloseComp:
			c.doc.ClosePath()
		default:
			panic("plot: path component that the PDF canvas does not draw")
		}
	}
}

// FillString draws text that stays text: it can be searched and copied.
func (c *pdfCanvas) FillString(face font.Face, pt vg.Point, s string) {
	c.load(face)
	c.doc.SetFont(face.Name(), "", face.Font.Size.Points())
	c.Push()
	c.Translate(pt)
	c.Scale(1, -1)
	c.doc.Text(0, 0, known(face, s))
	c.Pop()
}

// load puts a font into the document, of which fpdf keeps the letters used.
func (c *pdfCanvas) load(face font.Face) {
	name := face.Name()
	if c.fonts[name] {
		return
	}
	c.fonts[name] = true
	var ttf bytes.Buffer
	if _, err := face.Face.WriteSourceTo(nil, &ttf); err != nil {
		c.doc.SetError(err)
		return
	}
	c.doc.AddUTF8FontFromBytes(name, "", ttf.Bytes())
}

// known replaces letters that the font lacks; fpdf would drop them or, beyond
// the basic plane, fail.
func known(face font.Face, s string) string {
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if i, err := face.Face.GlyphIndex(&buf, r); err != nil || i == 0 || r > 0xffff {
			return '□'
		}
		return r
	}, s)
}

// DrawImage is part of vg.Canvas; no figure holds an image.
func (c *pdfCanvas) DrawImage(vg.Rectangle, image.Image) {
	panic("plot: the PDF canvas draws no images")
}

func (c *pdfCanvas) WriteTo(w io.Writer) (int64, error) {
	c.Pop()
	var buf bytes.Buffer
	if err := c.doc.Output(&buf); err != nil {
		return 0, err
	}
	out := buf.Bytes()
	for _, key := range []string{"/CreationDate ", "/ModDate "} {
		date := []byte(key + born.Format("(D:20060102150405)"))
		// Blanks of the same length keep the offsets of the objects.
		out = bytes.Replace(out, date, bytes.Repeat([]byte(" "), len(date)), 1)
	}
	n, err := w.Write(out)
	return int64(n), err
}
