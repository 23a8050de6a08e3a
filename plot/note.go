package plot

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// A Note is a short text beside a point. It is placed where it hides least.
type Note struct {
	X, Y     float64
	Text     string
	Color    color.Color // nil is dark
	Optional bool        // left out where there is no room
}

func (n Note) title() string       { return "" }
func (n Note) look() *Look         { return &plain }
func (n Note) layer() int          { return onTop }
func (n Note) extent() (x, y span) { return nothing, nothing }
func (n Note) check(p Panel) error {
	return data{n.Text, []float64{n.X}, [][]float64{{n.Y}}}.check(p, false)
}

func (n Note) sample(pen) {}

func (n Note) draw(pn pen) {
	clr := n.Color
	if clr == nil {
		clr = ink
	}
	sty := sans(noteSize, clr)
	text := elide(sty, clean(n.Text), (pn.Max.X-pn.Min.X)/2)
	at := pn.at(n.X, n.Y)
	if !pn.Contains(at) {
		return
	}
	box, cost := pn.crowd.place(at, sty.Width(text), sty.Font.Size, pn.Rectangle)
	if n.Optional && cost >= 0.35 {
		return
	}
	pn.crowd.taken = append(pn.crowd.taken, box)
	write(pn.Canvas, sty, vg.Point{X: box.Min.X, Y: (box.Min.Y + box.Max.Y) / 2}, text)
}

// A crowd is what notes of a panel must not cover.
type crowd struct {
	curves  []vg.Point // dense enough that no box slips between two
	markers []vg.Rectangle
	taken   []vg.Rectangle // by notes
}

// add puts an item of the panel into the crowd.
func (cr *crowd) add(item Item, pn pen) {
	switch it := item.(type) {
	case Line:
		cr.addCurve(pn.path(it.X, it.Y))
	case Rule:
		y := pn.y(it.Y)
		cr.addCurve([]vg.Point{{X: pn.Min.X, Y: y}, {X: pn.Max.X, Y: y}})
	case Points:
		half := vg.Point{X: 1.3 * it.radius(), Y: 1.3 * it.radius()}
		for _, p := range pn.path(it.X, it.Y) {
			cr.markers = append(cr.markers, vg.Rectangle{Min: p.Sub(half), Max: p.Add(half)})
		}
	}
}

// addCurve adds the points along a polyline.
func (cr *crowd) addCurve(pts []vg.Point) {
	const pitch = 2.5
	for i, p := range pts {
		cr.curves = append(cr.curves, p)
		if i == 0 {
			continue
		}
		d := p.Sub(pts[i-1])
		n := math.Min(500, math.Hypot(float64(d.X), float64(d.Y))/pitch)
		for k := 1.0; k < n; k++ {
			cr.curves = append(cr.curves, pts[i-1].Add(d.Scale(vg.Length(k/n))))
		}
	}
}

// place returns the best of sixteen boxes around a point, and what it covers:
// 1 for another note or the edge of the panel, a little for each marker and
// each stretch of a curve.
func (cr *crowd) place(at vg.Point, w, h vg.Length, area vg.Rectangle) (vg.Rectangle, float64) {
	var best vg.Rectangle
	least := math.Inf(1)
	half := vg.Point{X: w / 2, Y: h / 2}
	for _, gap := range []vg.Length{5, 11} {
		for _, d := range compass {
			mid := at.Add(vg.Point{X: d.X * (half.X + gap), Y: d.Y * (half.Y + gap)})
			box := vg.Rectangle{Min: mid.Sub(half), Max: mid.Add(half)}
			if cost := cr.cost(box, area) + float64(gap)/1000; cost < least {
				best, least = box, cost
			}
		}
	}
	return best, least
}

// compass lists the sides of a point in order of preference.
var compass = []vg.Point{
	{X: 1}, {X: 0.8, Y: 0.8}, {X: 0.8, Y: -0.8}, {Y: 1}, {Y: -1}, {X: -1}, {X: -0.8, Y: 0.8}, {X: -0.8, Y: -0.8},
}

func (cr *crowd) cost(box, area vg.Rectangle) float64 {
	cost := 0.0
	if box.Min.X < area.Min.X || box.Max.X > area.Max.X || box.Min.Y < area.Min.Y || box.Max.Y > area.Max.Y {
		cost++
	}
	for _, t := range cr.taken {
		if overlap(box, t) {
			cost++
		}
	}
	for _, m := range cr.markers {
		if overlap(box, m) {
			cost += 0.2
		}
	}
	for _, p := range cr.curves {
		if p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y {
			cost += 0.03
		}
	}
	return cost
}

func overlap(a, b vg.Rectangle) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}
