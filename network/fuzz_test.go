package network

import (
	"errors"
	"testing"
)

// bytesDice throws what is left of its bytes, then zeros.
type bytesDice struct{ rest []byte }

func (d *bytesDice) IntN(n int) int {
	x := 0
	for size := 1; size < n; size *= 256 {
		x *= 256
		if len(d.rest) > 0 {
			x += int(d.rest[0])
			d.rest = d.rest[1:]
		}
	}
	return x % n
}

// FuzzCircuit builds a circuit of any family from bytes, tampers with it and
// asks for everything: no panic, and every answer finite or an error of the
// package's own type.
func FuzzCircuit(f *testing.F) {
	f.Fuzz(func(t *testing.T, data []byte) {
		d := &bytesDice{data}
		n := families[d.IntN(len(families))].throw(d)
		n.tamper(d)
		hz := make([]float64, 1+d.IntN(lanes+2))
		for i := range hz {
			hz[i] = decade(d, -1, 6)
		}
		plan, err := n.circuit().Compile(n.a, n.b)
		if err != nil {
			t.Fatal(err) // every family has a path to ground and values in range
		}
		checkAnswers(t, plan.NewSolver(), hz)
	})
}

// tamper opens, shorts or blows up a few branches and ties windings across
// any nodes.
func (n *netlist) tamper(d dice) {
	for range d.IntN(4) {
		el := &n.branches[d.IntN(len(n.branches))].el
		switch d.IntN(5) {
		case 0:
			*el = open
		case 1:
			*el = Resistance(1e-12)
		case 2:
			*el = Resistance(1e12)
		case 3:
			*el = Inductance(decade(d, -12, 6))
		case 4:
			*el = Capacitance(decade(d, -18, 3))
		}
	}
	if d.IntN(4) == 0 {
		a, b := n.pair(d)
		p, q := n.pair(d)
		n.transformer(a, b, p, q, float64(1+d.IntN(3)))
	}
}

func checkAnswers(t *testing.T, s *Solver, hz []float64) {
	sol, err := s.Solve(hz)
	if sol == nil {
		if !errors.As(err, new(*SingularError)) {
			t.Errorf("no answer, and %v", err)
		}
		return
	}
	if err != nil && !errors.As(err, new(*Condition)) {
		t.Errorf("an answer with %v", err)
	}
	for name, row := range map[string][]complex128{"impedance": sol.z, "voltage": sol.v, "drop": sol.drop, "current": sol.i} {
		for k, z := range row {
			if !finite(z) {
				t.Errorf("%s %d is %v (%v)", name, k, z, err)
			}
		}
	}
	z, err := s.Impedance(nil, hz)
	if z == nil {
		t.Fatalf("Solve has an answer, Impedance %v", err)
	}
	for k := range z {
		if z[k] != sol.z[k] {
			t.Errorf("%g Hz: %v by Impedance, %v by Solve", hz[k], z[k], sol.z[k])
		}
	}
	for p := range sol.plan.Parts() {
		sol.PartPower(PartID(p))
	}
}
