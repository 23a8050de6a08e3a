package network

import "math"

// dice is a source of choices: a seeded generator, or the bytes of a fuzzer.
type dice interface {
	IntN(n int) int // from 0 to n−1
}

// families are ways of throwing a circuit together. Every node has a path of
// branches and windings to ground.
var families = []struct {
	name  string
	throw func(d dice) *netlist
}{
	{"tree", throwTree},
	{"ladder", throwLadder},
	{"mesh", throwMesh},
	{"wide mesh", throwWideMesh},
	{"drivers", throwDrivers},
	{"gyrators", throwGyrators},
	{"gyrator chain", throwGyratorChain},
	{"transformers", throwTransformers},
	{"isolated windings", throwIsolated},
	{"autotransformer", throwAutotransformer},
	{"coupled windings", throwWindings},
	{"everything", throwEverything},
}

// decade returns a number from 10^lo to 10^hi, evenly spread in its logarithm.
func decade(d dice, lo, hi float64) float64 {
	const steps = 997
	return math.Pow(10, lo+(hi-lo)*float64(d.IntN(steps))/(steps-1))
}

func throwElement(d dice) Element {
	switch d.IntN(8) {
	case 0, 1:
		return Inductance(decade(d, -5, -1))
	case 2, 3:
		return Capacitance(decade(d, -7, -2.5))
	case 4:
		return PowerLaw{decade(d, -3, 0), float64(d.IntN(11)) / 10}
	}
	return Resistance(decade(d, -1, 3))
}

// pair returns one of the nodes, ground among them, and another.
func (n *netlist) pair(d dice) (a, b Node) {
	i := d.IntN(n.nodes + 1)
	j := (i + 1 + d.IntN(n.nodes)) % (n.nodes + 1)
	return Node(i), Node(j)
}

// grow adds nodes, each hung by a branch onto one that is there.
func (n *netlist) grow(d dice, nodes int, el func(dice) Element) {
	for range nodes {
		old := Node(d.IntN(n.nodes + 1))
		n.branch(n.node(), old, el(d))
	}
}

// close adds branches between any nodes.
func (n *netlist) close(d dice, branches int, el func(dice) Element) {
	for range branches {
		a, b := n.pair(d)
		n.branch(a, b, el(d))
	}
}

func (n *netlist) anyPort(d dice) *netlist {
	n.a, n.b = n.pair(d)
	return n
}

func throwTree(d dice) *netlist {
	n := &netlist{}
	n.a = n.node()
	n.sprout(d, n.a, Ground, 4)
	return n
}

// sprout lays a random series-parallel tree between a and b.
func (n *netlist) sprout(d dice, a, b Node, depth int) {
	kind := d.IntN(5)
	switch {
	case depth == 0 || kind == 0:
		n.branch(a, b, throwElement(d))
	case kind <= 2:
		middle := n.node()
		n.sprout(d, a, middle, depth-1)
		n.sprout(d, middle, b, depth-1)
	default:
		n.sprout(d, a, b, depth-1)
		n.sprout(d, a, b, depth-1)
	}
}

func throwLadder(d dice) *netlist {
	n := &netlist{}
	at := n.node()
	n.a = at
	for range 3 + d.IntN(9) {
		next := n.node()
		n.branch(at, next, throwElement(d))
		n.branch(next, Ground, throwElement(d))
		at = next
	}
	return n
}

func throwMesh(d dice) *netlist {
	n := &netlist{}
	n.grow(d, 3+d.IntN(7), throwElement)
	n.close(d, n.nodes+d.IntN(8), throwElement)
	return n.anyPort(d)
}

// throwWideMesh has resistances from 1 nΩ to 1 TΩ beside everything else.
func throwWideMesh(d dice) *netlist {
	wide := func(d dice) Element {
		if d.IntN(2) == 0 {
			return throwElement(d)
		}
		return Resistance(decade(d, -9, 12))
	}
	n := &netlist{}
	n.grow(d, 3+d.IntN(6), wide)
	n.close(d, n.nodes+d.IntN(6), wide)
	return n.anyPort(d)
}

// throwDrivers has motors into mechanical branches, which an area joins to a
// common chamber: the shape of a cabinet.
func throwDrivers(d dice) *netlist {
	n := &netlist{}
	n.a = n.node()
	chamber := n.node()
	n.branch(chamber, Ground, Capacitance(decade(d, -7, -5)))
	for range 1 + d.IntN(3) {
		coil, cone := n.node(), n.node()
		n.branch(n.a, coil, Resistance(decade(d, 0, 1.5)))
		n.gyrator(coil, Ground, cone, Ground, decade(d, 0, 1.5))
		// Across is force: mass, compliance and loss stand in series.
		m1, m2 := n.node(), n.node()
		n.branch(cone, m1, Inductance(decade(d, -2.5, -1)))
		n.branch(m1, m2, Capacitance(decade(d, -4.5, -3)))
		if d.IntN(2) == 0 {
			n.branch(m2, Ground, Resistance(decade(d, -1, 1)))
			continue
		}
		m3 := n.node()
		n.branch(m2, m3, Resistance(decade(d, -1, 1)))
		n.transformer(m3, Ground, chamber, Ground, decade(d, -2, -1))
	}
	return n
}

// throwGyrators puts gyrators, some floating, between any nodes of a mesh.
func throwGyrators(d dice) *netlist {
	n := throwMesh(d)
	for range 1 + d.IntN(4) {
		a, b := n.pair(d)
		p, q := n.pair(d)
		n.gyrator(a, b, p, q, decade(d, -0.5, 2))
	}
	return n
}

// throwGyratorChain ends in a tree; some of its nodes carry nothing else.
func throwGyratorChain(d dice) *netlist {
	n := &netlist{}
	at := n.node()
	n.a = at
	for range 1 + d.IntN(5) {
		next := n.node()
		n.gyrator(at, Ground, next, Ground, decade(d, -1, 2))
		if d.IntN(2) == 0 {
			n.branch(next, Ground, throwElement(d))
		}
		at = next
	}
	n.sprout(d, at, Ground, 3)
	return n
}

// throwTransformers puts ideal transformers, several on a node, between any
// nodes of a mesh: some tie voltages together in contradiction.
func throwTransformers(d dice) *netlist {
	n := throwMesh(d)
	for range 1 + d.IntN(3) {
		a, b := n.pair(d)
		p, q := n.pair(d)
		n.transformer(a, b, p, q, decade(d, -1.5, 1.5))
	}
	return n
}

// throwIsolated has secondaries with a circuit of their own, which one branch
// ties to ground.
func throwIsolated(d dice) *netlist {
	n := &netlist{}
	n.grow(d, 2+d.IntN(3), throwElement)
	n.close(d, 3, throwElement)
	n.anyPort(d)
	for range 1 + d.IntN(3) {
		a, b := n.pair(d)
		tie := Node(d.IntN(n.nodes + 1))
		p, q := n.node(), n.node()
		n.transformer(a, b, p, q, decade(d, -1.5, 1.5))
		n.sprout(d, p, q, 2)
		n.branch(q, tie, throwElement(d))
		if d.IntN(2) == 0 {
			n.branch(p, Ground, throwElement(d))
		}
	}
	return n
}

// throwAutotransformer has a tapped winding: its two parts share the tap.
func throwAutotransformer(d dice) *netlist {
	n := &netlist{}
	top, tap := n.node(), n.node()
	n.a = top
	if d.IntN(2) == 0 {
		n.a = n.node()
		n.branch(n.a, top, throwElement(d))
	}
	ratio := decade(d, -1, 1)
	switch d.IntN(3) {
	case 0:
		n.transformer(top, tap, tap, Ground, ratio)
	case 1:
		n.transformer(tap, Ground, top, tap, ratio)
	default:
		n.transformer(top, Ground, tap, top, -1-ratio)
	}
	n.sprout(d, tap, Ground, 3)
	if d.IntN(2) == 0 {
		n.branch(top, Ground, throwElement(d))
	}
	if d.IntN(2) == 0 {
		n.branch(top, tap, throwElement(d))
	}
	return n
}

// throwWindings couples two to four windings, loosely to exactly.
func throwWindings(d dice) *netlist {
	n := &netlist{}
	n.grow(d, 4+d.IntN(3), throwElement)
	n.close(d, n.nodes, throwElement)
	n.anyPort(d)
	k := []float64{0.5, 0.98, 0.999999, 1}[d.IntN(4)]
	count := 2 + d.IntN(3)
	x := windingItem{ends: make([][2]Node, count), l: make([][]float64, count)}
	turns := make([]float64, count)
	for i := range count {
		x.ends[i][0], x.ends[i][1] = n.pair(d)
		turns[i] = float64(int(1) << d.IntN(5)) // exact squares keep k = 1 exact
		x.l[i] = make([]float64, count)
	}
	for i := range count {
		for j := range count {
			x.l[i][j] = k * 0x1p-12 * turns[i] * turns[j]
			if i == j {
				x.l[i][j] /= k
			}
		}
	}
	n.windings = append(n.windings, x)
	return n
}

func throwEverything(d dice) *netlist {
	n := throwWindings(d)
	for range 1 + d.IntN(2) {
		a, b := n.pair(d)
		p, q := n.pair(d)
		n.gyrator(a, b, p, q, decade(d, -0.5, 2))
		a, b = n.pair(d)
		p, q = n.pair(d)
		n.transformer(a, b, p, q, decade(d, -1.5, 1.5))
	}
	n.grow(d, 3, throwElement)
	return n
}
