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
// practice, no source.
func TestMatch(t *testing.T) {
	for _, x := range []struct {
		kind stage.Kind
		ohm  float64
		want Verdict
	}{
		{stage.Valve, 8, OK},
		{stage.Valve, 4, Caution},
		{stage.Valve, 3.99, Danger},
		{stage.Valve, 16, Caution},
		{stage.Valve, 16.01, Danger},
		{stage.SolidState, 8, OK},
		{stage.SolidState, 7.99, Danger},
		{stage.SolidState, 800, OK},
	} {
		if got := Match(x.kind, x.ohm, 8); got != x.want {
			t.Errorf("%v, %g ohm on 8 ohm: %v, want %v", x.kind, x.ohm, got, x.want)
		}
	}
}

// IEC 60268-5: the lowest magnitude is not under 80 % of the rated impedance.
func TestRatedImpedance(t *testing.T) {
	for _, x := range []struct{ low, want float64 }{
		{6.4, 8}, {6.39, 4}, {3.2, 4}, {12.8, 16}, {8, 8}, {5.4, 4}, {1.6, 2}, {100, 64},
	} {
		if got := RatedImpedance(x.low); got != x.want {
			t.Errorf("lowest %g ohm is rated %g ohm, want %g", x.low, got, x.want)
		}
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

func TestOpenAndShort(t *testing.T) {
	blocked := network.Series{rated(8, 400), network.Capacitor{Farads: 1e-6}} // open in the bass
	if v := check(t, stage.Valve, blocked).VerdictOf("open or short"); v != Danger {
		t.Errorf("valve stage on a load that is open in the bass: %v, want danger", v)
	}
	if v := check(t, stage.SolidState, blocked).VerdictOf("open or short"); v != OK {
		t.Errorf("solid-state stage on a load that is open in the bass: %v, want ok", v)
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
	}{{amps * 1.001, 0, OK}, {amps * 0.999, 0, Danger}, {0, volts * 1.001, OK}, {0, volts * 0.999, Danger}} {
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
