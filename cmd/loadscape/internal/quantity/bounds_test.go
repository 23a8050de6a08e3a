package quantity

import (
	"math"
	"strings"
	"testing"
)

func TestBounds(t *testing.T) {
	up := func(x float64) float64 { return math.Nextafter(x, math.Inf(1)) }
	down := func(x float64) float64 { return math.Nextafter(x, math.Inf(-1)) }
	for _, test := range []struct {
		b       Bounds
		in, out []float64
	}{
		{Positive, []float64{up(0), 1, math.MaxFloat64}, []float64{0, down(0), math.Inf(1), math.NaN()}},
		{NonNegative, []float64{0, up(0), math.MaxFloat64}, []float64{down(0), math.Inf(1), math.NaN()}},
		{AtLeast(4), []float64{4, up(4)}, []float64{down(4), math.Inf(1)}},
		{Between(20, 20e3), []float64{20, up(20), down(20e3), 20e3}, []float64{down(20), up(20e3), math.NaN()}},
		{Bounds{Min: 20, Max: 30, Open: true}, []float64{up(20), 30}, []float64{20, up(30)}},
	} {
		for _, v := range test.in {
			if !test.b.Contain(v) {
				t.Errorf("%+v does not contain %v", test.b, v)
			}
		}
		for _, v := range test.out {
			if test.b.Contain(v) {
				t.Errorf("%+v contains %v", test.b, v)
			}
		}
	}
}

func TestParseWithin(t *testing.T) {
	for _, test := range []struct {
		text string
		d    Dimension
		b    Bounds
		want string // of the error; "" for none
	}{
		{"1e-300 ohm", Resistance, Positive, ""},
		{"0 ohm", Resistance, NonNegative, ""},
		{"0 ohm", Resistance, Positive, `found "0 ohm"; expected a resistance above zero`},
		{"-0 ohm", Resistance, Positive, `found "-0 ohm"; expected a resistance above zero`},
		{"-1 mohm", Resistance, NonNegative, `expected a resistance of at least zero`},
		{"20 Hz", Frequency, Between(20, 20e3), ""},
		{"20 kHz", Frequency, Between(20, 20e3), ""},
		{"19.999999999999 Hz", Frequency, Between(20, 20e3), "expected a frequency from 20 Hz to 20 kHz"},
		{"20000.00000001 Hz", Frequency, Between(20, 20e3), "expected a frequency from 20 Hz to 20 kHz"},
		{"1 H", Inductance, Bounds{Max: 1, Open: true}, ""},
		{"0 H", Inductance, Bounds{Max: 1, Open: true}, "expected an inductance above zero and up to 1 H"},
		{"3 dB", Level, AtLeast(4), "expected a level of at least 4 dB"},
	} {
		_, err := Parse(test.text, test.d, test.b)
		if (err == nil) != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.text, err, test.want)
		}
	}
}
