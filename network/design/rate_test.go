package design

import (
	"math"
	"testing"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/preferred"
	"loadscape/network/safety"
	"loadscape/network/stage"
)

func alike(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// A resistor of the tap's rating takes the rated power of 40 W from sine and
// noise alike: 17.889 V and 2.2361 A by Ohm's law. A square wave of the same
// peak has twice the power. Twice that is 160 W: the next size is 200 W.
func TestRatingsOfASingleResistor(t *testing.T) {
	r, err := Find(targetOf(t, network.Resistor{Ohms: 8}), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Parts) != 1 || len(r.Front) != 1 {
		t.Fatalf("%d parts, front of %d", len(r.Parts), len(r.Front))
	}
	p := r.Parts[0]
	alike(t, "value", p.Value, 8, 1e-6)
	alike(t, "power", p.Rated.Power, 40, 1e-6)
	alike(t, "voltage", p.Rated.Voltage, math.Sqrt(320), 1e-6)
	alike(t, "current", p.Rated.Current, math.Sqrt(5), 1e-6)
	alike(t, "peak voltage", p.Rated.PeakVoltage, math.Sqrt(640), 1e-6)
	alike(t, "noise", p.Noise.Power, 40, 1e-6)
	alike(t, "overdriven", p.Overdriven.Power, 80, 1e-6)
	alike(t, "overdriven current", p.Overdriven.Current, math.Sqrt(10), 1e-6)
	alike(t, "heat", r.Heat.Overdriven, 80, 1e-6)
	alike(t, "suggested", p.Suggested.Power, 200, 0)
}

// What the parts bear is what the chain of amplifier and load says by its own
// way, and with the suggested ratings nothing is in danger.
func TestRatingsAreThoseOfTheChain(t *testing.T) {
	r, err := Find(targetOf(t, cabinet()), Options{Shunt: 330, MaxParts: 8, Resistors: preferred.E12, Capacitors: preferred.E12})
	if err != nil {
		t.Fatal(err)
	}
	hz, err := network.Sweep{PerOctave: perOctave}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	amp := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.DampingFactor(1)}
	load := network.Named{Name: "load", RatedImpedance: 8, OnePort: r.OnePort()}
	got, err := chain.Setup{Name: "s", Links: []chain.Link{{Stage: amp, Load: load}}}.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	report := safety.Check(got)
	if len(report.Parts) != len(r.Parts) {
		t.Fatalf("%d parts, the chain has %d", len(r.Parts), len(report.Parts))
	}
	for i, want := range report.Parts {
		p := r.Parts[i]
		if p.Kind != Capacitor { // of which the chain knows the power but for rounding
			alike(t, p.Name+" power", p.Rated.Power, want.Power, 1e-9)
			alike(t, p.Name+" overdriven", p.Overdriven.Power, want.Overdriven, 1e-9)
		}
		alike(t, p.Name+" current", p.Rated.Current, want.Current, 1e-9)
		alike(t, p.Name+" voltage", p.Rated.Voltage, want.Voltage, 1e-9)
		if want.Verdict != safety.OK {
			t.Errorf("%s, rated %+v: %v", want.Name, p.Suggested, want.Verdict)
		}
	}
	// All the power that enters becomes heat in some part: |I|²·Re Z.
	noise := 0.0
	for _, p := range r.Parts {
		noise += p.Noise.Power
	}
	alike(t, "noise in all parts", noise, r.Heat.Noise, 1e-9)
	var power []float64
	for i, z := range got.Links[0].Seen {
		power = append(power, square(got.Links[0].Terminal[i])*real(z)/square(z))
	}
	alike(t, "noise at the tap", r.Heat.Noise, mean(power), 1e-9)
}

// Pink noise has equal power in every octave: of a power that rises from 0 to 1
// over the log axis half is left.
func TestMeanOverLogFrequency(t *testing.T) {
	alike(t, "ramp", mean([]float64{0, 0.25, 0.5, 0.75, 1}), 0.5, 1e-12)
	alike(t, "end points count half", mean([]float64{4, 0, 0, 0, 4}), 1, 1e-12)
}

func TestSizes(t *testing.T) {
	for _, c := range []struct{ v, want float64 }{{160, 200}, {200, 200}, {200.1, 250}, {1e5, 1e5}} {
		alike(t, "next size", nextSize(watts, c.v), c.want, 0)
	}
	for _, c := range []struct{ v, want float64 }{{3.21, 3.3}, {3.3, 3.3}, {0.0991, 0.1}, {12.1, 13}} {
		alike(t, "up to two digits", upTo2(c.v), c.want, 1e-12)
	}
}
