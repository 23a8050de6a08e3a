package quantity

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The prefix changes where the digits before the point would be four, after
// rounding: at the value, and at its neighbours.
func TestFormat(t *testing.T) {
	down := func(x float64) float64 { return math.Nextafter(x, 0) }
	for _, test := range []struct {
		v      float64
		d      Dimension
		digits int
		want   string
	}{
		{4700, Resistance, 3, "4.7 kohm"}, {6.5, Resistance, 3, "6.5 ohm"}, {0.05, Resistance, 0, "50 mohm"}, {0, Resistance, 3, "0 ohm"},
		{-8, Resistance, 0, "-8 ohm"}, {math.Copysign(0, -1), Resistance, 3, "0 ohm"},
		{1000, Resistance, 0, "1 kohm"}, {down(1000), Resistance, 0, "999.9999999999999 ohm"}, {down(1000), Resistance, 3, "1 kohm"},
		{999.4, Resistance, 3, "999 ohm"}, {999.5, Resistance, 3, "1 kohm"}, {down(999.5), Resistance, 3, "999 ohm"}, {999.5, Resistance, 4, "999.5 ohm"},
		{1, Resistance, 0, "1 ohm"}, {down(1), Resistance, 4, "1 ohm"}, {0.9994, Resistance, 3, "999 mohm"},
		{123456, Resistance, 2, "120 kohm"}, {1e30, Resistance, 0, "1e30 ohm"}, {1.5e-30, Resistance, 0, "1.5e-30 ohm"}, {3e-9, Resistance, 0, "0.003 uohm"},
		{220e-6, Capacitance, 0, "220 uF"}, {4.7e-9, Capacitance, 3, "4.7 nF"}, {0.6e-3, Inductance, 0, "600 uH"}, {20e-3, Inductance, 0, "20 mH"},
		{78, Frequency, 3, "78 Hz"}, {0.5, Frequency, 0, "0.5 Hz"}, {20e3, Frequency, 0, "20 kHz"}, {997, Frequency, 2, "1 kHz"},
		{0.051, Volume, 0, "51 L"}, {350e-6, Volume, 0, "350 mL"}, {1, Volume, 0, "1 m3"}, {0.0522, Area, 0, "522 cm2"}, {1.5e-6, Area, 0, "1.5 mm2"},
		{0.9e-3, Length, 0, "900 um"}, {0.015, Length, 0, "15 mm"}, {0.038, Mass, 0, "38 g"}, {0.12e-3, Compliance, 0, "120 um/N"},
		{101325, Pressure, 0, "101.325 kPa"}, {20, Temperature, 0, "20 C"}, {-25, Level, 0, "-25 dB"}, {5.4321, Level, 2, "5.4 dB"}, {12.5, ForceFactor, 0, "12.5 T m"},
		{1234.5, Level, 0, "1234.5 dB"}, {0.05, Ratio, 0, "0.05"}, {123456, Number, 0, "123456"}, {1234567, Number, 0, "1.234567e6"}, {1e-5, Number, 0, "1e-5"}, {1e-4, Number, 0, "0.0001"},
		{math.Inf(1), Resistance, 3, "+Inf ohm"}, {math.NaN(), Level, 3, "NaN dB"},
	} {
		if got := Format(test.v, test.d, test.digits); got != test.want {
			t.Errorf("Format(%v, %v, %d) = %q, want %q", test.v, test.d, test.digits, got, test.want)
		}
	}
}

// checkRoundTrip reports where Format and Parse are not each other's inverse.
func checkRoundTrip(t *testing.T, v float64, d Dimension) {
	t.Helper()
	exact := Format(v, d, 0)
	if got, err := Parse(exact, d); err != nil || got != v {
		t.Errorf("Parse(%q, %v) = %v, %v; want %v", exact, d, got, err, v)
	}
	rounded := Format(v, d, 4)
	got, err := Parse(rounded, d)
	if math.Abs(v) > math.MaxFloat64*(1-5e-4) || math.Abs(v) < 1e-300 {
		return // rounding may leave the float64s
	}
	if err != nil || math.Abs(got-v) > 5.0001e-4*math.Abs(v) {
		t.Errorf("Parse(%q, %v) = %v, %v; want %v to four digits", rounded, d, got, err, v)
	}
}

func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for d := range dimensions {
		for range 2000 {
			v := math.Float64frombits(rng.Uint64())
			if math.IsNaN(v) || math.IsInf(v, 0) {
				continue
			}
			checkRoundTrip(t, v, d)
			checkRoundTrip(t, math.Pow(10, 40*rng.Float64()-20), d)
		}
		for _, v := range []float64{0, math.SmallestNonzeroFloat64, math.MaxFloat64, -math.MaxFloat64, 1, 1e3, 1e-3} {
			checkRoundTrip(t, v, d)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add("6.5 ohm", byte(Resistance))
	f.Fuzz(func(t *testing.T, text string, which byte) {
		d := Dimension(which % byte(dimensions))
		v, err := Parse(text, d)
		if err == nil {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("Parse(%q, %v) = %v", text, d, v)
			}
			checkRoundTrip(t, v, d)
			return
		}
		var e *Error
		if !errors.As(err, &e) || e.Found == "" || e.Expected == "" || strings.ContainsAny(err.Error(), "\n\r\x1b") {
			t.Errorf("Parse(%q, %v): error %q", text, d, err)
		}
		if !strings.Contains(text, e.Part) {
			t.Errorf("Parse(%q, %v): %q is no part of the text", text, d, e.Part)
		}
	})
}
