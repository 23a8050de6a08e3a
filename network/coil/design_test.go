package coil

import (
	"math"
	"strings"
	"testing"

	"loadscape/network/wire"
)

func design(t *testing.T, spec Spec) Coil {
	t.Helper()
	c, err := Design(spec)
	if err != nil {
		t.Fatalf("%+v: %v", spec, err)
	}
	return c
}

func enamelled(mm float64) wire.Wire { return wire.Wire{Diameter: mm * 1e-3, Enamel: wire.Grade1} }

var specs = []Spec{
	{Inductance: 20e-3, Wire: enamelled(0.8)},
	{Inductance: 1e-3, Wire: enamelled(1.4), InnerRadius: 20e-3, Length: 30e-3},
	{Inductance: 0.1e-3, Wire: enamelled(0.5), InnerRadius: 10e-3, Length: 60e-3},
	{Inductance: 5e-3, Wire: wire.Wire{Diameter: 1e-3}, InnerRadius: 40e-3, Length: 10e-3, Stacking: 1.1},
	{Inductance: 5e-3, Wire: enamelled(1), Stacking: math.Sqrt(3) / 2},
	{Inductance: 0.5e-3, Resistance: 0.2},
	{Inductance: 20e-3, Resistance: 0.8, Wire: wire.Wire{Enamel: wire.Grade2}},
	{Inductance: 2e-3, Resistance: 1.5, InnerRadius: 15e-3, Length: 20e-3},
}

// The slow reference: each turn a ring of its own, all pairs.
func TestInductanceTurnByTurn(t *testing.T) {
	for _, spec := range specs {
		c := design(t, spec)
		rise := c.Depth / float64(c.Layers)
		pitch := c.Length / float64(c.TurnsPerLayer)
		var radius, place []float64
		for k := range c.Turns {
			layer := k / c.TurnsPerLayer
			radius = append(radius, c.InnerRadius+(float64(layer)+0.5)*rise)
			place = append(place, float64(k%c.TurnsPerLayer)*pitch)
		}
		var sum, length float64
		for i, a := range radius {
			sum += self(a, math.Exp(-0.25)*c.Wire.Diameter/2)
			length += 2 * math.Pi * a
			for j := range i {
				sum += 2 * Mutual(a, radius[j], place[i]-place[j])
			}
		}
		near(t, "inductance", c.Inductance, sum, 1e-12)
		near(t, "wire", c.WireLength, length, 1e-12)
		// Current that fills the section evenly differs by the insulation
		// and by the last layer, which it spreads out.
		w := Winding{c.InnerRadius, c.Length, float64(c.Turns) / float64(c.TurnsPerLayer) * rise, float64(c.Turns)}
		near(t, "evenly spread", w.Inductance(), sum, 0.03)
	}
}

// A designed coil has what was asked for within half a turn, and fits.
func TestDesignMeetsItsSpec(t *testing.T) {
	for _, spec := range specs {
		c := design(t, spec)
		near(t, "inductance", c.Inductance, spec.Inductance, 1.5/float64(c.Turns))
		if spec.Resistance > 0 {
			near(t, "resistance", c.Resistance, spec.Resistance, 0.02)
		}
		if spec.Length > 0 && (c.Length != spec.Length || c.InnerRadius != spec.InnerRadius) {
			t.Errorf("wound on another former: %+v", c)
		}
		if room := float64(c.TurnsPerLayer) * c.Wire.Overall(); room > c.Length*(1+1e-9) {
			t.Errorf("%d turns of %g m in a former of %g m", c.TurnsPerLayer, c.Wire.Overall(), c.Length)
		}
		if c.Turns > c.Layers*c.TurnsPerLayer || c.Turns <= (c.Layers-1)*c.TurnsPerLayer {
			t.Errorf("%d turns in %d layers of %d", c.Turns, c.Layers, c.TurnsPerLayer)
		}
		near(t, "copper", c.Mass, wire.Density*c.Wire.Area()*c.WireLength, 1e-12)
		near(t, "direct current", c.Resistance, wire.Resistivity*c.WireLength/c.Wire.Area(), 1e-12)
		if c.ACResistance < c.Resistance {
			t.Errorf("%g ohm at 1 kHz, %g ohm of direct current", c.ACResistance, c.Resistance)
		}
	}
}

// The default shape is Brooks's (J. Res. NBS 7 (1931)): its formula, the ideal
// length of wire and nearly his depth come out.
func TestDefaultIsBrooks(t *testing.T) {
	c := design(t, Spec{Inductance: 50e-3, Wire: enamelled(0.5)})
	near(t, "radius", c.InnerRadius, c.Length, 1e-12)
	near(t, "depth", c.Depth, c.Length, 2.1/float64(c.TurnsPerLayer)) // a turn in the side, a layer begun
	near(t, "constant", c.Inductance/(1.5*c.Length*float64(c.Turns)*float64(c.Turns)), brooks, 0.02)
	ideal := Brooks(c.Length, c.Inductance)
	near(t, "turns", float64(c.Turns), ideal.Turns, 0.01)
	near(t, "wire", c.WireLength, ideal.WireLength(), 0.02)
}

// Less resistance takes thicker wire, and more of copper.
func TestResistanceCostsCopper(t *testing.T) {
	last := design(t, Spec{Inductance: 10e-3, Resistance: 4})
	for _, ohms := range []float64{2, 1, 0.5} {
		c := design(t, Spec{Inductance: 10e-3, Resistance: ohms})
		if c.Wire.Diameter <= last.Wire.Diameter || c.Mass <= last.Mass {
			t.Errorf("%g ohm: %g mm and %g kg after %g mm and %g kg", ohms, 1e3*c.Wire.Diameter, c.Mass, 1e3*last.Wire.Diameter, last.Mass)
		}
		last = c
	}
}

func TestWarnings(t *testing.T) {
	for _, test := range []struct {
		spec Spec
		says string
	}{
		{Spec{Inductance: 1e-6, Wire: enamelled(3)}, "from what was asked"},
		{Spec{Inductance: 1e-3, Wire: enamelled(1.5), Frequency: 20e3}, "two skin depths at 20000 Hz"},
		{Spec{Inductance: 1e-3, Wire: enamelled(0.5), InnerRadius: 5e-3, Length: 0.3}, "outside its range"},
	} {
		if got := strings.Join(design(t, test.spec).Warnings, "\n"); !strings.Contains(got, test.says) {
			t.Errorf("%+v: warnings %q do not say %q", test.spec, got, test.says)
		}
	}
	if got := design(t, specs[0]).Warnings; got != nil {
		t.Errorf("warnings about an ordinary coil: %q", got)
	}
}

func TestBadSpecs(t *testing.T) {
	good := Spec{Inductance: 1e-3, Wire: enamelled(1)}
	for says, change := range map[string]func(*Spec){
		"inductance is 0 mH":                  func(s *Spec) { s.Inductance = 0 },
		"inductance is NaN mH":                func(s *Spec) { s.Inductance = math.NaN() },
		"neither wire nor resistance":         func(s *Spec) { s.Wire.Diameter = 0 },
		"wire and resistance given":           func(s *Spec) { s.Resistance = 1 },
		"resistance is -1 ohm":                func(s *Spec) { s.Wire.Diameter, s.Resistance = 0, -1 },
		"wire diameter is -1 mm":              func(s *Spec) { s.Wire.Diameter = -1e-3 },
		"enamel is Enamel(7)":                 func(s *Spec) { s.Wire.Enamel = 7 },
		"stacking is 0.5":                     func(s *Spec) { s.Stacking = 0.5 },
		"frequency is -1 Hz":                  func(s *Spec) { s.Frequency = -1 },
		"length of the former is 0 mm":        func(s *Spec) { s.InnerRadius = 10e-3 },
		"inner radius of the former is 0 mm":  func(s *Spec) { s.Length = 10e-3 },
		"room for a wire of 1.06 mm":          func(s *Spec) { s.InnerRadius, s.Length = 10e-3, 1e-3 },
		"a single turn of 1 mm wire has more": func(s *Spec) { s.Inductance, s.InnerRadius, s.Length = 1e-7, 1, 10e-3 },
		"more than 20000 turns":               func(s *Spec) { s.Inductance, s.Wire.Diameter, s.InnerRadius, s.Length = 100, 1e-4, 1e-3, 0.5 },
		"no wire of 0.02 to 10 mm":            func(s *Spec) { s.Wire.Diameter, s.Resistance = 0, 1e-4 },
	} {
		spec := good
		change(&spec)
		if _, err := Design(spec); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("error %v does not say %q", err, says)
		}
	}
}

func BenchmarkDesign(b *testing.B) {
	for b.Loop() {
		if _, err := Design(specs[0]); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDesignForResistance(b *testing.B) {
	for b.Loop() {
		if _, err := Design(specs[6]); err != nil {
			b.Fatal(err)
		}
	}
}
