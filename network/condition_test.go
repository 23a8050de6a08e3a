package network

import (
	"errors"
	"math"
	"math/cmplx"
	"slices"
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

// TestCondition: a lossless tank at its resonance shows an impedance of which
// nothing but the size can be told; beside it, a digit less is left for every
// digit closer. The answer comes with the warning.
func TestCondition(t *testing.T) {
	const hz, x = 1000.0, 50.0 // each reactance in ohms
	w := 2 * math.Pi * hz
	tank := func(detuned float64) Parallel {
		return Parallel{Inductor{Henries: x / w}, Capacitor{Farads: (1 + detuned) / (x * w)}}
	}
	for _, detuned := range []float64{0, 1e-13, 1e-12, 1e-11, -1e-11} {
		z, err := Impedance(tank(detuned), []float64{100, hz, 5000})
		condition := new(Condition)
		if !errors.As(err, &condition) {
			t.Fatalf("detuned by %g: %v, want a Condition", detuned, err)
		}
		if condition.Hz != hz || len(z) != 3 {
			t.Fatalf("detuned by %g: %d values, warned of %g Hz", detuned, len(z), condition.Hz)
		}
		if detuned == 0 {
			if size := cmplx.Abs(z[1]); !(size >= x/(8*epsilon) && size <= x*1e18) {
				t.Errorf("exact resonance: %v, want at least %.1e Ω", z[1], x/(8*epsilon))
			}
			continue
		}
		want := complex(0, -x/detuned)
		if tol := 8 * epsilon / math.Abs(detuned); !closeTo(z[1], want, tol) {
			t.Errorf("detuned by %g: %v, want %v within %.1g", detuned, z[1], want, tol)
		}
		if n := condition.Number * math.Abs(detuned); !(n > 1 && n < 4) {
			t.Errorf("detuned by %g: condition %.2e, want 2/|detuning|", detuned, condition.Number)
		}
		for _, k := range []int{0, 2} {
			if want := formula(tank(detuned), 2*math.Pi*[]float64{100, hz, 5000}[k]); !closeTo(z[k], want, 1e-14) {
				t.Errorf("beside the resonance: %v, want %v", z[k], want)
			}
		}
	}
	if z, err := Impedance(tank(1e-6), []float64{hz}); err != nil {
		t.Errorf("detuned by 1e-6: %v, %v, want no warning", z, err)
	}
}

// TestSingularError: an open port has no impedance.
func TestSingularError(t *testing.T) {
	z, err := Impedance(Single{"gap", open, Rating{}}, []float64{50})
	singular := new(SingularError)
	if !errors.As(err, &singular) || z != nil {
		t.Fatalf("%v, %v, want a SingularError alone", z, err)
	}
	if singular.Hz != 50 || !slices.Contains(singular.Nodes, "in") {
		t.Errorf("at %g Hz, nodes %q", singular.Hz, singular.Nodes)
	}
	wantError(t, err, "50 Hz", `"in"`)
}
