package identify

import (
	"cmp"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"loadscape/network/measured"
	ts "loadscape/thielesmall"
)

// randomTruth returns a cabinet of the richest model: semi-inductance, creep,
// two resonances and the bump of a break-up.
func randomTruth(rng *rand.Rand) truth {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, rng.Float64()) }
	re := between(2.5, 14)
	f1 := between(22, 60)
	lambda := between(0.02, 0.2)
	return truth{
		re: re,
		main: []section{
			{hz: f1, q: between(3, 9), r: re * between(1, 8), lambda: lambda},
			{hz: f1 * between(2, 4), q: between(3, 9), r: re * between(1, 8), lambda: lambda},
		},
		bumps: []section{{hz: between(1000, 3500), q: between(3, 10), r: re * between(0.05, 0.3)}},
		coil: ts.SemiInductance{
			Leb: re * between(5e-6, 2e-5), Le: re * between(1e-4, 3e-4),
			Ke: re * between(7e-3, 2e-2), Rss: re * between(5, 30),
		},
	}
}

// deviation returns the RMS relative deviation of a result from the truth.
func (d truth) deviation(r *Result) float64 {
	sum := 0.0
	for _, hz := range r.Hz {
		w := 2 * math.Pi * hz
		sum += math.Pow(cmplx.Abs(r.Impedance(w)/d.at(w)-1), 2)
	}
	return math.Sqrt(sum / float64(len(r.Hz)))
}

// bumpShare returns what the bumps, if they are not fitted, are of the curve:
// the best fit cannot be further off than the truth without them is.
func (d truth) bumpShare(o Options, t *measured.Table) float64 {
	if o.Bumps >= 0 {
		return 0
	}
	sum := 0.0
	for _, hz := range t.Hz {
		w := 2 * math.Pi * hz
		for _, b := range d.bumps {
			sum += math.Pow(cmplx.Abs(b.at(w)/d.at(w)), 2)
		}
	}
	return math.Sqrt(sum / float64(len(t.Hz)))
}

// Curves of the richest model are fitted without failing, with less than 2 %
// left, exact and noisy, with bumps in the model and without.
func TestRichest(t *testing.T) {
	t.Parallel()
	const runs = 25
	for _, c := range []struct {
		name  string
		noise bool
		most  float64
		opts  Options
	}{
		{"exact", false, 1e-6, Options{}},
		{"exact, model asked for", false, 1e-6, Options{VoiceCoil: "semi_inductance", Resonances: 2, Creep: Always}},
		{"exact, no bumps fitted", false, 0.001, Options{Bumps: -1}},
		{"noisy", true, 0.005, Options{}},
		{"noisy, AICc", true, 0.005, Options{Criterion: AICc}},
		{"noisy, no bumps fitted", true, 0.005, Options{Bumps: -1}},
	} {
		rng := rand.New(rand.NewPCG(11, 12))
		var off []float64
		coils, bumps := 0, 0
		for seed := range uint64(runs) {
			d := randomTruth(rng)
			table := d.table(480)
			if c.noise {
				table = noisy(table, seed)
			}
			r := identify(t, table, c.opts)
			e := d.deviation(r)
			off = append(off, e)
			if most := c.most + d.bumpShare(c.opts, table); e > most {
				t.Errorf("%s %d: RMS %.2g %% off, expected %.2g %%", c.name, seed, 100*e, 100*most)
			}
			if len(r.Resonances) != 2 {
				t.Errorf("%s %d: %d resonances of %+v", c.name, seed, len(r.Resonances), d)
			}
			if _, ok := r.VoiceCoil.(ts.SemiInductance); ok {
				coils++
			}
			if len(r.Bumps) == 1 {
				bumps++
			}
			if !slices.IsSortedFunc(r.Resonances, func(a, b Resonance) int { return cmp.Compare(a.Hz.Value, b.Hz.Value) }) {
				t.Errorf("resonances out of order: %+v", r.Resonances)
			}
		}
		slices.Sort(off)
		t.Logf("%-24s %d cabinets: RMS off the true curve median %.2g %%, worst %.2g %%; semi-inductance found in %d, one bump in %d",
			c.name, runs, 100*off[runs/2], 100*off[runs-1], coils, bumps)
	}
}
