package thielesmall

import (
	"math"
	"math/cmplx"
	"testing"

	"loadscape/network"
)

// layer lays a voice coil alone.
type layer struct{ VoiceCoil }

func (l layer) Lay(c *network.Circuit, path string, a, b network.Node) {
	l.VoiceCoil.Lay(c, c.Part(path, network.Electrical, network.Rating{}), a, b)
}

// The forms of Leach, J. Audio Eng. Soc. 50 (2002) 442, and Thorborg and
// Futtrup, J. Audio Eng. Soc. 59 (2011) 612, and a ladder of one rung; the
// values were recomputed by an independent program for invented parameters.
func TestVoiceCoilWorkedValues(t *testing.T) {
	for _, x := range []struct {
		coil VoiceCoil
		at   map[float64]complex128
	}{
		{PowerLaw{0.05, 0.6}, map[float64]complex128{
			100: 1.403126 + 1.931237i, 1000: 5.585944 + 7.688393i, 10000: 22.238045 + 30.608044i}},
		{SemiInductance{0.1e-3, 1e-3, 0.05, 200}, map[float64]complex128{
			100: 0.114498 + 0.496479i, 1000: 1.242700 + 2.915487i, 10000: 6.820872 + 14.316275i}},
		{Ladder{0.5e-3, []Rung{{1e-3, 5}}}, map[float64]complex128{
			100: 0.077729 + 0.932710i, 1000: 3.061367 + 5.577751i, 10000: 4.968536 + 31.811310i}},
	} {
		checkPoints(t, layer{x.coil}, x.at)
	}
}

// What is the same in different words has the same curve.
func TestVoiceCoilModelsMeet(t *testing.T) {
	same := func(what string, a, b VoiceCoil) {
		t.Helper()
		hz := []float64{20, 300, 5e3, 2e4}
		za, zb := impedance(t, layer{a}, hz...), impedance(t, layer{b}, hz...)
		for i := range hz {
			if cmplx.Abs(za[i]-zb[i]) > 1e-13*cmplx.Abs(za[i]) {
				t.Errorf("%s at %g Hz: %v and %v", what, hz[i], za[i], zb[i])
			}
		}
	}
	same("power law of exponent 1", PowerLaw{0.6e-3, 1}, Inductance{0.6e-3})
	same("ladder without rungs", Ladder{L1: 0.6e-3}, Inductance{0.6e-3})
	same("semi-inductance alone", SemiInductance{Ke: 0.04}, PowerLaw{0.04, 0.5})
	same("split law of a semi-inductance", SplitPowerLaw{0.04 / math.Sqrt2, 0.5, 0.04 / math.Sqrt2, 0.5}, PowerLaw{0.04, 0.5})
	same("split law without loss", SplitPowerLaw{0, 0, 0.6e-3, 1}, Inductance{0.6e-3})
	same("a rung split in two", Ladder{0, []Rung{{1e-3, 5}, {1e-3, 5}}}, Ladder{0, []Rung{{2e-3, 10}}})
	same("order of the rungs", Ladder{1e-4, []Rung{{1e-3, 5}, {2e-4, 20}}}, Ladder{1e-4, []Rung{{2e-4, 20}, {1e-3, 5}}})
	same("shunts left out", SemiInductance{1e-4, 1e14, 0.04, 1e16}, SemiInductance{Leb: 1e-4, Ke: 0.04})
}

// Knudsen and Jensen, J. Audio Eng. Soc. 41 (1993) 3, at λ = 0.102; recomputed
// by an independent program.
func TestCreepWorkedValues(t *testing.T) {
	const ws, cms = 2 * math.Pi * 30, 1e-3
	e := Creep{0.102}.Compliance(cms, ws)
	for at, want := range map[float64]complex128{
		0.1: 1.102 - 0.0695832i, 1: 1 - 0.0695832i, 10: 0.898 - 0.0695832i,
	} {
		w := ws * at
		got := e.Admittance(w) / complex(0, w*cms)
		if !near(real(got), real(want), 7) || !near(imag(got), imag(want), 7) {
			t.Errorf("relative compliance at %g·fs: %.8f, worked value %.7f", at, got, want)
		}
	}
}

// A creep factor of zero is a viscous suspension, and creep takes power at any
// frequency: it never returns any.
func TestCreepIsPassive(t *testing.T) {
	viscous, none := small, small
	viscous.Suspension, none.Suspension = Viscous{}, Creep{0}
	a, b := impedance(t, viscous, 5, 30, 300), impedance(t, none, 5, 30, 300)
	for i := range a {
		if cmplx.Abs(a[i]-b[i]) > 1e-14*cmplx.Abs(a[i]) {
			t.Errorf("creep of zero: %v, viscous %v", b[i], a[i])
		}
	}
	e := Creep{0.5}.Compliance(1e-3, 2*math.Pi*20)
	for f := 0.01; f < 1e6; f *= 3 {
		if y := e.Admittance(2 * math.Pi * f); real(y) <= 0 {
			t.Errorf("creep returns power at %g Hz: admittance %v", f, y)
		}
	}
}

// IEC 60028: copper gains 0.393 % of its resistance at 20 °C per kelvin.
func TestCoilTemperature(t *testing.T) {
	for celsius, want := range map[float64]float64{20: 6, 0: 5.5284, 120: 8.358, 220: 10.716} {
		d := small
		d.CoilTemperature = Celsius(celsius)
		if got := d.CoilResistance(); math.Abs(got-want) > 1e-12 {
			t.Errorf("Re at %g °C is %g, want %g", celsius, got, want)
		}
		// Far above resonance the rest is small and does not change.
		hot, cold := impedance(t, d, 3e3)[0], impedance(t, small, 3e3)[0]
		if got := hot - cold; cmplx.Abs(got-complex(want-6, 0)) > 1e-12 {
			t.Errorf("at %g °C the impedance rises by %v, want %g", celsius, got, want-6)
		}
	}
}
