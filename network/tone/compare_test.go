package tone_test

import (
	"math"
	"testing"

	"loadscape/network/equalizer"
	"loadscape/network/hearing"
	"loadscape/network/tone"
)

func grid(perOctave float64) []float64 {
	var hz []float64
	for i := 0.0; ; i++ {
		f := 20 * math.Exp2(i/perOctave)
		if f > 20e3 {
			return hz
		}
		hz = append(hz, f)
	}
}

// response samples a product of analog bands at a level in dB.
func response(hz []float64, level float64, bands ...equalizer.Band) []complex128 {
	h := make([]complex128, len(hz))
	for i, f := range hz {
		h[i] = complex(math.Pow(10, level/20), 0)
		for _, b := range bands {
			h[i] *= b.Response(f, math.Inf(1))
		}
	}
	return h
}

func compare(t *testing.T, hz []float64, h, reference []complex128) *tone.Comparison {
	t.Helper()
	c, err := tone.Compare(hz, h, reference, hearing.Band{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

var (
	hump = equalizer.Band{Kind: equalizer.Peak, Hz: 92, Gain: 5.4, Q: 1.3}
	top  = equalizer.Band{Kind: equalizer.HighShelf, Hz: 3000, Gain: -4, Q: 0.6}
)

// The gain of either response goes into the offset and nowhere else.
func TestGainLeavesDeviation(t *testing.T) {
	hz := grid(48)
	a := compare(t, hz, response(hz, 0, hump, top), response(hz, 0))
	b := compare(t, hz, response(hz, -31, hump, top), response(hz, 12))
	if math.Abs(a.Offset-b.Offset-43) > 1e-9 || math.Abs(a.RMS-b.RMS) > 1e-9 {
		t.Errorf("offsets %g and %g dB, RMS %g and %g dB", a.Offset, b.Offset, a.RMS, b.RMS)
	}
	for i := range hz {
		if math.Abs(a.Deviation[i]-b.Deviation[i]) > 1e-9 {
			t.Fatalf("at %g Hz %g and %g dB", hz[i], a.Deviation[i], b.Deviation[i])
		}
	}
}

// Setup minus reference: the other way round every sign changes.
func TestSwapChangesSign(t *testing.T) {
	hz := grid(48)
	h, reference := response(hz, 3, hump), response(hz, 0, top)
	a, b := compare(t, hz, h, reference), compare(t, hz, reference, h)
	if math.Abs(a.Offset+b.Offset) > 1e-9 || math.Abs(a.RMS-b.RMS) > 1e-9 || math.Abs(a.Largest+b.Largest) > 1e-9 {
		t.Errorf("%g, %g, %g against %g, %g, %g", a.Offset, a.RMS, a.Largest, b.Offset, b.RMS, b.Largest)
	}
	if raised := compare(t, hz, response(hz, 0, hump), response(hz, 0)); raised.Largest <= 0 || math.Abs(raised.LargestHz/92-1) > 0.01 {
		t.Errorf("a raised setup deviates by %g dB at %g Hz", raised.Largest, raised.LargestHz)
	}
}

// Equal up to gain, and only then, nothing is left.
func TestZeroIffEqual(t *testing.T) {
	hz := grid(48)
	if c := compare(t, hz, response(hz, -20, hump), response(hz, 0, hump)); c.RMS > 1e-12 || math.Abs(c.Largest) > 1e-12 || len(c.Features) != 0 {
		t.Errorf("RMS %g dB, largest %g dB, features %v", c.RMS, c.Largest, c.Features)
	}
	faint := equalizer.Band{Kind: equalizer.Peak, Hz: 700, Gain: 1e-3, Q: 5}
	if c := compare(t, hz, response(hz, 0, faint), response(hz, 0)); c.RMS < 1e-5 {
		t.Errorf("RMS %g dB for responses that differ", c.RMS)
	}
}

// The figures converge as the grid is refined, whether its points are spread
// evenly over log frequency or over frequency.
func TestGridRefinement(t *testing.T) {
	figures := func(hz []float64) *tone.Comparison {
		return compare(t, hz, response(hz, 0, hump, top), response(hz, 0))
	}
	fine := figures(grid(400))
	linear := []float64{}
	for f := 20.0; f <= 20e3; f += 5 {
		linear = append(linear, f)
	}
	for _, c := range []struct {
		hz        []float64
		tolerance float64 // dB
	}{{grid(12), 0.01}, {grid(24), 0.003}, {grid(48), 0.001}, {linear, 0.002}} {
		got := figures(c.hz)
		if math.Abs(got.Offset-fine.Offset) > c.tolerance || math.Abs(got.RMS-fine.RMS) > c.tolerance {
			t.Errorf("%d points: offset %.5f, RMS %.5f dB; finely %.5f, %.5f dB", len(c.hz), got.Offset, got.RMS, fine.Offset, fine.RMS)
		}
	}
}

// The formulas of the standards as sums over a very fine grid.
func TestAgainstSums(t *testing.T) {
	hz := grid(48)
	c := compare(t, hz, response(hz, 0, hump, top), response(hz, 0))
	db := func(f float64) float64 { return hump.DB(f, math.Inf(1)) + top.DB(f, math.Inf(1)) }
	const n = 20000
	var power, one, square, rate float64
	for i := range n {
		f := 60 * math.Pow(10e3/60, (float64(i)+0.5)/n)
		power, one = power+hearing.KWeight(f)*math.Pow(10, db(f)/10), one+hearing.KWeight(f)
	}
	offset := 10 * math.Log10(power/one)
	low, high := hearing.ERBRate(60), hearing.ERBRate(10e3)
	for i := range n {
		f := hearing.ERBRateToHz(low + (high-low)*(float64(i)+0.5)/n)
		d := db(f) - offset
		square, rate = square+d*d, rate+1
	}
	if rms := math.Sqrt(square / rate); math.Abs(c.Offset-offset) > 1e-3 || math.Abs(c.RMS-rms) > 1e-3 {
		t.Errorf("offset %.5f, RMS %.5f dB, want %.5f, %.5f", c.Offset, c.RMS, offset, rms)
	}
}

// A source of 2.56 ohm lets through 2.141210 dB between loads of 8 ohm and
// 81 ohm (voltage divider, worked independently): a resonance from the one to
// the other is a hump of that height.
func TestResonanceBehindSource(t *testing.T) {
	hz := grid(48)
	h := make([]complex128, len(hz))
	for i, f := range hz {
		z := 8 + 73/complex(1, 4*(f/150-150/f))
		h[i] = z / (z + 2.56)
	}
	c := compare(t, hz, h, response(hz, 0))
	if len(c.Features) != 1 {
		t.Fatalf("features %v", c.Features)
	}
	f := c.Features[0]
	if f.Kind != tone.Hump || math.Abs(f.Hz/150-1) > 0.01 || math.Abs(f.Height-2.141210) > 0.02 {
		t.Errorf("%v, want a hump of 2.141 dB at 150 Hz", f)
	}
}

// Single shapes come back with the parameters that they were made with, but
// for the skirts that the band cuts off or that the plateau takes for its own.
func TestSingleFeatures(t *testing.T) {
	hz := grid(48)
	for _, c := range []struct {
		band equalizer.Band
		kind tone.Kind
	}{
		{hump, tone.Hump},
		{equalizer.Band{Kind: equalizer.Peak, Hz: 64, Gain: 4, Q: 1.5}, tone.Hump},
		{equalizer.Band{Kind: equalizer.Peak, Hz: 800, Gain: -6, Q: 1}, tone.Dip},
		{equalizer.Band{Kind: equalizer.LowShelf, Hz: 150, Gain: 4, Q: 0.6}, tone.LowShelf},
		{top, tone.HighShelf},
	} {
		got := compare(t, hz, response(hz, -7, c.band), response(hz, 0)).Features
		if len(got) != 1 || got[0].Kind != c.kind || math.Abs(got[0].Hz/c.band.Hz-1) > 0.07 || math.Abs(got[0].Height-c.band.Gain) > 0.35 {
			t.Errorf("%v is told as %v", c.band, got)
		}
	}
}

func TestCompareErrors(t *testing.T) {
	hz := grid(12)
	flat := response(hz, 0)
	for _, bad := range []complex128{0, complex(math.NaN(), 0), complex(math.Inf(1), 0)} {
		h := response(hz, 0)
		h[40] = bad
		if _, err := tone.Compare(hz, h, flat, hearing.Band{}); err == nil {
			t.Errorf("no error for a response of %v", bad)
		}
		if _, err := tone.Compare(hz, flat, h, hearing.Band{}); err == nil {
			t.Errorf("no error for a reference of %v", bad)
		}
	}
	if _, err := tone.Compare(hz, flat, flat, hearing.Band{From: 5}); err == nil {
		t.Error("no error for a band outside the grid")
	}
}

func BenchmarkCompare(b *testing.B) {
	hz := grid(48)
	h, reference := response(hz, 0, hump, top), response(hz, 0)
	for b.Loop() {
		if _, err := tone.Compare(hz, h, reference, hearing.Band{}); err != nil {
			b.Fatal(err)
		}
	}
}
