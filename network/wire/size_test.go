package wire

import (
	"math"
	"strings"
	"testing"
)

// ASTM B258: diameters in inches as printed, four decimals. From memory, but
// for 0000 and 36, which define the gauge.
func TestStandardGauges(t *testing.T) {
	for gauge, inches := range map[AWG]float64{
		-3: 0.4600, -2: 0.4096, -1: 0.3648, 0: 0.3249, 1: 0.2893, 10: 0.1019, 12: 0.0808,
		14: 0.0641, 16: 0.0508, 18: 0.0403, 20: 0.0320, 24: 0.0201, 30: 0.0100, 36: 0.0050,
	} {
		if got := gauge.Diameter() / 25.4e-3; math.Abs(got-inches) > 5.01e-5 {
			t.Errorf("%v: %.5f in, want %.4f", gauge, got, inches)
		}
	}
	near(t, "10 AWG in mm2 (recomputed)", 1e6*AWG(10).Area(), 5.261155, 1e-7)
}

func TestParseAWG(t *testing.T) {
	for text, want := range map[string]AWG{
		"16": 16, "16 AWG": 16, "16AWG": 16, " awg 16 ": 16, "0": 0, "00": -1, "000": -2, "0000": -3,
		"1/0": 0, "2/0 AWG": -1, "3/0": -2, "4/0": -3, "1": 1, "56": 56,
	} {
		if got, err := ParseAWG(text); err != nil || got != want {
			t.Errorf("ParseAWG(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "AWG", "57", "-1", "00000", "5/0", "0/0", "12/0", "/0", "016", "1.5", "16 mm2", "x"} {
		if got, err := ParseAWG(text); err == nil || !strings.Contains(err.Error(), "expected 0000") {
			t.Errorf("ParseAWG(%q) = %v, %v", text, got, err)
		}
	}
	for g := Thickest; g <= Thinnest; g++ {
		if got, err := ParseAWG(g.String()); err != nil || got != g {
			t.Errorf("ParseAWG(%q) = %v, %v", g, got, err)
		}
	}
}

// IEC 60228, Table 1: largest resistance in ohm/km at 20 °C of plain copper,
// classes 1 and 2, from memory. A conductor of the nominal area lies below it
// by what the standard allows for stranding and drawing, 3 to 7 %.
func TestStandardAreas(t *testing.T) {
	for mm2, limit := range map[float64]float64{
		0.5: 36.0, 0.75: 24.5, 1: 18.1, 1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15, 25: 0.727,
	} {
		area, ok := StandardArea(mm2 * 1e-6)
		if !ok || math.Abs(area-mm2*1e-6) > 1e-15 {
			t.Errorf("%g mm2 is not a standard area", mm2)
		}
		if r := Resistivity / area * 1000; r > 0.97*limit || r < 0.93*limit {
			t.Errorf("%g mm2: %.3f ohm/km against a limit of %g", mm2, r, limit)
		}
	}
	if area, ok := StandardArea(1.51e-6); !ok || math.Abs(area-2.5e-6) > 1e-18 {
		t.Errorf("above 1.51 mm2 comes %g, %v", area, ok)
	}
	if _, ok := StandardArea(2501e-6); ok {
		t.Error("an area above the largest")
	}
}

func TestCable(t *testing.T) {
	c := Cable{Length: 6, Area: AWG(16).Area(), LoopInductance: DefaultLoopInductance}
	// 4.016 ohm per 1000 ft (Bureau of Standards' wire table), out and back.
	near(t, "6 m of 16 AWG", c.Resistance(), 2*6/0.3048*4.016e-3, 5e-4)
	near(t, "loop inductance", c.Inductance(), 3.6e-6, 1e-12)
	hot := c
	hot.Rise = 40
	near(t, "at 60 °C", hot.Resistance()/c.Resistance(), 1.1572, 1e-12)
	// 10 m of 1.5 mm2 out and back: ρ·20/1.5e-6.
	near(t, "10 m of 1.5 mm2", Cable{Length: 10, Area: 1.5e-6}.Resistance(), 20/(58*1.5), 1e-12)
}

func TestCableValidate(t *testing.T) {
	good := Cable{Length: 6, Area: 1.5e-6, LoopInductance: 1e-6, Rise: -40}
	if err := good.Validate(); err != nil {
		t.Error(err)
	}
	for field, change := range map[string]func(*Cable){
		"length":           func(c *Cable) { c.Length = 0 },
		"area":             func(c *Cable) { c.Area = -1e-6 },
		"loop inductance":  func(c *Cable) { c.LoopInductance = math.NaN() },
		"temperature rise": func(c *Cable) { c.Rise = -254 },
	} {
		c := good
		change(&c)
		if err := c.Validate(); err == nil || !strings.Contains(err.Error(), field) {
			t.Errorf("%s: error %v", field, err)
		}
	}
}

// Two wires of 1.38 mm, 2.8 mm apart, against the flux between them (outside
// part, by summation) and 1/8π·μ0 inside each.
func TestPairInductance(t *testing.T) {
	const d, spacing, steps = 1.38e-3, 2.8e-3, 100000
	// Flux of one wire through the strip from its surface to the other's
	// centre, the handbooks' rule for current spread over the section.
	var flux float64
	step := (spacing - d/2) / steps
	for i := range steps {
		flux += mu0 / (2 * math.Pi) / (d/2 + (float64(i)+0.5)*step) * step
	}
	got, err := PairInductance(d, spacing)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pair", got, 2*(flux+mu0/(8*math.Pi)), 1e-8)
	near(t, "default", DefaultLoopInductance, got, 0.15)
	for _, bad := range [][2]float64{{1e-3, 0.9e-3}, {0, 1e-3}, {1e-3, math.Inf(1)}, {math.NaN(), 1}} {
		if _, err := PairInductance(bad[0], bad[1]); err == nil {
			t.Errorf("%v: no error", bad)
		}
	}
}
