package network

import (
	"fmt"
	"math"
	"math/cmplx"
)

// An Element is a two-terminal element known by its admittance in siemens at
// angular frequency w in rad/s, w > 0. Anything with a curve can be one: a
// measured table, a radiation impedance.
type Element interface {
	Admittance(w float64) complex128
}

// Resistance is a constant resistance in ohms.
type Resistance float64

// Inductance is a lossless inductance in henries.
type Inductance float64

// Capacitance is a lossless capacitance in farads.
type Capacitance float64

// PowerLaw is the impedance K·(jω)^N, with K in ohm·s^N.
// N = 1 is an inductance, N = ½ a semi-inductance, N = 0 a resistance.
type PowerLaw struct{ K, N float64 }

// ElementFunc makes a function of ω in rad/s an [Element].
type ElementFunc func(w float64) complex128

var (
	_ Element = Resistance(0)
	_ Element = Inductance(0)
	_ Element = Capacitance(0)
	_ Element = PowerLaw{}
	_ Element = ElementFunc(nil)
)

// Admittance returns 1/R.
func (r Resistance) Admittance(float64) complex128 { return complex(1/float64(r), 0) }

// Admittance returns 1/(jωL).
func (l Inductance) Admittance(w float64) complex128 { return complex(0, -1/(w*float64(l))) }

// Admittance returns jωC.
func (c Capacitance) Admittance(w float64) complex128 { return complex(0, w*float64(c)) }

// Admittance returns 1/(K·(jω)^N).
func (p PowerLaw) Admittance(w float64) complex128 {
	return p.unit() * complex(math.Exp(-p.N*math.Log(w)), 0)
}

// unit returns the admittance at ω = 1 rad/s.
func (p PowerLaw) unit() complex128 { return cmplx.Rect(1/p.K, -math.Pi/2*p.N) }

// Admittance returns f(w).
func (f ElementFunc) Admittance(w float64) complex128 { return f(w) }

// Element values, frequencies in hertz and admittances of elements of a
// caller's own are refused outside these bounds, but for an admittance of
// zero. No part is that small or large, and inside them no product of two
// values can overflow.
const (
	minValue = 1e-30
	maxValue = 1e30

	minFrequency = 1e-9
	maxFrequency = 1e15

	minAdmittance = 1e-60
	maxAdmittance = 1e60
)

// checkElement reports why e cannot stand in a circuit, or nil.
func checkElement(e Element) error {
	switch e := e.(type) {
	case nil:
		return fmt.Errorf("no element given")
	case Resistance:
		return checkValue("resistance", float64(e), "ohm")
	case Inductance:
		return checkValue("inductance", float64(e), "H")
	case Capacitance:
		return checkValue("capacitance", float64(e), "F")
	case ElementFunc:
		if e == nil {
			return fmt.Errorf("no function given")
		}
	case PowerLaw:
		if !(e.N >= -2 && e.N <= 2) {
			return fmt.Errorf("exponent of a power law is %g: expected a number from -2 to 2", e.N)
		}
		return checkValue("factor of a power law", e.K, "ohm s^n")
	}
	return nil
}

func checkValue(what string, v float64, unit string) error {
	if !(v >= minValue && v <= maxValue) {
		return fmt.Errorf("%s is %g %s: expected a number from %g to %g", what, v, unit, minValue, maxValue)
	}
	return nil
}
