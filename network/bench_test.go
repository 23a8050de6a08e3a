package network

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// eightPartLoad lays a load of eight parts between a and ground and returns
// its branches: a resistance, a resonance, the rise of a coil, and a notch.
func eightPartLoad(c *Circuit, a Node) []BranchID {
	var ids []BranchID
	add := func(x, y Node, e Element) {
		p := c.Part(fmt.Sprint("part-", len(ids)), Electrical, Rating{Tolerance: 0.05})
		ids = append(ids, c.Branch(p, x, y, e))
	}
	b, m, n := c.Node("b"), c.Node("m"), c.Node("n")
	add(a, b, Resistance(6.5))
	add(b, m, Resistance(40))
	add(b, m, Inductance(18e-3))
	add(b, m, Capacitance(220e-6))
	add(m, Ground, Resistance(30))
	add(m, Ground, Inductance(0.8e-3))
	add(a, n, Resistance(33))
	add(n, Ground, Capacitance(4.7e-6))
	return ids
}

func compileEight(b *testing.B) (*Plan, []BranchID) {
	c := NewCircuit()
	in := c.Node("in")
	ids := eightPartLoad(c, in)
	plan, err := c.Compile(in, Ground)
	if err != nil {
		b.Fatal(err)
	}
	return plan, ids
}

func perFrequency(b *testing.B, frequencies int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*frequencies), "ns/frequency")
}

func BenchmarkCompile(b *testing.B) {
	for _, n := range readNetworks(b) {
		b.Run(n.Name, func(b *testing.B) {
			c, port := n.circuit(b)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Compile(port, Ground); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("eight parts", func(b *testing.B) {
		for b.Loop() {
			compileEight(b)
		}
	})
}

// BenchmarkSolve is the complete solution, every voltage and current.
func BenchmarkSolve(b *testing.B) {
	hz := logSpaced(20, 20e3, 480)
	for _, n := range readNetworks(b) {
		b.Run(n.Name, func(b *testing.B) {
			s := n.solver(b)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Solve(hz); err != nil {
					b.Fatal(err)
				}
			}
			perFrequency(b, len(hz))
		})
	}
}

// BenchmarkRefill is one run of a tolerance analysis: eight values within
// their tolerance, 120 frequencies.
func BenchmarkRefill(b *testing.B) {
	plan, ids := compileEight(b)
	r := newToleranceRun(plan, ids, 1)
	b.ReportAllocs()
	for b.Loop() {
		if err := r.run(); err != nil {
			b.Fatal(err)
		}
	}
	perFrequency(b, len(r.hz))
}

// BenchmarkRefillParallel is the same in every processor, one solver each.
func BenchmarkRefillParallel(b *testing.B) {
	plan, ids := compileEight(b)
	b.RunParallel(func(pb *testing.PB) {
		r := newToleranceRun(plan, ids, rand.Uint64())
		for pb.Next() {
			if err := r.run(); err != nil {
				b.Error(err)
				return
			}
		}
	})
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "runs/s")
}

type toleranceRun struct {
	solver   *Solver
	branches []BranchID
	rand     *rand.Rand
	hz       []float64
	dst      []complex128
}

func newToleranceRun(p *Plan, branches []BranchID, seed uint64) *toleranceRun {
	hz := logSpaced(20, 20e3, 120)
	return &toleranceRun{p.NewSolver(), branches, rand.New(rand.NewPCG(seed, 21)), hz, make([]complex128, len(hz))}
}

func (r *toleranceRun) run() error {
	for _, b := range r.branches {
		by := 1 + 0.05*(2*r.rand.Float64()-1)
		var e Element
		switch nominal := r.solver.plan.circuit.branches[b].el.(type) {
		case Resistance:
			e = nominal * Resistance(by)
		case Inductance:
			e = nominal * Inductance(by)
		case Capacitance:
			e = nominal * Capacitance(by)
		}
		if err := r.solver.SetBranch(b, e); err != nil {
			return err
		}
	}
	_, err := r.solver.Impedance(r.dst, r.hz)
	return err
}
