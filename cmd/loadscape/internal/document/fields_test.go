package document

import (
	"testing"

	"loadscape/cmd/loadscape/internal/quantity"
)

// A decoder such as a bench has.
func decodeDriver(v Value) {
	f := v.Fields()
	f.Required("re").Quantity(quantity.Resistance, quantity.Positive)
	f.Required("fs").Quantity(quantity.Frequency, quantity.Positive)
	f.Optional("xmax").Quantity(quantity.Length, quantity.NonNegative)
	f.Default("coil_temperature", "20 C").Quantity(quantity.Temperature)
}

type part struct {
	kind      string
	value     float64
	tolerance float64
}

func partKinds() []Kind[part] {
	return []Kind[part]{
		{Key: "resistor", Decode: func(v Value, f *Fields) part {
			return part{"resistor", v.Quantity(quantity.Resistance), f.Optional("tolerance").Quantity(quantity.Ratio)}
		}},
		{Key: "inductor", Decode: func(v Value, f *Fields) part {
			f.Optional("dcr").Quantity(quantity.Resistance)
			return part{"inductor", v.Quantity(quantity.Inductance), f.Optional("tolerance").Quantity(quantity.Ratio)}
		}},
		{Key: "open", Alone: true, Decode: func(Value, *Fields) part { return part{kind: "open"} }},
	}
}

func decodePart(v Value) { Pick(v, partKinds()...) }

func TestFieldMistakes(t *testing.T) {
	for _, test := range []struct {
		text   string
		decode func(Value)
		want   string
	}{
		{"{re: 6.5 ohm, fs: 78 Hz}", decodeDriver, ""},
		{"{re: 6.5 ohm, fs: 78 Hz, xmax: 0.9 mm, coil_temperature: 90 C}", decodeDriver, ""},
		{"{re: 6.5 ohm}", decodeDriver, "f:1:1: fs: found nothing; expected a frequency such as 82 Hz or 2.5 kHz"},
		{"{re: 6.5 ohm, fs: 78 Hz, color: red}", decodeDriver, `f:1:26: color: found the unknown key "color"; expected re, fs, xmax or coil_temperature`},
		// A misspelt key accounts for the one that is missing.
		{"{re: 6.5 ohm, Fs: 78 Hz}", decodeDriver, `f:1:15: Fs: found the unknown key "Fs"; expected re, fs, xmax or coil_temperature (did you mean "fs"?)`},
		{"{re: 6.5 ohm, fs: 78 Hz, coil temprature: 90 C}", decodeDriver, `f:1:26: "coil temprature": found the unknown key "coil temprature"; expected re, fs, xmax or coil_temperature (did you mean "coil_temperature"?)`},
		// A key that is there is not what another was meant to be.
		{"{re: 6.5 ohm, ree: 7 ohm, fs: 78 Hz}", decodeDriver, `f:1:15: ree: found the unknown key "ree"; expected re, fs, xmax or coil_temperature`},
		{"{ree: 7 ohm, xmax: 2, fs: 0 Hz}", decodeDriver, `f:1:2: ree: found the unknown key "ree"; expected re, fs, xmax or coil_temperature (did you mean "re"?)
f:1:20: xmax: found "2", a number without a unit; expected a length such as 15 mm or 6 m
f:1:27: fs: found "0 Hz"; expected a frequency above zero`},
		{"{a: 1}", func(v Value) { v.Fields() }, `f:1:2: a: found the unknown key "a"; expected no keys`},
		{"{a: 1}", func(v Value) { v.Fields().Exclude("beside b", "a", "c") }, `f:1:5: a: found the key "a"; expected no such key beside b`},

		{"{resistor: 8 ohm, tolerance: 5 %}", decodePart, ""},
		{"open", decodePart, ""},
		{"{open: }", decodePart, ""},
		{"{open: 5}", decodePart, `f:1:8: open: found "5"; expected no value: open has none`},
		{"{resistor: 8 ohm, dcr: 1 ohm}", decodePart, `f:1:19: dcr: found the unknown key "dcr"; expected resistor or tolerance`},
		{"{resistor: }", decodePart, "f:1:2: resistor: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"{resistor: 8 ohm, inductor: 1 mH}", decodePart, "f:1:1: found resistor and inductor; expected only one of them"},
		// What else a mapping holds cannot be judged before its kind is known.
		{"{restistor: 8 ohm, tolerance: 5 %}", decodePart, `f:1:2: restistor: found the unknown key "restistor"; expected resistor, inductor or open (did you mean "resistor"?)`},
		{"{capacitor: 8 uF, tolerance: 5 %}", decodePart, `f:1:1: found only "capacitor" and "tolerance"; expected one of the keys resistor, inductor or open`},
		{"{}", decodePart, "f:1:1: found an empty mapping; expected one of the keys resistor, inductor or open"},
		{"{a: 1, b: 1, c: 1, d: 1, e: 1, f: 1, g: 1, h: 1, i: 1}", decodePart, "f:1:1: found a mapping of other keys; expected one of the keys resistor, inductor or open"},
		{"resistor", decodePart, `f:1:1: found the word resistor alone; expected {resistor: ...} with its values`},
		{"opne", decodePart, `f:1:1: found "opne"; expected {resistor: ...}, {inductor: ...} or open (did you mean "open"?)`},
		{"[open]", decodePart, `f:1:1: found a list; expected {resistor: ...}, {inductor: ...} or open`},
	} {
		if got := mistakesOf(test.text, test.decode); got != test.want {
			t.Errorf("%s\n got %s\nwant %s", test.text, got, test.want)
		}
	}
}

func TestKinds(t *testing.T) {
	d, err := Parse("f", []byte("[{resistor: 4R7, tolerance: 5 %}, {dcr: 1 ohm, inductor: 2 mH}, open]"))
	if err != nil {
		t.Fatal(err)
	}
	want := []part{{"resistor", 4.7, 0.05}, {"inductor", 2e-3, 0}, {"open", 0, 0}}
	for i, v := range d.Root().List() {
		if p, ok := Pick(v, partKinds()...); !ok || p != want[i] {
			t.Errorf("%v, want %v", p, want[i])
		}
	}
	if err := d.Err(); err != nil {
		t.Error(err)
	}
}

func TestEnum(t *testing.T) {
	choices := []Choice[int]{{"valve", 1}, {"solid-state", 2}}
	for text, want := range map[string]string{
		"valve":       "",
		"solid-state": "",
		"solid state": `f:1:1: found "solid state"; expected valve or solid-state (did you mean "solid-state"?)`,
		"[valve]":     "f:1:1: found a list; expected valve or solid-state",
		"tube":        `f:1:1: found "tube"; expected valve or solid-state`,
	} {
		var got int
		if m := mistakesOf(text, func(v Value) { got = Enum(v, choices...) }); m != want || (want == "") != (got > 0) {
			t.Errorf("%s: %d, %s", text, got, m)
		}
	}
}
