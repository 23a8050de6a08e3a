package document

import (
	"errors"
	"strings"
	"testing"

	"loadscape/cmd/loadscape/internal/quantity"
)

// decodeAnything reads each value in every way that fits its form and, here
// and there, in ways that do not.
func decodeAnything(v Value) {
	v.Quantity(quantity.Resistance, quantity.Positive)
	v.Name("the name of something", []string{"something", "anything"})
	decodePart(v)
	decodeDriver(v)
	if v.node.form == mapping {
		for _, e := range v.Entries() {
			decodeAnything(e.Value)
		}
		OneOf(v.Fields(), partKinds()...)
	}
	if v.node.form == sequence {
		for _, item := range v.List() {
			decodeAnything(item)
		}
	}
}

// Whatever the text, it is decoded or refused with places that lie in it.
func FuzzParse(f *testing.F) {
	f.Add("{resistor: 8 ohm}")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := Parse("f", []byte(text))
		if err == nil {
			decodeAnything(d.Root())
			err = d.Err()
		}
		if err == nil {
			t.Fatalf("%q is no quantity, part, driver and name at once", text)
		}
		var e *Error
		if !errors.As(err, &e) || len(e.Mistakes) == 0 {
			t.Fatalf("%q: error %v", text, err)
		}
		breaks := 1
		for _, sign := range []string{"\n", "\r", "\u2028", "\u2029"} {
			breaks += strings.Count(text, sign)
		}
		for i, m := range e.Mistakes {
			if m.Line < 1 || m.Column < 1 || m.Line > breaks || m.Found == "" || m.Expected == "" || strings.ContainsAny(m.String(), "\n\r\x1b") {
				t.Errorf("%q: mistake %q", text, m)
			}
			if i > 0 && (m.Line < e.Mistakes[i-1].Line || m == e.Mistakes[i-1]) {
				t.Errorf("%q: mistake %q out of order", text, m)
			}
		}
	})
}
