package network

import (
	"errors"
	"fmt"
	"slices"
)

// A Plan is a compiled circuit: the order in which its nodes are eliminated
// and the slots in which values meet. It does not change after
// [Circuit.Compile] and may be shared by any number of solvers, each in its
// own goroutine.
type Plan struct {
	circuit *Circuit // a copy
	port    port

	slots      []port     // node pairs that branches join, before and during elimination
	branchSlot []int      // slot of each branch of the circuit
	ownSlots   []int      // slots that hold elements of their own
	couplings  []coupling // pairs of ports that gyrators couple
	gyrators   []signed   // coupling of each gyrator of the circuit
	steps      []step
	taps       int   // number of values that steps keep for back-substitution
	core       *core // what the steps leave, nil if only the port
	portSlot   int   // slot between the port's nodes, -1 if there is a core
}

// A coupling carries u, by which the current through port p is u·v_q and that
// through port q is −u·v_p.
type coupling struct{ p, q port }

// signed is the index of a slot and the sign with which to read it.
type signed struct {
	slot int
	sign float64
}

// A target is a slot to which a step adds. What a fresh one held before is
// left over from another frequency.
type target struct {
	slot  int
	fresh bool
}

// An arm is a branch seen from one of its nodes.
type arm struct {
	node Node
	slot int
}

// A step of the elimination does its arithmetic for a block of frequencies,
// and later recovers the voltage of the node that it removed.
type step interface {
	forward(s *Solver)
	backward(s *Solver)
}

// Compile returns the plan that answers what the circuit does when driven
// between nodes a and b. It reports every mistake recorded while the circuit
// was built, and a [*FloatingError] if nodes lack a connection to ground.
func (c *Circuit) Compile(a, b Node) (*Plan, error) {
	if err := errors.Join(append(c.errs[:len(c.errs):len(c.errs)], c.checkPort(a, b))...); err != nil {
		return nil, err
	}
	if err := c.checkFloating(); err != nil {
		return nil, err
	}
	p := &Plan{circuit: c.clone(), port: port{a, b}, portSlot: -1}
	r := newReducer(p)
	r.reduce()
	rest := r.remaining()
	if len(rest) > 2 || len(r.transformers) > 0 || r.findSlot(a, b) < 0 {
		p.core = newCore(r, rest)
	} else {
		p.portSlot = r.findSlot(a, b)
	}
	return p, nil
}

// Parts returns the parts of the compiled circuit. The slice must not be
// changed.
func (p *Plan) Parts() []Part { return p.circuit.parts }

func (c *Circuit) checkPort(a, b Node) error {
	c.checkNodes(a, b)
	if a == b {
		return fmt.Errorf("network: port: both ends are at node %q: it is shorted", c.nodeName(a))
	}
	return nil
}

func (c *Circuit) clone() *Circuit {
	return &Circuit{
		nodes:        slices.Clone(c.nodes),
		parts:        slices.Clone(c.parts),
		branches:     slices.Clone(c.branches),
		gyrators:     slices.Clone(c.gyrators),
		transformers: slices.Clone(c.transformers),
	}
}

// checkFloating returns a [*FloatingError] that lists every node without a
// path of branches and windings to ground.
func (c *Circuit) checkFloating() error {
	root := make([]int, len(c.nodes))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	join := func(a, b Node) { root[find(int(a))] = find(int(b)) }
	for _, b := range c.branches {
		join(b.a, b.b)
	}
	for _, l := range slices.Concat(c.gyrators, c.transformers) {
		join(l.from.a, l.from.b)
		join(l.to.a, l.to.b)
	}
	var floating []string
	for i, name := range c.nodes {
		if find(i) != find(0) {
			floating = append(floating, name)
		}
	}
	if floating != nil {
		return &FloatingError{floating}
	}
	return nil
}
