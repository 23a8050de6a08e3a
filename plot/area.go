package plot

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Band is the shaded area between two curves.
type Band struct {
	Name      string
	X         []float64
	Low, High []float64
	Look      *Look
	Opacity   float64 // of the shade, 0 to 1; zero means 0.25
}

func (b Band) title() string       { return clean(b.Name) }
func (b Band) look() *Look         { return b.Look }
func (b Band) layer() int          { return underGrid }
func (b Band) extent() (x, y span) { return ranges(b.X, b.Low, b.High) }

func (b Band) check(p Panel) error {
	if err := (data{b.Name, b.X, [][]float64{b.Low, b.High}}).check(p, true); err != nil {
		return err
	}
	for i := range b.Low {
		if b.Low[i] > b.High[i] {
			return fault(b.Name, "lower edge %g is above upper edge %g at %g", b.Low[i], b.High[i], b.X[i])
		}
	}
	return nil
}

func (b Band) shade(l Look) color.Color {
	if b.Opacity > 0 {
		return l.tint(b.Opacity)
	}
	return l.tint(0.25)
}

func (b Band) draw(pn pen) {
	low, high := pn.path(b.X, b.Low), pn.path(b.X, b.High)
	area := high
	for i := len(low) - 1; i >= 0; i-- {
		area = append(area, low[i])
	}
	pn.FillPolygon(b.shade(pn.look), pn.ClipPolygonXY(area))
}

func (b Band) sample(pn pen) {
	box := draw.Crop(pn.Canvas, 0, 0, 1, -1)
	box.SetColor(b.shade(pn.look))
	box.Fill(box.Rectangle.Path())
}

// An Interval marks a range of x over the whole height of the panel and
// carries its name above it, outside the data.
type Interval struct {
	Name     string
	From, To float64
}

var (
	intervalShade = color.NRGBA{0xee, 0xf0, 0xea, 0xff}
	intervalEdge  = color.NRGBA{0x8a, 0x90, 0x80, 0xff}
	intervalRoom  = vg.Points(13)
)

func (i Interval) title() string       { return "" }
func (i Interval) look() *Look         { return &plain }
func (i Interval) layer() int          { return underGrid }
func (i Interval) extent() (x, y span) { return nothing, nothing }

func (i Interval) check(p Panel) error {
	if err := (data{i.Name, []float64{i.From, i.To}, nil}).check(p, false); err != nil {
		return err
	}
	if i.From >= i.To {
		return fault(i.Name, "starts at %g, not below its end %g", i.From, i.To)
	}
	return nil
}

func (i Interval) draw(pn pen) {
	left, right := max(pn.x(i.From), pn.Min.X), min(pn.x(i.To), pn.Max.X)
	if left >= right {
		return
	}
	area := vg.Rectangle{Min: vg.Point{X: left, Y: pn.Min.Y}, Max: vg.Point{X: right, Y: pn.Max.Y}}
	pn.SetColor(intervalShade)
	pn.Fill(area.Path())
	if i.Name == "" {
		return
	}
	y := pn.Max.Y + vg.Points(2.5)
	edge := draw.LineStyle{Color: intervalEdge, Width: vg.Points(1.5)}
	pn.StrokeLine2(edge, left, y, right, y)
	sty := sans(noteSize, faint)
	name := elide(sty, clean(i.Name), pn.Max.X-pn.Min.X)
	half := sty.Width(name) / 2
	mid := min(max((left+right)/2, pn.Min.X+half), pn.Max.X-half)
	write(pn.Canvas, sty, vg.Point{X: mid - half, Y: pn.Max.Y + vg.Points(8)}, name)
}

func (i Interval) margin() (right, top vg.Length) {
	if i.Name == "" {
		return 0, 0
	}
	return 0, intervalRoom
}

func (i Interval) sample(pen) {}

// A Rule is a line across the panel at one value of y.
type Rule struct {
	Name string
	Y    float64
	Look *Look // nil: thin, dark and solid
}

func (r Rule) title() string       { return clean(r.Name) }
func (r Rule) layer() int          { return overGrid }
func (r Rule) extent() (x, y span) { return nothing, nothing.add(r.Y) }

func (r Rule) look() *Look {
	if r.Look == nil {
		return &plain
	}
	return r.Look
}

func (r Rule) check(p Panel) error {
	return data{r.Name, nil, [][]float64{{r.Y}}}.values(p)
}

func (r Rule) draw(pn pen) {
	if y := pn.y(r.Y); pn.ContainsY(y) {
		pn.StrokeLine2(pn.look.stroke(), pn.Min.X, y, pn.Max.X, y)
	}
}

func (r Rule) sample(pn pen) { Line{Plain: true}.sample(pn) }
