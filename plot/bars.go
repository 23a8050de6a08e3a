package plot

import (
	"image/color"
	"sort"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Bars are horizontal bars from zero, the i-th at height i of an axis with
// names.
type Bars struct {
	Name   string
	Values []float64
	Offset float64 // of the bar's middle from the name's height
	Thick  float64 // in units of the distance between names
	Look   *Look
}

func (b Bars) title() string { return clean(b.Name) }
func (b Bars) look() *Look   { return b.Look }
func (b Bars) layer() int    { return overGrid }

func (b Bars) extent() (x, y span) {
	return nothing.add(0).add(b.Values...), nothing.add(0, float64(len(b.Values)-1))
}

func (b Bars) check(p Panel) error {
	heights := make([]float64, len(b.Values))
	return data{b.Name, b.Values, [][]float64{heights}}.check(p, false)
}

func (b Bars) draw(pn pen) {
	within := func(x vg.Length) vg.Length { return min(max(x, pn.Min.X), pn.Max.X) }
	for i, v := range b.Values {
		mid := float64(i) + b.Offset
		bar := vg.Rectangle{
			Min: vg.Point{X: within(pn.x(0)), Y: pn.y(mid + b.Thick/2)},
			Max: vg.Point{X: within(pn.x(v)), Y: pn.y(mid - b.Thick/2)},
		}
		b.paint(pn, bar)
	}
}

func (b Bars) paint(pn pen, bar vg.Rectangle) {
	pn.SetColor(pn.look.Color)
	pn.Fill(bar.Path())
	pn.SetLineStyle(draw.LineStyle{Color: ink, Width: vg.Points(0.5)})
	pn.Stroke(bar.Path())
}

func (b Bars) sample(pn pen) {
	b.paint(pn, draw.Crop(pn.Canvas, 4, -4, 1, -1).Rectangle)
}

// Tags are texts in the right margin beside heights of the panel. They are
// moved apart where they would touch.
type Tags struct {
	Y      []float64
	Text   []string
	Colors []color.Color // nil, or one for each text
	Lead   bool          // a thin line leads from each height to its text
}

func (t Tags) title() string       { return "" }
func (t Tags) look() *Look         { return &plain }
func (t Tags) layer() int          { return onTop }
func (t Tags) extent() (x, y span) { return nothing, nothing.add(t.Y...) }

func (t Tags) check(p Panel) error {
	if len(t.Text) != len(t.Y) || (t.Colors != nil && len(t.Colors) != len(t.Y)) {
		return fault("tags", "%d texts and %d colours for %d heights", len(t.Text), len(t.Colors), len(t.Y))
	}
	return data{"tags", nil, [][]float64{t.Y}}.values(p)
}

func (t Tags) sample(pen) {}

const tagRoom = 160 // points for a text

// gap is the distance from the frame to the text.
func (t Tags) gap() vg.Length {
	if t.Lead {
		return 14
	}
	return 6
}

func (t Tags) text(i int) (draw.TextStyle, string) {
	sty := sans(noteSize, ink)
	if t.Colors != nil {
		sty.Color = t.Colors[i]
	}
	return sty, elide(sty, clean(t.Text[i]), tagRoom)
}

// width is the room the tags take to the right of the frame.
func (t Tags) width() vg.Length {
	w := vg.Length(0)
	for i := range t.Text {
		sty, s := t.text(i)
		w = max(w, t.gap()+sty.Width(s))
	}
	return w
}

func (t Tags) margin() (right, top vg.Length) { return t.width(), 0 }

func (t Tags) draw(pn pen) {
	heights := make([]vg.Length, len(t.Y))
	for i, y := range t.Y {
		heights[i] = min(max(pn.y(y), pn.Min.Y), pn.Max.Y)
	}
	apart := spread(heights, vg.Points(noteSize*1.15), pn.Min.Y, pn.Max.Y)
	for i := range t.Y {
		sty, s := t.text(i)
		if t.Lead {
			lead := draw.LineStyle{Color: sty.Color, Width: vg.Points(0.5)}
			pn.StrokeLine2(lead, pn.Max.X+1, heights[i], pn.Max.X+t.gap()-3, apart[i])
		}
		write(pn.Canvas, sty, vg.Point{X: pn.Max.X + t.gap(), Y: apart[i]}, s)
	}
}

// spread returns heights at least gap apart, in the order of the given ones and
// as near to them as a sweep up and a sweep down can bring them. They leave
// the range from lo to hi only if it cannot hold them all.
func spread(heights []vg.Length, gap, lo, hi vg.Length) []vg.Length {
	order := make([]int, len(heights))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return heights[order[a]] < heights[order[b]] })

	out := append([]vg.Length(nil), heights...)
	for k, i := range order {
		if k > 0 {
			out[i] = max(out[i], out[order[k-1]]+gap)
		}
	}
	top := hi
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		out[i] = min(out[i], max(top, lo+vg.Length(k)*gap))
		top = out[i] - gap
	}
	return out
}
