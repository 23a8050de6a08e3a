package bench

import "testing"

// amplifier returns an amplifier with the given keys beside a valve stage's
// rated power.
func amplifier(keys string) string {
	return "amplifiers:\n  a: {stage: valve, rated_power: 40 W, " + keys + "}\n"
}

const amplifierKeys = "stage, rated_power, tap, taps, output_impedance, damping_factor, two_load_test, valves or feedback"

func TestAmplifierMistakes(t *testing.T) {
	check(t, []mistake{
		{"stage", "amplifiers:\n  a: {stage: ‹vavle, rated_power: ‹40, tap: ‹8, damping_factor: ‹0}\n",
			`amplifiers.a.stage: found "vavle"; expected valve or solid-state (did you mean "valve"?)` + "\n" +
				`amplifiers.a.rated_power: found "40", a number without a unit; expected a power such as 40 W` + "\n" +
				`amplifiers.a.tap: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
				`amplifiers.a.damping_factor: found "0"; expected a plain number above zero`},
		{"nothing", "amplifiers:\n  a: ‹‹‹‹{}\n",
			"amplifiers.a: found an empty mapping; expected one of the keys output_impedance, damping_factor, two_load_test or valves\n" +
				"amplifiers.a.rated_power: found nothing; expected a power such as 40 W\n" +
				"amplifiers.a.stage: found nothing; expected valve or solid-state\n" +
				"amplifiers.a.tap: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"misspelt", amplifier("tap: 8 ohm, ‹dampening_factor: 1"),
			`amplifiers.a.dampening_factor: found the unknown key "dampening_factor"; expected ` + amplifierKeys + ` (did you mean "damping_factor"?)`},
		{"two sources", "amplifiers:\n  a: ‹{stage: valve, rated_power: 40 W, tap: 8 ohm, damping_factor: 1, output_impedance: 8 ohm}\n",
			"amplifiers.a: found output_impedance and damping_factor; expected only one of them"},
		{"negative", amplifier("tap: 8 ohm, output_impedance: ‹-1 ohm"), `amplifiers.a.output_impedance: found "-1 ohm"; expected a resistance of at least zero`},
		{"not finite", amplifier("tap: 8 ohm, damping_factor: ‹inf"), `amplifiers.a.damping_factor: found "inf", which does not begin with a number; expected a plain number such as 0.66`},
		{"name", "amplifiers:\n  ‹a/b: {stage: valve, rated_power: 40 W, tap: 8 ohm, damping_factor: 1}\n",
			`amplifiers.a/b: found the name "a/b"; expected a name without slashes and line breaks of at most 60 bytes`},
	})
}

func TestTapMistakes(t *testing.T) {
	check(t, []mistake{
		{"none", amplifier("taps: ‹[], damping_factor: 1"), "amplifiers.a.taps: found an empty list; expected a list such as [a, b]"},
		{"no list", amplifier("taps: ‹8 ohm, damping_factor: 1"), `amplifiers.a.taps: found "8 ohm"; expected a list such as [a, b]`},
		{"twice", amplifier("taps: ‹[4 ohm, 8 ohm, 4 ohm], damping_factor: 1"), "amplifiers.a.taps: found 4, 8, 4 ohm; expected each rating once"},
		{"unit", amplifier("taps: [4 ohm, ‹8], damping_factor: 1"),
			`amplifiers.a.taps[1]: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"not among them", amplifier("taps: [4 ohm, 8 ohm], tap: ‹16 ohm, damping_factor: 1"),
			"amplifiers.a.tap: found 16 ohm; expected one of the taps 4, 8 ohm"},
		{"measured at which", "amplifiers:\n  a: ‹{stage: valve, rated_power: 40 W, taps: [4 ohm, 8 ohm], output_impedance: 1 ohm}\n",
			"amplifiers.a: found tap not given; expected which of 4, 8 ohm the source impedance was measured at"},
	})
}

func TestTwoLoadTestMistakes(t *testing.T) {
	loads := func(test string) string { return amplifier("tap: 8 ohm, two_load_test: " + test) }
	check(t, []mistake{
		{"one volt", loads("{volts: ‹[4 V], ohms: [8 ohm, 4 ohm]}"),
			"amplifiers.a.two_load_test.volts: found a list of 1; expected two values, one for each load"},
		{"units", loads("{volts: [‹4 W, 3 V], ohms: [8 ohm, ‹0 ohm]}"),
			`amplifiers.a.two_load_test.volts[0]: found "4 W", a power; expected a voltage such as 17.9 V` + "\n" +
				`amplifiers.a.two_load_test.ohms[1]: found "0 ohm"; expected a resistance above zero`},
		{"missing", loads("‹{volts: [4 V, 3 V]}"), "amplifiers.a.two_load_test.ohms: found nothing; expected a list such as [a, b]"},
		{"equal loads", loads("{volts: [4 V, 3 V], ohms: ‹[8 ohm, 8 ohm]}"),
			"amplifiers.a.two_load_test.ohms: found 8, 8 ohm; expected two different resistors"},
		{"exchanged", loads("{volts: ‹[4 V, 3.6 V], ohms: [4 ohm, 8 ohm]}"),
			"amplifiers.a.two_load_test.volts: found 4 V across the smaller resistor and 3.6 V across the larger; " +
				"expected no less across the larger: the source impedance would be negative"},
		{"current falls", loads("{volts: ‹[4 V, 1 V], ohms: [8 ohm, 4 ohm]}"),
			"amplifiers.a.two_load_test.volts: found 0.5 A in the larger resistor and 0.25 A in the smaller; " +
				"expected more current in the smaller: no source impedance is that large"},
	})
}

func TestValvesAndFeedbackMistakes(t *testing.T) {
	const transformer = ", transformer: {primary_impedance: 6 kohm}"
	check(t, []mistake{
		{"no transformer", "amplifiers:\n  a: ‹{stage: valve, rated_power: 40 W, tap: 8 ohm, valves: {source_resistance: 2 kohm}}\n",
			"amplifiers.a.transformer: found nothing; expected the output transformer of the valves: {primary_impedance: ...}"},
		{"no valves", amplifier("tap: 8 ohm, damping_factor: 1" + ", ‹transformer: {primary_impedance: 6 kohm}"),
			`amplifiers.a.transformer: found the unknown key "transformer"; expected stage, rated_power, tap, taps, damping_factor or feedback`},
		{"values", amplifier("tap: 8 ohm, valves: {source_resistance: ‹0 ohm}, transformer: {primary_impedance: ‹6 H, primary_inductance: ‹0 H, secondary_resistance: ‹-1 ohm, ‹leakage: 1 mH}"),
			`amplifiers.a.valves.source_resistance: found "0 ohm"; expected a resistance above zero` + "\n" +
				`amplifiers.a.transformer.primary_impedance: found "6 H", an inductance; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
				`amplifiers.a.transformer.primary_inductance: found "0 H"; expected an inductance above zero` + "\n" +
				`amplifiers.a.transformer.secondary_resistance: found "-1 ohm"; expected a resistance of at least zero` + "\n" +
				`amplifiers.a.transformer.leakage: found the unknown key "leakage"; expected primary_impedance, primary_inductance, leakage_inductance, primary_resistance or secondary_resistance`},
		{"transistors with valves", "amplifiers:\n  a: {stage: ‹solid-state, rated_power: 40 W, tap: 8 ohm, valves: {source_resistance: 2 kohm}" + transformer + "}\n",
			"amplifiers.a.stage: found solid-state; expected valve, since valves are given"},
		{"feedback", amplifier("tap: 8 ohm, damping_factor: 10, feedback: {amount: ‹61 dB, presence: ‹{turnover: 1 kHz}, depth: {turnover: ‹0 Hz, release: ‹6}}"),
			`amplifiers.a.feedback.amount: found "61 dB"; expected a level above zero and up to 60 dB` + "\n" +
				"amplifiers.a.feedback.presence.release: found nothing; expected a level such as 12 dB\n" +
				`amplifiers.a.feedback.depth.turnover: found "0 Hz"; expected a frequency above zero` + "\n" +
				`amplifiers.a.feedback.depth.release: found "6", a number without a unit; expected a level such as 12 dB`},
		{"released but not there", amplifier("tap: 8 ohm, damping_factor: 10, feedback: ‹{presence: {turnover: 1 kHz, release: 6 dB}}"),
			"amplifiers.a.feedback.amount: found nothing; expected a level such as 12 dB"},
		// 1+K0 = gain·R/(R−(gain−1)·Zs) with R = Zs = 8 ohm has no solution from
		// a gain of 2 up, which is 6.0206 dB; 100−1 = 99 leaves 8/99 ohm.
		{"impossible", amplifier("tap: 8 ohm, damping_factor: 1, feedback: {amount: ‹40 dB}"),
			"amplifiers.a.feedback.amount: found 40 dB; expected less than 6.0206 dB, or a lower source impedance than 8 ohm: this much feedback leaves at most 0.0808081 ohm"},
	})
}
