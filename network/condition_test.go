package network

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"
)

// An impedanceCase is a small circuit whose impedance at 1 Hz between node 1 and ground is
// known by hand. NaN stands for a [*SingularError].
type impedanceCase struct {
	name string
	lay  func(n *netlist)
	want complex128
}

func (x impedanceCase) run(t *testing.T) {
	n := &netlist{nodes: 4, a: 1}
	x.lay(n)
	n.nodes = n.highest()
	plan, err := n.circuit().Compile(1, Ground)
	if err != nil {
		t.Fatal(err)
	}
	z, err := plan.NewSolver().Impedance(nil, []float64{1})
	if cmplx.IsNaN(x.want) {
		if singular := new(SingularError); !errors.As(err, &singular) {
			t.Fatalf("got %v, %v, want a SingularError", z, err)
		}
		return
	}
	if condition := new(Condition); err != nil && !errors.As(err, &condition) {
		t.Fatal(err)
	}
	if !(cmplx.Abs(z[0]-x.want) <= 1e-12*max(1e-3, cmplx.Abs(x.want))) {
		t.Errorf("got %v, want %v", z[0], x.want)
	}
}

func (n *netlist) highest() int {
	high := Node(0)
	for _, x := range n.branches {
		high = max(high, x.a, x.b)
	}
	for _, list := range [][]linkItem{n.gyrators, n.transformers} {
		for _, x := range list {
			high = max(high, x.a, x.b, x.c, x.d)
		}
	}
	return int(high)
}

// open is an element through which nothing flows.
var open = ElementFunc(func(float64) complex128 { return 0 })

// TestWindingsShareNodes: windings of one transformer that meet, at the tap of
// an autotransformer or in contradiction.
func TestWindingsShareNodes(t *testing.T) {
	for _, x := range []impedanceCase{
		// v₁−v₂ = v₂, so v₁ = 2·v₂ and Z = 2²·8 Ω.
		{"tap in the middle", func(n *netlist) {
			n.transformer(1, 2, 2, 0, 1)
			n.branch(2, 0, Resistance(8))
		}, 32},
		// v₂ = 3·(v₁−v₂), so v₁ = 4/3·v₂.
		{"tap, lower winding first", func(n *netlist) {
			n.transformer(2, 0, 1, 2, 3)
			n.branch(2, 0, Resistance(9))
		}, 16},
		{"tap, loaded at the top too", func(n *netlist) {
			n.transformer(1, 2, 2, 0, 1)
			n.branch(2, 0, Resistance(8))
			n.branch(1, 0, Resistance(32))
		}, 16},
		// The step-up end: port at the tap, load on the whole winding.
		{"port at the tap", func(n *netlist) {
			n.transformer(2, 1, 1, 0, 1)
			n.branch(2, 0, Resistance(8))
		}, 2},
		{"port tied to twice itself", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.transformer(1, 0, 1, 0, 2)
		}, 0},
		{"port tied to its own reverse", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.transformer(1, 0, 0, 1, 1)
		}, 0},
		{"inner node tied to twice itself", func(n *netlist) {
			n.branch(1, 2, Resistance(5))
			n.branch(2, 0, Resistance(8))
			n.transformer(2, 0, 2, 0, 2)
		}, 5},
		{"winding that circulates at will", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.transformer(1, 0, 1, 0, 1)
		}, cmplx.NaN()},
		{"two ratios between the same windings", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.transformer(1, 0, 2, 0, 2)
			n.transformer(1, 0, 2, 0, 3)
			n.branch(2, 0, Resistance(8))
		}, 0},
		{"one ratio twice between the same windings", func(n *netlist) {
			n.transformer(1, 0, 2, 0, 2)
			n.transformer(1, 0, 2, 0, 2)
			n.branch(2, 0, Resistance(8))
		}, cmplx.NaN()},
	} {
		t.Run(x.name, x.run)
	}
}

// TestOpenGyrator: a gyrator turns an open side into a short, however the side
// comes to be open.
func TestOpenGyrator(t *testing.T) {
	for _, x := range []impedanceCase{
		{"nothing connected", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.gyrator(1, 0, 2, 0, 2)
		}, 0},
		{"an element that does not conduct", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.gyrator(1, 0, 2, 0, 2)
			n.branch(2, 0, open)
		}, 0},
		{"a resonance that does not conduct", func(n *netlist) {
			n.branch(1, 0, Resistance(8))
			n.gyrator(1, 0, 2, 0, 2)
			n.branch(2, 0, Inductance(1/(2*math.Pi)))
			n.branch(2, 0, Capacitance(1/(2*math.Pi)))
		}, 0},
	} {
		t.Run(x.name, x.run)
	}
}

// TestFiniteOrError: what the port cannot carry, or arithmetic cannot hold,
// is an error and never an infinite or undefined impedance without one.
func TestFiniteOrError(t *testing.T) {
	constant := func(y complex128) Element { return ElementFunc(func(float64) complex128 { return y }) }
	for _, x := range []struct {
		name string
		lay  func(n *netlist)
		hz   float64
	}{
		{"open port", func(n *netlist) { n.branch(1, 0, open) }, 1},
		{"open in series", func(n *netlist) { n.branch(1, 2, Resistance(8)); n.branch(2, 0, open) }, 1},
		{"elements that cancel", func(n *netlist) { n.branch(1, 0, constant(1)); n.branch(1, 0, constant(-1)) }, 1},
		{"1e200 S", func(n *netlist) { n.branch(1, 2, constant(1e200)); n.branch(2, 0, Resistance(8)) }, 1},
		{"1e-200 S", func(n *netlist) { n.branch(1, 2, constant(1e-200)); n.branch(2, 0, Resistance(8)) }, 1},
		{"1e300 Hz", func(n *netlist) { n.branch(1, 2, Capacitance(1)); n.branch(2, 0, Inductance(1)) }, 1e300},
		{"1e-300 Hz", func(n *netlist) { n.branch(1, 2, Capacitance(1)); n.branch(2, 0, Inductance(1)) }, 1e-300},
	} {
		t.Run(x.name, func(t *testing.T) {
			n := &netlist{a: 1}
			x.lay(n)
			n.nodes = n.highest()
			plan, err := n.circuit().Compile(1, Ground)
			if err != nil {
				t.Fatal(err)
			}
			sol, err := plan.NewSolver().Solve([]float64{x.hz})
			if err != nil {
				return
			}
			for k := range n.nodes + 1 {
				if v := sol.Voltage(Node(k))[0]; !finite(v) {
					t.Errorf("voltage of node %d is %v without an error", k, v)
				}
			}
			if z := sol.Impedance()[0]; !finite(z) {
				t.Errorf("impedance is %v without an error", z)
			}
		})
	}
}
