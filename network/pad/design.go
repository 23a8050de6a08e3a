package pad

import (
	"fmt"
	"math"
)

// A Spec says what a pad should do.
type Spec struct {
	Form        Form
	Attenuation float64 // dB, above 0 to 200; none for a minimum-loss pad
	Impedance   float64 // ohm, shown to the source, 1 mohm to 1 Mohm
	Load        float64 // ohm, 1 mohm to 1 Mohm; default Impedance
}

// An AttenuationError tells that no pad of the form attenuates so little.
type AttenuationError struct {
	Spec    Spec
	Minimum float64 // dB; a pad without loss, 0 dB, needs no resistors
}

func (e *AttenuationError) Error() string {
	s := e.Spec
	if e.Minimum == 0 {
		return fmt.Sprintf("pad: attenuation of the %v is %g dB: expected more than 0 dB", s.Form, s.Attenuation)
	}
	least := "at least"
	if s.Form == L {
		least = "more than"
	}
	return fmt.Sprintf("pad: attenuation of the %v from %g ohm to %g ohm is %g dB: expected %s the minimum loss, %.4f dB",
		s.Form, s.Impedance, s.Load, s.Attenuation, least, e.Minimum)
}

// Design returns the pad that fulfils spec. Attenuation under the least that
// resistors can do is an [AttenuationError].
func Design(spec Spec) (Pad, error) {
	if spec.Load == 0 {
		spec.Load = spec.Impedance
	}
	if err := spec.check(); err != nil {
		return Pad{}, err
	}
	switch z := spec.Impedance; spec.Form {
	case L:
		return designL(spec)
	case T, Pi:
		if math.Abs(spec.Attenuation-minimum(spec)) < 1e-9 {
			return designMinimumLoss(spec) // one resistor of three has gone
		}
		if spec.Form == T {
			return NewT(tee(spec.excess(), z, spec.Load))
		}
		// A pi is the dual of a T: conductances for resistances.
		in, series, out := tee(spec.excess(), 1/z, 1/spec.Load)
		return NewPi(1/in, 1/series, 1/out)
	case BridgedT:
		return NewBridgedT(z, z*spec.excess(), z/spec.excess())
	default:
		return designMinimumLoss(spec)
	}
}

func (s Spec) check() error {
	if s.Form < L || s.Form > MinimumLoss {
		return fmt.Errorf("pad: form is %v: expected L, T, pi, bridged-T or minimum-loss", s.Form)
	}
	for _, ohms := range []float64{s.Impedance, s.Load} {
		if !(ohms >= 1e-3 && ohms <= 1e6) {
			return fmt.Errorf("pad: impedances of the %v are %g and %g ohm: expected 0.001 to 1e+06 ohm", s.Form, s.Impedance, s.Load)
		}
	}
	if s.Form == BridgedT && s.Load != s.Impedance {
		return fmt.Errorf("pad: %v from %g ohm to %g ohm: expected equal impedances", s.Form, s.Impedance, s.Load)
	}
	if s.Form == MinimumLoss {
		return s.checkMinimumLoss()
	}
	if !(s.Attenuation <= 200) {
		return fmt.Errorf("pad: attenuation of the %v is %g dB: expected up to 200 dB", s.Form, s.Attenuation)
	}
	least := minimum(s)
	if s.Attenuation <= 0 || s.Attenuation < least-1e-9 || s.Form == L && s.Attenuation <= least {
		return &AttenuationError{s, least}
	}
	return nil
}

func (s Spec) checkMinimumLoss() error {
	if s.Attenuation != 0 {
		return fmt.Errorf("pad: attenuation of the %v is %g dB: expected none, since it follows from the impedances", s.Form, s.Attenuation)
	}
	if s.Load == s.Impedance {
		return fmt.Errorf("pad: %v from %g ohm to %g ohm: expected different impedances", s.Form, s.Impedance, s.Load)
	}
	return nil
}

// excess returns k−1, where k is the ratio of voltages of a matched pad between
// equal impedances. Formulas are written in it so that small losses stay exact.
func (s Spec) excess() float64 { return math.Expm1(s.Attenuation / 20 * math.Ln10) }

// minimum returns the least loss in dB of a pad of the form: at which the first
// of its resistors vanishes.
func minimum(s Spec) float64 {
	if s.Form == L {
		return math.Abs(decibels(s.Load/s.Impedance)) / 2
	}
	return MinimumAttenuation(s.Impedance, s.Load)
}

// MinimumAttenuation returns the least attenuation in dB of a pad of resistors
// that is matched to a at one end and to b at the other:
// 20·log10(√r + √(r−1)), where r is the larger ratio of the two.
func MinimumAttenuation(a, b float64) float64 {
	r := max(a, b) / min(a, b)
	return decibels(math.Sqrt(r) + math.Sqrt(r-1))
}

// designL finds the resistors that show spec.Impedance when loaded. With
// s = √(Load/Impedance) the shunt and the load together are Impedance·s/k.
func designL(spec Spec) (Pad, error) {
	s, g := math.Sqrt(spec.Load/spec.Impedance), spec.excess()
	return NewL(spec.Impedance*(g+1-s)/(1+g), spec.Load/(g*s+s-1))
}

// tee returns the arms of the T-pad from a to b with k = 1+g:
// shunt 2k√(ab)/(k²−1), series a(k²+1)/(k²−1) − shunt and the same for b.
func tee(g, a, b float64) (in, shunt, out float64) {
	n := g * (g + 2) // k²−1
	s := math.Sqrt(b / a)
	return a * arm(g, s) / n, 2 * (1 + g) * math.Sqrt(a*b) / n, b * arm(g, 1/s) / n
}

// arm returns k² − 2ks + 1 for k = 1+g without subtracting nearly equal
// numbers: as a sum of squares, or beyond s = 1 as a product of its roots, of
// which the larger is the minimum loss.
func arm(g, s float64) float64 {
	if s <= 1 {
		return (g+1-s)*(g+1-s) + (1-s)*(1+s)
	}
	root := s + math.Sqrt((s-1)*(s+1))
	return (g + 1 - root) * (g + 1 - 1/root)
}

func designMinimumLoss(spec Spec) (Pad, error) {
	high, low := max(spec.Impedance, spec.Load), min(spec.Impedance, spec.Load)
	q := math.Sqrt((high - low) / high)
	return NewMinimumLoss(high*q, low/q, spec.Load > spec.Impedance)
}
