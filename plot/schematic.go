package plot

import (
	"bytes"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Schematic is the circuit diagram of a one-port, its terminals above and
// below. Symbols are those of IEC 60617.
type Schematic struct {
	Title   string // for readers who cannot see it; not drawn
	Circuit Circuit
}

// A Circuit is drawn between two wires: a [Symbol], or a [SeriesCircuit] or
// [ParallelCircuit] of circuits.
type Circuit interface {
	size() extent
	draw(b board, x, top, bottom vg.Length) // along the axis x
	check() error
}

// Circuits end to end or side by side, at least one each.
type (
	SeriesCircuit   []Circuit
	ParallelCircuit []Circuit
)

var (
	_ Circuit = Symbol{}
	_ Circuit = SeriesCircuit{}
	_ Circuit = ParallelCircuit{}
)

// Measures in points.
const (
	symbolLength = 26
	symbolHalf   = 6 // half the width of a symbol
	symbolLead   = 9 // of wire before and after it
	symbolGap    = 6 // between a symbol and its text, and beside both
	busHeight    = 8 // of wire from a junction to the branches
	dotRadius    = 1.8
	terminalSize = 3
	textPitch    = labelSize * leading
	widestText   = 110
)

// extent is the room that a circuit takes left and right of its axis.
type extent struct{ left, right, height vg.Length }

func (e extent) width() vg.Length { return e.left + e.right }

// A board is what a schematic is drawn on.
type board struct{ draw.Canvas }

func (b board) wire(points ...vg.Point) {
	b.StrokeLines(draw.LineStyle{Color: ink, Width: 1.1}, points)
}

func (b board) vertical(x, from, to vg.Length) {
	b.wire(vg.Point{X: x, Y: from}, vg.Point{X: x, Y: to})
}

func (b board) dot(x, y vg.Length) {
	b.SetColor(ink)
	b.Fill(circle(x, y, dotRadius))
}

func circle(x, y, r vg.Length) vg.Path {
	return arc(nil, vg.Point{X: x, Y: y}, r, 0, 2*math.Pi)
}

// arc continues a path along a circle, in chords short enough to look round:
// not every canvas has arcs.
func arc(p vg.Path, centre vg.Point, r vg.Length, from, angle float64) vg.Path {
	const chords = 16
	for i := range chords + 1 {
		sin, cos := math.Sincos(from + angle*float64(i)/chords)
		pt := centre.Add(vg.Point{X: r * vg.Length(cos), Y: r * vg.Length(sin)})
		if len(p) == 0 {
			p.Move(pt)
		} else {
			p.Line(pt)
		}
	}
	return p
}

// Encode writes the schematic to w, as [Figure.Encode] does.
func (s Schematic) Encode(w io.Writer, format Format) error {
	picture, err := s.render(format)
	if err != nil {
		return err
	}
	_, err = w.Write(picture)
	return err
}

func (s Schematic) render(format Format) (picture []byte, err error) {
	if s.Circuit == nil {
		return nil, fault(s.Title, "is a schematic of nothing")
	}
	if err := s.Circuit.check(); err != nil {
		return nil, err
	}
	defer func() {
		if r := recover(); r != nil {
			picture, err = nil, fault(s.Title, "cannot be drawn: %v", r)
		}
	}()
	const ends = 2*terminalSize + busHeight
	e := s.Circuit.size()
	width, height := e.width()+2*edge, e.height+2*(edge+ends)
	if width > tallest || height > tallest {
		return nil, fault(s.Title, "would be %.0f cm by %.0f cm, more than %.0f: too many parts",
			width/vg.Centimeter, height/vg.Centimeter, tallest/vg.Centimeter)
	}
	canvas, err := newCanvas(width, height, format, clean(s.Title))
	if err != nil {
		return nil, err
	}
	b := board{draw.New(canvas)}
	b.SetColor(white)
	b.Fill(b.Rectangle.Path())
	x := edge + e.left
	b.terminal(x, height-edge-terminalSize, -ends+terminalSize)
	b.terminal(x, edge+terminalSize, ends-terminalSize)
	s.Circuit.draw(b, x, height-edge-ends, edge+ends)
	var buf bytes.Buffer
	if _, err := canvas.WriteTo(&buf); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

// terminal draws an open circle at (x, y) and the wire from it.
func (b board) terminal(x, y, wire vg.Length) {
	b.SetLineStyle(draw.LineStyle{Color: ink, Width: 1.1})
	b.Stroke(circle(x, y, terminalSize-1))
	from := y - terminalSize + 1
	if wire > 0 {
		from = y + terminalSize - 1
	}
	b.vertical(x, from, y+wire)
}

func (s SeriesCircuit) size() extent {
	var e extent
	for _, c := range s {
		m := c.size()
		e = extent{max(e.left, m.left), max(e.right, m.right), e.height + m.height}
	}
	return e
}

func (s SeriesCircuit) check() error { return checkAll("a series", s) }

func checkAll(what string, members []Circuit) error {
	if len(members) == 0 {
		return fault("", "has %s of no parts", what)
	}
	for _, c := range members {
		if c == nil {
			return fault("", "has %s with a missing part", what)
		}
		if err := c.check(); err != nil {
			return err
		}
	}
	return nil
}

// draw shares the height that is left over evenly.
func (s SeriesCircuit) draw(b board, x, top, bottom vg.Length) {
	spare := (top - bottom - s.size().height) / vg.Length(len(s))
	for _, c := range s {
		end := top - c.size().height - spare
		c.draw(b, x, top, end)
		top = end
	}
}

func (s ParallelCircuit) check() error { return checkAll("a parallel", s) }

// axes returns the axes of the branches from the left edge.
func (s ParallelCircuit) axes() (axes []vg.Length, e extent) {
	var width vg.Length
	for _, c := range s {
		m := c.size()
		axes = append(axes, width+m.left)
		width += m.width()
		e.height = max(e.height, m.height+2*busHeight)
	}
	e.left = (axes[0] + axes[len(axes)-1]) / 2
	e.right = width - e.left
	return axes, e
}

func (s ParallelCircuit) size() extent {
	_, e := s.axes()
	return e
}

func (s ParallelCircuit) draw(b board, x, top, bottom vg.Length) {
	axes, e := s.axes()
	for i := range axes {
		axes[i] += x - e.left
	}
	first, last := axes[0], axes[len(axes)-1]
	for _, bus := range []vg.Length{top - busHeight, bottom + busHeight} {
		b.wire(vg.Point{X: first, Y: bus}, vg.Point{X: last, Y: bus})
		for _, a := range slices.Concat(axes[1:max(1, len(axes)-1)], []vg.Length{x}) {
			b.dot(a, bus)
		}
	}
	b.vertical(x, top, top-busHeight)
	b.vertical(x, bottom+busHeight, bottom)
	for i, c := range s {
		c.draw(b, axes[i], top-busHeight, bottom+busHeight)
	}
}
