package tone_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"loadscape/network/equalizer"
	"loadscape/network/tone"
)

// speaker is the impedance of a driver: a resistance, resonances, and a voice
// coil that rises with the square root of frequency.
type speaker struct {
	resonances []resonance
	coil       float64 // semi-inductance: its magnitude in ohm at 1 kHz
}

type resonance struct{ hz, ohms, q float64 }

func (s speaker) impedance(hz float64) complex128 {
	z := complex(6.5, 0)
	for _, r := range s.resonances {
		z += complex(r.ohms, 0) / complex(1, r.q*(hz/r.hz-r.hz/hz))
	}
	return z + complex(s.coil, 0)*cmplx.Sqrt(complex(0, hz/1000)) // Vanderkooy 1989
}

// behind returns the response at the speaker's terminals behind a source
// resistance.
func (s speaker) behind(hz []float64, source float64) []complex128 {
	h := make([]complex128, len(hz))
	for i, f := range hz {
		z := s.impedance(f)
		h[i] = z / (z + complex(source, 0))
	}
	return h
}

// expected is a feature and how well it is to be met. What the shapes do to
// each other and to the plateau is within the tolerances.
type expected struct {
	kind         tone.Kind
	hz, within   float64 // the latter relative
	height, near float64 // dB
	low, high    float64 // octaves
}

func checkFeatures(t *testing.T, name string, got []tone.Feature, want ...expected) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %v, want %d features", name, got, len(want))
		return
	}
	for i, w := range want {
		f := got[i]
		if f.Kind != w.kind || math.Abs(f.Hz/w.hz-1) > w.within || math.Abs(f.Height-w.height) > w.near || f.Octaves < w.low || f.Octaves > w.high {
			t.Errorf("%s: %v (width %.2f), want %v of %g dB at %g Hz, %g to %g octaves wide", name, f, f.Octaves, w.kind, w.height, w.hz, w.low, w.high)
		}
	}
}

// A resonance of 50 ohm and a rising top behind 8.9 ohm: the voltage divider
// gives the height of the hump over the plain resistance, 20 lg of
// (56.5/65.4)/(6.5/15.4) = 6.22 dB; the plateau lies a little above that.
func TestSpeakerBehindSource(t *testing.T) {
	hz := grid(48)
	s := speaker{[]resonance{{92, 50, 4}}, 4}
	checkFeatures(t, "speaker", compare(t, hz, s.behind(hz, 8.9), response(hz, 0)).Features,
		expected{tone.Hump, 92, 0.02, 5.3, 0.9, 0.8, 2.2},
		expected{tone.HighShelf, 4000, 0.6, 3.5, 1, 1, 5})
}

// As the source's resistance falls the same features shrink, and are gone
// once they are not worth a name.
func TestFeaturesShrinkWithSource(t *testing.T) {
	hz := grid(48)
	s := speaker{[]resonance{{92, 50, 4}}, 4}
	last := math.Inf(1)
	for _, source := range []float64{20, 8.9, 4, 2} {
		f := compare(t, hz, s.behind(hz, source), response(hz, 0)).Features
		if len(f) == 0 || f[0].Kind != tone.Hump || math.Abs(f[0].Hz/92-1) > 0.02 || f[0].Height >= last {
			t.Fatalf("source of %g ohm: %v, a larger one gave a hump of %.2f dB", source, f, last)
		}
		last = f[0].Height
	}
	if f := compare(t, hz, s.behind(hz, 0.1), response(hz, 0)).Features; len(f) != 0 {
		t.Errorf("source of 0.1 ohm: %v", f)
	}
}

func bandOf(kind equalizer.Kind) func(hz, gain, q float64) equalizer.Band {
	return func(hz, gain, q float64) equalizer.Band { return equalizer.Band{Kind: kind, Hz: hz, Gain: gain, Q: q} }
}

// Single and combined shapes of known parameters. The half-height width of a
// peak in octaves is 2 asinh(1/2Q)/ln 2: 0.71 for Q 2, 1.39 for Q 1. Of a peak
// beyond the band there is what the band shows of it: of 8 dB at 45 Hz 3.26 dB
// at 60.8 Hz, half of which at 73.8 Hz.
func TestKnownShapes(t *testing.T) {
	peak, low, high := bandOf(equalizer.Peak), bandOf(equalizer.LowShelf), bandOf(equalizer.HighShelf)
	type bands []equalizer.Band
	type features []expected
	for name, c := range map[string]struct {
		bands bands
		want  features
	}{
		"flat":         {},
		"hump":         {bands{peak(1000, 5, 1)}, features{{tone.Hump, 1000, 0.015, 5, 0.2, 1.3, 1.5}}},
		"dip":          {bands{peak(400, -6, 2)}, features{{tone.Dip, 400, 0.015, -6, 0.2, 0.66, 0.76}}},
		"low edge":     {bands{peak(64, 6, 2)}, features{{tone.Hump, 64, 0.02, 6, 0.2, 0.66, 0.76}}},
		"high edge":    {bands{peak(9500, -4, 2)}, features{{tone.Dip, 9500, 0.02, -4, 0.2, 0.66, 0.76}}},
		"below band":   {bands{peak(45, 8, 2)}, features{{tone.LowShelf, 73.8, 0.03, 3.26, 0.1, 0.1, 1}}},
		"above band":   {bands{peak(13000, -6, 1)}, features{{tone.HighShelf, 7700, 0.2, -4.6, 0.6, 0.2, 1.5}}},
		"low shelf":    {bands{low(500, 4, 0.7)}, features{{tone.LowShelf, 500, 0.03, 4, 0.2, 0.5, 1.5}}},
		"less below":   {bands{low(200, -3, 0.7)}, features{{tone.LowShelf, 200, 0.1, -3, 0.2, 0.5, 1.5}}},
		"high shelf":   {bands{high(3500, 3, 0.7)}, features{{tone.HighShelf, 3500, 0.1, 3, 0.3, 0.5, 1.5}}},
		"less above":   {bands{high(3500, -5, 0.7)}, features{{tone.HighShelf, 3500, 0.1, -5, 0.4, 0.5, 1.5}}},
		"both ends":    {bands{low(150, 4, 0.7), high(3500, -4, 0.7)}, features{{tone.LowShelf, 150, 0.15, 4, 0.5, 0.4, 1.6}, {tone.HighShelf, 3500, 0.15, -4, 0.5, 0.4, 1.6}}},
		"two humps":    {bands{peak(80, 5, 4), peak(200, 4, 4)}, features{{tone.Hump, 80, 0.02, 5, 0.3, 0.3, 0.45}, {tone.Hump, 200, 0.02, 4, 0.3, 0.3, 0.45}}},
		"close humps":  {bands{peak(80, 5, 2), peak(170, 4, 2)}, features{{tone.Hump, 80, 0.03, 5.3, 0.3, 0.6, 1.1}, {tone.Hump, 170, 0.03, 4.4, 0.3, 0.6, 1.1}}},
		"hump and dip": {bands{peak(100, 5, 2), peak(1500, -3, 2)}, features{{tone.Hump, 100, 0.02, 5, 0.3, 0.6, 0.8}, {tone.Dip, 1500, 0.02, -3, 0.3, 0.6, 0.8}}},
		"too faint":    {bands{peak(700, 0.4, 1)}, nil},
	} {
		hz := grid(48)
		checkFeatures(t, name, compare(t, hz, response(hz, -3, c.bands...), response(hz, 0)).Features, c.want...)
	}
}

// The other way round what rose falls, at the same places.
func TestFeaturesSwap(t *testing.T) {
	hz := grid(48)
	s := speaker{[]resonance{{75, 40, 5}, {160, 50, 5}}, 4}
	a := compare(t, hz, s.behind(hz, 8.9), response(hz, 0)).Features
	b := compare(t, hz, response(hz, 0), s.behind(hz, 8.9)).Features
	if len(a) < 2 || len(a) != len(b) {
		t.Fatalf("%v against %v", a, b)
	}
	for i := range a {
		if math.Abs(a[i].Hz/b[i].Hz-1) > 1e-9 || math.Abs(a[i].Height+b[i].Height) > 1e-9 || math.Abs(a[i].Octaves-b[i].Octaves) > 1e-9 {
			t.Errorf("%v against %v", a[i], b[i])
		}
		if opposite := map[tone.Kind]tone.Kind{tone.Hump: tone.Dip, tone.Dip: tone.Hump}; a[i].Kind != tone.HighShelf && opposite[a[i].Kind] != b[i].Kind {
			t.Errorf("%v against %v", a[i], b[i])
		}
	}
}

// Features do not hang on the grid.
func TestFeaturesOnOtherGrids(t *testing.T) {
	s := speaker{[]resonance{{92, 50, 4}}, 4}
	at := func(perOctave float64) []tone.Feature {
		hz := grid(perOctave)
		return compare(t, hz, s.behind(hz, 8.9), response(hz, 0)).Features
	}
	fine := at(192)
	for _, n := range []float64{12, 24, 48, 96} {
		got := at(n)
		if len(got) != len(fine) {
			t.Errorf("%g to the octave: %v, finely %v", n, got, fine)
			continue
		}
		for i, f := range got {
			if f.Kind != fine[i].Kind || math.Abs(math.Log2(f.Hz/fine[i].Hz)) > 1/n || math.Abs(f.Height-fine[i].Height) > 0.15 || math.Abs(f.Octaves-fine[i].Octaves) > 1/n {
				t.Errorf("%g to the octave: %v, finely %v", n, f, fine[i])
			}
		}
	}
}

// Whatever the deviation, features stay within what there is: they rise no
// higher than it spans, lie in order within the sweep and have a width.
func TestFeaturesOfAnything(t *testing.T) {
	hz := grid(24)
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		var bands []equalizer.Band
		for range 1 + rnd.IntN(8) {
			bands = append(bands, equalizer.Band{
				Kind: equalizer.Kind(rnd.IntN(3)), Hz: 20 * math.Pow(1000, rnd.Float64()),
				Gain: 24*rnd.Float64() - 12, Q: 0.3 * math.Pow(20, rnd.Float64()),
			})
		}
		c := compare(t, hz, response(hz, 0, bands...), response(hz, 0))
		low, high := math.Inf(1), math.Inf(-1)
		for i, d := range c.Deviation {
			if c.Band.Contains(hz[i]) {
				low, high = min(low, d), max(high, d)
			}
		}
		for i, f := range c.Features {
			if !(math.Abs(f.Height) >= 0.5) || math.Abs(f.Height) > high-low || !(f.Octaves > 0) || f.Hz < 20 || f.Hz > 20e3 {
				t.Fatalf("%v: feature %+v of a deviation from %g to %g dB", bands, f, low, high)
			}
			if i > 0 && f.Hz < c.Features[i-1].Hz {
				t.Fatalf("%v: %v out of order", bands, c.Features)
			}
		}
	}
}
