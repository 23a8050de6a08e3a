package document

import (
	"strings"
	"testing"
)

func TestMistakeOrder(t *testing.T) {
	at := func(line, column int, path string) Mistake {
		return Mistake{File: "f", Line: line, Column: column, Path: path, Found: "x", Expected: "y"}
	}
	err := newError([]Mistake{at(10, 1, ""), at(2, 9, ""), at(2, 3, "b"), at(2, 3, "a"), at(2, 9, "")})
	want := "f:2:3: a: found x; expected y\nf:2:3: b: found x; expected y\nf:2:9: found x; expected y\nf:10:1: found x; expected y"
	if err.Error() != want {
		t.Errorf("%v\nwant\n%s", err, want)
	}
	if err := newError(nil); err != nil {
		t.Error("no mistakes are an error")
	}
}

func TestManyMistakes(t *testing.T) {
	var all []Mistake
	for i := range MaxPrinted + 2 {
		all = append(all, Mistake{File: "f", Line: i + 1, Column: 1})
	}
	for n, last := range map[int]string{MaxPrinted: "f:100:1: ", MaxPrinted + 2: "and 2 more mistakes"} {
		lines := strings.Split(newError(all[:n]).Error(), "\n")
		if got := lines[len(lines)-1]; !strings.HasPrefix(got, last) {
			t.Errorf("%d mistakes end with %q", n, got)
		}
	}
}

func TestPath(t *testing.T) {
	for _, test := range []struct {
		text, want string
	}{
		{"{a: {pine-212: [x, {b/c: {}}]}}", "a.pine-212[1].b/c"},
		{"{'a.b': {'[0]': {}}}", `"a.b"."[0]"`},
		{"{\"a\\e[1m\": {}}", `"a\x1b[1m"`},
		{"{" + strings.Repeat("k", 70) + ": {}}", `"` + strings.Repeat("k", 60) + `"`},
	} {
		d, err := Parse("f", []byte(test.text))
		if err != nil {
			t.Fatal(err)
		}
		v := d.Root()
		for v.node.form != mapping || len(v.node.entries) > 0 {
			if v.node.form == sequence {
				v = v.List()[1]
			} else {
				v = v.Entries()[0].Value
			}
		}
		if v.path != test.want {
			t.Errorf("%s: %s, want %s", test.text, v.path, test.want)
		}
	}
}

// The distances of Damerau's and Levenshtein's papers' operations, by hand.
func TestDistance(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "abc", 0}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2},
		{"ab", "ba", 1}, {"marlow-21", "marlow-12", 1}, {"ca", "abc", 3}, {"Ωx", "xΩ", 1}, {"a", "b", 1}, {"volume", "volum", 1},
	} {
		if got := distance(test.a, test.b); got != test.want {
			t.Errorf("distance(%q, %q) = %d, want %d", test.a, test.b, got, test.want)
		}
		if got := distance(test.b, test.a); got != test.want {
			t.Errorf("distance(%q, %q) = %d, want %d", test.b, test.a, got, test.want)
		}
	}
}

func TestNearest(t *testing.T) {
	keys := []string{"volume", "opening", "thickness", "leakage_q", "re", "fs"}
	for word, want := range map[string]string{
		"volum": "volume", "Volume": "volume", "voulme": "volume", "thikness": "thickness", "leakage-q": "leakage_q", "leakageQ": "leakage_q",
		"fz": "fs", "xy": "", "depth": "", "q": "", "": "", strings.Repeat("v", 100): "",
	} {
		if got := new(Document).nearest(word, keys); got != want {
			t.Errorf("nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
