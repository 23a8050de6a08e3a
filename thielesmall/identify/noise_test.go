package identify

import (
	"maps"
	"math"
	"slices"
	"testing"
)

// With 1 % and 1° of noise, every parameter is within three of its own
// standard errors of the truth in at least 95 of 100 runs. Normal errors are
// in 99.7 %. The table that -v prints is the proof.
func TestNoise(t *testing.T) {
	const runs = 100
	for _, name := range slices.Sorted(maps.Keys(models)) {
		d := models[name]
		label := "none"
		if d.coil != nil {
			label = d.coil.Label()
		}
		o := Options{VoiceCoil: label, Resonances: len(d.main), Creep: Never}
		if d.main[0].lambda != 0 {
			o.Creep = Always
		}
		c := newCoverage(d)
		for seed := range uint64(runs) {
			c.count(identify(t, noisy(d.table(480), seed), o))
		}
		t.Logf("%s, %d runs, all parameters at once within 3 errors in %d", name, runs, c.all)
		for _, p := range slices.Sorted(maps.Keys(c.truth)) {
			t.Logf("    %-10s within 3 errors in %3d, RMS of the error over its standard error %.2f, median standard error %.2g %%",
				p, c.within[p], math.Sqrt(c.square[p]/float64(max(c.seen[p], 1))), 100*median(c.errors[p]))
			if c.within[p] < 95*runs/100 {
				t.Errorf("%s: %s within three standard errors in %d of %d runs", name, p, c.within[p], runs)
			}
		}
	}
}

// coverage counts how often estimates are as near to the truth as they say.
type coverage struct {
	truth        values
	all          int
	within, seen map[string]int
	square       map[string]float64   // sum of squares of the errors over the standard error
	errors       map[string][]float64 // relative
}

func newCoverage(d truth) *coverage {
	return &coverage{d.parameters(), 0, map[string]int{}, map[string]int{}, map[string]float64{}, map[string][]float64{}}
}

func (c *coverage) count(r *Result) {
	within := 0
	for _, p := range r.Parameters {
		want, ok := c.truth[p.Name]
		if !ok {
			continue
		}
		off := (p.Value - want) / p.Error
		c.seen[p.Name]++
		c.square[p.Name] += off * off
		c.errors[p.Name] = append(c.errors[p.Name], p.Error/math.Abs(p.Value))
		if math.Abs(off) <= 3 {
			c.within[p.Name]++
			within++
		}
	}
	if within == len(c.truth) {
		c.all++
	}
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(v))
	return s[len(s)/2]
}

// The criterion finds the model that a noisy curve was made of.
func TestChoice(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(models)) {
		d := models[name]
		label := "none"
		if d.coil != nil {
			label = d.coil.Label()
		}
		right, resonances, bumps, creep := 0, 0, 0, 0
		const runs = 20
		for seed := range uint64(runs) {
			r := identify(t, noisy(d.table(480), seed), Options{})
			if r.Candidates[0].VoiceCoil == label {
				right++
			}
			if len(r.Resonances) == len(d.main) {
				resonances++
			}
			if len(r.Bumps) == len(d.bumps) {
				bumps++
			}
			if (r.Creep.Value != 0) == (d.main[0].lambda != 0) {
				creep++
			}
		}
		t.Logf("%-24s of %d: voice coil right in %d, resonances in %d, bumps in %d, creep in %d", name, runs, right, resonances, bumps, creep)
		if min(right, resonances, bumps, creep) < runs*8/10 {
			t.Errorf("%s: right in too few of %d", name, runs)
		}
	}
}
