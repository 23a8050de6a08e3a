package plot

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Look is what tells one series from another.
type Look struct {
	Color  color.NRGBA
	Dashes []float64 // lengths in points, inked and blank in turn; nil is solid
	Marker Marker
	Width  float64 // of the line, in points
}

// palette holds colours that stay at least 20 units of CIELAB apart from each
// other for readers with normal, protan, deutan and tritan vision, that have
// a contrast of at least 3:1 on white, and whose neighbours differ in
// lightness so that they differ in grey as well.
var palette = []color.NRGBA{
	{0x50, 0x44, 0x9e, 0xff},
	{0xd0, 0x80, 0x00, 0xff},
	{0x1e, 0x72, 0x54, 0xff},
	{0x61, 0x0a, 0x4d, 0xff},
	{0x19, 0x93, 0xff, 0xff},
	{0xa8, 0x3d, 0x0b, 0xff},
	{0x23, 0x2e, 0x00, 0xff},
	{0xfe, 0x48, 0xae, 0xff},
}

// There are 8 colours, 5 dash patterns and 9 markers: no two of the first 360
// series look the same.
var dashes = [][]float64{
	nil,
	{6, 2.5},
	{1.6, 1.8},
	{8, 2, 1.6, 2},
	{11, 3},
}

// Series returns the look of the i-th series of a figure, i ≥ 0.
func Series(i int) Look {
	return Look{
		Color:  palette[i%len(palette)],
		Dashes: dashes[i%len(dashes)],
		Marker: Marker(1 + i%int(lastMarker)),
		Width:  1.4,
	}
}

// Ramp returns the look of member i of an ordered family of n: the first is
// darkest.
func Ramp(i, n int) Look {
	l := Series(i)
	t := 0.0
	if n > 1 {
		t = float64(i) / float64(n-1)
	}
	mix := func(a, b float64) uint8 { return uint8(math.Round(a + t*(b-a))) }
	l.Color = color.NRGBA{mix(0x1c, 0x3f), mix(0x10, 0x96), mix(0x48, 0xd2), 0xff}
	return l
}

// plain is a thin dark line without a marker, for limits and references.
var plain = Look{Color: ink, Width: 0.9}

func (l Look) stroke() draw.LineStyle {
	sty := draw.LineStyle{Color: l.Color, Width: vg.Points(l.Width)}
	for _, d := range l.Dashes {
		sty.Dashes = append(sty.Dashes, vg.Points(d))
	}
	return sty
}

// tint returns the colour of the look at an opacity between 0 and 1.
func (l Look) tint(opacity float64) color.NRGBA {
	c := l.Color
	c.A = uint8(math.Round(255 * opacity))
	return c
}

// A Marker is the shape of a point.
type Marker int

const (
	NoMarker Marker = iota
	Disc
	Square
	OpenTriangle
	Diamond
	Ring
	Triangle
	OpenSquare
	Inverted
	OpenDiamond
	Upright // a short vertical stroke; no series gets it by itself

	lastMarker = OpenDiamond
)

// shapes gives each marker as a regular polygon: corners (none for a circle),
// direction of the first corner in degrees, radius relative to a disc of the
// same weight, and whether it is hollow.
var shapes = map[Marker]struct {
	corners int
	turn    float64
	radius  float64
	open    bool
}{
	Disc:         {0, 0, 1, false},
	Ring:         {0, 0, 1, true},
	Square:       {4, 45, 1.25, false},
	OpenSquare:   {4, 45, 1.25, true},
	Diamond:      {4, 90, 1.35, false},
	OpenDiamond:  {4, 90, 1.35, true},
	Triangle:     {3, 90, 1.5, false},
	OpenTriangle: {3, 90, 1.5, true},
	Inverted:     {3, -90, 1.5, false},
}

// draw draws one marker with a thin blank rim that lifts it off the lines.
func (m Marker) draw(c draw.Canvas, at vg.Point, r vg.Length, clr color.Color) {
	outline := m.outline(at, r)
	c.SetLineStyle(draw.LineStyle{Color: white, Width: vg.Points(1.6)})
	c.Stroke(outline)
	m.ink(c, outline, clr)
}

// outline returns the marker's shape at one point. Outlines may be joined and
// inked at once.
func (m Marker) outline(at vg.Point, r vg.Length) vg.Path {
	if m == Upright {
		var p vg.Path
		p.Move(vg.Point{X: at.X, Y: at.Y - 3*r})
		p.Line(vg.Point{X: at.X, Y: at.Y + 3*r})
		return p
	}
	s := shapes[m]
	return polygon(at, r*vg.Length(s.radius), s.corners, s.turn)
}

func (m Marker) ink(c draw.Canvas, outline vg.Path, clr color.Color) {
	pencil := draw.LineStyle{Color: clr, Width: vg.Points(1.1)}
	switch {
	case m == NoMarker:
		return
	case m == Upright:
		pencil.Width *= 2
	case shapes[m].open:
		c.SetColor(white)
		c.Fill(outline)
	default:
		c.SetColor(clr)
		c.Fill(outline)
		return
	}
	c.SetLineStyle(pencil)
	c.Stroke(outline)
}

// polygon returns a closed regular polygon, or a circle if corners is zero.
func polygon(at vg.Point, r vg.Length, corners int, turn float64) vg.Path {
	corner := func(deg float64) vg.Point {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return vg.Point{X: at.X + r*vg.Length(cos), Y: at.Y + r*vg.Length(sin)}
	}
	var p vg.Path
	p.Move(corner(turn))
	for i := 1; i < corners; i++ {
		p.Line(corner(turn + 360*float64(i)/float64(corners)))
	}
	if corners == 0 {
		quarters(&p, at, r)
	}
	p.Close()
	return p
}

// quarters appends a circle, begun at its right, as four cubic curves: right
// to about 3 parts in ten thousand of the radius.
func quarters(p *vg.Path, at vg.Point, r vg.Length) {
	const k = 0.5522847498 // 4(√2−1)/3
	on := func(x, y float64) vg.Point {
		return vg.Point{X: at.X + r*vg.Length(x), Y: at.Y + r*vg.Length(y)}
	}
	cos, sin := 1.0, 0.0
	for range 4 {
		p.CubeTo(on(cos-k*sin, sin+k*cos), on(k*cos-sin, k*sin+cos), on(-sin, cos))
		cos, sin = -sin, cos
	}
}
