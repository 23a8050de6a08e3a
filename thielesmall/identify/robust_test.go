package identify

import (
	"encoding/binary"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"loadscape/network/measured"
	ts "loadscape/thielesmall"
)

func tableOf(n int, z func(w float64) complex128) *measured.Table {
	t := truth{re: 1}.table(n)
	for i, hz := range t.Hz {
		t.Z[i] = z(2 * math.Pi * hz)
	}
	return t
}

func TestRefuses(t *testing.T) {
	good := models["inductance"].table(100)
	broken := models["inductance"].table(100)
	broken.Z[3] = cmplx.NaN()
	for _, c := range []struct {
		name  string
		table *measured.Table
		o     Options
		says  string
	}{
		{"resistor", tableOf(100, func(float64) complex128 { return 8 }), Options{}, "no resonance"},
		{"inductor", tableOf(100, func(w float64) complex128 { return complex(5, 1e-3*w) }), Options{}, "no resonance"},
		{"capacitor", tableOf(100, func(w float64) complex128 { return complex(5, -1/(1e-5*w)) }), Options{}, "no resonance"},
		{"few rows", models["inductance"].table(11), Options{}, "11 rows"},
		{"range", good, Options{From: 15e3}, "rows"},
		{"above the resonance", good, Options{From: 200}, "no resonance"},
		{"broken", broken, Options{}, ""},
		{"too many parameters", models["inductance"].table(12), Options{VoiceCoil: "ladder", Rungs: 4, Resonances: 6, Skew: Always}, "expected more"},
		{"coil", good, Options{VoiceCoil: "coil"}, "semi_inductance"},
		{"rungs", good, Options{Rungs: 5}, "rungs"},
		{"resonances", good, Options{Resonances: -1}, "resonances"},
		{"bumps", good, Options{Bumps: 7}, "bumps"},
		{"criterion", good, Options{Criterion: 2}, "criterion"},
		{"creep", good, Options{Creep: 3}, "creep"},
		{"re", good, Options{Re: -1}, "re"},
		{"noise", good, Options{Noise: Noise{Phase: math.NaN()}}, "phase"},
		{"to", good, Options{To: math.Inf(1)}, "to"},
	} {
		r, err := Identify(c.table, c.o)
		if err == nil {
			t.Errorf("%s: %+v", c.name, r)
		} else if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v: want one that says %q", c.name, err, c.says)
		}
	}
}

func TestMechanicsRefuse(t *testing.T) {
	bare := identify(t, small.table(200), Options{})
	heavy := identify(t, shifted(1.5, 1).table(200), Options{})
	stiff := identify(t, shifted(1, 3).table(200), Options{})
	two := identify(t, models["vented cabinet"].table(200), Options{})
	for name, f := range map[string]func() (*Mechanics, error){
		"mass up":       func() (*Mechanics, error) { return AddedMass(bare, stiff, 0.03, 0.03) },
		"same":          func() (*Mechanics, error) { return AddedMass(bare, bare, 0.03, 0.03) },
		"no mass":       func() (*Mechanics, error) { return AddedMass(bare, heavy, 0, 0.03) },
		"negative area": func() (*Mechanics, error) { return AddedMass(bare, heavy, 0.03, -1) },
		"two peaks":     func() (*Mechanics, error) { return AddedMass(two, heavy, 0.03, 0.03) },
		"box down":      func() (*Mechanics, error) { return TestBox(bare, heavy, 0.03, 0.03) },
		"no volume":     func() (*Mechanics, error) { return TestBox(bare, stiff, math.NaN(), 0.03) },
	} {
		if m, err := f(); err == nil {
			t.Errorf("%s: %+v", name, m)
		}
	}
}

// check reports what a result must not be: unequal, infinite, out of range.
func check(t *testing.T, r *Result) {
	t.Helper()
	for _, p := range r.Parameters {
		if math.IsNaN(p.Value) || math.IsInf(p.Value, 0) || !(p.Error >= 0) {
			t.Errorf("%s = %v", p.Name, p.Estimate)
		}
	}
	if !(r.Residual.RMS >= 0) || len(r.Resonances) == 0 || len(r.Candidates) == 0 {
		t.Errorf("residual %v, resonances %v", r.Residual.RMS, r.Resonances)
	}
	if v, ok := r.VoiceCoil.(interface{ Validate() error }); ok {
		if err := v.Validate(); err != nil {
			t.Errorf("voice coil %+v: %v", r.VoiceCoil, err)
		}
	}
	if d, err := r.Driver(); err == nil {
		if err := d.Validate(); err != nil {
			t.Errorf("driver %+v: %v", d, err)
		}
	}
}

// Curves that are no loudspeaker's: an error or a result with warnings, never
// a panic and never a number that is none.
func TestNonsense(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	fitted := 0
	for range 1000 {
		n := minRows + rng.IntN(40)
		table := &measured.Table{}
		hz, z := 10*rng.ExpFloat64()+0.1, complex(8, 0)
		for range n {
			hz *= 1 + 0.3*rng.ExpFloat64()
			z *= cmplx.Exp(complex(0.5*rng.NormFloat64(), 0.5*rng.NormFloat64()))
			table.Hz, table.Z = append(table.Hz, hz), append(table.Z, z)
		}
		table.PhaseDerived = rng.IntN(2) == 0
		r, err := Identify(table, Options{
			Resonances: rng.IntN(7), Rungs: rng.IntN(5), Bumps: rng.IntN(8) - 1,
			Creep: Choice(rng.IntN(3)), Skew: Choice(rng.IntN(3)), Criterion: Criterion(rng.IntN(2)),
			VoiceCoil: append(coilLabels, "")[rng.IntN(len(coilLabels)+1)],
		})
		if err != nil {
			continue
		}
		fitted++
		check(t, r)
		if len(r.Warnings) == 0 {
			t.Errorf("no warning of a curve off by %g", r.Residual.RMS)
		}
	}
	t.Logf("%d of 1000 nonsense curves were fitted", fitted)
}

func FuzzIdentify(f *testing.F) {
	encode := func(t *measured.Table) []byte {
		var b []byte
		for i := range t.Hz {
			for _, v := range []float64{t.Hz[i], real(t.Z[i]), imag(t.Z[i])} {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(v)))
			}
		}
		return b
	}
	f.Add(encode(models["inductance"].table(20)), uint8(0))
	f.Add(encode(richest.table(40)), uint8(1))
	f.Add(encode(tableOf(14, func(w float64) complex128 { return complex(-5, 1e-3*w) })), uint8(2))
	f.Fuzz(func(t *testing.T, data []byte, options uint8) {
		table := &measured.Table{}
		for ; len(data) >= 12 && len(table.Hz) < 60; data = data[12:] {
			v := func(i int) float64 {
				return float64(math.Float32frombits(binary.LittleEndian.Uint32(data[4*i:])))
			}
			table.Hz, table.Z = append(table.Hz, v(0)), append(table.Z, complex(v(1), v(2)))
		}
		r, err := Identify(table, Options{
			Resonances: int(options % 4), Creep: Choice(options / 4 % 3), Skew: Choice(options / 12 % 3), Bumps: int(options/36) - 1,
		})
		if err == nil {
			check(t, r)
		}
	})
}

func TestWarnings(t *testing.T) {
	d := models["semi-inductance"]
	active := d.table(200)
	active.Z[0] = complex(-0.1, 5)
	derived := d.table(200)
	derived.PhaseDerived = true
	low := truth{re: 6.5, main: oneResonance, coil: ts.Inductance{Le: 0.6e-3}, from: 60, to: 500}
	bumpy := d
	bumpy.bumps = []section{{hz: 1500, q: 4, r: 4}}
	for _, c := range []struct {
		name string
		t    *measured.Table
		o    Options
		kind WarningKind
		says string
	}{
		{"active", active, Options{}, Doubtful, "negative"},
		{"derived", derived, Options{}, Doubtful, "phase"},
		{"begins late", low.table(200), Options{}, Range, "begins at 60 Hz"},
		{"ends early", low.table(200), Options{}, Range, "ends at 500 Hz"},
		{"misfit", bumpy.table(200), Options{Bumps: -1}, Misfit, "RMS"},
		{"no noise", bumpy.table(200), Options{Bumps: -1}, Misfit, "not noise"},
		{"correlated", models["split power law"].table(200), Options{}, Correlated, "kr and xr"},
	} {
		found := false
		for _, w := range identify(t, c.t, c.o).Warnings {
			found = found || w.Kind == c.kind && strings.Contains(w.Says, c.says)
		}
		if !found {
			t.Errorf("%s: no warning of %v that says %q", c.name, c.kind, c.says)
		}
	}
	for _, name := range []string{"inductance", "ladder"} {
		if w := identify(t, noisy(models[name].table(480), 1), Options{}).Warnings; len(w) != 0 {
			t.Errorf("%s: warnings of a clean curve: %v", name, w)
		}
	}
}
