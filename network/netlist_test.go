package network

import (
	"fmt"
	"math"
	"math/cmplx"
)

// A netlist is a circuit as the tests describe it. It can be built into a
// [Circuit], and solved by [netlist.reference], which shares no code with the
// solver.
type netlist struct {
	nodes        int // beside ground
	a, b         Node
	branches     []branchItem
	gyrators     []linkItem
	transformers []linkItem
	windings     []windingItem
}

type branchItem struct {
	a, b Node
	el   Element
}

type linkItem struct {
	a, b, c, d Node
	value      float64
}

type windingItem struct {
	ends [][2]Node
	l    [][]float64
}

func (n *netlist) node() Node {
	n.nodes++
	return Node(n.nodes)
}

func (n *netlist) branch(a, b Node, e Element) {
	n.branches = append(n.branches, branchItem{a, b, e})
}

func (n *netlist) gyrator(a, b, c, d Node, r float64) {
	n.gyrators = append(n.gyrators, linkItem{a, b, c, d, r})
}

func (n *netlist) transformer(a, b, c, d Node, ratio float64) {
	n.transformers = append(n.transformers, linkItem{a, b, c, d, ratio})
}

// circuit builds the netlist with the public methods. Branch i of the netlist
// is branch i of the circuit, and the only one of part i.
func (n *netlist) circuit() *Circuit {
	c := NewCircuit()
	for i := range n.nodes {
		c.Node(fmt.Sprintf("node-%d", i+1))
	}
	part := func(kind string, i int) PartID {
		return c.Part(fmt.Sprintf("%s-%d", kind, i+1), Electrical, Rating{})
	}
	for i, x := range n.branches {
		c.Branch(part("branch", i), x.a, x.b, x.el)
	}
	for i, x := range n.gyrators {
		c.Gyrator(part("gyrator", i), x.a, x.b, x.c, x.d, x.value)
	}
	for i, x := range n.transformers {
		c.Transformer(part("transformer", i), x.a, x.b, x.c, x.d, x.value)
	}
	for i, x := range n.windings {
		c.Windings(part("windings", i), x.ends, x.l)
	}
	return c
}

// answer is what the reference found at one frequency, per ampere into the
// port.
type answer struct {
	z    complex128
	v    []complex128 // of the netlist's nodes against ground
	cond float64      // relative condition number of z
}

// reference solves the modified nodal equations: one row per node for
// Kirchhoff's current law, one per transformer and winding for its voltage.
// It reports false if they are singular.
func (n *netlist) reference(hz float64) (answer, bool) {
	w := 2 * math.Pi * hz
	x := n.solve(w, 1)
	if x == nil {
		return answer{}, false
	}
	z := at(x, n.a).sub(at(x, n.b))
	ans := answer{z: z.complex128(), v: make([]complex128, n.nodes+1)}
	for k := range ans.v {
		ans.v[k] = at(x, Node(k)).complex128()
	}
	ans.cond = n.sensitivity(w, x, n.solve(w, -1)) / z.abs()
	return ans, true
}

// at returns the voltage of node k in a solution.
func at(x []bigComplex, k Node) bigComplex {
	if k == Ground {
		return bigOf(0)
	}
	return x[k-1]
}

// sensitivity returns how much the voltage at a port changes for a relative
// change of all values by one. For each entry y of the equations ∂v/∂y = −v·v̂,
// v̂ being the solution of the transposed equations driven at that port
// (Director and Rohrer, IEEE Trans. CT 16 (1969) 318).
func (n *netlist) sensitivity(w float64, x, adjoint []bigComplex) float64 {
	across := func(x []bigComplex, a, b Node) float64 { return at(x, a).sub(at(x, b)).abs() }
	sum := 0.0
	for _, e := range n.branches {
		sum += admittance(e.el, w).abs() * across(x, e.a, e.b) * across(adjoint, e.a, e.b)
	}
	for _, g := range n.gyrators {
		sum += math.Abs(1/g.value) * (across(x, g.a, g.b)*across(adjoint, g.c, g.d) + across(x, g.c, g.d)*across(adjoint, g.a, g.b))
	}
	for i, t := range n.transformers {
		j := n.nodes + i
		sum += math.Abs(t.value) * (across(x, t.c, t.d)*adjoint[j].abs() + x[j].abs()*across(adjoint, t.c, t.d))
	}
	j := n.nodes + len(n.transformers)
	for _, c := range n.windings {
		for p := range c.ends {
			for q := range c.ends {
				sum += w * math.Abs(c.l[p][q]) * x[j+q].abs() * adjoint[j+p].abs()
			}
		}
		j += len(c.ends)
	}
	return sum
}

// solve returns node voltages, then transformer and winding currents, per
// ampere into the port. Transposing the equations turns the gyrators round:
// sense is 1 or -1.
func (n *netlist) solve(w, sense float64) []bigComplex {
	size := n.nodes + len(n.transformers)
	for _, c := range n.windings {
		size += len(c.ends)
	}
	rhs := make([]bigComplex, size)
	m := make([][]bigComplex, size)
	for i := range m {
		rhs[i] = bigOf(0)
		m[i] = make([]bigComplex, size)
		for j := range m[i] {
			m[i][j] = bigOf(0)
		}
	}
	add := func(i, j int, y bigComplex) {
		if i >= 0 && j >= 0 {
			m[i][j] = m[i][j].add(y)
		}
	}
	// stamp adds y·(x_c − x_d) to row a and takes it from row b.
	stamp := func(a, b, c, d int, y bigComplex) {
		add(a, c, y)
		add(b, d, y)
		add(a, d, y.neg())
		add(b, c, y.neg())
	}
	row := func(k Node) int { return int(k) - 1 }
	for _, e := range n.branches {
		stamp(row(e.a), row(e.b), row(e.a), row(e.b), admittance(e.el, w))
	}
	for _, g := range n.gyrators {
		u := bigOf(complex(g.value, 0)).inv().mul(bigOf(complex(sense, 0)))
		stamp(row(g.a), row(g.b), row(g.c), row(g.d), u)
		stamp(row(g.c), row(g.d), row(g.a), row(g.b), u.neg())
	}
	j := n.nodes
	one := bigOf(1)
	for _, t := range n.transformers {
		ratio := bigOf(complex(-t.value, 0))
		stamp(row(t.a), row(t.b), j, -1, one)
		stamp(row(t.c), row(t.d), j, -1, ratio)
		stamp(j, -1, row(t.a), row(t.b), one)
		stamp(j, -1, row(t.c), row(t.d), ratio)
		j++
	}
	for _, c := range n.windings {
		for p, e := range c.ends {
			stamp(row(e[0]), row(e[1]), j+p, -1, one)
			stamp(j+p, -1, row(e[0]), row(e[1]), one)
			for q := range c.ends {
				add(j+p, j+q, bigOf(complex(0, -w)).mul(bigOf(complex(c.l[p][q], 0))))
			}
		}
		j += len(c.ends)
	}
	if n.a != Ground {
		rhs[row(n.a)] = bigOf(1)
	}
	if n.b != Ground {
		rhs[row(n.b)] = bigOf(-1)
	}
	return solveBig(m, rhs)
}

// admittance is exact for resistances, inductances and capacitances, so that
// the reference owes nothing to the solver's rounding.
func admittance(e Element, w float64) bigComplex {
	switch e := e.(type) {
	case Resistance:
		return bigOf(complex(float64(e), 0)).inv()
	case Inductance:
		return bigOf(complex(0, w)).mul(bigOf(complex(float64(e), 0))).inv()
	case Capacitance:
		return bigOf(complex(0, w)).mul(bigOf(complex(float64(e), 0)))
	}
	return bigOf(e.Admittance(w))
}

// finite reports whether z is neither infinite nor not a number.
func finite(z complex128) bool { return !cmplx.IsNaN(z) && !cmplx.IsInf(z) }
