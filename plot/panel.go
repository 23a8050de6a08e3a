package plot

import (
	"image/color"

	gonum "gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A frame holds the ranges and ticks of one panel.
type frame struct {
	x, y           span
	xticks, yticks []gonum.Tick
	labelled       bool // the x axis carries its labels
}

// frames chooses the ranges of all panels.
func (f *Figure) frames() []frame {
	frames := make([]frame, len(f.Panels))
	for i, p := range f.Panels {
		x, y := nothing, nothing
		for _, item := range p.Items {
			xs, ys := item.extent()
			x, y = x.union(xs), y.union(ys)
		}
		frames[i] = frame{x: x, y: p.Y.limits(y, false, p.rows())}
		if i > 0 && p.X.shares(f.Panels[i-1].X) {
			frames[i].x = x.union(frames[i-1].x)
		}
		frames[i].labelled = i == len(f.Panels)-1 || !p.X.shares(f.Panels[i+1].X)
	}
	for i := len(frames) - 1; i >= 0; i-- {
		if !frames[i].labelled {
			frames[i].x = frames[i+1].x
		}
	}
	for i, p := range f.Panels {
		fr := &frames[i]
		fr.x = p.X.limits(fr.x, true, columns)
		fr.xticks, fr.yticks = p.X.ticks(fr.x, columns), p.Y.ticks(fr.y, p.rows())
	}
	return frames
}

const columns = 8 // labels wanted along a linear x axis

// rows is the number of labels wanted along the y axis.
func (p Panel) rows() int {
	return min(max(int(p.height()/vg.Centimeter), 2), 8)
}

// equalise widens one range, x to the right or y both ways, until a unit is as
// long on both axes of a data area of w by h.
func (fr *frame) equalise(w, h vg.Length) {
	unit := max(fr.x.width()/float64(w), fr.y.width()/float64(h))
	fr.x.hi = fr.x.lo + unit*float64(w)
	mid := fr.y.lo + fr.y.width()/2
	fr.y = span{mid - unit*float64(h)/2, mid + unit*float64(h)/2}
	step := roundUp125(unit * 45)
	fr.xticks, fr.yticks = linearTicks(fr.x, step), linearTicks(fr.y, step)
}

// plot returns the panel as a plot of the library, ready to be measured and
// drawn.
func (p Panel) plot(fr frame, cast cast) *gonum.Plot {
	g := gonum.New()
	g.BackgroundColor = nil
	dress(&g.X, fr.x, p.X, draw.YTop)
	dress(&g.Y, fr.y, p.Y, draw.YCenter)
	g.X.Label.Text = elide(g.X.Label.TextStyle, g.X.Label.Text, 10*vg.Centimeter)
	g.Y.Label.Text = elide(g.Y.Label.TextStyle, g.Y.Label.Text, p.height())
	g.X.Tick.Label.XAlign = draw.XCenter
	g.Y.Tick.Label.XAlign = draw.XRight
	g.Y.Tick.Marker = gonum.ConstantTicks(shortened(fr.yticks))
	if fr.labelled {
		g.X.Tick.Marker = gonum.ConstantTicks(fr.xticks)
	} else {
		g.X.Label.Text = ""
		g.X.Tick.Marker = gonum.ConstantTicks(nil)
	}
	if len(p.Y.Names) > 0 {
		g.Y.Scale = gonum.InvertedScale{Normalizer: g.Y.Scale}
		g.Y.Tick.Length = 0
	}
	g.Add(scene{p, fr, cast})
	return g
}

// dress gives an axis of the library our type, ink and range.
func dress(axis *gonum.Axis, s span, a Axis, align draw.YAlignment) {
	axis.Min, axis.Max = s.lo, s.hi
	if a.Scale == Log {
		axis.Scale = gonum.LogScale{}
	}
	axis.Padding = 0
	axis.LineStyle.Width = 0 // the scene draws a whole frame
	axis.Label.Text = a.title()
	axis.Label.Padding = 3
	axis.Label.TextStyle = sans(labelSize, ink)
	axis.Label.TextStyle.XAlign = draw.XCenter
	axis.Label.TextStyle.YAlign = draw.YBottom
	axis.Tick.LineStyle = draw.LineStyle{Color: ink, Width: 0.5}
	axis.Tick.Length = 4
	axis.Tick.Label = sans(tickSize, ink)
	axis.Tick.Label.YAlign = align
}

// shortened elides long names along the y axis.
func shortened(ticks []gonum.Tick) []gonum.Tick {
	const room = 5.2 * vg.Centimeter
	out := make([]gonum.Tick, len(ticks))
	for i, t := range ticks {
		out[i] = gonum.Tick{Value: t.Value, Label: elide(sans(tickSize, ink), t.Label, room)}
	}
	return out
}

// A scene draws what is inside the frame of a panel, and the frame.
type scene struct {
	panel Panel
	frame frame
	cast  cast
}

func (s scene) Plot(c draw.Canvas, g *gonum.Plot) {
	pn := pen{Canvas: c, crowd: new(crowd), slots: s.cast.slots}
	pn.x, pn.y = g.Transforms(&c)
	s.items(pn, underGrid)
	s.grid(pn)
	s.items(pn, overGrid)
	c.SetLineStyle(draw.LineStyle{Color: ink, Width: 0.6})
	c.Stroke(c.Rectangle.Path())
	for _, item := range s.panel.Items {
		pn.crowd.add(item, pn)
	}
	s.items(pn, onTop)
}

func (s scene) items(pn pen, layer int) {
	for _, item := range s.panel.Items {
		if item.layer() == layer {
			pn.look, pn.slot = s.cast.look(item), s.cast.slot[item.title()]
			item.draw(pn)
		}
	}
}

var (
	majorGrid = color.NRGBA{0xcc, 0xcc, 0xcc, 0xff}
	minorGrid = color.NRGBA{0xe6, 0xe6, 0xe6, 0xff}
)

// grid draws the lines of the ticks, those without a label first.
func (s scene) grid(pn pen) {
	for _, minor := range []bool{true, false} {
		sty := draw.LineStyle{Color: majorGrid, Width: 0.5}
		if minor {
			sty = draw.LineStyle{Color: minorGrid, Width: 0.4}
		}
		for _, t := range s.frame.xticks {
			if x := pn.x(t.Value); t.IsMinor() == minor && pn.ContainsX(x) {
				pn.StrokeLine2(sty, x, pn.Min.Y, x, pn.Max.Y)
			}
		}
		for _, t := range s.frame.yticks {
			named := len(s.panel.Y.Names) > 0
			if y := pn.y(t.Value); !named && t.IsMinor() == minor && pn.ContainsY(y) {
				pn.StrokeLine2(sty, pn.Min.X, y, pn.Max.X, y)
			}
		}
	}
}

// GlyphBoxes keeps room for what items write outside the frame.
func (s scene) GlyphBoxes(*gonum.Plot) []gonum.GlyphBox {
	var boxes []gonum.GlyphBox
	for _, item := range s.panel.Items {
		if m, ok := item.(interface{ margin() (right, top vg.Length) }); ok {
			right, top := m.margin()
			boxes = append(boxes, gonum.GlyphBox{
				X: 1, Y: 1,
				Rectangle: vg.Rectangle{Max: vg.Point{X: right, Y: top}},
			})
		}
	}
	return boxes
}
