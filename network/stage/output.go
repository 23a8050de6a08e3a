package stage

import (
	"math"
	"math/cmplx"
)

// An Output is the source that a load finds at one tap of a [Stage].
type Output struct {
	kind  Kind
	tap   float64 // rated impedance, ohm
	power float64 // rated power, W
	loop  loop
	scale float64 // source impedance at this tap over that at the default one
	emf   float64 // factor from the loop's relative EMF to volts
}

// At returns the source at the tap rated at tap ohms, 0 being the default tap.
func (s Stage) At(tap float64) (*Output, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	tap, err := s.tap(tap)
	if err != nil {
		return nil, err
	}
	loop, err := s.loop()
	if err != nil {
		return nil, err
	}
	o := &Output{kind: s.Kind, tap: tap, power: s.RatedPower, loop: loop, scale: 1, emf: 1}
	if s.Kind == Valve {
		o.scale = tap / s.defaultTap()
	}
	o.emf = math.Sqrt(s.RatedPower*tap) / cmplx.Abs(o.Voltage(reference, complex(tap, 0)))
	return o, nil
}

// Tap returns the tap's rated impedance in ohms.
func (o *Output) Tap() float64 { return o.tap }

// RatedPower returns the rated power in watts.
func (o *Output) RatedPower() float64 { return o.power }

// Kind returns the kind of stage.
func (o *Output) Kind() Kind { return o.kind }

// EMF returns the open-circuit voltage at angular frequency w, at the drive
// that brings rated power into the tap's rated resistance at 1 kHz.
func (o *Output) EMF(w float64) complex128 {
	return complex(o.emf, 0) * o.loop.emf(w)
}

// Impedance returns the source impedance in ohms at angular frequency w. It
// may be zero.
func (o *Output) Impedance(w float64) complex128 {
	return complex(o.scale, 0) * o.loop.impedance(w)
}

// Voltage returns the terminal voltage across a load of impedance z, which
// may be infinite, at the drive of [Output.EMF].
func (o *Output) Voltage(w float64, z complex128) complex128 {
	if cmplx.IsInf(z) {
		return o.EMF(w)
	}
	return o.EMF(w) * (z / (z + o.Impedance(w)))
}

// DampingFactor returns the tap's rated impedance over the magnitude of the
// source impedance at 1 kHz, +Inf for a source without impedance.
func (o *Output) DampingFactor() float64 {
	return o.tap / cmplx.Abs(o.Impedance(reference))
}

// ImpedanceRatio returns n² = Zprimary/Ztap: a load of impedance z shows as
// n²·z between the plates. It is known if the transformer is.
func (o *Output) ImpedanceRatio() (n2 float64, known bool) {
	return o.loop.open.primary / o.tap, o.loop.open.primary > 0
}

// A Limit tells what an output stage runs out of first.
type Limit uint8

// The limits of clean power.
const (
	VoltageLimit Limit = iota // the swing that the supply allows
	CurrentLimit              // the peak current of the valves or transistors
)

// String returns "voltage" or "current".
func (l Limit) String() string {
	if l == CurrentLimit {
		return "current"
	}
	return "voltage"
}

// LargestCleanPower returns the largest power in watts that reaches a load of
// impedance z without clipping, and what limits it. A stage that brings rated
// power into its rated resistance just meets both limits there: a larger |z|
// runs out of voltage, a smaller one of current (load-line argument, Terman).
//
// It holds for a valve stage, whose transformer offers both limits anew at
// every tap, and for a solid-state one whose supply and protection were made
// for the load it is rated at. A load of no or negative resistance takes none.
func (o *Output) LargestCleanPower(z complex128) (power float64, by Limit) {
	size := cmplx.Abs(z) / o.tap
	if size < 1 {
		by = CurrentLimit
		// cos φ·|z|/tap, written so that a short divides nothing by nothing
		return o.power * max(0, real(z)/o.tap), by
	}
	if math.IsInf(size, 1) {
		return 0, VoltageLimit
	}
	factor := real(z) / cmplx.Abs(z)
	return o.power * max(0, factor) / size, VoltageLimit
}
