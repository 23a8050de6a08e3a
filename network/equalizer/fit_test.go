package equalizer

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loadscape/network/hearing"
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

// undoneBy returns the deviation that the bands undo.
func undoneBy(bands []Band, hz []float64, rate float64) []float64 {
	d := make([]float64, len(hz))
	for i, f := range hz {
		for _, b := range bands {
			d[i] -= b.DB(f, rate)
		}
	}
	return d
}

func same(got, want []Band) bool {
	return slices.EqualFunc(got, want, func(a, b Band) bool {
		return a.Kind == b.Kind && math.Abs(a.Hz/b.Hz-1) < 1e-3 &&
			math.Abs(a.Gain/b.Gain-1) < 1e-3 && math.Abs(a.Q/b.Q-1) < 1e-3
	})
}

// A deviation made of known sections is undone by these sections.
func TestFitFindsSections(t *testing.T) {
	for _, want := range [][]Band{
		{{Peak, 92, -5.4, 0.9}},
		{{Peak, 8500, 7, 2}},
		{{Peak, 62, -4, 1.5}},
		{{LowShelf, 150, 4, 0.6}},
		{{HighShelf, 3000, -4.1, 0.52}},
		{{HighShelf, 7000, 3, 0.7}},
		{{Peak, 80, 3, 1.5}, {Peak, 200, -5, 1.2}},
		{{Peak, 92, -5.4, 0.9}, {HighShelf, 3500, -6, 0.5}},
		{{LowShelf, 120, 5, 0.65}, {Peak, 1500, -3, 2}},
		{{LowShelf, 150, -3, 0.7}, {HighShelf, 4000, 4, 0.7}},
		{{Peak, 75, -4, 1.5}, {Peak, 160, -5, 1.5}, {HighShelf, 4000, -4, 0.6}},
		{{LowShelf, 100, 6, 0.6}, {Peak, 400, -3, 1}, {Peak, 2500, 4, 2}},
		{{Peak, 90, 6, 2}, {Peak, 350, -5, 1}, {Peak, 1200, 4, 3}, {Peak, 6000, -6, 1.5}},
		{{LowShelf, 110, 4, 0.7}, {Peak, 300, -4, 1.5}, {Peak, 1500, 5, 2}, {HighShelf, 5000, -5, 0.6}},
	} {
		for _, rate := range []float64{44.1e3, 48e3, math.Inf(1)} {
			hz := grid(16)
			c, err := Fit(hz, undoneBy(want, hz, rate), Options{Bands: len(want), SampleRate: rate})
			if err != nil {
				t.Fatal(err)
			}
			if !same(c.Bands, want) || math.Abs(c.Level) > 1e-3 || c.After > 1e-3 {
				t.Errorf("at %g Hz: got %v, level %g, want %v; %g dB left", rate, c.Bands, c.Level, want, c.After)
			}
		}
	}
}

// The fit is to the digital response: at 48 kHz a peak at 9 kHz is narrower
// than its prototype, and bands fitted for the one rate leave more at another.
func TestFitKnowsTheRate(t *testing.T) {
	hz := grid(48)
	analog := []Band{{Peak, 9000, 9, 0.8}}
	deviation := undoneBy(analog, hz, math.Inf(1))
	digital, err := Fit(hz, deviation, Options{Bands: 1})
	if err != nil {
		t.Fatal(err)
	}
	naive := rms(hz, deviation, func(f float64) float64 { return analog[0].DB(f, 48e3) })
	if digital.After > 0.75*naive {
		t.Errorf("fitted for 48 kHz %g dB left, the prototype's own values leave %g dB", digital.After, naive)
	}
}

// rms is the RMS of deviation plus correction, over the listening band, on a
// grid with an even number of points per octave.
func rms(hz, deviation []float64, correction func(hz float64) float64) float64 {
	w, err := hearing.ERBWeights(nil, hz, hearing.Band{})
	if err != nil {
		panic(err)
	}
	var sum float64
	for i, f := range hz {
		left := deviation[i] + correction(f)
		sum += w[i] * left * left
	}
	return math.Sqrt(sum)
}

// The figures that are returned are those of the bands that are returned, run
// as digital sections.
func TestFitReportsItself(t *testing.T) {
	hz := grid(48)
	deviation := make([]float64, len(hz))
	for i, f := range hz {
		deviation[i] = 3*math.Sin(1.7*math.Log(f)) + math.Cos(5*math.Log(f)) + 0.7
	}
	before := math.Inf(1)
	for bands := 1; bands <= 6; bands++ {
		c, err := Fit(hz, deviation, Options{Bands: bands, SampleRate: 44.1e3})
		if err != nil {
			t.Fatal(err)
		}
		after := rms(hz, deviation, func(f float64) float64 {
			db := c.Level
			for _, b := range c.Bands {
				db += decibels(b.Coefficients(44.1e3).Response(f, 44.1e3))
			}
			return db
		})
		if math.Abs(after-c.After) > 1e-6 {
			t.Errorf("%d bands: %g dB left, reported %g", bands, after, c.After)
		}
		if none := rms(hz, deviation, func(float64) float64 { return 0 }); math.Abs(none-c.Before) > 1e-9 {
			t.Errorf("%d bands: %g dB before, reported %g", bands, none, c.Before)
		}
		if c.After > before || len(c.Bands) > bands {
			t.Errorf("%d bands: %g dB left by %d, one band fewer %g", bands, c.After, len(c.Bands), before)
		}
		before = c.After
	}
}

// Sections at random, overlapping as they fall. The search does not promise to
// find each set of up to four again, since broad ones can nearly replace each
// other, but nearly all are found and every one is undone to a fraction of a dB.
func TestFitUndoesRandomSections(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	hz := grid(24)
	const trials, enough = 40, 36
	found := 0
	for range trials {
		want := randomBands(r)
		c, err := Fit(hz, undoneBy(want, hz, 48e3), Options{Bands: len(want)})
		if err != nil {
			t.Fatal(err)
		}
		if same(c.Bands, want) {
			found++
		}
		if c.After > 0.2 {
			t.Errorf("%v: %g dB RMS left by %v", want, c.After, c.Bands)
		}
	}
	t.Logf("%d of %d sets found to 1e-3", found, trials)
	if found < enough {
		t.Errorf("%d of %d sets found, want at least %d", found, trials, enough)
	}
}

func randomBands(r *rand.Rand) []Band {
	gain := func() float64 { return math.Copysign(1.5+6*r.Float64(), r.Float64()-0.5) }
	n := 1 + r.IntN(4)
	var bands []Band
	if n > 1 && r.IntN(2) == 0 {
		bands = append(bands, Band{LowShelf, 100 * math.Exp2(2*r.Float64()), gain(), 0.45 + 0.25*r.Float64()})
	}
	if n > 2 && r.IntN(2) == 0 {
		bands = append(bands, Band{HighShelf, 1500 * math.Exp2(2*r.Float64()), gain(), 0.45 + 0.25*r.Float64()})
	}
	for len(bands) < n {
		hz := 80 * math.Exp2(6.6*r.Float64())
		if !slices.ContainsFunc(bands, func(b Band) bool { return b.Kind == Peak && math.Abs(math.Log2(hz/b.Hz)) < 1 }) {
			bands = append(bands, Band{Peak, hz, gain(), 0.6 * math.Exp2(3*r.Float64())})
		}
	}
	slices.SortFunc(bands, func(a, b Band) int { return cmp.Compare(a.Hz, b.Hz) })
	return bands
}

// ITU-R BS.1770-4, Table 1, gives the coefficients of a high shelf at 48 kHz
// without naming its parameters. Fitted to the response of these coefficients,
// a band has them again.
func TestFitFindsPublishedShelf(t *testing.T) {
	table := Coefficients{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585}
	hz := grid(48)
	deviation := make([]float64, len(hz))
	for i, f := range hz {
		deviation[i] = -decibels(table.Response(f, 48e3))
	}
	// The table's Q is 0.7072, a trace above the steepest that is fitted.
	c, err := Fit(hz, deviation, Options{Bands: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Bands) != 1 || c.Bands[0].Kind != HighShelf || c.Largest > 0.01 {
		t.Fatalf("%v, %g dB left at most", c.Bands, c.Largest)
	}
	got := c.Bands[0].Coefficients(48e3)
	if math.Abs(got.A1-table.A1) > 2e-3 || math.Abs(got.A2-table.A2) > 2e-3 || math.Abs(got.B0-table.B0) > 2e-3 {
		t.Errorf("coefficients %+v, want %+v", got, table)
	}
}

func TestFitFlat(t *testing.T) {
	hz := grid(12)
	deviation := make([]float64, len(hz))
	for i := range deviation {
		deviation[i] = 1.5
	}
	c, err := Fit(hz, deviation, Options{})
	if err != nil || len(c.Bands) != 0 || math.Abs(c.Level+1.5) > 1e-12 || c.Largest > 1e-12 {
		t.Errorf("%+v, %v", c, err)
	}
}

func TestFitRespectsLimits(t *testing.T) {
	hz := grid(24)
	deviation := undoneBy([]Band{{Peak, 1000, 20, 6}, {Peak, 40, 15, 2}}, hz, 48e3)
	o := Options{Bands: 5, MaxGain: 6, MinQ: 0.5, MaxQ: 3, Range: hearing.Band{From: 200, To: 5000}}
	c, err := Fit(hz, deviation, o)
	if err != nil {
		t.Fatal(err)
	}
	const rounding = 1e-9
	for _, b := range c.Bands {
		if math.Abs(b.Gain) > 6+rounding || b.Hz < 200*(1-rounding) || b.Hz > 5000*(1+rounding) || b.Q > 3*(1+rounding) {
			t.Errorf("%v is beyond the options", b)
		}
	}
	if c.After >= c.Before {
		t.Errorf("%g dB left of %g", c.After, c.Before)
	}
}

func TestFitErrors(t *testing.T) {
	hz := grid(12)
	flat := make([]float64, len(hz))
	nan := slices.Clone(flat)
	nan[60] = math.NaN()
	for _, c := range []struct {
		deviation []float64
		options   Options
		says      string
	}{
		{nan, Options{}, "expected a finite number"},
		{flat, Options{Bands: 17}, "expected 1 to 16"},
		{flat, Options{Bands: -1}, "expected 1 to 16"},
		{flat, Options{MaxGain: -3}, "largest gain"},
		{flat, Options{MinQ: 3, MaxQ: 2}, "Q from 3 to 2"},
		{flat, Options{MinQ: math.NaN()}, "Q from NaN"},
		{flat, Options{SampleRate: 16e3}, "more than twice 10000 Hz"},
		{flat, Options{Threshold: -1}, "threshold"},
		{flat, Options{Range: hearing.Band{From: 5, To: 100}}, "not covered"},
	} {
		if _, err := Fit(hz, c.deviation, c.options); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: error %v, want it to say %q", c.options, err, c.says)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for a deviation of another length")
		}
	}()
	_, _ = Fit(hz, flat[1:], Options{})
}

func BenchmarkFit(b *testing.B) {
	hz := grid(48)
	deviation := undoneBy([]Band{{LowShelf, 110, 4, 0.7}, {Peak, 300, -4, 1.5}, {Peak, 1500, 5, 2}, {HighShelf, 5000, -5, 0.6}}, hz, 48e3)
	f, err := NewFitter(hz, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.Fit(deviation); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewFitter(b *testing.B) {
	hz := grid(48)
	for b.Loop() {
		if _, err := NewFitter(hz, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
