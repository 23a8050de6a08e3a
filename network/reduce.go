package network

import "slices"

// reducer finds, from the pattern alone, the steps that take a circuit apart.
type reducer struct {
	plan         *Plan
	gone         []bool  // nodes already eliminated
	arms         [][]arm // of each node
	at           [][]int // couplings that touch each node
	filled       []bool  // slots that hold something at this stage of the elimination
	transformers []link  // those not yet absorbed
}

func newReducer(p *Plan) *reducer {
	n := len(p.circuit.nodes)
	r := &reducer{plan: p, gone: make([]bool, n), arms: make([][]arm, n), at: make([][]int, n)}
	for _, b := range p.circuit.branches {
		slot := r.slot(b.a, b.b)
		p.branchSlot = append(p.branchSlot, slot)
		r.filled[slot] = true
	}
	for slot := range p.slots {
		p.ownSlots = append(p.ownSlots, slot)
	}
	for _, g := range p.circuit.gyrators {
		p.gyrators = append(p.gyrators, r.coupling(g.from, g.to))
	}
	r.transformers = append(r.transformers, p.circuit.transformers...)
	return r
}

// reduce adds steps to the plan while any is possible, the cheapest first.
func (r *reducer) reduce() {
	for {
		if r.absorb() {
			continue
		}
		k, ok := r.cheapest()
		if !ok {
			return
		}
		r.eliminate(k)
	}
}

// remaining returns the nodes that no step removed, the port's among them.
func (r *reducer) remaining() []Node {
	var rest []Node
	for n, gone := range r.gone {
		if !gone {
			rest = append(rest, Node(n))
		}
	}
	return rest
}

// slot returns the slot between a and b, and makes it if there is none.
func (r *reducer) slot(a, b Node) int {
	if s := r.findSlot(a, b); s >= 0 {
		return s
	}
	s := len(r.plan.slots)
	r.plan.slots = append(r.plan.slots, port{a, b})
	r.filled = append(r.filled, false)
	r.arms[a] = append(r.arms[a], arm{b, s})
	r.arms[b] = append(r.arms[b], arm{a, s})
	return s
}

// target returns the slot between a and b as one to which something is added.
func (r *reducer) target(a, b Node) target {
	slot := r.slot(a, b)
	t := target{slot, !r.filled[slot]}
	r.filled[slot] = true
	return t
}

func (r *reducer) findSlot(a, b Node) int {
	for _, x := range r.arms[a] {
		if x.node == b {
			return x.slot
		}
	}
	return -1
}

// ordered returns p with its lower node first, and the sign of the voltage
// across p in terms of it.
func ordered(p port) (port, float64) {
	if p.a > p.b {
		return port{p.b, p.a}, -1
	}
	return p, 1
}

func (p port) less(q port) bool { return p.a < q.a || p.a == q.a && p.b < q.b }

func (p port) has(n Node) bool { return p.a == n || p.b == n }

// other returns the node of p that is not n.
func (p port) other(n Node) Node { return p.a + p.b - n }

// coupling returns where the coupling of current through p by voltage at q is
// kept, and makes a place for it if there is none. A port that drives itself
// carries nothing: its slot is -1.
func (r *reducer) coupling(p, q port) signed {
	p, s := ordered(p)
	q, t := ordered(q)
	sign := s * t
	if p == q {
		return signed{-1, 0}
	}
	if q.less(p) {
		p, q, sign = q, p, -sign
	}
	c := coupling{p, q}
	for _, i := range r.at[p.a] {
		if r.plan.couplings[i] == c {
			return signed{i, sign}
		}
	}
	i := len(r.plan.couplings)
	r.plan.couplings = append(r.plan.couplings, c)
	seen := make([]Node, 0, 4)
	for _, n := range []Node{p.a, p.b, q.a, q.b} {
		if !slices.Contains(seen, n) {
			seen = append(seen, n)
			r.at[n] = append(r.at[n], i)
		}
	}
	return signed{i, sign}
}

// cheapest returns the node whose elimination costs least arithmetic
// (Markowitz, Manage. Sci. 3 (1957) 255).
func (r *reducer) cheapest() (best Node, ok bool) {
	least := -1
	for n := range r.gone {
		k := Node(n)
		if r.gone[k] || r.plan.port.has(k) {
			continue
		}
		cost := len(r.arms[k]) * (len(r.arms[k]) - 1 + 2*len(r.at[k]))
		if (least < 0 || cost < least) && r.reducible(k) {
			best, least, ok = k, cost, true
		}
	}
	return best, ok
}

// reducible reports whether eliminating k leaves only branches and gyrators:
// no transformer ends there, and all couplings at k lead to one other port.
func (r *reducer) reducible(k Node) bool {
	if len(r.arms[k]) == 0 {
		return false
	}
	for _, t := range r.transformers {
		if t.from.has(k) || t.to.has(k) {
			return false
		}
	}
	var far port
	for i, id := range r.at[k] {
		c := r.plan.couplings[id]
		if c.p.has(k) && c.q.has(k) {
			return false
		}
		_, q, _ := c.seenFrom(k)
		if i > 0 && q != far {
			return false
		}
		far = q
	}
	return true
}

// seenFrom returns the port of c that k belongs to, with k first, the other
// port, and the sign of the coupling in that sense.
func (c coupling) seenFrom(k Node) (near, far port, sign float64) {
	near, far, sign = c.p, c.q, 1
	if !c.p.has(k) {
		near, far, sign = c.q, c.p, -1
	}
	if near.b == k {
		near, sign = port{near.b, near.a}, -sign
	}
	return near, far, sign
}

// eliminate adds the step that removes node k and updates the pattern.
func (r *reducer) eliminate(k Node) {
	st := &star{node: k, arms: r.arms[k]}
	if len(r.at[k]) > 0 {
		_, st.far, _ = r.plan.couplings[r.at[k][0]].seenFrom(k)
		st.across = r.target(st.far.a, st.far.b) // before the pairs, as the step adds
		st.kept = r.plan.taps
		r.plan.taps++
	}
	for i := len(st.arms) - 1; i > 0; i-- {
		for j := range i {
			st.pairs = append(st.pairs, r.target(st.arms[i].node, st.arms[j].node))
		}
	}
	for _, id := range r.at[k] {
		near, far, sign := r.plan.couplings[id].seenFrom(k)
		t := tap{from: signed{id, sign}}
		for _, x := range st.arms {
			to := signed{-1, 0}
			if x.node != near.b {
				to = r.coupling(port{x.node, near.b}, far)
			}
			t.to = append(t.to, to)
		}
		st.taps = append(st.taps, t)
	}
	r.remove(k)
	r.plan.steps = append(r.plan.steps, st)
}

// remove takes node k, its arms and its couplings out of the pattern. Lists
// are cloned before they shrink, for steps hold earlier ones.
func (r *reducer) remove(k Node) {
	for _, x := range r.arms[k] {
		r.arms[x.node] = slices.DeleteFunc(slices.Clone(r.arms[x.node]), func(a arm) bool { return a.node == k })
	}
	for _, id := range r.at[k] {
		c := r.plan.couplings[id]
		for _, n := range []Node{c.p.a, c.p.b, c.q.a, c.q.b} {
			if n != k {
				r.at[n] = slices.DeleteFunc(slices.Clone(r.at[n]), func(i int) bool { return i == id })
			}
		}
	}
	r.gone[k], r.arms[k], r.at[k] = true, nil, nil
}

// absorb removes one transformer that has a one-port on one side, and reports
// whether there was one.
func (r *reducer) absorb() bool {
	for i, t := range r.transformers {
		side, onto, ratio := t.to, t.from, t.value
		k, ok := r.loneEnd(i, side)
		if !ok {
			side, onto, ratio = t.from, t.to, 1/t.value
			k, ok = r.loneEnd(i, side)
		}
		if !ok {
			continue
		}
		if k == side.b {
			side, onto = port{side.b, side.a}, port{onto.b, onto.a}
		}
		r.transformers = append(r.transformers[:i:i], r.transformers[i+1:]...)
		r.move(side, onto, ratio)
		return true
	}
	return false
}

// loneEnd returns a node of side, a winding of transformer i, to which nothing
// but that winding and elements across it is connected.
func (r *reducer) loneEnd(i int, side port) (Node, bool) {
	t := r.transformers[i]
	for _, k := range []Node{side.a, side.b} {
		tapped := t.from.has(k) && t.to.has(k) // both windings end there
		if !tapped && !r.plan.port.has(k) && r.onlyAcross(i, k, side) {
			return k, true
		}
	}
	return 0, false
}

func (r *reducer) onlyAcross(i int, k Node, side port) bool {
	for _, x := range r.arms[k] {
		if x.node != side.other(k) {
			return false
		}
	}
	side, _ = ordered(side)
	for _, id := range r.at[k] {
		c := r.plan.couplings[id]
		if near, far, _ := c.seenFrom(k); near.other(k) != side.other(k) || far.has(k) {
			return false
		}
	}
	for j, t := range r.transformers {
		if j != i && (t.from.has(k) || t.to.has(k)) {
			return false
		}
	}
	return true
}

// move adds the step that carries what is across side over to the port onto,
// where v_onto = ratio·v_side, and removes node side.a.
func (r *reducer) move(side, onto port, ratio float64) {
	st := &absorb{side: side, onto: onto, ratio: ratio, from: -1}
	if len(r.arms[side.a]) > 0 {
		st.from = r.arms[side.a][0].slot
		st.to = r.target(onto.a, onto.b)
	}
	for _, id := range r.at[side.a] {
		_, far, sign := r.plan.couplings[id].seenFrom(side.a)
		if to := r.coupling(onto, far); to.slot >= 0 {
			st.couplings = append(st.couplings, moved{signed{id, sign}, to})
		}
	}
	r.remove(side.a)
	r.plan.steps = append(r.plan.steps, st)
}
