package stage

import "math"

// A Source is one way of giving the source impedance of a [Stage]:
// [OutputImpedance], [DampingFactor], [TwoLoadTest] or [Valves].
type Source interface {
	// check adds what is wrong with the source in s.
	check(s Stage, c *checker)
	// openLoop returns the amplifier at its default tap before feedback
	// that costs a factor gain into the tap's rated resistance.
	openLoop(tap, gain float64) (openLoop, error)
}

// OutputImpedance is the source impedance in ohms at the default tap, zero or
// above, with whatever feedback the stage has. It is taken as resistive.
type OutputImpedance float64

// DampingFactor is the rated impedance of the default tap over the source
// impedance (IEC 60268-3). The impedance is taken as resistive.
type DampingFactor float64

// A TwoLoadTest is the voltages measured at the default tap across two
// resistors in turn, with the same signal and without overload.
type TwoLoadTest struct {
	Volts [2]float64
	Ohms  [2]float64
}

// Valves are valves that work into an output transformer, before feedback.
type Valves struct {
	SourceResistance float64 // ohm, plate to plate: twice one plate's in push-pull
	Transformer      Transformer
}

// A Transformer is an output transformer. All but PrimaryImpedance may be left out.
type Transformer struct {
	PrimaryImpedance    float64 // ohm, primary load when the tap carries its rating
	PrimaryInductance   float64 // H; 0: so large that it does not matter
	LeakageInductance   float64 // H, referred to the primary
	PrimaryResistance   float64 // ohm, plate to plate
	SecondaryResistance float64 // ohm, at the default tap
}

var (
	_ Source = OutputImpedance(0)
	_ Source = DampingFactor(0)
	_ Source = TwoLoadTest{}
	_ Source = Valves{}
)

func (z OutputImpedance) check(s Stage, c *checker) {
	c.notNegative("output_impedance", float64(z), "ohm")
	checkMeasuredTap(s, c)
}

func (d DampingFactor) check(_ Stage, c *checker) {
	c.positive("damping_factor", float64(d), "")
}

func (t TwoLoadTest) check(s Stage, c *checker) {
	before := len(c.errs)
	for i := range t.Ohms {
		c.positive("two_load_test.volts", t.Volts[i], "V")
		c.positive("two_load_test.ohms", t.Ohms[i], "ohm")
	}
	checkMeasuredTap(s, c)
	if len(c.errs) > before {
		return
	}
	if _, err := t.impedance(); err != nil {
		c.errs = append(c.errs, err)
	}
}

// checkMeasuredTap asks which of several taps a measured impedance belongs to.
func checkMeasuredTap(s Stage, c *checker) {
	if len(s.Taps) > 1 && s.DefaultTap == 0 {
		c.add("tap", "not given", "which of "+ohms(s.Taps)+" the source impedance was measured at")
	}
}

func (v Valves) check(s Stage, c *checker) {
	if s.Kind == SolidState {
		c.add("stage", s.Kind.String(), "valve, since valves are given")
	}
	t := v.Transformer
	c.notNegative("valves.source_resistance", v.SourceResistance, "ohm")
	c.positive("transformer.primary_impedance", t.PrimaryImpedance, "ohm")
	c.notNegative("transformer.primary_inductance", t.PrimaryInductance, "H")
	c.notNegative("transformer.leakage_inductance", t.LeakageInductance, "H")
	c.notNegative("transformer.primary_resistance", t.PrimaryResistance, "ohm")
	c.notNegative("transformer.secondary_resistance", t.SecondaryResistance, "ohm")
}

func (z OutputImpedance) openLoop(tap, gain float64) (openLoop, error) {
	return opened(float64(z), tap, gain)
}

func (d DampingFactor) openLoop(tap, gain float64) (openLoop, error) {
	return opened(tap/float64(d), tap, gain)
}

func (t TwoLoadTest) openLoop(tap, gain float64) (openLoop, error) {
	z, err := t.impedance()
	if err != nil {
		return openLoop{}, err
	}
	return opened(z, tap, gain)
}

// impedance returns (V1−V2)/(V2/R2−V1/R1).
func (t TwoLoadTest) impedance() (float64, error) {
	v, r := t.Volts, t.Ohms
	if r[0] == r[1] {
		return 0, &FieldError{"two_load_test.ohms", ohms(r[:]), "two different resistors"}
	}
	if r[0] < r[1] {
		v[0], v[1], r[0], r[1] = v[1], v[0], r[1], r[0]
	}
	if v[0] < v[1] {
		return 0, &FieldError{"two_load_test.volts",
			number(v[1], "V") + " across the smaller resistor and " + number(v[0], "V") + " across the larger",
			"no less across the larger: the source impedance would be negative"}
	}
	current := v[1]/r[1] - v[0]/r[0]
	if current <= 0 {
		return 0, &FieldError{"two_load_test.volts",
			number(v[0]/r[0], "A") + " in the larger resistor and " + number(v[1]/r[1], "A") + " in the smaller",
			"more current in the smaller: no source impedance is that large"}
	}
	return (v[0] - v[1]) / current, nil
}

func (v Valves) openLoop(tap, _ float64) (openLoop, error) {
	t := v.Transformer
	n2 := t.PrimaryImpedance / tap
	return openLoop{
		source:  (v.SourceResistance + t.PrimaryResistance) / n2,
		shunt:   t.PrimaryInductance / n2,
		leakage: t.LeakageInductance / n2,
		winding: t.SecondaryResistance,
		primary: t.PrimaryImpedance,
	}, nil
}

// opened returns the amplifier whose source impedance is z once feedback has
// lowered its gain into r by the factor gain. From z = Zs0/(1+K0) and
// gain = 1 + K0·r/(r+Zs0), 1+K0 = gain·r/(r − (gain−1)·z).
func opened(z, r, gain float64) (openLoop, error) {
	rest := r - (gain-1)*z
	if rest <= 0 {
		return openLoop{}, &FieldError{"feedback.amount", number(20*math.Log10(gain), "dB"),
			"less than " + number(20*math.Log10(1+r/z), "dB") + ", or a lower source impedance than " +
				number(z, "ohm") + ": this much feedback leaves at most " + number(r/(gain-1), "ohm")}
	}
	return openLoop{winding: z * gain * r / rest}, nil
}
