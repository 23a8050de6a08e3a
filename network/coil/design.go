package coil

import (
	"errors"
	"fmt"
	"math"

	"loadscape/network/wire"
)

// A Spec says what a coil should be. Give the wire's diameter, or else the
// resistance that it should come to.
type Spec struct {
	Inductance  float64   // H, 1e-8 to 100
	Wire        wire.Wire // diameter 0: found from Resistance
	Resistance  float64   // ohm of direct current at 20 °C; 0: that of Wire
	InnerRadius float64   // m, of the former, with Length; default Brooks shape
	Length      float64   // m, between the former's cheeks, with InnerRadius
	Stacking    float64   // rise of a layer over wire diameter, 0.86 (nested) to 2; default 1
	Frequency   float64   // Hz at which skin effect is told; default 1000
}

// A Coil is a coil that can be wound.
type Coil struct {
	InnerRadius   float64 // m, of the former
	Length        float64 // m, between the former's cheeks
	Depth         float64 // m, of all layers
	Wire          wire.Wire
	Turns         int
	TurnsPerLayer int
	Layers        int     // the last may be short of turns
	Inductance    float64 // H, turn by turn
	Wheeler       float64 // H, by Wheeler's formula, as a check
	WireLength    float64 // m, without the ends
	Mass          float64 // kg of copper
	Resistance    float64 // ohm of direct current at 20 °C
	SkinDepth     float64 // m, at the frequency asked for
	ACResistance  float64 // ohm at that frequency by skin effect alone: the least it can be
	Warnings      []string
}

const maxTurns = 20000

// Thinnest and thickest wire that a coil is wound of, in metres.
const (
	thinnest = 20e-6
	thickest = 10e-3
)

// Design returns the coil that fulfils spec with a whole number of turns.
func Design(spec Spec) (Coil, error) {
	if spec.Stacking == 0 {
		spec.Stacking = 1
	}
	if spec.Frequency == 0 {
		spec.Frequency = 1000
	}
	if err := spec.check(); err != nil {
		return Coil{}, err
	}
	if spec.Wire.Diameter == 0 {
		d, err := spec.diameter()
		if err != nil {
			return Coil{}, err
		}
		spec.Wire.Diameter = d
	}
	b, err := spec.bobbin()
	if err != nil {
		return Coil{}, err
	}
	turns, err := b.wholeTurns(spec.Inductance)
	if err != nil {
		return Coil{}, err
	}
	return b.coil(turns, spec), nil
}

func (s Spec) check() error {
	var errs []error
	within := func(what string, v, lo, hi, unit float64, name string) {
		if !(v >= lo && v <= hi) {
			errs = append(errs, fmt.Errorf("coil: %s is %g %s: expected %g to %g %s", what, v/unit, name, lo/unit, hi/unit, name))
		}
	}
	within("inductance", s.Inductance, 1e-8, 100, 1e-3, "mH")
	within("stacking", s.Stacking, 0.86, 2, 1, "of the wire's diameter")
	within("frequency", s.Frequency, 1e-3, 1e9, 1, "Hz")
	switch {
	case s.Wire.Diameter == 0 && s.Resistance == 0:
		errs = append(errs, errors.New("coil: neither wire nor resistance given: expected one of them"))
	case s.Wire.Diameter != 0 && s.Resistance != 0:
		errs = append(errs, errors.New("coil: wire and resistance given: expected one of them, since the wire sets the resistance"))
	case s.Wire.Diameter == 0:
		within("resistance", s.Resistance, 1e-4, 1e5, 1, "ohm")
	default:
		within("wire diameter", s.Wire.Diameter, thinnest, thickest, 1e-3, "mm")
	}
	if s.Wire.Enamel > wire.Grade2 {
		errs = append(errs, fmt.Errorf("coil: enamel is %v: expected bare, grade 1 or grade 2", s.Wire.Enamel))
	}
	if s.InnerRadius != 0 || s.Length != 0 {
		within("inner radius of the former", s.InnerRadius, 0.5e-3, 1, 1e-3, "mm")
		within("length of the former", s.Length, 0.1e-3, 2, 1e-3, "mm")
	}
	return errors.Join(errs...)
}

// diameter returns the wire that brings s to its resistance. In one former
// resistance falls with the square of the diameter, in a Brooks coil slower,
// since the coil grows with its wire.
func (s Spec) diameter() (float64, error) {
	lo, hi := math.Log(thinnest), math.Log(thickest)
	for range 30 {
		mid := (lo + hi) / 2
		s.Wire.Diameter = math.Exp(mid)
		b := s.ideal()
		if b.winding(b.turns(s.Inductance)).WireLength()*s.Wire.Resistance() > s.Resistance {
			lo = mid
		} else {
			hi = mid
		}
	}
	if d := math.Exp(hi); d > thinnest*1.001 && d < thickest*0.999 {
		return d, nil
	}
	return 0, fmt.Errorf("coil: no wire of %g to %g mm brings %g mH to %g ohm in this former",
		1e3*thinnest, 1e3*thickest, 1e3*s.Inductance, s.Resistance)
}

// coil returns the coil of whole turns on b.
func (b bobbin) coil(turns int, spec Spec) Coil {
	perLayer := int(b.perLayer)
	c := Coil{
		InnerRadius: b.radius, Length: b.length, Wire: b.wire,
		Turns: turns, TurnsPerLayer: perLayer, Layers: (turns + perLayer - 1) / perLayer,
		Inductance: b.inductance(turns),
		Wheeler:    b.winding(float64(turns)).Wheeler(),
		SkinDepth:  wire.SkinDepth(spec.Frequency),
	}
	c.Depth = float64(c.Layers) * b.rise
	for layer := range c.Layers {
		n := min(perLayer, turns-layer*perLayer)
		c.WireLength += float64(n) * 2 * math.Pi * b.layer(layer)
	}
	c.Mass = c.WireLength * b.wire.Mass()
	c.Resistance = c.WireLength * b.wire.Resistance()
	c.ACResistance = c.Resistance * real(b.wire.SkinEffect(spec.Frequency))
	c.Warnings = c.doubts(spec)
	return c
}

// doubts tells what about c may surprise its builder.
func (c Coil) doubts(spec Spec) []string {
	var doubts []string
	say := func(format string, args ...any) { doubts = append(doubts, fmt.Sprintf(format, args...)) }
	if off := c.Inductance/spec.Inductance - 1; math.Abs(off) > 0.01 {
		say("whole turns come to %.4g mH, %+.1f %% from what was asked", 1e3*c.Inductance, 100*off)
	}
	if spec.Resistance > 0 {
		if off := c.Resistance/spec.Resistance - 1; math.Abs(off) > 0.01 {
			say("whole turns come to %.4g ohm, %+.1f %% from what was asked", c.Resistance, 100*off)
		}
	}
	if off := c.Wheeler/c.Inductance - 1; math.Abs(off) > 0.03 {
		say("Wheeler's formula gives %.4g mH, %+.1f %%: the shape is outside its range", 1e3*c.Wheeler, 100*off)
	}
	if c.Wire.Diameter > 2*c.SkinDepth {
		say("the wire is thicker than two skin depths at %g Hz: its resistance rises there, by the proximity of turns more than told", spec.Frequency)
	}
	return doubts
}
