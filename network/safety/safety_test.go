package safety

import (
	"math"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/stage"
)

func check(t *testing.T, kind stage.Kind, load network.OnePort) *Report {
	t.Helper()
	hz, err := network.Sweep{PerOctave: 24}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	s := stage.Stage{Kind: kind, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}
	r, err := chain.Setup{Name: "s", Links: []chain.Link{{Stage: s, Load: load}}}.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	return Check(r)
}

func rated(ohm, watt float64) network.Resistor {
	return network.Resistor{Ohms: ohm, Rating: network.Rating{Power: watt}}
}

// Thresholds at the value and its neighbours. The factor of two is common
// practice, no source; the 80 % are of IEC 60268-5.
func TestMatch(t *testing.T) {
	for _, x := range []struct {
		kind stage.Kind
		low  float64
		want Verdict
	}{
		{stage.Valve, 8, OK},
		{stage.Valve, 6.4, OK},
		{stage.Valve, 6.39, Caution},
		{stage.Valve, 3.2, Caution},
		{stage.Valve, 3.19, Danger},
		{stage.Valve, 12.7, Caution},
		{stage.Valve, 16, Caution},
		{stage.Valve, 16.01, Danger},
		{stage.Valve, 25.5, Danger},
		{stage.SolidState, 6.4, OK},
		{stage.SolidState, 6.39, Danger},
		{stage.SolidState, 800, OK},
	} {
		if got := Match(x.kind, x.low, 8); got != x.want {
			t.Errorf("%v, lowest %g ohm on 8 ohm: %v, want %v", x.kind, x.low, got, x.want)
		}
	}
	if got := Match(stage.SolidState, 6, 6); got != OK {
		t.Errorf("6 ohm on a stage rated for 6 ohm: %v, want ok", got)
	}
}

// What is stated never hides what is seen.
func TestStatedImpedanceDoesNotHide(t *testing.T) {
	for _, x := range []struct {
		kind        stage.Kind
		ohm, stated float64
		want        Verdict
	}{
		{stage.Valve, 100, 8, Danger},
		{stage.Valve, 159, 16, Danger},
		{stage.SolidState, 2, 8, Danger},
		{stage.Valve, 7.5, 4, Caution}, // said to be 4 on the 8 ohm tap
	} {
		rep := check(t, x.kind, network.Named{Name: "load", RatedImpedance: x.stated, OnePort: rated(x.ohm, 4000)})
		if got := rep.VerdictOf(RuleMatch); got != x.want {
			t.Errorf("%v, %g ohm said to be %g: %v, want %v", x.kind, x.ohm, x.stated, got, x.want)
		}
	}
}

// A cable of 86 ohm before 8 ohm is a load of 94 ohm, and burns the power.
func TestCableDoesNotHide(t *testing.T) {
	hz, _ := network.Sweep{PerOctave: 24}.Frequencies()
	s := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}
	lead := network.SeriesArm{OnePort: network.Resistor{Ohms: 86, Rating: network.Rating{By: network.Unrated}}}
	load := network.Named{Name: "load", RatedImpedance: 8, OnePort: rated(8, 400)}
	r, err := chain.Setup{Name: "s", Links: []chain.Link{{Stage: s, Before: network.Cascade{lead}, Load: load}}}.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	rep := Check(r)
	if rep.VerdictOf(RuleMatch) != Danger || rep.VerdictOf("cable") != Caution {
		t.Errorf("match %v, cable %v: %+v", rep.VerdictOf(RuleMatch), rep.VerdictOf("cable"), rep.Findings)
	}
}

// A second amplifier is judged at its own rated power, whatever its gain.
func TestGainIsAKnob(t *testing.T) {
	hz, _ := network.Sweep{PerOctave: 12}.Frequencies()
	valves := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}
	large := stage.Stage{Kind: stage.SolidState, RatedPower: 1000, DefaultTap: 8, Source: stage.OutputImpedance(0)}
	for _, gain := range []float64{-60, 0, 40} {
		r, err := chain.Setup{Name: "s", Links: []chain.Link{
			{Stage: valves, Load: rated(8, 400)},
			{Stage: large, Load: rated(8, 30), Gain: gain},
		}}.Run(hz)
		if err != nil {
			t.Fatal(err)
		}
		rep := Check(r)
		if p := rep.Parts[1]; math.Abs(p.Overdriven-2000) > 1e-6 || p.Verdict != Danger {
			t.Errorf("gain %g dB: %+v", gain, p)
		}
		if got := rep.VerdictOf("gain"); (got == Caution) != (gain > 0) {
			t.Errorf("gain %g dB: %v", gain, got)
		}
	}
}

// A trap between the points of a coarse sweep is found: series resonance of
// 200 mH and 124.45 nF at 1008.8 Hz with 2.5 ohm, beside 8 ohm.
func TestTrapBetweenPoints(t *testing.T) {
	hz, _ := network.Sweep{PerOctave: 48}.Frequencies()
	s := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}
	load := network.Parallel{rated(8, 400), network.Series{network.Inductor{Henries: 0.2, DCR: 2.5}, network.Capacitor{Farads: 124.45e-9}}}
	r, err := chain.Setup{Name: "s", Links: []chain.Link{{Stage: s, Load: load}}}.RunRefined(hz)
	if err != nil {
		t.Fatal(err)
	}
	low := math.Inf(1)
	for _, z := range r.Links[0].Seen {
		low = math.Min(low, math.Hypot(real(z), imag(z)))
	}
	if want := 8 * 2.5 / 10.5; math.Abs(low-want) > 0.01*want {
		t.Errorf("lowest magnitude %g ohm, want %g", low, want)
	}
	if v := Check(r).VerdictOf(RuleMatch); v != Danger {
		t.Errorf("match: %v, want danger", v)
	}
}

func TestLowestImpedanceOfANamedLoad(t *testing.T) {
	for _, x := range []struct {
		ohm  float64
		want Verdict
	}{{6.4, OK}, {6.39, Caution}} {
		rep := check(t, stage.Valve, network.Named{Name: "load", RatedImpedance: 8, OnePort: rated(x.ohm, 400)})
		if got := rep.VerdictOf("lowest impedance"); got != x.want {
			t.Errorf("%g ohm rated 8: %v, want %v", x.ohm, got, x.want)
		}
	}
}

// 40 W into its own tap; overdriven twice that.
func TestPowerRating(t *testing.T) {
	for _, x := range []struct {
		rating  float64
		freeAir bool
		want    Verdict
	}{
		{80.1, false, OK},
		{79.9, false, Danger},
		{160.1, true, OK},
		{159.9, true, Caution},
		{0, false, Caution}, // unrated is never ok
	} {
		load := network.Resistor{Ohms: 8, Rating: network.Rating{Power: x.rating, FreeAir: x.freeAir}}
		rep := check(t, stage.Valve, load)
		if got := rep.VerdictOf("power rating"); got != x.want {
			t.Errorf("rating of %g W (free air %v): %v, want %v", x.rating, x.freeAir, got, x.want)
		}
		if p := rep.Parts[0]; math.Abs(p.Power-40) > 1e-9 || math.Abs(p.Overdriven-80) > 1e-9 || p.Verdict != x.want {
			t.Errorf("part: %+v", p)
		}
	}
}

// Unrated parts are never ok, however little they take.
func TestUnrated(t *testing.T) {
	load := network.Parallel{
		rated(8, 400),
		network.Resistor{Ohms: 1000},
		network.Series{network.Inductor{Henries: 5e-3, DCR: 1}, network.Capacitor{Farads: 50e-6}},
	}
	rep := check(t, stage.SolidState, load)
	for i, want := range []Verdict{OK, Caution, Caution, Caution} {
		if got := rep.Parts[i].Verdict; got != want {
			t.Errorf("%s: %v, want %v", rep.Parts[i].Name, got, want)
		}
	}
	for _, rule := range []string{"power rating", "current rating", "voltage rating"} {
		if rep.VerdictOf(rule) != Caution {
			t.Errorf("%s: %v, want caution", rule, rep.VerdictOf(rule))
		}
	}
}

func TestOpenAndShort(t *testing.T) {
	blocked := network.Series{rated(8, 400), network.Capacitor{Farads: 1e-6}} // open in the bass
	if v := check(t, stage.Valve, blocked).VerdictOf("open or short"); v != Danger {
		t.Errorf("valve stage on a load that is open in the bass: %v, want danger", v)
	}
	if v := check(t, stage.SolidState, blocked).VerdictOf("open or short"); v != OK {
		t.Errorf("solid-state stage on a load that is open in the bass: %v, want ok", v)
	}
	for _, high := range []network.OnePort{
		network.Parallel{rated(155, 400), network.Series{rated(8, 400), network.Capacitor{Farads: 5e-6}}},
		network.Series{rated(8, 400), network.Capacitor{Farads: 40e-6}},
	} {
		if v := check(t, stage.Valve, high).VerdictOf("open or short"); v == OK {
			t.Errorf("valve stage on %v: ok", high)
		}
	}
	shunted := network.Parallel{rated(8, 400), network.Inductor{Henries: 1e-3}} // 0.13 ohm at 20 Hz
	if v := check(t, stage.SolidState, shunted).VerdictOf("open or short"); v != Danger {
		t.Errorf("solid-state stage on a short: %v, want danger", v)
	}
}

func TestCurrentAndVoltageRating(t *testing.T) {
	// The limits are placed just above and below what the part bears: √2 more
	// current when overdriven, and a peak √2 above the RMS voltage that is √2
	// higher.
	load := func(amps, volts float64) network.OnePort {
		return network.Series{
			rated(8, 400),
			network.Inductor{Henries: 1e-3, Rating: network.Rating{Current: amps, Voltage: volts}},
		}
	}
	p := check(t, stage.Valve, load(0, 0)).Parts[1]
	amps, volts := math.Sqrt2*p.Current, 2*p.Voltage
	for _, x := range []struct {
		amps, volts float64
		want        Verdict
	}{{amps * 1.001, 0, OK}, {amps * 0.999, 0, Danger}, {9, volts * 1.001, OK}, {9, volts * 0.999, Danger}} {
		rep := check(t, stage.Valve, load(x.amps, x.volts))
		if got := max(rep.VerdictOf("current rating"), rep.VerdictOf("voltage rating")); got != x.want {
			t.Errorf("rated %g A, %g V: %v, want %v", x.amps, x.volts, got, x.want)
		}
	}
}

func TestEveryFindingNamesItsSource(t *testing.T) {
	rep := check(t, stage.Valve, network.Named{Name: "load", RatedImpedance: 8, OnePort: rated(8, 400)})
	if rep.Verdict != OK {
		t.Errorf("a matched, rated load: %v, want ok: %+v", rep.Verdict, rep.Findings)
	}
	for _, f := range rep.Findings {
		if f.Rule == "" || f.Says == "" || f.Source == "" {
			t.Errorf("finding without rule, words or source: %+v", f)
		}
	}
	for _, want := range []string{"lethal", "without a load", "hot", "hearing", "technician"} {
		if !strings.Contains(Cautions, want) {
			t.Errorf("cautions lack %q", want)
		}
	}
}

func TestRangeIsSaid(t *testing.T) {
	s := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}
	r, err := chain.Setup{Name: "s", Links: []chain.Link{{Stage: s, Load: rated(8, 400)}}}.Run([]float64{100, 1000})
	if err != nil {
		t.Fatal(err)
	}
	if v := Check(r).VerdictOf("range"); v != Caution {
		t.Errorf("a sweep from 100 Hz to 1 kHz: %v, want caution", v)
	}
}
