package stage

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func valve(source Source) Stage {
	return Stage{Kind: Valve, RatedPower: 40, DefaultTap: 8, Source: source}
}

func TestValidateNamesEachMistake(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Stage)
		says   []string
	}{
		{"kind", func(s *Stage) { s.Kind = 0 }, []string{"stage: stage is Kind(0)", "valve or solid-state"}},
		{"no power", func(s *Stage) { s.RatedPower = 0 }, []string{"rated_power is 0 W", "above zero"}},
		{"power not a number", func(s *Stage) { s.RatedPower = math.NaN() }, []string{"rated_power is NaN W"}},
		{"no tap", func(s *Stage) { s.DefaultTap = 0 }, []string{"tap is 0 ohm"}},
		{"a negative tap", func(s *Stage) { s.Taps = []float64{8, -4} }, []string{"taps is -4 ohm"}},
		{"a tap twice", func(s *Stage) { s.Taps = []float64{8, 4, 8} }, []string{"taps is 8, 4, 8 ohm", "once"}},
		{"a default that is no tap", func(s *Stage) { s.Taps = []float64{4, 16} }, []string{"tap is 8 ohm", "one of the taps 4, 16 ohm"}},
		{"measured at which tap", func(s *Stage) { s.Taps = []float64{4, 8}; s.DefaultTap = 0 }, []string{"tap is not given", "which of 4, 8 ohm"}},
		{"no source", func(s *Stage) { s.Source = nil }, []string{"source impedance is not given", "two_load_test"}},
		{"negative impedance", func(s *Stage) { s.Source = OutputImpedance(-1) }, []string{"output_impedance is -1 ohm"}},
		{"infinite impedance", func(s *Stage) { s.Source = OutputImpedance(math.Inf(1)) }, []string{"output_impedance is +Inf ohm"}},
		{"no damping", func(s *Stage) { s.Source = DampingFactor(0) }, []string{"damping_factor is 0:"}},
		{"equal loads", func(s *Stage) { s.Source = TwoLoadTest{[2]float64{4, 3}, [2]float64{8, 8}} }, []string{"two_load_test.ohms is 8, 8 ohm", "two different"}},
		{"negative result", func(s *Stage) { s.Source = TwoLoadTest{[2]float64{3, 4}, [2]float64{8, 4}} }, []string{"4 V across the smaller", "3 V across the larger", "negative"}},
		{"infinite result", func(s *Stage) { s.Source = TwoLoadTest{[2]float64{8, 4}, [2]float64{8, 4}} }, []string{"1 A in the larger", "no source impedance"}},
		{"a load of zero", func(s *Stage) { s.Source = TwoLoadTest{[2]float64{8, 4}, [2]float64{8, 0}} }, []string{"two_load_test.ohms is 0 ohm"}},
		{"no primary", func(s *Stage) { s.Source = Valves{SourceResistance: 1600} }, []string{"transformer.primary_impedance is 0 ohm"}},
		{"negative leakage", func(s *Stage) {
			s.Source = Valves{1600, Transformer{PrimaryImpedance: 5000, LeakageInductance: -1}}
		}, []string{"transformer.leakage_inductance is -1 H"}},
		{"valves in a solid-state stage", func(s *Stage) {
			s.Kind, s.Source = SolidState, Valves{1600, Transformer{PrimaryImpedance: 5000}}
		}, []string{"stage is solid-state", "valves are given"}},
		{"negative feedback amount", func(s *Stage) { s.Feedback.Amount = -6 }, []string{"feedback.amount is -6 dB", "0 to 100 dB"}},
		{"presence without feedback", func(s *Stage) { s.Feedback.Presence = Shelf{1000, 6} }, []string{"feedback.amount is zero or missing"}},
		{"presence without turnover", func(s *Stage) { s.Feedback = Feedback{Amount: 6, Presence: Shelf{Release: 6}} }, []string{"feedback.presence.turnover is 0 Hz"}},
		{"depth that adds feedback", func(s *Stage) { s.Feedback = Feedback{Amount: 6, Depth: Shelf{80, -3}} }, []string{"feedback.depth.release is -3 dB"}},
		// 20 dB leave at most 8/9 ohm of any source; 4 ohm allow 20·log10(3) dB.
		{"more feedback than the impedance allows", func(s *Stage) {
			s.Source, s.Feedback.Amount = OutputImpedance(4), 20
		}, []string{"feedback.amount is 20 dB", "less than 9.54243 dB", "at most 0.888889 ohm"}},
		{"two mistakes", func(s *Stage) { s.RatedPower, s.Source = -1, DampingFactor(-1) }, []string{"rated_power", "damping_factor"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := valve(OutputImpedance(2))
			test.change(&s)
			err := s.Validate()
			if err == nil {
				t.Fatal("no error")
			}
			var field *FieldError
			if !errors.As(err, &field) {
				t.Errorf("%T holds no FieldError", err)
			}
			for _, say := range test.says {
				if !strings.Contains(err.Error(), say) {
					t.Errorf("%q does not say %q", err, say)
				}
			}
			if _, err := s.At(0); err == nil {
				t.Error("At gives no error")
			}
		})
	}
}

func TestValidateAcceptsTheEdges(t *testing.T) {
	for name, s := range map[string]Stage{
		"an ideal voltage source":       {Kind: SolidState, RatedPower: 1, DefaultTap: 8, Source: OutputImpedance(0)},
		"ideal with feedback":           {Kind: SolidState, RatedPower: 1, DefaultTap: 8, Source: OutputImpedance(0), Feedback: Feedback{Amount: 100}},
		"equal volts":                   valve(TwoLoadTest{[2]float64{4, 4}, [2]float64{8, 4}}),
		"valves without resistance":     valve(Valves{0, Transformer{PrimaryImpedance: 5000}}),
		"first of several taps":         {Kind: Valve, RatedPower: 1, Taps: []float64{4, 16}, Source: DampingFactor(1)},
		"a control without release":     {Kind: Valve, RatedPower: 1, DefaultTap: 8, Source: DampingFactor(5), Feedback: Feedback{Amount: 6, Depth: Shelf{Turnover: 80}}},
		"just less feedback than limit": {Kind: Valve, RatedPower: 1, DefaultTap: 8, Source: OutputImpedance(4), Feedback: Feedback{Amount: 9.5424}},
	} {
		if err := s.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestTapIsChosen(t *testing.T) {
	s := Stage{Kind: Valve, RatedPower: 40, Taps: []float64{4, 8, 16}, DefaultTap: 16, Source: DampingFactor(1)}
	for _, test := range []struct{ ask, want float64 }{{0, 16}, {4, 4}, {8, 8}, {8 * (1 + 1e-12), 8}} {
		o, err := s.At(test.ask)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(o.Tap()-test.want) > 1e-9 {
			t.Errorf("At(%g) is the %g ohm tap, want %g", test.ask, o.Tap(), test.want)
		}
	}
	for _, ask := range []float64{2, -4, math.NaN()} {
		if _, err := s.At(ask); err == nil || !strings.Contains(err.Error(), "one of the taps 4, 8, 16 ohm") {
			t.Errorf("At(%g): error %v does not list the taps", ask, err)
		}
	}
}

func TestNames(t *testing.T) {
	for got, want := range map[string]string{
		Valve.String(): "valve", SolidState.String(): "solid-state", Kind(9).String(): "Kind(9)",
		VoltageLimit.String(): "voltage", CurrentLimit.String(): "current",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Where the taps are not listed, a setup may ask for any: one transformer, the
// source impedance as its rating.
func TestUnlistedTap(t *testing.T) {
	s := Stage{Kind: Valve, RatedPower: 40, DefaultTap: 8, Source: DampingFactor(0.9)}
	o, err := s.At(4)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := real(o.Impedance(reference)), 4/0.9; math.Abs(got-want) > 1e-12*want {
		t.Errorf("source impedance at the 4 ohm tap is %g ohm, want %g", got, want)
	}
	for _, tap := range []float64{-4, math.Inf(1), math.NaN()} {
		if _, err := s.At(tap); err == nil {
			t.Errorf("a tap of %g ohm: no error", tap)
		}
	}
	s.Taps = []float64{8, 16}
	if _, err := s.At(4); err == nil {
		t.Error("a tap that is not listed: no error")
	}
}
