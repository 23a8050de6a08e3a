package bench

import (
	"errors"
	"regexp"
	"testing"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/network"
)

// FuzzRead looks for a text that makes the decoder panic, hang, return neither
// a bench nor mistakes with places, or return a bench that cannot be used.
func FuzzRead(f *testing.F) {
	// Small seeds: what the fuzzer finds interesting it tries to make smaller,
	// which takes its time with a whole bench. More are in testdata/fuzz.
	f.Add(goodDrivers)
	f.Add(goodLoads + goodAmplifiers)
	f.Add(tower(5))
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Read("f.yaml", []byte(text))
		var mistakes *document.Error
		switch {
		case err == nil:
			usable(t, b)
		case b != nil || !errors.As(err, &mistakes) || len(mistakes.Mistakes) == 0:
			t.Errorf("bench %v, error %v", b, err)
		default:
			placed(t, text, mistakes)
		}
	})
}

// breaks are what ends a line in YAML.
var breaks = regexp.MustCompile("\r\n|[\n\r\u0085\u2028\u2029]")

// placed fails if a mistake lies outside the text.
func placed(t *testing.T, text string, e *document.Error) {
	lines := 1 + len(breaks.FindAllString(text, -1))
	for _, m := range e.Mistakes {
		if m.Line < 1 || m.Line > lines || m.Column < 1 || m.Found == "" || m.Expected == "" {
			t.Errorf("%d:%d: %v in %d lines", m.Line, m.Column, m, lines)
		}
	}
}

// usable fails if what the bench holds panics.
func usable(t *testing.T, b *Bench) {
	hz := []float64{20, 1000, 20e3}
	for _, name := range b.CurveNames() {
		p, err := b.OnePort(name)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		z, err := network.Impedance(p, hz)
		if err == nil && len(z) != len(hz) {
			t.Errorf("%q: %d values", name, len(z))
		}
	}
	for _, s := range b.Setups {
		if r, err := s.Run(hz); err == nil && len(r.Response) != len(hz) {
			t.Errorf("%q: %d values", s.Name, len(r.Response))
		}
	}
}
