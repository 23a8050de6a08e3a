package wire

import (
	"fmt"
	"math"
)

// DefaultLoopInductance in H/m is typical of a flat pair (common practice, no
// source); [PairInductance] computes it.
const DefaultLoopInductance = 0.6e-6

// A Cable is a pair of equal copper conductors, out and back.
type Cable struct {
	Length         float64 // m
	Area           float64 // m², of one conductor
	LoopInductance float64 // H per metre of cable; 0: none
	Rise           float64 // K above 20 °C
}

// Validate reports the first impossible value.
func (c Cable) Validate() error {
	for _, v := range []struct {
		what, unit, want string
		value, lo, hi    float64
	}{
		{"length", "m", "above 0 to 100000 m", c.Length, math.SmallestNonzeroFloat64, 1e5},
		{"area", "mm2", "0.0001 to 10000 mm2", 1e6 * c.Area, 1e-4, 1e4},
		{"loop inductance", "uH/m", "0 to 1000 uH/m", 1e6 * c.LoopInductance, 0, 1e3},
		{"temperature rise", "K", "-220 to 500 K", c.Rise, -220, 500},
	} {
		if !(v.value >= v.lo && v.value <= v.hi) {
			return fmt.Errorf("wire: cable %s is %.6g %s: expected %s", v.what, v.value, v.unit, v.want)
		}
	}
	return nil
}

// Resistance returns the resistance of both conductors in ohms.
func (c Cable) Resistance() float64 {
	return 2 * c.Length * Resistivity / c.Area * HeatFactor(c.Rise)
}

// Inductance returns the inductance of the loop in henries.
func (c Cable) Inductance() float64 { return c.Length * c.LoopInductance }

// PairInductance returns the low-frequency loop inductance in H/m of two
// parallel round wires whose centres are spacing apart: (μ0/π)(ln(2D/d) + ¼)
// (Rosa and Grover, Bulletin of the Bureau of Standards 8 (1912)).
func PairInductance(diameter, spacing float64) (float64, error) {
	if !(diameter > 0 && spacing >= diameter && spacing <= math.MaxFloat64) {
		return 0, fmt.Errorf("wire: wires of %g mm with centres %g mm apart: expected a spacing of at least the diameter",
			1e3*diameter, 1e3*spacing)
	}
	return mu0 / math.Pi * (math.Log(2*spacing/diameter) + 0.25), nil
}
