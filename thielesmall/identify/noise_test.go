package identify

import (
	"fmt"
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
	for n, name := range slices.Sorted(maps.Keys(models)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := models[name]
			o := Options{VoiceCoil: "none", Resonances: len(d.main), Creep: Never, Skew: Never}
			if d.coil != nil {
				o.VoiceCoil = d.coil.Label()
			}
			if d.main[0].lambda != 0 {
				o.Creep = Always
			}
			c := newCoverage(d)
			for seed := range uint64(runs) {
				c.count(identify(t, noisy(d.table(480), 1000*uint64(n)+seed), o))
			}
			t.Logf("%d runs, all at once within 3 errors in %d", runs, c.all)
			for _, p := range slices.Sorted(maps.Keys(c.truth)) {
				t.Logf("    %-10s within 3 errors in %3d, RMS of the error over its standard error %.2f, median standard error %.2g %%",
					p, c.within[p], math.Sqrt(c.square[p]/float64(max(c.seen[p], 1))), 100*median(c.errors[p]))
				if c.within[p] < 95*runs/100 {
					t.Errorf("%s within three standard errors in %d of %d runs", p, c.within[p], runs)
				}
			}
		})
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
	v := d.parameters()
	for i, s := range d.main {
		qes := s.q * d.re / s.r
		v[fmt.Sprintf("qes of %d", i+1)] = qes
		v[fmt.Sprintf("qts of %d", i+1)] = s.q * qes / (s.q + qes)
	}
	return &coverage{v, 0, map[string]int{}, map[string]int{}, map[string]float64{}, map[string][]float64{}}
}

func (c *coverage) count(r *Result) {
	before := 0
	for _, n := range c.within {
		before -= n
	}
	for _, p := range r.Parameters {
		c.add(p.Name, p.Estimate)
	}
	for i, s := range r.Resonances {
		c.add(fmt.Sprintf("qes of %d", i+1), s.Qes)
		c.add(fmt.Sprintf("qts of %d", i+1), s.Qts)
	}
	for _, n := range c.within {
		before += n
	}
	if before == len(c.truth) {
		c.all++
	}
}

func (c *coverage) add(name string, e Estimate) {
	want, ok := c.truth[name]
	if !ok {
		return
	}
	off := (e.Value - want) / e.Error
	c.seen[name]++
	c.square[name] += off * off
	c.errors[name] = append(c.errors[name], e.Error/math.Abs(e.Value))
	if math.Abs(off) <= 3 {
		c.within[name]++
	}
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(v))
	return s[len(s)/2]
}

// So are the mechanics, by either method, of two noisy curves each.
func TestNoiseOfMechanics(t *testing.T) {
	const runs, sd, volume = 100, 340e-4, 40e-3
	o := Options{VoiceCoil: "none", Creep: Never}
	stiff := 1.4 * 101325 * sd * sd
	w := 2 * math.Pi * 30.0
	cms := 100e-3 / stiff
	want := fromMass(point{6, 30, 5, 75}, 1/(w*w*cms), sd)
	within := map[string]int{}
	for seed := range uint64(runs) {
		free := identify(t, noisy(small.table(480), 2*seed), o)
		mass, err := AddedMass(free, identify(t, noisy(shifted(1+30e-3/want[1], 1).table(480), 2*seed+1), o), 30e-3, sd)
		if err != nil {
			t.Fatal(err)
		}
		box, err := TestBox(free, identify(t, noisy(shifted(1, 3.5).table(480), 2*seed+1), o), volume, sd)
		if err != nil {
			t.Fatal(err)
		}
		for name, m := range map[string]*Mechanics{"added mass": mass, "test box": box} {
			for i, e := range []Estimate{m.Vas, m.Mms, m.Cms, m.Rms, m.Bl} {
				key := name + ": " + []string{"vas", "mms", "cms", "rms", "bl"}[i]
				if math.Abs(e.Value-want[i]) <= 3*e.Error {
					within[key]++
				}
				if seed == 0 {
					t.Logf("%s %.5g ± %.1g, true %.5g", key, e.Value, e.Error, want[i])
				}
			}
		}
	}
	for key, n := range within {
		t.Logf("%s within 3 errors in %d of %d", key, n, runs)
		if n < 95*runs/100 {
			t.Errorf("%s within three standard errors in %d of %d", key, n, runs)
		}
	}
	if len(within) != 10 {
		t.Errorf("%d values were ever right", len(within))
	}
}

// The criterion finds the model that a noisy curve was made of.
func TestChoice(t *testing.T) {
	t.Parallel()
	for _, name := range slices.Sorted(maps.Keys(models)) {
		d := models[name]
		label := "none"
		if d.coil != nil {
			label = d.coil.Label()
		}
		right, resonances, bumps, creep := 0, 0, 0, 0
		const runs = 10
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
