package pad

import (
	"errors"
	"math"
	"strings"
	"testing"

	"loadscape/network/preferred"
)

func TestImpossibleAttenuation(t *testing.T) {
	for _, test := range []struct {
		spec    Spec
		minimum float64
		says    string
	}{
		{Spec{Form: L, Attenuation: 0, Impedance: 8}, 0, "attenuation of the L-pad is 0 dB: expected more than 0 dB"},
		{Spec{Form: T, Attenuation: 0, Impedance: 8}, 0, "expected more than 0 dB"},
		{Spec{Form: BridgedT, Attenuation: -3, Impedance: 8}, 0, "is -3 dB"},
		// Minimum loss 75 to 50 ohm: 5.7195 dB (Terman).
		{Spec{Form: T, Attenuation: 5.7, Impedance: 75, Load: 50}, 5.7195, "at least the minimum loss, 5.7195 dB"},
		{Spec{Form: Pi, Attenuation: 5.7, Impedance: 50, Load: 75}, 5.7195, "from 50 ohm to 75 ohm"},
		{Spec{Form: T, Attenuation: -1, Impedance: 50, Load: 75}, 5.7195, "is -1 dB"},
		// An L matched at its input only: a single resistor of 8 ohm before 8 ohm.
		{Spec{Form: L, Attenuation: 3.01, Impedance: 16, Load: 8}, 3.0103, "more than the minimum loss, 3.0103 dB"},
		{Spec{Form: L, Attenuation: 3.01, Impedance: 8, Load: 16}, 3.0103, "more than the minimum loss"},
	} {
		_, err := Design(test.spec)
		var impossible *AttenuationError
		if !errors.As(err, &impossible) {
			t.Errorf("%+v: error %v", test.spec, err)
			continue
		}
		near(t, "minimum", impossible.Minimum, test.minimum, 5.1e-5)
		if !strings.Contains(err.Error(), test.says) {
			t.Errorf("%q does not say %q", err, test.says)
		}
	}
}

func TestBadSpecs(t *testing.T) {
	for _, test := range []struct {
		spec Spec
		says string
	}{
		{Spec{Attenuation: 6, Impedance: 8}, "Form(0)"},
		{Spec{Form: 9, Attenuation: 6, Impedance: 8}, "expected L, T, pi"},
		{Spec{Form: L, Attenuation: 6}, "impedances of the L-pad are 0 and 0 ohm"},
		{Spec{Form: L, Attenuation: 6, Impedance: 8, Load: -8}, "8 and -8 ohm"},
		{Spec{Form: T, Attenuation: 6, Impedance: math.Inf(1)}, "+Inf"},
		{Spec{Form: T, Attenuation: 6, Impedance: math.NaN()}, "NaN"},
		{Spec{Form: Pi, Attenuation: math.NaN(), Impedance: 8}, "NaN dB"},
		{Spec{Form: Pi, Attenuation: 201, Impedance: 8}, "up to 200 dB"},
		{Spec{Form: BridgedT, Attenuation: 6, Impedance: 8, Load: 16}, "equal impedances"},
		{Spec{Form: MinimumLoss, Impedance: 8}, "different impedances"},
		{Spec{Form: MinimumLoss, Attenuation: 6, Impedance: 8, Load: 16}, "expected none"},
	} {
		if _, err := Design(test.spec); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%+v: error %v does not say %q", test.spec, err, test.says)
		}
	}
	for _, ohms := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := NewT(8, ohms, 8); err == nil || !strings.Contains(err.Error(), "shunt of the T-pad") {
			t.Errorf("a shunt of %g ohm: error %v", ohms, err)
		}
		p := Pad{L, []Resistor{{"series", In, Out, 4}, {"shunt", Out, Common, 8}}}
		if _, err := p.Between(ohms, 8); err == nil {
			t.Errorf("a source of %g ohm", ohms)
		}
		if _, err := p.Between(8, ohms); err == nil {
			t.Errorf("a load of %g ohm", ohms)
		}
		if _, err := p.Snap(preferred.E12, 8, ohms); err == nil {
			t.Errorf("snapped before a load of %g ohm", ohms)
		}
	}
}

// At the least loss a T and a pi lose a resistor and are the same pad, and
// just above it that resistor is nearly gone.
func TestAtTheMinimum(t *testing.T) {
	least := MinimumAttenuation(75, 50)
	for _, form := range []Form{T, Pi} {
		for _, impedances := range [][2]float64{{75, 50}, {50, 75}} {
			spec := Spec{Form: form, Attenuation: least, Impedance: impedances[0], Load: impedances[1]}
			p := design(t, spec)
			if p.Form != MinimumLoss || len(p.Resistors) != 2 {
				t.Errorf("%v at the minimum has the resistors %v", form, p.Resistors)
			}
			spec.Attenuation += 1e-6
			near(t, "just above", between(t, design(t, spec), spec.Impedance, spec.Load).Attenuation, spec.Attenuation, 1e-9)
		}
	}
}

// An L-pad from 16 to 8 ohm that halves the power twice, by hand: 1 W in is 4 V
// across 16 ohm, ¼ W in the load √2 V across 8 ohm, so shunt and load together
// are 16·√2/4 = 5.65685 ohm.
func TestLPadBetweenUnequalImpedances(t *testing.T) {
	p := design(t, Spec{Form: L, Attenuation: 20 * math.Log10(2), Impedance: 16, Load: 8})
	low := 16 * math.Sqrt2 / 4
	near(t, "series", value(t, p, "series"), 16-low, 1e-12)
	near(t, "shunt", value(t, p, "shunt"), 1/(1/low-1./8), 1e-11)
}

// 6 dB into 8 ohm in E12: 3.9 and 8.2 ohm. By hand, from 8 ohm to 8 ohm:
// 8.2∥8 = 4.049383, input 7.949383, output 8.2∥11.9 = 4.854726, and the load
// has 4.049383/15.949383 of the EMF, 5.887 dB under the half of it.
func TestSnap(t *testing.T) {
	p := design(t, Spec{Form: L, Attenuation: 6, Impedance: 8})
	s, err := p.Snap(preferred.E12, 8, 8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "series", value(t, s.Pad, "series"), 3.9, 0)
	near(t, "shunt", value(t, s.Pad, "shunt"), 8.2, 0)
	near(t, "relative", s.Relative[1], 8.2/8.0381-1, 1e-5)
	lower := 8.2 * 8 / 16.2
	near(t, "input", s.Input, 3.9+lower-8, 1e-12)
	near(t, "attenuation", s.Attenuation, 20*math.Log10((8+3.9+lower)/2/lower)-6, 1e-12)
	exactOut := 1 / (1/value(t, p, "shunt") + 1/(8+value(t, p, "series")))
	near(t, "output", s.Output, 8.2*11.9/20.1-exactOut, 1e-12)
	if p.Resistors[0].Ohms == 3.9 {
		t.Error("snapping changed the exact pad")
	}
}

// Finer series bring smaller errors.
func TestSnapGetsFiner(t *testing.T) {
	worst := math.Inf(1)
	for _, series := range []preferred.Series{preferred.E6, preferred.E24, preferred.E96} {
		largest := 0.0
		for db := 1.0; db <= 30; db++ {
			s, err := design(t, Spec{Form: T, Attenuation: db, Impedance: 8}).Snap(series, 8, 8)
			if err != nil {
				t.Fatal(err)
			}
			largest = max(largest, math.Abs(s.Attenuation))
		}
		if largest >= worst {
			t.Errorf("%v: %.3f dB, no better than the coarser series", series, largest)
		}
		worst = largest
	}
}

func TestFormNames(t *testing.T) {
	for form, want := range map[Form]string{L: "L-pad", T: "T-pad", Pi: "pi-pad", BridgedT: "bridged-T pad", MinimumLoss: "minimum-loss pad", 0: "Form(0)"} {
		if got := form.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
