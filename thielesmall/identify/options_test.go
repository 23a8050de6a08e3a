package identify

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// A resistance measured with direct current is held, and the rest is fitted.
func TestHeldResistance(t *testing.T) {
	d := models["power law"]
	r := identify(t, noisy(d.table(480), 1), Options{Re: 6.5})
	if r.Re != (Estimate{Value: 6.5}) {
		t.Errorf("re %+v, want 6.5 exactly", r.Re)
	}
	for _, p := range r.Parameters {
		if p.Name == "re" {
			t.Error("re is still a parameter")
		}
	}
	s := r.Resonances[0]
	if math.Abs(s.Qes.Value-8.2*6.5/58) > 3*s.Qes.Error || s.Qes.Error == 0 {
		t.Errorf("qes %+v", s.Qes)
	}
}

// Without a phase the magnitude alone tells the same parameters.
func TestMagnitudeAlone(t *testing.T) {
	for _, name := range []string{"inductance", "ladder", "semi-inductance", "vented cabinet"} {
		table := models[name].table(480)
		table.PhaseDerived = true
		for i, z := range table.Z { // as wrong as a derived phase may be
			table.Z[i] = z * cmplx.Rect(1, 0.05*math.Sin(float64(i)/30))
		}
		r := identify(t, table, Options{VoiceCoil: models[name].coil.Label()})
		if off, worst := compareExact(t, r, models[name]); off > 1e-6 {
			t.Errorf("%s: %s off by %.1g", name, worst, off)
		}
	}
}

// Rows of low coherence count less: noise as large as they tell does not move
// the parameters beyond their errors, which are smaller than with equal weights.
func TestCoherence(t *testing.T) {
	d := models["inductance"]
	better, within := 0, 0
	const runs = 50
	for seed := range uint64(runs) {
		table := noisy(d.table(480), seed)
		rng := rand.New(rand.NewPCG(seed, 5))
		table.Coherence = make([]float64, len(table.Hz))
		for i := range table.Hz {
			table.Coherence[i] = 1
			if i%3 == 0 {
				table.Coherence[i] = 0.3
				s := spreadOf(0.3)
				table.Z[i] *= cmplx.Exp(complex(s*rng.NormFloat64(), s*rng.NormFloat64()))
			}
		}
		o := Options{VoiceCoil: "inductance", Creep: Never}
		weighted := identify(t, table, o)
		table.Coherence = nil
		equal := identify(t, table, o)
		if weighted.Re.Error < 0.7*equal.Re.Error {
			better++
		}
		if math.Abs(weighted.Re.Value-d.re) <= 3*weighted.Re.Error {
			within++
		}
	}
	if better < runs*9/10 || within < runs*9/10 {
		t.Errorf("smaller errors in %d, within them in %d of %d", better, within, runs)
	}
}

// Known noise gives errors that do not depend on the residual.
func TestKnownNoise(t *testing.T) {
	table := noisy(models["inductance"].table(480), 1)
	known := identify(t, table, Options{Noise: Noise{Known: true}})
	found := identify(t, table, Options{})
	half := identify(t, table, Options{Noise: Noise{Magnitude: 0.005, Phase: math.Pi / 360, Known: true}})
	near(t, "error for half the noise", half.Re.Error, known.Re.Error/2, 1e-6)
	near(t, "error by the residual", found.Re.Error, known.Re.Error, 0.15)
}

// Two resonances of one peak are found when they are asked for.
func TestMergedResonances(t *testing.T) {
	d := truth{re: 6.5, main: []section{{hz: 75, q: 4, r: 30}, {hz: 88, q: 4, r: 14}}, coil: models["power law"].coil}
	if n := len(identify(t, d.table(480), Options{}).Resonances); n != 1 {
		t.Fatalf("%d peaks: want one", n)
	}
	r := identify(t, d.table(480), Options{Resonances: 2})
	if off, worst := compareExact(t, r, d); off > 1e-6 {
		t.Errorf("%s off by %.1g", worst, off)
		report(t, r)
	}
}

// From and To leave rows out.
func TestRange(t *testing.T) {
	table := models["inductance"].table(480)
	for i, hz := range table.Hz {
		if hz > 5000 || hz < 15 {
			table.Z[i] *= 3
		}
	}
	r := identify(t, table, Options{From: 15, To: 5000})
	if off, worst := compareExact(t, r, models["inductance"]); off > 1e-6 {
		t.Errorf("%s off by %.1g", worst, off)
	}
	if r.Hz[0] < 15 || r.Hz[len(r.Hz)-1] > 5000 || len(r.Residual.Deviations) != len(r.Hz) {
		t.Errorf("rows from %g to %g", r.Hz[0], r.Hz[len(r.Hz)-1])
	}
}
