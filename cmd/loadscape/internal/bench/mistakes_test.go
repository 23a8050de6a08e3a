package bench

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"
)

// A mistake is a bench file with a mark before each place where something is
// wrong, and what is said of those places, in their order, one on each line:
// everything that follows "file:line:column: ".
type mistake struct{ name, text, want string }

const mark = "‹"

// unmark takes the marks out of a text and returns their places.
func unmark(marked string) (text string, places []string) {
	for {
		before, after, ok := strings.Cut(marked, mark)
		text += before
		if !ok {
			return text, places
		}
		line := 1 + strings.Count(text, "\n")
		column := 1 + utf8.RuneCountInString(text[strings.LastIndex(text, "\n")+1:])
		places = append(places, fmt.Sprintf("%d:%d", line, column))
		marked = after
	}
}

// check reads every file and holds the complete error against what is wanted.
// Where two things are wrong in one place, the place is marked twice.
func check(t *testing.T, mistakes []mistake) {
	t.Helper()
	for _, m := range mistakes {
		text, places := unmark(m.text)
		says := strings.Split(m.want, "\n")
		if len(places) != len(says) {
			t.Fatalf("%s: %d marks for %d mistakes", m.name, len(places), len(says))
		}
		for i := range says {
			says[i] = "f.yaml:" + places[i] + ": " + says[i]
		}
		b, err := Read("f.yaml", []byte(text))
		if err == nil {
			t.Errorf("%s: no error, want\n%s", m.name, strings.Join(says, "\n"))
		} else if want := strings.Join(says, "\n"); err.Error() != want || b != nil {
			t.Errorf("%s:\n%v\nwant\n%s", m.name, err, want)
		}
	}
}

// Sections that are right, for those that refer to them.
const (
	goodDrivers = "drivers:\n" +
		"  bare: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1}\n" +
		"  twelve: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, vas: 50 L, sd: 500 cm2}\n"
	goodLoads      = "loads:\n  plain: {resistor: 8 ohm}\n"
	goodAmplifiers = "amplifiers:\n" +
		"  head: {stage: valve, rated_power: 40 W, taps: [4 ohm, 8 ohm], damping_factor: 1}\n" +
		"  desk: {stage: solid-state, rated_power: 100 W, tap: 8 ohm, output_impedance: 0 ohm}\n"
)

func TestTopMistakes(t *testing.T) {
	check(t, []mistake{
		{"unknown section", "title: x\n‹amplifier: {}\n",
			`amplifier: found the unknown key "amplifier"; expected ` + sections + ` (did you mean "amplifiers"?)`},
		{"no resemblance", "‹zzz: 1\n",
			`zzz: found the unknown key "zzz"; expected ` + sections},
		{"not a mapping", "‹- a\n", "found a list; expected a mapping such as {key: value}"},
		{"title", "title: ‹[a]\n", "title: found a list; expected a text"},
		{"empty title", "title: ‹''\n", "title: found an empty text; expected a text"},
		{"section that is a list", "drivers: ‹[a]\n", "drivers: found a list; expected a mapping of names to values"},
		{"reference", goodLoads + goodAmplifiers + "setups: {one: {amplifier: head, load: plain}}\nreference: ‹on\n",
			`reference: found "on"; expected the name of a setup: "one" (did you mean "one"?)`},
		{"reference without setups", "reference: ‹one\n", `reference: found "one"; expected the name of a setup, of which there are none`},
	})
}

// sections are the keys of a file in the order in which they are asked for.
const sections = "title, sweep, listening_band, air, drivers, cabinets, loads, cables, amplifiers, attenuators, setups, reference, stock or listening_level"

func TestSweepBandAndAirMistakes(t *testing.T) {
	check(t, []mistake{
		{"units", "sweep: {from: ‹20, to: ‹20 kW, per_octave: ‹0}\n",
			`sweep.from: found "20", a number without a unit; expected a frequency such as 82 Hz or 2.5 kHz` + "\n" +
				`sweep.to: found "20 kW", a power; expected a frequency such as 82 Hz or 2.5 kHz` + "\n" +
				`sweep.per_octave: found "0"; expected a whole number from 1 to 10000`},
		{"case of a unit", "sweep: {from: ‹20 hz, to: ‹20 KHz}\n",
			`sweep.from: found "20 hz" with the unknown unit "hz"; expected a frequency such as 82 Hz or 2.5 kHz (did you mean "Hz"?)` + "\n" +
				`sweep.to: found "20 KHz" with the unknown unit "KHz"; expected a frequency such as 82 Hz or 2.5 kHz (did you mean "kHz"?)`},
		{"key", "sweep: {‹points_per_octave: 3, ‹form: 20 Hz}\n",
			`sweep.points_per_octave: found the unknown key "points_per_octave"; expected from, to or per_octave` + "\n" +
				`sweep.form: found the unknown key "form"; expected from, to or per_octave (did you mean "from"?)`},
		{"backwards", "sweep: ‹{from: 100 Hz, to: 99 Hz}\n",
			"sweep: found 48 points per octave from 100 Hz to 99 Hz; expected from not above to, and at most 100000 points"},
		{"too many points", "sweep: ‹{from: 20 Hz, to: 40.1 kHz, per_octave: 10000}\n",
			"sweep: found 10000 points per octave from 20 Hz to 40100 Hz; expected from not above to, and at most 100000 points"},
		{"inaudible", "sweep: {from: ‹0 Hz, to: ‹2 MHz}\n",
			`sweep.from: found "0 Hz"; expected a frequency from 0.01 Hz to 1 MHz` + "\n" +
				`sweep.to: found "2 MHz"; expected a frequency from 0.01 Hz to 1 MHz`},
		{"band", "listening_band: ‹{from: 10 kHz, to: 60 Hz}\n", "listening_band: found from 10000 Hz to 60 Hz; expected from below to"},
		{"half a band", "listening_band: ‹{from: 10 kHz}\n", "listening_band: found from 10000 Hz to 10000 Hz; expected from below to"},
		{"beyond the weighting", "listening_band: {to: ‹25 kHz}\n", `listening_band.to: found "25 kHz"; expected a frequency from 1 Hz to 24 kHz`},
		{"air", "air: {temperature: ‹20 F, pressure: ‹1 Pa, ‹humidity: 3 %}\n",
			`air.temperature: found "20 F", a capacitance; expected a temperature such as 20 C` + "\n" +
				`air.pressure: found "1 Pa"; expected a pressure from 10 kPa to 200 kPa` + "\n" +
				`air.humidity: found the unknown key "humidity"; expected temperature or pressure`},
	})
}

// What the YAML itself can have wrong, and what YAML has that bench files
// have not. The document package's own tests go further.
func TestSyntaxMistakes(t *testing.T) {
	check(t, []mistake{
		{"empty", mark, "found an empty file; expected keys and values"},
		{"tab", "drivers:\n‹\ttwelve: {}\n", "found a tab; expected lines indented with spaces"},
		{"open brace", "title: x\n‹sweep: {from: 20 Hz\n",
			`found a syntax error, did not find expected ',' or '}'; expected YAML such as "key: value" or "{key: value}"`},
		{"key again", "title: x\n‹title: y\n", `found the key "title" again; expected each key once (it is on line 1)`},
		{"name again", "loads:\n  plain: {resistor: 8 ohm}\n  ‹plain: {resistor: 4 ohm}\n",
			`loads: found the key "plain" again; expected each key once (it is on line 2)`},
		{"merge", "loads:\n  a: &x {resistor: 8 ohm}\n  b: ‹{‹<<: *x}\n",
			"loads.b: found an empty mapping; expected one of the keys " + partKeys + "\n" +
				"loads.b: found the merge key <<; expected the keys written out"},
		{"unknown anchor", "loads: {a: ‹*nobody}\n", `found the alias "*nobody"; expected an alias whose anchor stands before it`},
		{"circular anchor", "loads:\n  a: &x {series: [‹*x]}\n",
			`loads.a.series[0].series[0]: found the alias "*x" within what it stands for; expected an alias outside it`},
		{"not text", "title: ‹\x00", "found the control character U+0000; expected text"},
		{"second document", "title: x\n‹---\ntitle: y\n", "found the beginning of a second document; expected one document in a file"},
	})
}

// Aliases are copies: what is wrong in one is wrong under each of its paths.
func TestAliases(t *testing.T) {
	b, err := Read("f.yaml", []byte("loads:\n  a: &x {resistor: 8 ohm}\n  b: *x\n  c: {series: [*x, *x]}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(b.CurveNames(), " "); got != "a b c" {
		t.Errorf("loads %s", got)
	}
	check(t, []mistake{{"a mistake that is copied", "loads:\n  a: &x {resistor: ‹‹8}\n  b: *x\n",
		`loads.a.resistor: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7` + "\n" +
			`loads.b.resistor: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`}})
}
