package plot

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// An Item is something drawn in a panel.
type Item interface {
	// title names the item in the legend; empty keeps it out.
	title() string
	// look is the item's own look, or nil for the next free one.
	look() *Look
	// check returns an error if the item cannot be drawn on the axes of p.
	check(p Panel) error
	// extent is the range of the item's data.
	extent() (x, y span)
	// layer orders the drawing: lower layers first.
	layer() int
	draw(pn pen)
	// sample draws the item's entry in the legend over the whole of the
	// pen's canvas; the pen has no scales.
	sample(pn pen)
}

// Layers, from the back.
const (
	underGrid = iota
	overGrid
	onTop
)

var (
	_ Item = Line{}
	_ Item = Points{}
	_ Item = Band{}
	_ Item = Interval{}
	_ Item = Rule{}
	_ Item = Bars{}
	_ Item = Tags{}
	_ Item = Note{}
)

// A pen draws one item within the data area of a panel.
type pen struct {
	draw.Canvas
	x, y  func(float64) vg.Length
	look  Look
	slot  int // of slots series in the figure, to stagger markers
	slots int
	crowd *crowd
}

func (pn pen) at(x, y float64) vg.Point { return vg.Point{X: pn.x(x), Y: pn.y(y)} }

func (pn pen) path(x, y []float64) []vg.Point {
	pts := make([]vg.Point, len(x))
	for i := range x {
		pts[i] = pn.at(x[i], y[i])
	}
	return pts
}

func ranges(x []float64, ys ...[]float64) (span, span) {
	xs, all := nothing.add(x...), nothing
	for _, y := range ys {
		all = all.add(y...)
	}
	return xs, all
}

// A Line is a curve through points, with about ten markers along it.
type Line struct {
	Name  string
	X, Y  []float64
	Look  *Look // nil: the next free one, or the one its name has already
	Plain bool  // no markers
}

func (l Line) title() string       { return clean(l.Name) }
func (l Line) look() *Look         { return l.Look }
func (l Line) layer() int          { return overGrid }
func (l Line) extent() (x, y span) { return ranges(l.X, l.Y) }

func (l Line) check(p Panel) error {
	return data{l.Name, l.X, [][]float64{l.Y}}.check(p, true)
}

func (l Line) draw(pn pen) {
	pts := pn.path(l.X, l.Y)
	pn.StrokeLines(pn.look.stroke(), pn.ClipLinesXY(pts)...)
	if l.marked(pn.slots) {
		for _, pt := range spots(pts, pn.slot, pn.slots) {
			if pn.Contains(pt) {
				pn.look.Marker.draw(pn.Canvas, pt, markerRadius, pn.look.Color)
			}
		}
	}
}

// marked reports whether the line carries markers: a lone line needs none,
// and a single point is seen by nothing else.
func (l Line) marked(slots int) bool {
	return len(l.X) == 1 || (!l.Plain && slots > 1)
}

func (l Line) sample(pn pen) {
	mid := pn.Center()
	pn.StrokeLine2(pn.look.stroke(), pn.Min.X, mid.Y, pn.Max.X, mid.Y)
	if l.marked(pn.slots) {
		pn.look.Marker.draw(pn.Canvas, mid, markerRadius, pn.look.Color)
	}
}

var markerRadius = vg.Points(2.3)

// spots returns about ten points of a curve that rises in x, evenly spread
// over its width, and shifted so that those of the other series fall between.
// Curves of few points return them all.
func spots(pts []vg.Point, slot, slots int) []vg.Point {
	const count = 10
	if len(pts) <= count {
		return pts
	}
	first, last := pts[0].X, pts[len(pts)-1].X
	phase := (float64(slot) + 0.5) / float64(max(slots, 1))
	var marks []vg.Point
	for i, k := 1, 0; k < count; k++ {
		x := first + (last-first)*vg.Length((float64(k)+phase)/count)
		for i < len(pts)-1 && pts[i].X < x {
			i++
		}
		a, b := pts[i-1], pts[i]
		t := vg.Length(0)
		if b.X > a.X {
			t = (x - a.X) / (b.X - a.X)
		}
		marks = append(marks, vg.Point{X: x, Y: a.Y + t*(b.Y-a.Y)})
	}
	return marks
}

// Points are marks without a line, in any order.
type Points struct {
	Name string
	X, Y []float64
	Look *Look
	Size float64 // relative to the markers on lines; zero means 1
}

func (p Points) title() string       { return clean(p.Name) }
func (p Points) look() *Look         { return p.Look }
func (p Points) layer() int          { return overGrid }
func (p Points) extent() (x, y span) { return ranges(p.X, p.Y) }

func (p Points) check(on Panel) error {
	return data{p.Name, p.X, [][]float64{p.Y}}.check(on, false)
}

func (p Points) radius() vg.Length {
	if p.Size > 0 {
		return markerRadius * vg.Length(p.Size)
	}
	return markerRadius
}

func (p Points) draw(pn pen) {
	var outlines vg.Path
	for _, pt := range pn.path(p.X, p.Y) {
		if pn.Contains(pt) {
			outlines = append(outlines, pn.look.Marker.outline(pt, p.radius())...)
		}
	}
	pn.look.Marker.ink(pn.Canvas, outlines, pn.look.Color)
}

func (p Points) sample(pn pen) {
	r := min(p.radius(), 1.5*markerRadius)
	if pn.look.Marker == Upright {
		r = 0.7 * markerRadius
	}
	pn.look.Marker.ink(pn.Canvas, pn.look.Marker.outline(pn.Center(), r), pn.look.Color)
}
