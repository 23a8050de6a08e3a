package bench

import (
	"fmt"
	"strings"
	"testing"
)

// setup returns a setup with the given keys, and all that it may name.
func setup(keys string) string {
	return goodDrivers + goodLoads + goodAmplifiers + "cables:\n  lead: {length: 6 m, gauge: 16 AWG}\nattenuators:\n" +
		"  soft: {l_pad: {attenuation: 12 dB, impedance: 8 ohm}}\n  steps: {l_pad: {steps: [3 dB, 6 dB], impedance: 8 ohm}}\nsetups:\n  s: " + keys + "\n"
}

const setupKeys = "amplifier, tap, cable, load_cable, load, attenuator, step or reamp"

func TestSetupMistakes(t *testing.T) {
	check(t, []mistake{
		{"nothing", setup("‹‹{}"), `setups.s.amplifier: found nothing; expected the name of an amplifier` + "\n" +
			"setups.s.load: found nothing; expected the name of a driver, cabinet or load, or one written out as {resistor: 8 ohm}"},
		{"a word", setup("‹head"), `setups.s: found "head"; expected a mapping such as {key: value}`},
		{"unknown key", setup("{amplifier: head, load: plain, ‹attenuater: soft}"),
			`setups.s.attenuater: found the unknown key "attenuater"; expected ` + setupKeys + ` (did you mean "attenuator"?)`},
		{"names", setup("{amplifier: ‹haed, load: ‹plan, cable: ‹leed, attenuator: ‹sofd}"),
			`setups.s.amplifier: found "haed"; expected the name of an amplifier: "desk" or "head" (did you mean "head"?)` + "\n" +
				`setups.s.load: found "plan"; expected the name of a driver, cabinet or load: "bare", "plain" or "twelve" (did you mean "plain"?)` + "\n" +
				`setups.s.cable: found "leed"; expected the name of a cable: "lead" (did you mean "lead"?)` + "\n" +
				`setups.s.attenuator: found "sofd"; expected the name of an attenuator: "soft" or "steps" (did you mean "soft"?)`},
		{"tap", setup("{amplifier: head, tap: ‹16 ohm, load: plain}"), "setups.s.tap: found 16 ohm; expected one of the taps 4, 8 ohm"},
		{"tap's unit", setup("{amplifier: head, tap: ‹8, load: plain}"),
			`setups.s.tap: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"an amplifier as the load", setup("{amplifier: head, load: ‹desk}"),
			`setups.s.load: found "desk"; expected the name of a driver, cabinet or load: "bare", "plain" or "twelve"`},
		{"cable written out", setup("{amplifier: head, cable: ‹{length: 3 m}, load: {resistor: ‹8 V}}"),
			`setups.s.cable: found only "length"; expected one of the keys gauge or area` + "\n" +
				`setups.s.load.resistor: found "8 V", a voltage; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"step", setup("{amplifier: head, attenuator: steps, step: ‹4 dB, load: plain}"),
			"setups.s.step: found a step of 4 dB; expected one of the attenuator's: 3 dB, 6 dB"},
		{"step of nothing", setup("{amplifier: head, step: ‹3 dB, load: plain}"),
			`setups.s.step: found the key "step"; expected no such key without an attenuator`},
		{"re-amp", setup("{amplifier: head, load: plain, reamp: {amplifier: ‹dek, load: plain, gain: ‹3 W}}"),
			`setups.s.reamp.amplifier: found "dek"; expected the name of an amplifier: "desk" or "head" (did you mean "desk"?)` + "\n" +
				`setups.s.reamp.gain: found "3 W", a power; expected a level such as 12 dB`},
		{"drop and gain", setup("{amplifier: head, load: plain, reamp: {amplifier: desk, load: plain, drop: 3 dB, gain: ‹3 dB}}"),
			`setups.s.reamp.gain: found the key "gain"; expected no such key beside drop`},
		{"drop of the reference", setup("{amplifier: head, load: plain, reamp: {amplifier: desk, load: plain, drop: ‹3 dB}}"),
			"setups.s.reamp.drop: found a drop in the reference itself; expected gain"},
	})
}

// tower returns loads of which each holds ten of the one before it.
func tower(floors int) string {
	text := "loads:\n  a0: {resistor: 8 ohm}\n"
	for i := range floors {
		members := strings.TrimSuffix(strings.Repeat(fmt.Sprintf("a%d, ", i), 10), ", ")
		text += fmt.Sprintf("  a%d: %s{parallel: [%s]}\n", i+1, map[bool]string{true: mark}[i == 3], members)
	}
	return text
}

// References stand for copies: a short file can ask for a circuit that no
// machine holds.
func TestPartLimit(t *testing.T) {
	check(t, []mistake{{"tower", tower(7), "loads.a4: found 10000 parts, references written out; expected at most 2000"}})
	many := func(n int) string { return "{series: [" + strings.Repeat("plain, ", n-1) + "plain]}" }
	check(t, []mistake{{"setup", setup("{amplifier: head, load: ‹" + many(MaxParts+1) + "}"),
		"setups.s.load: found 2001 parts, references written out; expected at most 2000"}})
	z := impedance(t, load(many(MaxParts)), "x", 1000)
	near(t, "as many as there may be", z[0], 8*MaxParts, 1e-9)
}

func TestSizeLimit(t *testing.T) {
	check(t, []mistake{{"size", "‹# " + strings.Repeat("x", MaxSize), "found more than 1048576 bytes; expected a file of at most 1048576 bytes"}})
}

// All that is wrong with a file is said at once, in the order of the places.
func TestAllMistakesAtOnce(t *testing.T) {
	check(t, []mistake{{"one in each section", "‹titel: x\nsweep: {from: ‹20}\nair: {pressure: ‹1 m}\ndrivers:\n  d: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: ‹-1}\n" +
		"cabinets:\n  k: {driver: ‹e, enclosure: free_air}\nloads:\n  l: {resistor: ‹x}\ncables:\n  c: ‹{length: 1 m}\n" +
		"amplifiers:\n  a: {stage: ‹tube, rated_power: 1 W, tap: 8 ohm, damping_factor: 1}\nsetups:\n  s: {amplifier: a, load: ‹m}\nreference: ‹r\n",
		`titel: found the unknown key "titel"; expected ` + sections + ` (did you mean "title"?)` + "\n" +
			`sweep.from: found "20", a number without a unit; expected a frequency such as 82 Hz or 2.5 kHz` + "\n" +
			`air.pressure: found "1 m", a length; expected a pressure such as 101.325 kPa` + "\n" +
			`drivers.d.qes: found "-1"; expected a plain number above zero` + "\n" +
			`cabinets.k.driver: found "e"; expected the name of a driver: "d"` + "\n" +
			`loads.l.resistor: found "x", which does not begin with a number; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
			`cables.c: found only "length"; expected one of the keys gauge or area` + "\n" +
			`amplifiers.a.stage: found "tube"; expected valve or solid-state` + "\n" +
			`setups.s.load: found "m"; expected the name of a driver, cabinet or load: "d", "k" or "l"` + "\n" +
			`reference: found "r"; expected the name of a setup: "s"`}})
}

// What the command line may get wrong: names that are not on the bench.
func TestNames(t *testing.T) {
	b, err := Read("f.yaml", []byte(setup("{amplifier: head, load: plain}")))
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.OnePort("plian")
	says(t, err, `nothing on the bench is called "plian": expected one of bare, twelve, plain, s (did you mean "plain"?)`)
	_, err = b.Setup("thunder")
	says(t, err, `no setup on the bench is called "thunder": expected one of s`)
	_, err = b.SetupsNamed([]string{"s", "t"})
	says(t, err, `no setup on the bench is called "t": expected one of s`)
	if b, err = Read("f.yaml", []byte(goodLoads)); err != nil {
		t.Fatal(err)
	}
	_, err = b.SetupsNamed(nil)
	says(t, err, "the bench has no setups: expected at least one under setups")
}

func says(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}
