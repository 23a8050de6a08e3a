package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Values are what the decimal in the second column reads as, to the last bit:
// the meaning of the SI prefixes (SI Brochure, 9th edition, Table 7).
func TestParse(t *testing.T) {
	for _, test := range []struct {
		text string
		d    Dimension
		want float64
	}{
		{"0.66", Number, 0.66}, {"-3", Number, -3}, {"2.5e-3", Number, 0.0025}, {".5", Number, 0.5}, {"5.", Number, 5},
		{"0.92", Ratio, 0.92}, {"5 %", Ratio, 0.05}, {"5%", Ratio, 0.05}, {"110 %", Ratio, 1.1},
		{"6.5 ohm", Resistance, 6.5}, {"6.5ohm", Resistance, 6.5}, {" 8  Ohms ", Resistance, 8}, {"8 ohms", Resistance, 8},
		{"8 \u2126", Resistance, 8}, {"8\u03a9", Resistance, 8}, {"4.7 k\u03a9", Resistance, 4700}, {"4.7kohm", Resistance, 4700},
		{"50 mohm", Resistance, 0.05}, {"1 Mohm", Resistance, 1e6}, {"50 m\u2126", Resistance, 0.05}, {"2.2 M\u2126", Resistance, 2.2e6},
		{"47R", Resistance, 47}, {"4.7k", Resistance, 4700}, {"4.7 k", Resistance, 4700}, {"10M", Resistance, 1e7}, {"3.3K", Resistance, 3300},
		{"0 ohm", Resistance, 0}, {"-8 ohm", Resistance, -8}, {"\u22128 ohm", Resistance, -8}, {"+8 ohm", Resistance, 8},
		{"8\u00a0ohm", Resistance, 8}, {"8e0 ohm", Resistance, 8}, {"0.8E1ohm", Resistance, 8}, {"800e-2 ohm", Resistance, 8},
		{"0.6 mH", Inductance, 0.6e-3}, {"20mH", Inductance, 20e-3}, {"15 H", Inductance, 15}, {"820 uH", Inductance, 820e-6},
		{"820 \u00b5H", Inductance, 820e-6}, {"820 \u03bcH", Inductance, 820e-6}, {"100 nH", Inductance, 100e-9},
		{"220 uF", Capacitance, 220e-6}, {"220\u00b5F", Capacitance, 220e-6}, {"220\u03bcF", Capacitance, 220e-6},
		{"4.7 nF", Capacitance, 4.7e-9}, {"33 pF", Capacitance, 33e-12}, {"2 mF", Capacitance, 2e-3}, {"1 F", Capacitance, 1},
		{"78 Hz", Frequency, 78}, {"20kHz", Frequency, 20e3}, {"2.5 kHz", Frequency, 2500}, {"1 MHz", Frequency, 1e6},
		{"40 W", Power, 40}, {"250 mW", Power, 0.25}, {"1.2 kW", Power, 1200}, {"4.00 V", Voltage, 4}, {"2.83V", Voltage, 2.83},
		{"775 mV", Voltage, 0.775}, {"2.2 A", Current, 2.2}, {"35 mA", Current, 0.035},
		{"0.9 mm", Length, 0.9e-3}, {"6 m", Length, 6}, {"30 cm", Length, 0.3}, {"25 um", Length, 25e-6},
		{"522 cm2", Area, 0.0522}, {"522 cm\u00b2", Area, 0.0522}, {"522 cm^2", Area, 0.0522}, {"1.5 mm2", Area, 1.5e-6}, {"0.0340 m2", Area, 0.034},
		{"51 L", Volume, 0.051}, {"51l", Volume, 0.051}, {"350 mL", Volume, 350e-6}, {"0.1 m3", Volume, 0.1}, {"51 dm3", Volume, 0.051}, {"51000 cm\u00b3", Volume, 0.051},
		{"30 g", Mass, 0.03}, {"0.062 kg", Mass, 0.062}, {"500 mg", Mass, 500e-6},
		{"0.12 mm/N", Compliance, 0.12e-3}, {"120 um/N", Compliance, 120e-6}, {"120 \u00b5m/N", Compliance, 120e-6}, {"1.2e-4 m/N", Compliance, 1.2e-4},
		{"2.1 kg/s", MechanicalResistance, 2.1}, {"2.1 N s/m", MechanicalResistance, 2.1}, {"2.1 N\u00b7s/m", MechanicalResistance, 2.1}, {"2.1 N*s/m", MechanicalResistance, 2.1}, {"2.1Ns/m", MechanicalResistance, 2.1},
		{"12.5 T m", ForceFactor, 12.5}, {"12.5 T\u00b7m", ForceFactor, 12.5}, {"12.5 Tm", ForceFactor, 12.5}, {"12.5 N/A", ForceFactor, 12.5},
		{"101.325 kPa", Pressure, 101325}, {"1013.25 hPa", Pressure, 101325}, {"1013.25 mbar", Pressure, 101325}, {"20 uPa", Pressure, 20e-6},
		{"20 C", Temperature, 20}, {"-5 \u00b0C", Temperature, -5}, {"20\u2103", Temperature, 20},
		{"12 dB", Level, 12}, {"-25dB", Level, -25}, {"80 phon", LoudnessLevel, 80}, {"10 s", Time, 10}, {"50 ms", Time, 0.05},
		{"0.6 uH/m", LoopInductance, 0.6e-6},
	} {
		got, err := Parse(test.text, test.d)
		if err != nil || got != test.want {
			t.Errorf("Parse(%q, %v) = %v, %v; want %v", test.text, test.d, got, err, test.want)
		}
	}
}

// IEC 60062, the examples of its table of letter codes for resistances (from
// memory), and the small k of the trade.
func TestLetterCode(t *testing.T) {
	for code, want := range map[string]float64{
		"R10": 0.1, "R15": 0.15, "R332": 0.332, "R590": 0.59, "1R0": 1, "1R5": 1.5, "3R32": 3.32, "10R": 10, "33R2": 33.2, "100R": 100, "590R": 590,
		"1K0": 1e3, "3K32": 3320, "59K": 59e3, "100K": 100e3, "1M0": 1e6, "3M32": 3.32e6, "590M": 590e6,
		"1G0": 1e9, "3G32": 3.32e9, "1T0": 1e12, "3T32": 3.32e12, "4R7": 4.7, "1k2": 1200,
	} {
		if got, err := Parse(code, Resistance); err != nil || got != want {
			t.Errorf("%s = %v, %v; want %v", code, got, err, want)
		}
	}
	for _, bad := range []string{"4m7", "4R7R", "4R7k", "4R7 ohm", "-4R7", "R", "4.7R2", "4R-7", "4r7", "4u7", "4R7J"} {
		if got, err := Parse(bad, Resistance); err == nil {
			t.Errorf("%s = %v, want an error", bad, got)
		}
	}
}

// The inch, the foot, the ounce and the pound are exact: NIST Special
// Publication 811 (2008), Appendix B.8, with all digits printed there.
func TestParseCustomaryUnits(t *testing.T) {
	for _, test := range []struct {
		text string
		d    Dimension
		want float64
	}{
		{"1 in", Length, 2.54e-2}, {"1 ft", Length, 3.048e-1}, {"1 in2", Area, 6.4516e-4}, {"1 ft2", Area, 9.290304e-2},
		{"1 in3", Volume, 1.638706e-5}, {"1 ft3", Volume, 2.831685e-2}, {"1 oz", Mass, 2.834952e-2}, {"1 lb", Mass, 4.535924e-1},
		{"20 ft", Length, 6.096}, {"1 bar", Pressure, 1e5},
	} {
		got, err := Parse(test.text, test.d)
		// Seven digits are the printed ones; 5e-7 is half a unit in the last.
		if err != nil || math.Abs(got-test.want) > 5e-7*test.want {
			t.Errorf("%s = %v, %v; want %v", test.text, got, err, test.want)
		}
	}
}

func TestParseErrors(t *testing.T) {
	for _, test := range []struct {
		text       string
		d          Dimension
		part       string
		message    string
		suggestion string
	}{
		{"8", Resistance, "8", `found "8", a number without a unit; expected a resistance such as 8 ohm, 4.7k or 4R7`, ""},
		{"20 MH", Inductance, "MH", `found "20 MH" with the unknown unit "MH"; expected an inductance such as 0.6 mH`, "mH"},
		{"220 MF", Capacitance, "MF", `unknown unit "MF"`, "mF"},
		{"220 uf", Capacitance, "uf", `unknown unit "uf"`, "uF"},
		{"82 hz", Frequency, "hz", `unknown unit "hz"`, "Hz"},
		{"1 MHZ", Frequency, "MHZ", `unknown unit "MHZ"`, "MHz"},
		{"1 MOHM", Resistance, "MOHM", `unknown unit "MOHM"`, ""},
		{"4.7m", Resistance, "m", `found "4.7m", a length; expected a resistance`, ""},
		{"8 kg", Resistance, "kg", `found "8 kg", a mass`, ""},
		{"5 %", Resistance, "%", `found "5 %", a ratio`, ""},
		{"8 ohm", Number, "ohm", `found "8 ohm", a resistance; expected a plain number such as 0.66`, ""},
		{"5 %", Number, "%", `found "5 %", a ratio`, ""},
		{"6,5 ohm", Resistance, ",5 ohm", `found "6,5 ohm", a number with a comma; expected a resistance such as 8 ohm, 4.7k or 4R7, with a decimal point`, ""},
		{"20,000 Hz", Frequency, ",000 Hz", `a number with a comma`, ""},
		{"eight ohm", Resistance, "eight ohm", `found "eight ohm", which does not begin with a number`, ""},
		{"", Level, "", "found nothing; expected a level such as 12 dB", ""},
		{" ", Level, " ", "found nothing", ""},
		{"-", Level, "-", "does not begin with a number", ""},
		{".", Level, ".", "does not begin with a number", ""},
		{"NaN ohm", Resistance, "NaN ohm", "does not begin with a number", ""},
		{"Inf ohm", Resistance, "Inf ohm", "does not begin with a number", ""},
		{"+inf ohm", Resistance, "+inf ohm", "does not begin with a number", ""},
		{"0x10 ohm", Resistance, "x10 ohm", "unknown unit", ""},
		{"1_000 ohm", Resistance, "_000 ohm", "unknown unit", ""},
		{"1 000 ohm", Resistance, "000 ohm", "unknown unit", ""},
		{"8 ohm please", Resistance, "ohm please", "unknown unit", ""},
		{"8 ohm 2", Resistance, "ohm 2", "unknown unit", ""},
		{"1.2.3 ohm", Resistance, ".3 ohm", "unknown unit", ""},
		{"1e ohm", Resistance, "e ohm", "unknown unit", ""},
		{"1e400 ohm", Resistance, "1e400", "too large or too small", ""},
		{"-1e400 ohm", Resistance, "-1e400", "too large or too small", ""},
		{"1e-400 ohm", Resistance, "1e-400", "too large or too small", ""},
		{"1e99999999999999999999 ohm", Resistance, "1e99999999999999999999", "too large or too small", ""},
		{"1e306 kohm", Resistance, "1e306", "too large or too small", ""},
		{"8 ohm\x1b[31m", Resistance, "ohm\x1b[31m", `"ohm\x1b[31m"`, ""},
		{"1" + strings.Repeat("0", 70) + " ohm", Resistance, "", "a text of 75 bytes, more than 64", ""},
	} {
		_, err := Parse(test.text, test.d)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("Parse(%q, %v): error %v", test.text, test.d, err)
			continue
		}
		if test.part != "" && e.Part != test.part || e.Input != test.text || e.Suggestion != test.suggestion || !strings.Contains(e.Error(), test.message) {
			t.Errorf("Parse(%q, %v): %v (part %q)\nwant %s (part %q, suggestion %q)", test.text, test.d, e, e.Part, test.message, test.part, test.suggestion)
		}
	}
}

// Every unit of every dimension is read, and by no two meanings.
func TestSpellings(t *testing.T) {
	for d := range dimensions {
		seen := map[string]bool{}
		for _, s := range spelled[d] {
			if seen[s] {
				t.Errorf("%v: %q is listed twice", d, s)
			}
			seen[s] = true
			if normal(s) != s {
				t.Errorf("%v: %q is never looked up, since it is normalised to %q", d, s, normal(s))
			}
			if v, err := Parse("1 "+s, d); err != nil || v <= 0 {
				t.Errorf("1 %s = %v, %v", s, v, err)
			}
		}
		for _, example := range strings.FieldsFunc(kinds[d].examples, func(r rune) bool { return r == ',' }) {
			for e := range strings.SplitSeq(example, " or ") {
				if _, err := Parse(e, d); err != nil {
					t.Errorf("%v: its example: %v", d, err)
				}
			}
		}
		for i, u := range kinds[d].ladder {
			sc, ok := spellings[d][u]
			if !ok || sc.factor != 0 || i > 0 && sc.exponent <= spellings[d][kinds[d].ladder[i-1]].exponent {
				t.Errorf("%v: %q in the ladder", d, u)
			}
		}
	}
}

func TestUnknownDimension(t *testing.T) {
	for what, f := range map[string]func(){
		"Parse":    func() { Parse("1", dimensions) },
		"Format":   func() { Format(1, 200, 0) },
		"digits":   func() { Format(1, Number, -1) },
		"Expected": func() { dimensions.Expected() },
	} {
		func() {
			defer func() {
				if s, _ := recover().(string); !strings.HasPrefix(s, "quantity: ") {
					t.Errorf("%s: no panic of the package", what)
				}
			}()
			f()
		}()
	}
	if s := Dimension(200).String(); s != "Dimension(200)" {
		t.Error(s)
	}
}
