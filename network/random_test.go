package network

import (
	"errors"
	"fmt"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// TestRandomCircuits holds the solver against [netlist.reference]: an answer
// may be off by what rounding the element values would change it, and no
// circuit that the reference calls singular may pass in silence.
func TestRandomCircuits(t *testing.T) {
	const each = 60
	hz := []float64{17, 440, 9000}
	reduced, cores := 0, 0
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			worst, singular := 0.0, 0
			for seed := range uint64(each) {
				n := f.throw(rand.New(rand.NewPCG(seed, 1)))
				plan, err := n.circuit().Compile(n.a, n.b)
				if err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
				if plan.core == nil {
					reduced++
				} else {
					cores++
				}
				s := plan.NewSolver()
				for _, hz := range hz {
					want, ok := n.reference(hz)
					if !ok {
						singular++
					}
					units, err := compareImpedance(s, hz, want, ok)
					if err != nil {
						t.Errorf("seed %d, %g Hz: %v", seed, hz, err)
					}
					worst = max(worst, units)
				}
			}
			t.Logf("worst error %.1f ε·condition, %d singular", worst, singular)
		})
	}
	t.Logf("%d circuits reduced, %d left a core", reduced, cores)
	if reduced < 100 || cores < 100 {
		t.Errorf("%d circuits reduced, %d left a core: expected many of both", reduced, cores)
	}
}

// compareImpedance reports how the solver's answer differs from want, and its
// error in units of rounding times the condition number.
func compareImpedance(s *Solver, hz float64, want answer, ok bool) (units float64, err error) {
	const (
		floor = 1e-12
		limit = 32    // rounding units per unit of condition
		short = 1e-15 // Ω: windings may tie the port's voltage to zero
	)
	z, err := s.Impedance(nil, []float64{hz})
	if singular := new(SingularError); !ok {
		if !errors.As(err, &singular) {
			return 0, fmt.Errorf("a singular circuit gives %v, %v", z, err)
		}
		return 0, nil
	}
	if condition := new(Condition); err != nil && !errors.As(err, &condition) {
		return 0, fmt.Errorf("%w (condition %.1e)", err, want.cond)
	}
	if cmplx.Abs(z[0]) < short && cmplx.Abs(want.z) < short {
		return 0, nil
	}
	off := cmplx.Abs(z[0]-want.z) / cmplx.Abs(want.z)
	units = off / epsilon / want.cond
	if !(off <= floor || units <= limit) {
		return units, fmt.Errorf("%v, want %v: off by %.1e, condition %.1e", z[0], want.z, off, want.cond)
	}
	return units, nil
}
