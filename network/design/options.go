package design

import (
	"fmt"

	"loadscape/network/preferred"
	"loadscape/network/wire"
)

// Limits are the errors with which a design may pass for its target.
type Limits struct {
	Impedance float64 // RMS relative error, 1e-6 to 1; default 0.05
	Tone      float64 // dB RMS, 1e-4 to 20; default 0.5
}

// Options guide [Find].
type Options struct {
	Limits   Limits
	MaxParts int     // 1 to 16; default 10
	Parts    int     // the number to take, at most MaxParts; default: as the front says
	Shunt    float64 // ohm across the load, 0.1 to 1e6; default none
	// The values in which parts of each kind are to be had; nil, or no series,
	// leaves parts of that kind as they were fitted.
	Resistors, Inductors, Capacitors preferred.Values
	Wire                             wire.Wire // of the coils; default 1.29 mm (16 AWG), grade 2
}

// DefaultGauge is the wire of coils for which none is given.
const DefaultGauge wire.AWG = 16

// Defaults returns the options with their zero fields set.
func (o Options) Defaults() Options {
	if o.Limits.Impedance == 0 {
		o.Limits.Impedance = 0.05
	}
	if o.Limits.Tone == 0 {
		o.Limits.Tone = 0.5
	}
	if o.MaxParts == 0 {
		o.MaxParts = 10
	}
	if o.Wire.Diameter == 0 {
		o.Wire = wire.Wire{Diameter: DefaultGauge.Diameter(), Enamel: wire.Grade2}
	}
	return o
}

func (o Options) check() error {
	switch {
	case !(o.Limits.Impedance >= 1e-6 && o.Limits.Impedance <= 1):
		return fmt.Errorf("design: limit of the impedance error %g: expected 1e-6 to 1", o.Limits.Impedance)
	case !(o.Limits.Tone >= 1e-4 && o.Limits.Tone <= 20):
		return fmt.Errorf("design: limit of the tone deviation %g dB: expected 1e-4 to 20 dB", o.Limits.Tone)
	case o.MaxParts < 1 || o.MaxParts > 16:
		return fmt.Errorf("design: at most %d parts: expected 1 to 16", o.MaxParts)
	case o.Parts < 0 || o.Parts > o.MaxParts:
		return fmt.Errorf("design: %d parts: expected 1 to %d, the most that are allowed", o.Parts, o.MaxParts)
	case o.Shunt != 0 && !(o.Shunt >= 0.1 && o.Shunt <= 1e6):
		return fmt.Errorf("design: shunt of %g ohm: expected 0.1 ohm to 1 Mohm", o.Shunt)
	case o.Shunt != 0 && o.MaxParts < 2:
		return fmt.Errorf("design: at most %d parts: expected 2 or more with a shunt", o.MaxParts)
	case !(o.Wire.Diameter >= 0.05e-3 && o.Wire.Diameter <= 6e-3):
		return fmt.Errorf("design: wire of %g mm: expected 0.05 to 6 mm", 1e3*o.Wire.Diameter)
	}
	return o.Wire.Validate()
}

// series returns the values of a kind of part, nil if any will do.
func (o Options) series(k Kind) preferred.Values {
	v := [...]preferred.Values{Resistor: o.Resistors, Inductor: o.Inductors, Capacitor: o.Capacitors}[k]
	if v == preferred.Series(0) {
		return nil
	}
	return v
}
