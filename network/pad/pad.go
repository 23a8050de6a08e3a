// Package pad designs and analyses resistive attenuators: L-, T-, pi-,
// bridged-T and minimum-loss pads.
//
// A [Spec] says what a pad should do, [Design] finds the [Pad], and
// [Pad.Between] says what a pad of any values does between a source and a load
// resistance. Attenuation is the power that the source could deliver to a
// matched load over the power in the load, in decibels: between the resistances
// that a T-, pi- or bridged-T pad was designed for it is the loss of the
// handbooks' image-parameter theory (Terman, Radio Engineers' Handbook;
// Reference Data for Radio Engineers).
//
// An L-pad shows its impedance at its input alone. The load looks back into
// something else, which grows the less the pad attenuates and the higher the
// impedance of the source.
package pad

import (
	"fmt"
	"math"
)

// A Form is an arrangement of resistors.
type Form uint8

// The forms of pads. The zero Form is none of them.
const (
	L           Form = iota + 1 // series from the source, shunt across the load
	T                           // series, shunt, series
	Pi                          // shunt, series, shunt
	BridgedT                    // a T of arms equal to the impedance, bridged
	MinimumLoss                 // series and shunt, matched at both ends
)

// String returns the trade's name, such as "bridged-T pad".
func (f Form) String() string {
	switch f {
	case L:
		return "L-pad"
	case T:
		return "T-pad"
	case Pi:
		return "pi-pad"
	case BridgedT:
		return "bridged-T pad"
	case MinimumLoss:
		return "minimum-loss pad"
	}
	return fmt.Sprintf("Form(%d)", uint8(f))
}

// A Node is a place in a pad between which resistors stand.
type Node uint8

// The nodes of a pad.
const (
	Common Node = iota
	In
	Out
	Middle // inside a T
)

// A Resistor is a resistor of a pad.
type Resistor struct {
	Name     string // series, shunt, bridge; with -in or -out where there are two
	From, To Node
	Ohms     float64
}

// A Pad is a network of resistors between an input, an output and a common.
type Pad struct {
	Form      Form
	Resistors []Resistor
}

// NewL returns the L-pad of two values in ohms.
func NewL(series, shunt float64) (Pad, error) {
	return newPad(L, Resistor{"series", In, Out, series}, Resistor{"shunt", Out, Common, shunt})
}

// NewT returns the T-pad of three values in ohms.
func NewT(seriesIn, shunt, seriesOut float64) (Pad, error) {
	return newPad(T, Resistor{"series-in", In, Middle, seriesIn},
		Resistor{"shunt", Middle, Common, shunt}, Resistor{"series-out", Middle, Out, seriesOut})
}

// NewPi returns the pi-pad of three values in ohms.
func NewPi(shuntIn, series, shuntOut float64) (Pad, error) {
	return newPad(Pi, Resistor{"shunt-in", In, Common, shuntIn},
		Resistor{"series", In, Out, series}, Resistor{"shunt-out", Out, Common, shuntOut})
}

// NewBridgedT returns the bridged-T pad of two series arms, its bridge and
// its shunt, in ohms.
func NewBridgedT(arm, bridge, shunt float64) (Pad, error) {
	return newPad(BridgedT, Resistor{"series-in", In, Middle, arm}, Resistor{"series-out", Middle, Out, arm},
		Resistor{"bridge", In, Out, bridge}, Resistor{"shunt", Middle, Common, shunt})
}

// NewMinimumLoss returns the pad of two values in ohms whose shunt stands
// across the end of the lower impedance: the load, or with stepUp the source.
func NewMinimumLoss(series, shunt float64, stepUp bool) (Pad, error) {
	low := Out
	if stepUp {
		low = In
	}
	return newPad(MinimumLoss, Resistor{"series", In, Out, series}, Resistor{"shunt", low, Common, shunt})
}

func newPad(form Form, resistors ...Resistor) (Pad, error) {
	for _, r := range resistors {
		if err := checkOhms(form, r.Name, r.Ohms); err != nil {
			return Pad{}, err
		}
	}
	return Pad{form, resistors}, nil
}

// Resistances outside these bounds make no pad; inside them no formula here
// overflows and preferred values exist.
const (
	minOhms = 1e-14
	maxOhms = 1e14
)

func checkOhms(form Form, what string, ohms float64) error {
	if !(ohms >= minOhms && ohms <= maxOhms) {
		return fmt.Errorf("pad: %s of the %v is %g ohm: expected a number above zero, from %g to %g ohm",
			what, form, ohms, minOhms, maxOhms)
	}
	return nil
}

// decibels returns the level in dB of a ratio of voltages.
func decibels(ratio float64) float64 { return 20 * math.Log10(ratio) }
