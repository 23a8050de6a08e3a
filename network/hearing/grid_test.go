package hearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// octaves returns a grid from 20 Hz to 20 kHz.
func octaves(perOctave float64) []float64 {
	var hz []float64
	for i := 0.0; ; i++ {
		f := 20 * math.Exp2(i/perOctave)
		if f > 20e3 {
			return hz
		}
		hz = append(hz, f)
	}
}

func scattered(seed uint64, n int) []float64 {
	r := rand.New(rand.NewPCG(seed, 1))
	hz := []float64{20, 20e3}
	for range n {
		hz = append(hz, 20*math.Pow(1000, r.Float64()))
	}
	slices.Sort(hz)
	return hz
}

func mean(w, hz []float64, f func(float64) float64) float64 {
	var sum float64
	for i := range w {
		sum += w[i] * f(hz[i])
	}
	return sum
}

func must(t *testing.T, w []float64, err error) []float64 {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// What is linear on the axis is integrated exactly wherever the points fall.
func TestERBWeightsExact(t *testing.T) {
	band := Band{From: 100, To: 3000}
	want := (ERBRate(100) + ERBRate(3000)) / 2
	for _, hz := range [][]float64{octaves(48), octaves(0.7), scattered(1, 40), {20, 20e3}, {20, 150, 160, 5e3}, {100, 3000}} {
		w, err := ERBWeights(nil, hz, band)
		must(t, w, err)
		if got := mean(w, hz, ERBRate); math.Abs(got-want) > 1e-10 {
			t.Errorf("%d points: mean rate %g, want %g", len(hz), got, want)
		}
		if got := mean(w, hz, func(float64) float64 { return 1 }); math.Abs(got-1) > 1e-13 {
			t.Errorf("%d points: weights sum to %g", len(hz), got)
		}
	}
}

// A fine midpoint rule, point by point, is the obvious reference.
func TestKWeightsAgainstFineSum(t *testing.T) {
	g := func(hz float64) float64 { return 1 + math.Sin(3*math.Log(hz)) }
	var num, den float64
	const n = 200_000
	for i := range n {
		hz := 60 * math.Pow(10e3/60, (float64(i)+0.5)/n)
		num, den = num+KWeight(hz)*g(hz), den+KWeight(hz)
	}
	for _, c := range []struct {
		hz        []float64
		tolerance float64
	}{{octaves(48), 1e-4}, {octaves(12), 2e-3}, {scattered(2, 2000), 1e-3}} {
		w, err := KWeights(nil, c.hz, Band{})
		must(t, w, err)
		if got := mean(w, c.hz, g); math.Abs(got/(num/den)-1) > c.tolerance {
			t.Errorf("%d points: %g, want %g", len(c.hz), got, num/den)
		}
	}
}

func TestWeightsOutsideBand(t *testing.T) {
	hz := octaves(6)
	w, err := KWeights(nil, hz, Band{From: 200, To: 2000})
	must(t, w, err)
	for i := range hz {
		used := i+1 < len(hz) && hz[i+1] > 200 && i > 0 && hz[i-1] < 2000
		if (w[i] > 0) != used {
			t.Errorf("weight %g at %g Hz", w[i], hz[i])
		}
	}
}

// A sweep of whole steps may end up to a step short of the band.
func TestWeightsBeyondGrid(t *testing.T) {
	hz := []float64{100, 200, 400, 800}
	for _, c := range []struct {
		band Band
		ok   bool
	}{
		{Band{100, 800}, true}, {Band{51, 1590}, true}, {Band{50, 1600}, true},
		{Band{49.9, 800}, false}, {Band{100, 1601}, false}, {Band{}, false},
	} {
		if _, err := ERBWeights(nil, hz, c.band); (err == nil) != c.ok {
			t.Errorf("%v: error %v", c.band, err)
		}
	}
	w, err := ERBWeights(nil, hz, Band{50, 800})
	must(t, w, err)
	held := ERBRate(100) - ERBRate(50) + (ERBRate(200)-ERBRate(100))/2
	if want := held / (ERBRate(800) - ERBRate(50)); math.Abs(w[0]-want) > 1e-14 {
		t.Errorf("first weight %g, want %g", w[0], want)
	}
}

func TestWeightsErrors(t *testing.T) {
	good := octaves(3)
	nan := math.NaN()
	for _, c := range []struct {
		hz   []float64
		band Band
	}{
		{nil, Band{}}, {[]float64{1000}, Band{}},
		{[]float64{20, 20, 20e3}, Band{}}, {[]float64{20e3, 20}, Band{}},
		{[]float64{0, 20e3}, Band{}}, {[]float64{-20, 20e3}, Band{}},
		{[]float64{20, nan, 20e3}, Band{}}, {[]float64{20, math.Inf(1)}, Band{}},
		{good, Band{1000, 500}}, {good, Band{-1, 500}}, {good, Band{500, 500}}, {good, Band{nan, 500}}, {good, Band{60, nan}},
	} {
		if _, err := KWeights(nil, c.hz, c.band); err == nil {
			t.Errorf("no error for %v over %v", c.band, c.hz)
		}
	}
}

func TestWeightsLengthPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	_, _ = KWeights(make([]float64, 3), octaves(3), Band{})
}

func BenchmarkKWeights(b *testing.B) {
	hz := octaves(48)
	dst := make([]float64, len(hz))
	for b.Loop() {
		if _, err := KWeights(dst, hz, Band{}); err != nil {
			b.Fatal(err)
		}
	}
}
