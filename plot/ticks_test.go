package plot

import (
	"math"
	"slices"
	"strings"
	"testing"

	gonum "gonum.org/v1/plot"
)

func labels(ticks []gonum.Tick) string {
	var out []string
	for _, t := range ticks {
		if !t.IsMinor() {
			out = append(out, t.Label)
		}
	}
	return strings.Join(out, " ")
}

func TestLogTicksLabels(t *testing.T) {
	for _, tc := range []struct {
		lo, hi float64
		want   string
	}{
		{20, 20e3, "20 50 100 200 500 1k 2k 5k 10k 20k"},
		{1, 100e3, "1 2 5 10 20 50 100 200 500 1k 2k 5k 10k 20k 50k 100k"},
		{25, 16e3, "50 100 200 500 1k 2k 5k 10k"},
		{80, 700, "100 200 500"},
		{100, 350, "100 200 300"},
		{300, 900, "300 400 500 600 700 800 900"},
		{440, 460, "440 445 450 455 460"},
		{1000, 1500, "1k 1.1k 1.2k 1.3k 1.4k 1.5k"},
		{0.02, 0.5, "0.02 0.05 0.1 0.2 0.5"},
		{1e-2, 1e6, "0.01 0.1 1 10 100 1k 10k 100k 1M"},
		{3, 70, "5 10 20 50"},
	} {
		if got := labels(logTicks(span{tc.lo, tc.hi})); got != tc.want {
			t.Errorf("logTicks(%g, %g) = %s, want %s", tc.lo, tc.hi, got, tc.want)
		}
	}
}

func TestLogTicksMarkEveryMultiple(t *testing.T) {
	var got []float64
	for _, tick := range logTicks(span{20, 20e3}) {
		got = append(got, tick.Value)
	}
	var want []float64
	for _, d := range []float64{10, 100, 1000, 10e3} {
		for m := 1.0; m <= 9; m++ {
			if v := m * d; v >= 20 && v <= 20e3 {
				want = append(want, v)
			}
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("ticks at %v, want %v", got, want)
	}
}

// The last point of a sweep is rounded; its tick must not be lost.
func TestLogTicksForgiveRounding(t *testing.T) {
	s := span{20 * (1 + 1e-14), 20e3 * (1 - 1e-14)}
	if got := labels(logTicks(s)); !strings.HasPrefix(got, "20 ") || !strings.HasSuffix(got, " 20k") {
		t.Errorf("labels %s do not reach both ends", got)
	}
}

func TestLimits(t *testing.T) {
	lin, log := Axis{}, Axis{Scale: Log}
	for _, tc := range []struct {
		name  string
		axis  Axis
		data  span
		tight bool
		want  span
	}{
		{"round outwards", lin, span{0.3, 54.7}, false, span{0, 60}},
		{"negative", lin, span{-4.2, 1.8}, false, span{-5, 2}},
		{"already round", lin, span{0, 40}, false, span{0, 40}},
		{"holds", Axis{Holds: []float64{-3, 3}}, span{-0.1, 0.2}, false, span{-3, 3}},
		{"phase", Axis{Step: 45, Holds: []float64{-90, 90}}, span{-30, 100}, false, span{-90, 135}},
		{"constant", lin, span{8, 8}, false, span{4, 12}},
		{"constant but for rounding", lin, span{8, 8 * (1 + 1e-15)}, false, span{4, 12}},
		{"constant zero", lin, span{0, 0}, false, span{-1, 1}},
		{"constant negative", lin, span{-2, -2}, false, span{-3, -1}},
		{"fixed", Axis{Min: -1, Max: 7}, span{0, 100}, false, span{-1, 7}},
		{"names", Axis{Names: []string{"a", "b"}}, span{0, 1}, false, span{-0.5, 1.5}},
		{"log ohms", log, span{6.2, 54}, false, span{5, 100}},
		{"log ohms, round", log, span{5, 100}, false, span{5, 100}},
		{"sweep to the last point below 20k", log, span{20, 19903.2}, true, span{20, 20e3}},
		{"sweep that ends between labels", log, span{27, 16e3}, true, span{27, 16e3}},
		{"one frequency", log, span{100, 100}, true, span{100 / math.Sqrt2, 100 * math.Sqrt2}},
		{"empty", lin, nothing, false, span{0.4, 1.6}},
	} {
		got := tc.axis.limits(tc.data, tc.tight, 6)
		if math.Abs(got.lo-tc.want.lo) > 1e-9 || math.Abs(got.hi-tc.want.hi) > 1e-9 {
			t.Errorf("%s: limits of %v = %v, want %v", tc.name, tc.data, got, tc.want)
		}
	}
}

func TestLinearTicks(t *testing.T) {
	for _, tc := range []struct {
		axis Axis
		s    span
		n    int
		want string
	}{
		{Axis{}, span{0, 60}, 7, "0 10 20 30 40 50 60"},
		{Axis{}, span{-5, 3}, 8, "−5 −4 −3 −2 −1 0 1 2 3"},
		{Axis{}, span{0, 3.5}, 7, "0 0.5 1.0 1.5 2.0 2.5 3.0 3.5"},
		{Axis{}, span{0, 2e6}, 4, "0 500000 1e+06 1.5e+06 2e+06"},
		{Axis{Step: 45}, span{-90, 90}, 4, "−90 −45 0 45 90"},
		{Axis{Step: 45}, span{-720, 720}, 4, "−720 −360 0 360 720"},
		{Axis{Step: 1}, span{0, 11}, 8, "0 1 2 3 4 5 6 7 8 9 10 11"},
		{Axis{Names: []string{"left", "right"}}, span{-0.5, 1.5}, 2, "left right"},
	} {
		if got := labels(tc.axis.ticks(tc.s, tc.n)); got != tc.want {
			t.Errorf("ticks of %v = %s, want %s", tc.s, got, tc.want)
		}
	}
}

// round125 is held against a slow search of all candidates.
func TestRound125(t *testing.T) {
	var all []float64
	for d := -12; d <= 12; d++ {
		all = append(all, scaled(1, d), scaled(2, d), scaled(5, d))
	}
	for v := 1.01e-11; v < 1e11; v *= 1.037 {
		i := 0
		for all[i] < v {
			i++
		}
		if got := roundUp125(v); got != all[i] {
			t.Errorf("roundUp125(%g) = %g, want %g", v, got, all[i])
		}
		if got := roundDown125(v); got != all[i-1] {
			t.Errorf("roundDown125(%g) = %g, want %g", v, got, all[i-1])
		}
	}
	for _, v := range all {
		if roundUp125(v) != v || roundDown125(v) != v {
			t.Errorf("%g is not kept: %g, %g", v, roundUp125(v), roundDown125(v))
		}
	}
}
