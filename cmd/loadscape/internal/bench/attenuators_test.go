package bench

import (
	"math"
	"math/cmplx"
	"testing"
)

// attenuators returns attenuators of which x has the given keys, and a setup
// with each that is named.
func attenuators(keys string, setups ...string) string {
	text := goodLoads + goodAmplifiers + "attenuators:\n  soft: {l_pad: {attenuation: 12 dB, impedance: 8 ohm}}\n  x: " + keys + "\nsetups:\n  plain-one: {amplifier: head, load: plain}\n"
	for _, s := range setups {
		text += "  " + s + "\n"
	}
	return text
}

func TestAttenuatorMistakes(t *testing.T) {
	const kinds = "minimum_loss_pad, series_arm, shunt_arm, tapped_winding, circuit, cascade, l_pad, t_pad, pi_pad or bridged_t_pad"
	check(t, []mistake{
		{"unknown kind", attenuators("{‹lpad: {attenuation: 3 dB, impedance: 8 ohm}}"),
			`attenuators.x.lpad: found the unknown key "lpad"; expected ` + kinds + ` (did you mean "l_pad"?)`},
		{"values", attenuators("{l_pad: {attenuation: ‹-3 dB, impedance: ‹8, preferred: ‹E13, heat_sink: ‹maybe, power_rating: 5 W}}"),
			`attenuators.x.l_pad.attenuation: found "-3 dB"; expected a level above zero` + "\n" +
				`attenuators.x.l_pad.impedance: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
				`attenuators.x.l_pad.preferred: found "E13"; expected a series of IEC 60063 such as E12` + "\n" +
				`attenuators.x.l_pad.heat_sink: found "maybe"; expected true or false`},
		// 20·log10(√12.5 + √11.5) = 16.81 dB (the minimum-loss pad of the handbooks).
		{"less than a pad can", attenuators("{pi_pad: {attenuation: ‹1 dB, impedance: 8 ohm, load: 100 ohm}}"),
			"attenuators.x.pi_pad.attenuation: found 1 dB; expected more than the 16.81 dB that a pi-pad loses at the least"},
		{"steps that fall", attenuators("{l_pad: {steps: [3 dB, 6 dB, ‹6 dB, ‹4 dB], impedance: 8 ohm}}"),
			"attenuators.x.l_pad.steps[2]: found 6 dB after 6 dB; expected steps in rising order\n" +
				"attenuators.x.l_pad.steps[3]: found 4 dB after 6 dB; expected steps in rising order"},
		{"steps and attenuation", attenuators("{tapped_winding: {steps: [3 dB, 6 dB], attenuation: ‹3 dB}}"),
			`attenuators.x.tapped_winding.attenuation: found the key "attenuation"; expected no such key beside steps`},
		{"neither", attenuators("{t_pad: ‹{impedance: 8 ohm}}"), "attenuators.x.t_pad.attenuation: found nothing; expected a level such as 12 dB"},
		{"equal ends", attenuators("{minimum_loss_pad: ‹{impedance: 8 ohm, load: 8 ohm}}"),
			"attenuators.x.minimum_loss_pad: found a pad that cannot be made (pad: minimum-loss pad from 8 ohm to 8 ohm: expected different impedances); expected one that can"},
		{"itself", attenuators("{cascade: [soft, ‹x]}"), `attenuators.x.cascade[1]: found "x"; expected the name of an attenuator: "soft"`},
		{"two switches", attenuators("{cascade: [{l_pad: {steps: [3 dB, 6 dB], impedance: 8 ohm}}, ‹{l_pad: {steps: [3 dB, 6 dB], impedance: 8 ohm}}]}"),
			"attenuators.x.cascade[1]: found a second attenuator with steps; expected one with steps in a cascade"},
		{"arm", attenuators("{series_arm: {resistor: ‹8 W}}"),
			`attenuators.x.series_arm.resistor: found "8 W", a power; expected a resistance such as 8 ohm, 4.7k or 4R7`},
	})
}

// What each kind does between a desk without source impedance and 8 ohm, by
// the rules of series and parallel: what is seen, and volts at the load per
// volt at the tap.
func TestAttenuatorKinds(t *testing.T) {
	k := math.Pow(10, 12.0/20)
	for keys, want := range map[string]struct{ seen, ratio float64 }{
		"{l_pad: {attenuation: 12 dB, impedance: 8 ohm}}":                                                                      {8, 1 / k},
		"{t_pad: {attenuation: 12 dB, impedance: 8 ohm, power_rating: 50 W}}":                                                  {8, 1 / k},
		"{pi_pad: {attenuation: 12 dB, impedance: 8 ohm, heat_sink: true}}":                                                    {8, 1 / k},
		"{bridged_t_pad: {attenuation: 12 dB, impedance: 8 ohm}}":                                                              {8, 1 / k},
		"{minimum_loss_pad: {impedance: 16 ohm, load: 8 ohm}}":                                                                 {16, 1 - math.Sqrt2/2},
		"{series_arm: {resistor: 24 ohm}}":                                                                                     {32, 0.25},
		"{shunt_arm: {resistor: 8 ohm}}":                                                                                       {4, 1},
		"{cascade: [{series_arm: {resistor: 8 ohm}}, {shunt_arm: plain}]}":                                                     {12, 1.0 / 3},
		"{tapped_winding: {attenuation: 12 dB}}":                                                                               {8 * k * k, 1 / k},
		"{circuit: {parts: [{resistor: 4 ohm, from: in, to: out}, {resistor: 8 ohm, from: out, to: common}]}}":                 {8, 0.5},
		"{circuit: {in: a, out: b, common: c, parts: [{resistor: 4 ohm, from: a, to: b}, {resistor: 8 ohm, from: b, to: c}]}}": {8, 0.5},
	} {
		b := read(t, attenuators(keys, "s: {amplifier: desk, attenuator: x, load: plain}"))
		r, err := b.Setups[1].Run([]float64{1000})
		if err != nil {
			t.Errorf("%s: %v", keys, err)
			continue
		}
		near(t, keys+": seen", r.Links[0].Seen[0], complex(want.seen, 0), 1e-9)
		near(t, keys+": ratio", complex(cmplx.Abs(r.Response[0]), 0), complex(want.ratio, 0), 1e-9)
	}
}

// A switched attenuator makes a setup of each step, in order; step: takes one.
func TestSteps(t *testing.T) {
	b := read(t, attenuators("{l_pad: {steps: [3 dB, 6.5 dB, 12 dB], impedance: 8 ohm}}",
		"all: {amplifier: desk, attenuator: x, load: plain}", "one: {amplifier: desk, attenuator: x, step: 6.5 dB, load: plain}"))
	same(t, "setups", b.setupNames(), []string{"plain-one", "all at 3 dB", "all at 6.5 dB", "all at 12 dB", "one"})
	for i, db := range []float64{3, 6.5, 12, 6.5} {
		r, err := b.Setups[i+1].Run([]float64{1000})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "step", complex(cmplx.Abs(r.Response[0]), 0), complex(math.Pow(10, -db/20), 0), 1e-9)
	}
}

// A re-amp's gain is relative to rated drive; a drop is what it says it is.
func TestReamp(t *testing.T) {
	b := read(t, attenuators("{shunt_arm: plain}", "gain: {amplifier: head, load: plain, reamp: {amplifier: desk, load: plain, gain: -20 dB}}",
		"drop: {amplifier: head, load: plain, reamp: {amplifier: desk, load: plain, drop: 25 dB}}"))
	volts := map[string]float64{}
	setups, err := b.SetupsNamed(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range setups {
		r, err := s.Run([]float64{1000})
		if err != nil {
			t.Fatal(err)
		}
		volts[s.Name] = cmplx.Abs(r.Last().Terminal[0])
	}
	// head brings 40 W to the 4 ohm of its default tap from as much source
	// impedance, so that 8 ohm get 4/3 of the rated voltage; desk brings 100 W
	// to 8 ohm.
	near(t, "reference", complex(volts["plain-one"], 0), complex(math.Sqrt(40*4)*4/3, 0), 1e-9)
	near(t, "gain", complex(volts["gain"], 0), complex(math.Sqrt(100*8)*4/3*0.1, 0), 1e-9)
	near(t, "drop", complex(volts["drop"], 0), complex(volts["plain-one"]*math.Pow(10, -25.0/20), 0), 1e-9)
}
