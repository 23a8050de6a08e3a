package network

import (
	"errors"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
)

// solution drives the netlist between a and b. The second result is false if
// the circuit is singular or so nearly singular that an identity means little.
func (n *netlist) solution(t *testing.T, a, b Node, hz ...float64) (*Solution, bool) {
	t.Helper()
	plan, err := n.circuit().Compile(a, b)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve(hz)
	if errors.As(err, new(*SingularError)) || errors.As(err, new(*Condition)) {
		return nil, false
	}
	if err != nil {
		t.Fatal(err)
	}
	return sol, true
}

// eachRandom calls check with random circuits of every family that wanted
// accepts; check reports false for a circuit on which it could not decide.
func eachRandom(t *testing.T, wanted func(*netlist) bool, check func(t *testing.T, d dice, n *netlist) bool) {
	const each = 40
	for _, f := range families {
		decided, of := 0, 0
		t.Run(f.name, func(t *testing.T) {
			for seed := range uint64(each) {
				d := rand.New(rand.NewPCG(seed, 2))
				n := f.throw(d)
				if !wanted(n) {
					continue
				}
				of++
				if check(t, d, n) {
					decided++
				}
				if t.Failed() {
					t.Fatalf("seed %d", seed)
				}
			}
		})
		if decided < of/2 {
			t.Errorf("%s: %d circuits decided of %d: expected at least half", f.name, decided, of)
		}
	}
}

// tied is an impedance in ohms below which windings are taken to tie the
// port's voltage to zero: what is left is rounding.
const tied = 1e-6

func anyCircuit(*netlist) bool                  { return true }
func withoutGyrators(n *netlist) bool           { return len(n.gyrators) == 0 }
func withGyrators(n *netlist) bool              { return len(n.gyrators) > 0 }
func (n *netlist) turnGyrators()                { n.gyrators = scaleLinks(n.gyrators, -1) }
func near(a, b, tol float64) bool               { return math.Abs(a-b) <= tol }
func closeTo(a, b complex128, tol float64) bool { return cmplx.Abs(a-b) <= tol*cmplx.Abs(b) }

func scaleLinks(links []linkItem, by float64) []linkItem {
	links = slices.Clone(links)
	for i := range links {
		links[i].value *= by
	}
	return links
}

// transfer returns the voltage between c and d per ampere into a, b, and the
// impedance at a, b.
func (n *netlist) transfer(t *testing.T, a, b, c, d Node) (z21, z11 complex128, ok bool) {
	sol, ok := n.solution(t, a, b, 440)
	if !ok {
		return 0, 0, false
	}
	return sol.Voltage(c)[0] - sol.Voltage(d)[0], sol.Impedance()[0], true
}

// TestReciprocity: in a network of branches and transformers, driver and meter
// may change places. A gyrator changes the sign when they do, so that a
// network with gyrators is reciprocal to itself with all of them turned round
// (Tellegen, Philips Res. Rep. 3 (1948) 81).
func TestReciprocity(t *testing.T) {
	for _, x := range []struct {
		name   string
		wanted func(*netlist) bool
		turn   func(*netlist)
	}{
		{"branches and transformers", withoutGyrators, func(*netlist) {}},
		{"gyrators turned", withGyrators, (*netlist).turnGyrators},
	} {
		t.Run(x.name, func(t *testing.T) {
			eachRandom(t, x.wanted, func(t *testing.T, d dice, n *netlist) bool {
				p, q := n.pair(d)
				forth, z11, ok1 := n.transfer(t, n.a, n.b, p, q)
				x.turn(n)
				back, z22, ok2 := n.transfer(t, p, q, n.a, n.b)
				if !ok1 || !ok2 {
					return false
				}
				scale := max(math.Sqrt(cmplx.Abs(z11)*cmplx.Abs(z22)), cmplx.Abs(forth), tied)
				if cmplx.Abs(forth-back) > 1e-9*scale {
					t.Errorf("%v there, %v back, beside impedances of %.3g Ω", forth, back, scale)
				}
				return true
			})
		})
	}
}

// TestAntireciprocity: two circuits joined by nothing but one gyrator.
func TestAntireciprocity(t *testing.T) {
	for seed := range uint64(50) {
		d := rand.New(rand.NewPCG(seed, 3))
		n := &netlist{}
		side := func() (outer, inner Node) {
			outer, inner = n.node(), n.node()
			n.sprout(d, outer, inner, 2)
			n.sprout(d, inner, Ground, 2)
			return outer, inner
		}
		a, from := side()
		b, to := side()
		n.gyrator(from, Ground, to, Ground, decade(d, -0.5, 2))
		forth, _, ok1 := n.transfer(t, a, Ground, b, Ground)
		back, _, ok2 := n.transfer(t, b, Ground, a, Ground)
		if !ok1 || !ok2 || !closeTo(forth, -back, 1e-10) {
			t.Errorf("seed %d: %v there, %v back: expected the same with the other sign", seed, forth, back)
		}
	}
}

// TestPowerBalance: what enters the port is what the branches take (Tellegen's
// theorem); gyrators and transformers take nothing.
func TestPowerBalance(t *testing.T) {
	eachRandom(t, anyCircuit, func(t *testing.T, _ dice, n *netlist) bool {
		sol, ok := n.solution(t, n.a, n.b, 29, 440, 7000)
		if !ok {
			return false
		}
		for k, z := range sol.Impedance() {
			sum := 0.0
			for i := range n.branches {
				sum += sol.PartPower(PartID(i))[k]
			}
			if !near(sum, real(z), 1e-9*max(tied, cmplx.Abs(z))) {
				t.Errorf("%g Hz: branches take %.15g W of %.15g W", sol.Hz[k], sum, real(z))
			}
		}
		return true
	})
}

// TestCurrentLaw: the currents that leave a node sum to what the source
// brings. Nodes of transformers, whose currents are not told, are left out.
func TestCurrentLaw(t *testing.T) {
	eachRandom(t, anyCircuit, func(t *testing.T, _ dice, n *netlist) bool {
		sol, ok := n.solution(t, n.a, n.b, 440)
		if !ok {
			return false
		}
		sum, size := make([]complex128, n.nodes+1), make([]float64, n.nodes+1)
		flow := func(a, b Node, i complex128) {
			sum[a] += i
			sum[b] -= i
			size[a] += cmplx.Abs(i)
			size[b] += cmplx.Abs(i)
		}
		flow(n.b, n.a, 1)
		for i, e := range n.branches {
			flow(e.a, e.b, sol.BranchCurrent(BranchID(i))[0])
		}
		for _, g := range n.gyrators {
			r := complex(g.value, 0)
			flow(g.a, g.b, (sol.Voltage(g.c)[0]-sol.Voltage(g.d)[0])/r)
			flow(g.c, g.d, (sol.Voltage(g.b)[0]-sol.Voltage(g.a)[0])/r)
		}
		for k := range sum {
			if !n.wound(Node(k)) && cmplx.Abs(sum[k]) > 1e-10*size[k] {
				t.Errorf("node %d: %v A is left over of %.3g A", k, sum[k], size[k])
			}
		}
		return true
	})
}

// wound reports whether a transformer or winding ends at k.
func (n *netlist) wound(k Node) bool {
	for _, x := range n.transformers {
		if k == x.a || k == x.b || k == x.c || k == x.d {
			return true
		}
	}
	for _, x := range n.windings {
		if slices.ContainsFunc(x.ends, func(e [2]Node) bool { return k == e[0] || k == e[1] }) {
			return true
		}
	}
	return false
}

// scaled returns the netlist with every impedance multiplied by z at
// frequencies multiplied by f.
func (n *netlist) scaled(z, f float64) *netlist {
	m := *n
	m.branches = slices.Clone(n.branches)
	for i := range m.branches {
		el := &m.branches[i].el
		switch e := (*el).(type) {
		case Resistance:
			*el = e * Resistance(z)
		case Inductance:
			*el = e * Inductance(z/f)
		case Capacitance:
			*el = e / Capacitance(z*f)
		case PowerLaw:
			*el = PowerLaw{e.K * z / math.Pow(f, e.N), e.N}
		}
	}
	m.gyrators = scaleLinks(n.gyrators, z)
	m.windings = slices.Clone(n.windings)
	for i, x := range m.windings {
		l := make([][]float64, len(x.l))
		for p := range l {
			for _, h := range x.l[p] {
				l[p] = append(l[p], h*(z/f))
			}
		}
		m.windings[i].l = l
	}
	return &m
}

// TestScaling: the scaled circuit at the scaled frequency shows the scaled
// impedance that the reference found for the original.
func TestScaling(t *testing.T) {
	const z, f, hz = 3.7, 0.29, 440
	for _, family := range families {
		t.Run(family.name, func(t *testing.T) {
			for seed := range uint64(12) {
				n := family.throw(rand.New(rand.NewPCG(seed, 4)))
				want, ok := n.reference(hz)
				want.z *= z
				plan, err := n.scaled(z, f).circuit().Compile(n.a, n.b)
				if err != nil {
					t.Fatal(err)
				}
				if _, err := compareImpedance(plan.NewSolver(), hz*f, want, ok); err != nil {
					t.Errorf("seed %d: %v", seed, err)
				}
			}
		})
	}
}

// TestGyratorInverts: a gyrator of r ohms that ends in Z shows r²/Z, and a
// transformer of ratio n shows n²·Z.
func TestGyratorInverts(t *testing.T) {
	for seed := range uint64(60) {
		d := rand.New(rand.NewPCG(seed, 5))
		load := throwTree(d)
		z, ok := load.solution(t, load.a, Ground, 50, 440, 5000)
		if !ok {
			continue
		}
		value := decade(d, -1, 2)
		for kind, x := range map[string]struct {
			link func(n *netlist, a, b, c, d Node, value float64)
			want func(z complex128) complex128
		}{
			"gyrator":     {(*netlist).gyrator, func(z complex128) complex128 { return complex(value*value, 0) / z }},
			"transformer": {(*netlist).transformer, func(z complex128) complex128 { return complex(value*value, 0) * z }},
		} {
			n := *load
			port := n.node()
			x.link(&n, port, Ground, load.a, Ground, value)
			sol, ok := n.solution(t, port, Ground, z.Hz...)
			if !ok {
				t.Fatalf("seed %d: %s is singular", seed, kind)
			}
			for k, got := range sol.Impedance() {
				if want := x.want(z.Impedance()[k]); !closeTo(got, want, 1e-11) {
					t.Errorf("seed %d: %s shows %v, want %v", seed, kind, got, want)
				}
			}
		}
	}
}
