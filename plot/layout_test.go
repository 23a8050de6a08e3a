package plot

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// areas returns the data areas of a laid out figure.
func areas(s *sheet) []vg.Rectangle {
	var out []vg.Rectangle
	for i, p := range s.plots {
		out = append(out, p.DataCanvas(draw.Canvas{Rectangle: s.boxes[i]}).Rectangle)
	}
	return out
}

func TestPanelsLineUpAboveTheLegend(t *testing.T) {
	const tol = 1e-6 // points
	near := func(a, b vg.Length) bool { return math.Abs(float64(a-b)) < tol }
	for name, f := range gallery(t) {
		s := f.layOut()
		below := s.h - edge - s.titleHeight()
		for i, a := range areas(s) {
			first := areas(s)[0]
			if !near(a.Min.X, first.Min.X) || !near(a.Max.X, first.Max.X) {
				t.Errorf("%s: panel %d spans %v to %v, the first %v to %v", name, i, a.Min.X, a.Max.X, first.Min.X, first.Max.X)
			}
			if !near(a.Max.Y-a.Min.Y, f.Panels[i].height()) {
				t.Errorf("%s: panel %d is %v high, want %v", name, i, a.Max.Y-a.Min.Y, f.Panels[i].height())
			}
			if a.Max.Y > below+tol {
				t.Errorf("%s: panel %d runs into what is above it", name, i)
			}
			below = s.boxes[i].Min.Y
		}
		if top := edge + s.notesHeight() + s.legend.height(); top > below+tol {
			t.Errorf("%s: legend reaches up to %v, panels down to %v", name, top, below)
		}
	}
}

func TestLegendStaysWithinItsColumns(t *testing.T) {
	for name, f := range gallery(t) {
		s := f.layOut()
		for _, e := range s.legend.entries {
			w := sampleWidth + sampleGap + legendStyle.Width(e.name)
			if w > s.legend.column || edge+w > s.w-edge {
				t.Errorf("%s: entry %q is %v wide in a column of %v", name, e.name, w, s.legend.column)
			}
		}
	}
}

// One name in two panels is one entry with one look.
func TestNameHasOneLook(t *testing.T) {
	f := gallery(t)["impedance"]
	cast, entries := f.cast(), f.entries()
	if len(entries) != 4 {
		t.Errorf("%d entries for four curves", len(entries))
	}
	for i := range f.Panels[0].Items {
		a, b := cast.look(f.Panels[0].Items[i]), cast.look(f.Panels[1].Items[i])
		if a.Color != b.Color || a.Marker != b.Marker {
			t.Errorf("curve %d has looks %v and %v", i, a, b)
		}
	}
}

func TestPlaneHasEqualScales(t *testing.T) {
	s := gallery(t)["plane"].layOut()
	p, a := s.plots[0], areas(s)[0]
	x := (p.X.Max - p.X.Min) / float64(a.Max.X-a.Min.X)
	y := (p.Y.Max - p.Y.Min) / float64(a.Max.Y-a.Min.Y)
	if math.Abs(x/y-1) > 1e-6 {
		t.Errorf("an ohm is %g points along x and %g along y", 1/x, 1/y)
	}
}

func TestPanelsShareTheUnionOfTheirRanges(t *testing.T) {
	flat := []float64{1, 1}
	f := &Figure{Panels: []Panel{
		{X: Frequency(), Items: []Item{Line{Name: "a", X: []float64{50, 400}, Y: flat}}},
		{X: Frequency(), Items: []Item{Line{Name: "b", X: []float64{10, 100}, Y: flat}}},
		{X: Axis{Label: "Parts"}, Items: []Item{Line{Name: "c", X: []float64{0, 10}, Y: flat}}},
	}}
	frames := f.frames()
	want := span{10, 400}
	if frames[0].x != want || frames[1].x != want {
		t.Errorf("ranges %v and %v, want %v", frames[0].x, frames[1].x, want)
	}
	if frames[0].labelled || !frames[1].labelled || !frames[2].labelled {
		t.Error("only the last panel of a stack is labelled")
	}
	if want := (span{0, 10}); frames[2].x != want {
		t.Errorf("range of another axis %v, want %v", frames[2].x, want)
	}
}

// The marked points lie on the line, about ten of them, and those of other
// series in between.
func TestSpots(t *testing.T) {
	var pts []vg.Point
	for i := range 101 {
		pts = append(pts, vg.Point{X: vg.Length(i), Y: vg.Length(3 * i)})
	}
	var all []vg.Length
	for slot := range 4 {
		marks := spots(pts, slot, 4)
		if len(marks) < 8 || len(marks) > 12 {
			t.Errorf("%d markers", len(marks))
		}
		for _, m := range marks {
			if math.Abs(float64(m.Y-3*m.X)) > 1e-9 {
				t.Errorf("marker %v is off the line", m)
			}
			all = append(all, m.X)
		}
	}
	slices.Sort(all)
	for i := 1; i < len(all); i++ {
		if gap := all[i] - all[i-1]; math.Abs(float64(gap-2.5)) > 1e-9 {
			t.Errorf("markers of four series are %v apart, want 2.5", gap)
		}
	}
}

func TestSpread(t *testing.T) {
	for _, tc := range []struct{ in, want []vg.Length }{
		{[]vg.Length{10, 50}, []vg.Length{10, 50}},
		{[]vg.Length{50, 50, 50}, []vg.Length{50, 60, 70}},
		{[]vg.Length{99, 98}, []vg.Length{100, 90}},
		{[]vg.Length{30, 10, 31}, []vg.Length{30, 10, 40}},
	} {
		if got := spread(tc.in, 10, 0, 100); !slices.Equal(got, tc.want) {
			t.Errorf("spread(%v) = %v, want %v", tc.in, got, tc.want)
		}
	}
	crowded := spread(make([]vg.Length, 30), 10, 0, 100)
	slices.Sort(crowded)
	for i := 1; i < len(crowded); i++ {
		if crowded[i]-crowded[i-1] < 10-1e-9 {
			t.Errorf("%v and %v are closer than 10", crowded[i-1], crowded[i])
		}
	}
}

func TestElideAndWrap(t *testing.T) {
	sty := sans(10, ink)
	long := "shaped-8/second parallel group/resistor"
	short := elide(sty, long, 100)
	if sty.Width(short) > 100 || !strings.HasPrefix(short, "shaped") || !strings.HasSuffix(short, "resistor") {
		t.Errorf("elide gave %q, %v wide", short, sty.Width(short))
	}
	if got := elide(sty, "ohm", 100); got != "ohm" {
		t.Errorf("elide changed %q", got)
	}
	lines := wrap(sty, strings.Repeat("some words ", 20), 150, 99)
	for _, line := range lines {
		if sty.Width(line) > 150 {
			t.Errorf("line %q is %v wide", line, sty.Width(line))
		}
	}
	if joined := strings.Join(lines, " "); joined != strings.TrimSpace(strings.Repeat("some words ", 20)) {
		t.Errorf("wrap lost words: %q", joined)
	}
	lines = wrap(sty, strings.Repeat("some words ", 20)+"end", 150, 2)
	if len(lines) != 2 || sty.Width(lines[1]) > 150 || !strings.HasSuffix(lines[1], "end") {
		t.Errorf("two lines of a long text are %q", lines)
	}
}

// Notes avoid each other, and an optional one gives way.
func TestNotesKeepApart(t *testing.T) {
	area := vg.Rectangle{Max: vg.Point{X: 200, Y: 200}}
	cr := new(crowd)
	for i := range 4 { // one on each side
		box, cost := cr.place(vg.Point{X: 100, Y: 100}, 30, 8, area)
		if cost >= 1 {
			t.Errorf("note %d covers something although there is room", i)
		}
		cr.taken = append(cr.taken, box)
	}
	for range 30 {
		box, _ := cr.place(vg.Point{X: 100, Y: 100}, 30, 8, area)
		cr.taken = append(cr.taken, box)
	}
	if _, cost := cr.place(vg.Point{X: 100, Y: 100}, 30, 8, area); cost < 1 {
		t.Error("a note in a full place costs nothing")
	}
}
