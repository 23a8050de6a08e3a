package network

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
)

// solver compiles the netlist for its own port.
func (n *netlist) solver(tb testing.TB) *Solver {
	tb.Helper()
	plan, err := n.circuit().Compile(n.a, n.b)
	if err != nil {
		tb.Fatal(err)
	}
	return plan.NewSolver()
}

// otherValues returns the netlist with another element on every branch.
func (n *netlist) otherValues(d dice) *netlist {
	m := *n
	m.branches = slices.Clone(n.branches)
	for i := range m.branches {
		m.branches[i].el = throwElement(d)
	}
	return &m
}

// result is an answer and what kind of error came with it.
func result(s *Solver, hz []float64) string {
	z, err := s.Impedance(nil, hz)
	return fmt.Sprint(z, err)
}

// TestRefill: values set into a compiled circuit give, to the bit, what a
// circuit compiled with them gives; so does setting the first ones again.
func TestRefill(t *testing.T) {
	hz := logSpaced(20, 20e3, 2*lanes+3)
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			for seed := range uint64(20) {
				d := rand.New(rand.NewPCG(seed, 11))
				n := f.throw(d)
				s := n.solver(t)
				for round, x := range []*netlist{n, n.otherValues(d), n.otherValues(d), n} {
					for b, e := range x.branches {
						if err := s.SetBranch(BranchID(b), e.el); err != nil {
							t.Fatal(err)
						}
					}
					if got, want := result(s, hz), result(x.solver(t), hz); got != want {
						t.Fatalf("seed %d, round %d: %s, want %s", seed, round, got, want)
					}
				}
			}
		})
	}
}

// TestRefillRejects: a bad value is refused, and the branch keeps what it had.
func TestRefillRejects(t *testing.T) {
	hz := []float64{100}
	n := &netlist{nodes: 1, a: 1}
	n.branch(1, Ground, Resistance(8))
	s := n.solver(t)
	for _, e := range []Element{Resistance(0), Resistance(-8), PowerLaw{1, 3}, ElementFunc(nil), nil} {
		if err := s.SetBranch(0, e); err == nil {
			t.Errorf("%T %v: accepted", e, e)
		}
	}
	if z, err := s.Impedance(nil, hz); err != nil || z[0] != 8 {
		t.Errorf("after bad values: %v, %v, want 8 Ω", z, err)
	}
}

// TestSweepAllocatesNothing: after the first sweep, which sizes the fill.
func TestSweepAllocatesNothing(t *testing.T) {
	hz := logSpaced(20, 20e3, 100)
	dst := make([]complex128, len(hz))
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			swept := 0
			for seed := range uint64(8) {
				s := f.throw(rand.New(rand.NewPCG(seed, 12))).solver(t)
				if _, err := s.Impedance(dst, hz); err != nil {
					continue // making the error allocates
				}
				swept++
				allocs := testing.AllocsPerRun(5, func() {
					s.stale = true // as after SetBranch
					s.Impedance(dst, hz)
				})
				if allocs != 0 {
					t.Errorf("seed %d: %g allocations per sweep", seed, allocs)
				}
			}
			if swept == 0 {
				t.Error("every circuit ends in an error")
			}
		})
	}
}

// TestSharedPlan: solvers of one plan do not meet, whatever each is set to.
// The race detector watches.
func TestSharedPlan(t *testing.T) {
	hz := logSpaced(20, 20e3, 3*lanes)
	for _, f := range families {
		d := rand.New(rand.NewPCG(1, 13))
		n := f.throw(d)
		plan := n.solver(t).plan
		var group sync.WaitGroup
		for range 6 {
			x := n.otherValues(d)
			want := result(x.solver(t), hz)
			group.Go(func() {
				s := plan.NewSolver()
				for b, e := range x.branches {
					if err := s.SetBranch(BranchID(b), e.el); err != nil {
						t.Error(err)
					}
				}
				for range 3 {
					if got := result(s, hz); got != want {
						t.Errorf("%s: %s, want %s", f.name, got, want)
					}
				}
			})
		}
		group.Wait()
	}
}

// TestCompiledIsACopy: what is added to a circuit later does not reach its
// plan.
func TestCompiledIsACopy(t *testing.T) {
	c := NewCircuit()
	a := c.Node("a")
	p := c.Part("load", Electrical, Rating{})
	c.Branch(p, a, Ground, Resistance(8))
	plan, err := c.Compile(a, Ground)
	if err != nil {
		t.Fatal(err)
	}
	c.Branch(p, a, Ground, Resistance(8))
	c.Part("more", Electrical, Rating{})
	if z, err := plan.NewSolver().Impedance(nil, []float64{1}); err != nil || z[0] != 8 {
		t.Errorf("plan shows %v, %v, want 8 Ω", z, err)
	}
	if n := len(plan.Parts()); n != 1 {
		t.Errorf("plan has %d parts, want 1", n)
	}
}

// TestBlockEdges: how many frequencies are asked at once changes no answer.
func TestBlockEdges(t *testing.T) {
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			n := f.throw(rand.New(rand.NewPCG(3, 14)))
			s := n.solver(t)
			for _, count := range []int{0, 1, lanes - 1, lanes, lanes + 1, 2 * lanes, 5*lanes - 1} {
				hz := logSpaced(20, 20e3, max(count, 2))[:count]
				sol, err := s.Solve(hz)
				if sol == nil {
					if !errors.As(err, new(*SingularError)) {
						t.Fatal(err)
					}
					continue
				}
				if z := sol.Impedance(); len(z) != count {
					t.Fatalf("%d impedances at %d frequencies", len(z), count)
				}
				dst := make([]complex128, count)
				if _, err := s.Impedance(dst, hz); err != nil && !errors.As(err, new(*Condition)) {
					t.Fatal(err)
				}
				for k, f := range hz {
					one, _ := s.Solve([]float64{f})
					if z := one.Impedance()[0]; z != dst[k] || z != sol.Impedance()[k] {
						t.Errorf("%d of %d: %v alone, %v by Impedance, %v by Solve", k, count, z, dst[k], sol.Impedance()[k])
					}
					if v, w := one.Voltage(1)[0], sol.Voltage(1)[k]; v != w {
						t.Errorf("%d of %d: node 1 at %v alone, %v among others", k, count, v, w)
					}
				}
			}
		})
	}
}
