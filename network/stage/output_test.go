package stage

import (
	"math"
	"math/cmplx"
	"testing"
)

func at(t *testing.T, s Stage, tap float64) *Output {
	t.Helper()
	o, err := s.At(tap)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func near(t *testing.T, what string, got, want complex128, tolerance float64) {
	t.Helper()
	if !(cmplx.Abs(got-want) <= tolerance*cmplx.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// Transformer relations of the radio engineers' handbooks (Terman; Radiotron
// Designer's Handbook), recomputed to the digits shown.
func TestHandbookReflectedImpedance(t *testing.T) {
	o := at(t, valve(Valves{1600, Transformer{PrimaryImpedance: 8000}}), 0)
	n2, known := o.ImpedanceRatio()
	if !known || math.Abs(math.Sqrt(n2)-31.6228) > 5e-5 {
		t.Errorf("8000 ohm to 8 ohm: turns ratio %.5f, want 31.6228", math.Sqrt(n2))
	}
	o = at(t, valve(Valves{1600, Transformer{PrimaryImpedance: 3200}}), 0)
	if n2, _ := o.ImpedanceRatio(); math.Abs(n2-20*20) > 1e-12 {
		t.Errorf("3200 ohm to 8 ohm: squared turns ratio %v, want 400", n2)
	}
	if _, known := at(t, valve(OutputImpedance(1)), 0).ImpedanceRatio(); known {
		t.Error("a turns ratio without a transformer")
	}
}

// The handbooks' push-pull stage: 800 ohm a plate into 5000 ohm.
func TestHandbookPushPull(t *testing.T) {
	tests := []struct {
		transformer     Transformer
		source, damping float64
	}{
		{Transformer{PrimaryImpedance: 5000}, 2.56, 3.125},
		{Transformer{PrimaryImpedance: 5000, PrimaryResistance: 200, SecondaryResistance: 0.4}, 3.28, 2.43902},
	}
	for _, test := range tests {
		o := at(t, valve(Valves{2 * 800, test.transformer}), 0)
		near(t, "source impedance", o.Impedance(reference), complex(test.source, 0), 1e-12)
		near(t, "damping factor", complex(o.DampingFactor(), 0), complex(test.damping, 0), 2e-6)
	}
}

// Two-load test and response into two loads, recomputed from the handbooks.
func TestHandbookLoads(t *testing.T) {
	for _, test := range []TwoLoadTest{
		{[2]float64{4.00, 3.60}, [2]float64{8, 4}},
		{[2]float64{3.60, 4.00}, [2]float64{4, 8}},
	} {
		near(t, "two-load test", at(t, valve(test), 0).Impedance(reference), 1, 1e-12)
	}
	o := at(t, valve(OutputImpedance(2.56)), 0)
	db := 20 * math.Log10(cmplx.Abs(o.Voltage(reference, 81)/o.Voltage(reference, 8)))
	if math.Abs(db-2.141210) > 5e-7 {
		t.Errorf("81 ohm against 8 ohm: %.6f dB, want 2.141210", db)
	}
}

// Every way of giving the same impedance gives the same source.
func TestSourcesAgree(t *testing.T) {
	for _, source := range []Source{
		DampingFactor(3.125),
		TwoLoadTest{[2]float64{8 / (8 + 2.56), 4 / (4 + 2.56)}, [2]float64{8, 4}},
		Valves{1600, Transformer{PrimaryImpedance: 5000}},
	} {
		want, got := at(t, valve(OutputImpedance(2.56)), 0), at(t, valve(source), 0)
		for _, hz := range []float64{20, 1000, 20000} {
			w := 2 * math.Pi * hz
			near(t, "impedance", got.Impedance(w), want.Impedance(w), 1e-12)
			near(t, "emf", got.EMF(w), want.EMF(w), 1e-12)
		}
	}
}

func TestTapsScaleAValveStageOnly(t *testing.T) {
	transformer := Transformer{PrimaryImpedance: 4000, PrimaryInductance: 12, LeakageInductance: 0.02,
		PrimaryResistance: 150, SecondaryResistance: 0.3}
	feedback := Feedback{Amount: 6, Presence: Shelf{2500, 5}}
	w := 2 * math.Pi * 90.0
	for _, test := range []struct {
		kind   Kind
		source Source
		scale  complex128
	}{
		{Valve, Valves{30000, transformer}, 2},
		{Valve, OutputImpedance(3), 2},
		{Valve, DampingFactor(2), 2},
		{SolidState, OutputImpedance(3), 1},
		{SolidState, DampingFactor(2), 1},
	} {
		s := Stage{Kind: test.kind, RatedPower: 40, Taps: []float64{4, 8, 16}, DefaultTap: 8, Source: test.source, Feedback: feedback}
		eight, sixteen := at(t, s, 8), at(t, s, 16)
		near(t, test.kind.String()+" impedance at 16 ohm", sixteen.Impedance(w), test.scale*eight.Impedance(w), 1e-12)
		for _, o := range []*Output{eight, sixteen} {
			v := cmplx.Abs(o.Voltage(reference, complex(o.Tap(), 0)))
			near(t, "power into the rating", complex(v*v/o.Tap(), 0), 40, 1e-12)
		}
	}
	s := valve(Valves{30000, transformer})
	s.Taps = []float64{4, 8, 16}
	if n2, _ := at(t, s, 16).ImpedanceRatio(); n2 != 250 {
		t.Errorf("4000 ohm to 16 ohm: squared turns ratio %v, want 250", n2)
	}
}

func TestIdealVoltageSource(t *testing.T) {
	o := at(t, Stage{Kind: SolidState, RatedPower: 50, DefaultTap: 8, Source: OutputImpedance(0)}, 0)
	if o.Impedance(reference) != 0 || !math.IsInf(o.DampingFactor(), 1) {
		t.Errorf("impedance %v, damping factor %v", o.Impedance(reference), o.DampingFactor())
	}
	near(t, "emf", o.EMF(reference), 20, 1e-15)
	near(t, "voltage across 0.1 ohm", o.Voltage(reference, 0.1), 20, 1e-15)
	near(t, "voltage across nothing", o.Voltage(reference, cmplx.Inf()), 20, 1e-15)
}

// The handbooks' load line, drawn out: the plate swings up to V around its rest
// and the current up to I, met together at the rated load.
func TestLargestCleanPowerIsTheLoadLine(t *testing.T) {
	const rated, tap = 40.0, 8.0
	volts, amperes := math.Sqrt(rated*tap), math.Sqrt(rated/tap)
	o := at(t, valve(OutputImpedance(2)), 0)
	for _, z := range []complex128{0.5, 4, 7.999, 8, 8.001, 16, 81, 6 + 8i, 3 - 4i, 20 + 60i, 0.1i, 50i} {
		size := cmplx.Abs(z)
		i := min(amperes, volts/size)
		want := i * i * real(z)
		got, by := o.LargestCleanPower(z)
		if math.Abs(got-want) > 1e-12*rated {
			t.Errorf("%v: %v W, want %v", z, got, want)
		}
		if (by == CurrentLimit) != (amperes < volts/size) {
			t.Errorf("%v is limited by %v", z, by)
		}
	}
	for _, z := range []complex128{0, cmplx.Inf(), complex(math.Inf(1), 0), -3, -30} {
		if got, _ := o.LargestCleanPower(z); got != 0 {
			t.Errorf("%v: %v W, want 0", z, got)
		}
	}
}
