package chain

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/stage"
)

func amplifier(source float64) stage.Stage {
	return stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(source)}
}

func solidState(source float64) stage.Stage {
	s := amplifier(source)
	s.Kind = stage.SolidState
	return s
}

func setup(name string, links ...Link) Setup { return Setup{name, links} }

// speaker is a load with a resonance, as a closed cabinet has.
func speaker(peak float64) network.OnePort {
	return network.Series{
		network.Resistor{Ohms: 6.5},
		network.Parallel{
			network.Resistor{Ohms: peak},
			network.Inductor{Henries: 20e-3},
			network.Capacitor{Farads: 120e-6},
		},
	}
}

func run(t *testing.T, s Setup, hz []float64) *Result {
	t.Helper()
	r, err := s.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s is %.10g, want %.10g", what, got, want)
	}
}

func db(z complex128) float64 { return 20 * math.Log10(cmplx.Abs(z)) }

// The radio engineers' handbooks (Terman; Radiotron Designer's Handbook): a
// source of 2.56 ohm into 8 and into 81 ohm; recomputed, seven digits.
func TestResponseDifference(t *testing.T) {
	level := func(ohm float64) float64 {
		r := run(t, setup("x", Link{Stage: amplifier(2.56), Load: network.Resistor{Ohms: ohm}}), []float64{1000})
		return db(r.Response[0])
	}
	near(t, "difference in dB", level(81)-level(8), 2.141210, 5e-7)
}

// Rated power reaches a resistor equal to the tap at 1 kHz, at every tap.
func TestRatedPower(t *testing.T) {
	s := amplifier(9)
	s.Taps = []float64{4, 8, 16}
	for _, tap := range s.Taps {
		r := run(t, setup("x", Link{Stage: s, Tap: tap, Load: network.Resistor{Ohms: tap}}), []float64{1000})
		near(t, "power in the resistor", r.Links[0].Parts[0].Power[0], 40, 1e-12)
		near(t, "source impedance", real(r.Links[0].Source[0]), 9*tap/8, 1e-12)
	}
}

// Power that leaves the tap arrives in the parts.
func TestPowerBalance(t *testing.T) {
	hz := []float64{20, 92, 103, 1000, 15e3}
	cable := network.SeriesArm{OnePort: network.Resistor{Ohms: 0.2}}
	r := run(t, setup("x", Link{Stage: amplifier(8.9), Before: network.Cascade{cable}, Load: speaker(40)}), hz)
	link := r.Links[0]
	for i := range hz {
		v := link.EMF[i] * link.Seen[i] / (link.Seen[i] + 8.9)
		sum := 0.0
		for _, p := range link.Parts {
			sum += p.Power[i]
		}
		near(t, "sum over the parts", sum, real(v*cmplx.Conj(v/link.Seen[i])), 1e-9)
	}
}

// An L-pad into its own resistor shows its impedance at its input and its
// attenuation exactly. 6 dB, 8 ohm (radio engineers' handbooks; recomputed).
func TestLPad(t *testing.T) {
	k := math.Pow(10, 6.0/20)
	series, shunt := 8*(k-1)/k, 8/(k-1)
	near(t, "series arm", series, 3.9905, 2e-5)
	near(t, "shunt arm", shunt, 8.0381, 2e-5)
	pad := network.Cascade{
		network.SeriesArm{OnePort: network.Resistor{Ohms: series}},
		network.ShuntArm{OnePort: network.Resistor{Ohms: shunt}},
	}
	load := network.Resistor{Ohms: 8}
	with := run(t, setup("with", Link{Stage: amplifier(8.9), Attenuator: pad, Load: load}), []float64{1000})
	without := run(t, setup("without", Link{Stage: amplifier(8.9), Load: load}), []float64{1000})
	near(t, "impedance seen", real(with.Links[0].Seen[0]), 8, 1e-12)
	near(t, "attenuation in dB", db(without.Response[0])-db(with.Response[0]), 6, 1e-12)
	for i, share := range []float64{0.4988, 0.2500, 0.2512} {
		near(t, "share of the power", with.Links[0].Parts[i].Power[0]/40, share, 2e-4)
	}
	// What the load looks back into: (Zs + series) ∥ shunt.
	near(t, "source impedance", real(with.Links[0].Source[0]), 1/(1/(8.9+series)+1/shunt), 1e-12)
}

// Behind a second amplifier without source impedance every load gets the same
// voltage, whatever its curve; with one, the curve acts.
func TestReampHidesTheSecondLoad(t *testing.T) {
	hz := []float64{30, 60, 103, 200, 1000, 5000}
	response := func(source, peak float64) []complex128 {
		return run(t, setup("x",
			Link{Stage: amplifier(8.9), Load: network.Resistor{Ohms: 8}},
			Link{Stage: solidState(source), Load: speaker(peak), Gain: -25},
		), hz).Response
	}
	a, b := response(0, 20), response(0, 80)
	for i := range hz {
		if cmplx.Abs(a[i]-b[i]) > 1e-13*cmplx.Abs(a[i]) {
			t.Errorf("at %g Hz: %v into one load, %v into another", hz[i], a[i], b[i])
		}
	}
	a, b = response(10, 20), response(10, 80)
	if d := db(b[2]) - db(a[2]); d < 1 {
		t.Errorf("source impedance of 10 ohm lets %.2f dB of the resonance through, want more than 1", d)
	}
}

// The second link runs at its gain below rated power, its parts with it.
func TestReampLevel(t *testing.T) {
	r := run(t, setup("x",
		Link{Stage: amplifier(8.9), Load: network.Resistor{Ohms: 8}},
		Link{Stage: solidState(0.1), Load: network.Resistor{Ohms: 8}, Gain: -20},
	), []float64{1000})
	near(t, "power in the second load", r.Links[1].Parts[0].Power[0], 0.4, 1e-12)
	near(t, "power in the first load", r.Links[0].Parts[0].Power[0], 40, 1e-12)
}

func TestErrorsNameTheSetup(t *testing.T) {
	for _, s := range []Setup{
		setup("empty"),
		setup("tap", Link{Stage: stage.Stage{Kind: stage.Valve, RatedPower: 40, Taps: []float64{8}, Source: stage.DampingFactor(1)}, Tap: 5, Load: speaker(20)}),
		setup("load", Link{Stage: amplifier(8), Load: network.Resistor{}}),
	} {
		if _, err := s.Run([]float64{1000}); err == nil || !strings.Contains(err.Error(), s.Name) {
			t.Errorf("%s: error is %v, want one that names the setup", s.Name, err)
		}
	}
}
