package identify

import (
	"maps"
	"math"
	"slices"
	"testing"

	ts "loadscape/thielesmall"
)

// Exact curves give back what they were made of, whether the model is named or
// has to be found among all.
func TestExact(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(models)) {
		d := models[name]
		label := "none"
		if d.coil != nil {
			label = d.coil.Label()
		}
		for _, asked := range []string{label, ""} {
			r := identify(t, d.table(480), Options{VoiceCoil: asked})
			off, worst := compareExact(t, r, d)
			t.Logf("%-24s asked for %-16q residual %.1e, worst parameter %s off by %.1e", name, asked, r.Residual.RMS, worst, off)
			if off > 1e-6 {
				t.Errorf("%s: %s is off by %.1g", name, worst, off)
				report(t, r)
			}
		}
	}
}

func compareExact(t *testing.T, r *Result, d truth) (off float64, worst string) {
	t.Helper()
	want := d.parameters()
	for _, p := range r.Parameters {
		w, ok := want[p.Name]
		if !ok {
			t.Errorf("%s = %g, which the curve has not", p.Name, p.Value)
		}
		if e := math.Abs(p.Value/w - 1); !(e < off) {
			off, worst = e, p.Name
		}
		delete(want, p.Name)
	}
	for name := range want {
		t.Errorf("%s not found", name)
	}
	return off, worst
}

// A voice coil with some of its parts absent is found to lack them.
func TestAbsentParts(t *testing.T) {
	for _, c := range []ts.VoiceCoil{
		ts.SemiInductance{Ke: 0.05},
		ts.SemiInductance{Ke: 0.05, Leb: 0.1e-3},
		ts.SemiInductance{Ke: 0.05, Le: 1e-3},
		ts.SemiInductance{Ke: 0.05, Rss: 30},
		ts.SemiInductance{Ke: 0.05, Le: 1e-3, Rss: 30},
		ts.Ladder{Rungs: []ts.Rung{{L: 1e-3, R: 30}}},
	} {
		d := truth{re: 6.5, main: oneResonance, coil: c}
		r := identify(t, d.table(240), Options{VoiceCoil: c.Label()})
		if off, worst := compareExact(t, r, d); off > 1e-6 {
			t.Errorf("%+v: %s is off by %.1g, got %+v", c, worst, off, r.VoiceCoil)
		}
	}
}
