package stage

import (
	"math"
	"math/cmplx"
)

const reference = 2 * math.Pi * ReferenceFrequency // rad/s

// An openLoop is a stage without its feedback, referred to the default tap.
type openLoop struct {
	source  float64 // ohm, valves and primary winding
	shunt   float64 // H, primary inductance; 0: infinite
	leakage float64 // H
	winding float64 // ohm, secondary winding, or all of a stated impedance
	primary float64 // ohm, rated load of the primary; 0: unknown
}

// divider returns the part of the valves' EMF that the primary inductance
// leaves, d in the package doc.
func (o openLoop) divider(w float64) complex128 {
	if o.shunt == 0 {
		return 1
	}
	x := complex(0, w*o.shunt)
	return x / (complex(o.source, 0) + x)
}

// impedance returns Zs0. The source resistance beside the primary inductance
// is source·d.
func (o openLoop) impedance(w float64) complex128 {
	return complex(o.winding, w*o.leakage) + complex(o.source, 0)*o.divider(w)
}

// A loop is an amplifier at its default tap with its feedback.
type loop struct {
	open            openLoop
	gain            float64 // K0
	presence, depth Shelf
}

// loop closes the feedback of s around what its source says.
func (s Stage) loop() (loop, error) {
	r := s.defaultTap()
	gain := math.Pow(10, s.Feedback.Amount/20)
	open, err := s.Source.openLoop(r, gain)
	if err != nil {
		return loop{}, err
	}
	return loop{
		open:     open,
		gain:     (gain - 1) * (r + cmplx.Abs(open.impedance(reference))) / r,
		presence: s.Feedback.Presence,
		depth:    s.Feedback.Depth,
	}, nil
}

// emf returns the EMF relative to that of the stage without feedback and
// primary inductance.
func (l loop) emf(w float64) complex128 {
	return l.open.divider(w) / l.difference(w)
}

// impedance returns the source impedance with feedback.
func (l loop) impedance(w float64) complex128 {
	return l.open.impedance(w) / l.difference(w)
}

// difference returns the return difference 1+K.
func (l loop) difference(w float64) complex128 {
	if l.gain == 0 {
		return 1
	}
	k := complex(l.gain/cmplx.Abs(l.open.divider(reference)), 0) * l.open.divider(w)
	return 1 + k*l.presence.above(w)*l.depth.below(w)
}

// above returns what is left of the loop gain when s releases it above its
// turnover: 1 far below, g far above.
func (s Shelf) above(w float64) complex128 {
	if s == (Shelf{}) {
		return 1
	}
	x := w / (2 * math.Pi * s.Turnover)
	return complex(1, x*s.rest()) / complex(1, x)
}

// below returns what is left of the loop gain when s releases it below its
// turnover: g far below, 1 far above.
func (s Shelf) below(w float64) complex128 {
	if s == (Shelf{}) {
		return 1
	}
	x := w / (2 * math.Pi * s.Turnover)
	return complex(s.rest(), x) / complex(1, x)
}

// rest returns g, the part of the loop gain that a full release leaves.
func (s Shelf) rest() float64 { return math.Pow(10, -s.Release/20) }
