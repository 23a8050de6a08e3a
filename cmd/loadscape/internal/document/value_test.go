package document

import (
	"errors"
	"strings"
	"testing"

	"loadscape/cmd/loadscape/internal/quantity"
)

// top runs decode on the value under the key v.
func top(decode func(Value)) func(Value) {
	return func(root Value) { decode(root.Fields().Required("v")) }
}

func TestValueMistakes(t *testing.T) {
	ohms := top(func(v Value) { v.Quantity(quantity.Resistance, quantity.Positive) })
	integer := top(func(v Value) { v.Integer(1, 8) })
	text := top(func(v Value) { v.Text() })
	items := top(func(v Value) { v.List() })
	entries := top(func(v Value) { v.Entries() })
	fields := top(func(v Value) { v.Fields().Required("a").Text() })
	truth := top(func(v Value) { v.Bool() })
	name := top(func(v Value) { v.Name("the name of a driver", []string{"marlow-12", "other-12"}) })
	parsed := top(func(v Value) {
		Parsed(v, "a gauge such as 16 AWG", func(string) (int, error) { return 1, errors.New("no") })
	})
	for _, test := range []struct {
		text   string
		decode func(Value)
		want   string // after "f:"; "" for no mistake
	}{
		{"v: 8 ohm", ohms, ""},
		{"v: '8 ohm'", ohms, ""},
		{"v: 4R7", ohms, ""},
		{"v: 8", ohms, `1:4: v: found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"v: 0 ohm", ohms, `1:4: v: found "0 ohm"; expected a resistance above zero`},
		{"v: 8 Hz", ohms, `1:4: v: found "8 Hz", a frequency; expected a resistance such as 8 ohm, 4.7k or 4R7`},
		{"v: 8 OHM", top(func(v Value) { v.Quantity(quantity.Inductance) }), `1:4: v: found "8 OHM" with the unknown unit "OHM"; expected an inductance such as 0.6 mH`},
		{"v: 2 MH", top(func(v Value) { v.Quantity(quantity.Inductance) }), `1:4: v: found "2 MH" with the unknown unit "MH"; expected an inductance such as 0.6 mH (did you mean "mH"?)`},
		{"v:", ohms, "1:1: v: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"v: ~", ohms, "1:4: v: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"v: [8 ohm]", ohms, "1:4: v: found a list; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"v: {a: 1}", ohms, "1:4: v: found a mapping; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"{}", ohms, "1:1: v: found nothing; expected a resistance such as 8 ohm, 4.7k or 4R7"},
		{"v: 1", integer, ""}, {"v: 8", integer, ""},
		{"v: 0", integer, `1:4: v: found "0"; expected a whole number from 1 to 8`},
		{"v: 9", integer, `1:4: v: found "9"; expected a whole number from 1 to 8`},
		{"v: 2.0", integer, `1:4: v: found "2.0"; expected a whole number from 1 to 8`},
		{"v: 0x2", integer, `1:4: v: found "0x2"; expected a whole number from 1 to 8`},
		{"v: 99999999999999999999", integer, `1:4: v: found "99999999999999999999"; expected a whole number from 1 to 8`},
		{"v: yes", text, ""}, {"v: 12", text, ""}, {"v: 'null'", text, ""}, {"v: 2001-01-01", text, ""},
		{"v: ''", text, "1:4: v: found an empty text; expected a text"},
		{"v: [a]", items, ""},
		{"v: []", items, "1:4: v: found an empty list; expected a list such as [a, b]"},
		{"v: a", items, `1:4: v: found "a"; expected a list such as [a, b]`},
		{"v: {}", entries, ""},
		{"v: [a]", entries, "1:4: v: found a list; expected a mapping of names to values"},
		{"v: a", fields, `1:4: v: found "a"; expected a mapping such as {key: value}`},
		{"v: true", truth, ""}, {"v: false", truth, ""},
		{"v: yes", truth, `1:4: v: found "yes"; expected true or false`},
		{"v: ture", truth, `1:4: v: found "ture"; expected true or false (did you mean "true"?)`},
		{"v: marlow-12", name, ""},
		{"v: marlow-21", name, `1:4: v: found "marlow-21"; expected the name of a driver: "marlow-12" or "other-12" (did you mean "marlow-12"?)`},
		{"v: x", name, `1:4: v: found "x"; expected the name of a driver: "marlow-12" or "other-12"`},
		{"v: 16", parsed, `1:4: v: found "16"; expected a gauge such as 16 AWG`},
		{"v: \"a\\nb\\e[31m\"", parsed, `1:4: v: found "a\nb\x1b[31m"; expected a gauge such as 16 AWG`},
	} {
		want := test.want
		if want != "" {
			want = "f:" + want
		}
		if got := mistakesOf(test.text, test.decode); got != want {
			t.Errorf("%s\n got %s\nwant %s", test.text, got, want)
		}
	}
}

func TestValues(t *testing.T) {
	d, err := Parse("f", []byte("q: [1 mH, 2 H]\nn: 3\nb: true\nm: {x: 1, y: [2]}\nw: word\n"))
	if err != nil {
		t.Fatal(err)
	}
	f := d.Root().Fields()
	if q := f.Required("q").Quantities(quantity.Inductance); len(q) != 2 || q[0] != 1e-3 || q[1] != 2 {
		t.Error(q)
	}
	if n := f.Required("n").Integer(1, 3); n != 3 {
		t.Error(n)
	}
	if !f.Required("b").Bool() {
		t.Error("true is not true")
	}
	es := f.Required("m").Entries()
	if len(es) != 2 || es[0].Name != "x" || es[1].Name != "y" || es[0].Value.Integer(0, 9) != 1 || len(es[1].Value.List()) != 1 {
		t.Error(es)
	}
	if w, ok := f.Required("w").Word(); w != "word" || !ok {
		t.Error(w, ok)
	}
	if _, ok := f.Required("m").Word(); ok {
		t.Error("a mapping is a word")
	}
	if p := Parsed(f.Required("w"), "", func(s string) (int, error) { return len(s), nil }); p != 4 {
		t.Error(p)
	}
	if q := f.Default("level", "-6 dB").Quantity(quantity.Level); q != -6 {
		t.Error(q)
	}
	if f.Optional("none").Exists() || f.Optional("none").Quantity(quantity.Level) != 0 || !f.Optional("n").Exists() {
		t.Error("an optional value")
	}
	if err := d.Err(); err != nil {
		t.Error(err)
	}
}

// What lies below a mistake is not reported again.
func TestSilenceBelowMistakes(t *testing.T) {
	decode := func(root Value) {
		f := root.Fields().Required("a").Fields()
		f.Required("b").Fields().Required("c").Quantity(quantity.Level)
		f.Default("d", "1 dB").Quantity(quantity.Level)
		for _, v := range f.Required("l").List() {
			v.Text()
		}
		OneOf(f, Kind[int]{Key: "x"})
		Pick(f.Required("p"), Kind[int]{Key: "x"})
		f.Exclude("here", "y")
		f.Value().Reject("this", "that")
		f.Value().Find("x.y").Reject("this", "that")
	}
	if got, want := mistakesOf("a: 5", decode), `f:1:4: a: found "5"; expected a mapping such as {key: value}`; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

func TestFind(t *testing.T) {
	for path, want := range map[string]string{
		"feedback.amount":        "f:2:22: amp.feedback.amount: ",
		"feedback.presence.gain": "f:2:13: amp.feedback: ",
		"tap":                    "f:2:3: amp: ",
		"box.volume":             "f:3:26: amp.box.closed.volume: ",
		"box.tuning":             "f:3:8: amp.box: ",
		"box.volume.unit":        "f:3:26: amp.box.closed.volume: ",
	} {
		got := mistakesOf("amp:\n  feedback: {amount: 3 dB}\n  box: {closed: {volume: 68 L}}\n", func(v Value) {
			v.Fields().Required("amp").Find(path).Reject("this", "that")
		})
		if !strings.HasPrefix(got, want+"found this; expected that") {
			t.Errorf("%s: %s", path, got)
		}
	}
}
