package preferred

import (
	"math"
	"testing"
)

// A list of the values of a series answers as the series does.
func TestListIsASeries(t *testing.T) {
	l, err := NewList(E12.Values(1, 1e4)...)
	if err != nil {
		t.Fatal(err)
	}
	for x := 1.0; x < 1e4; x *= 1.013 {
		for _, f := range []struct{ list, series float64 }{
			{l.Nearest(x), E12.Nearest(x)}, {l.Below(x), E12.Below(x)}, {l.Above(x), E12.Above(x)},
		} {
			if f.list != f.series {
				t.Fatalf("at %g: %g, the series has %g", x, f.list, f.series)
			}
		}
	}
}

func TestListEndsAndMistakes(t *testing.T) {
	l, err := NewList(33, 4.7, 33)
	if err != nil || len(l) != 2 || l[0] != 4.7 {
		t.Fatalf("%v, %v", l, err)
	}
	if !math.IsNaN(l.Below(4)) || !math.IsNaN(l.Above(40)) || l.Nearest(1) != 4.7 || l.Nearest(1e6) != 33 {
		t.Errorf("ends: %g, %g, %g, %g", l.Below(4), l.Above(40), l.Nearest(1), l.Nearest(1e6))
	}
	for _, bad := range [][]float64{nil, {0}, {-1}, {math.NaN()}, {math.Inf(1)}} {
		if _, err := NewList(bad...); err == nil {
			t.Errorf("%v: no error", bad)
		}
	}
}
