package network

// lanes is the number of frequencies that a step handles at once: enough to
// hide the cost of decoding it and to keep divisions in flight, few enough for
// the values of a large circuit to stay in the nearest cache.
const lanes = 16

type lane [lanes]complex128

// star removes a node by the star–mesh transformation. With d = Σy over the
// arms and h the sum of the couplings u at the node, Kirchhoff's current law
// gives
//
//	v_k = Σ (y_i/d)·v_i − (h/d)·v_far
//
// which leaves branches y_i·y_j/d between neighbours, h²/d across the far
// port, and each coupling (k, m) spread over ports (i, m) as u·y_i/d.
type star struct {
	node   Node
	arms   []arm
	pairs  []target // between arms i and j < i, i descending
	taps   []tap
	far    port // where all taps lead
	across target
	kept   int // where h/d is kept for back-substitution
}

// tap is a coupling that ends at the node of a star.
type tap struct {
	from signed
	to   []signed // for each arm
}

var (
	_ step = (*star)(nil)
	_ step = (*absorb)(nil)
)

func (st *star) forward(s *Solver) {
	if len(st.arms) == 1 && len(st.taps) == 0 {
		return
	}
	s.invertSum(st.arms)
	if len(st.taps) > 0 {
		st.sumTaps(s)
	}
	k := 0
	for i := len(st.arms) - 1; i >= 0; i-- {
		w := &s.y[st.arms[i].slot] // the arm's weight takes its place
		for l := range w {
			w[l] *= s.inv[l]
		}
		for j := range i {
			s.accumulate(st.pairs[k], w, &s.y[st.arms[j].slot])
			k++
		}
	}
	for _, t := range st.taps {
		t.spread(s, st.arms)
	}
}

// sumTaps adds h²/d across the far port and keeps h/d.
func (st *star) sumTaps(s *Solver) {
	var h lane
	for _, t := range st.taps {
		u, sign := &s.u[t.from.slot], t.from.sign
		for l := range h {
			h[l] += scale(sign, u[l])
		}
	}
	kept := &s.kept[st.kept]
	for l := range h {
		kept[l] = h[l] * s.inv[l]
	}
	s.accumulate(st.across, kept, &h)
}

// spread moves the coupling from the removed node to its neighbours; by now
// the arms hold their weights.
func (t tap) spread(s *Solver, arms []arm) {
	u := &s.u[t.from.slot]
	for i, to := range t.to {
		if to.slot < 0 {
			continue
		}
		dst, w, sign := &s.u[to.slot], &s.y[arms[i].slot], t.from.sign*to.sign
		for l := range dst {
			dst[l] += scale(sign, u[l]) * w[l]
		}
	}
}

// backward forms the drop along each arm from the drops between neighbours,
// so that a small drop keeps its digits beside large voltages.
func (st *star) backward(s *Solver) {
	if len(st.arms) == 1 && len(st.taps) == 0 {
		x := st.arms[0]
		s.v[st.node] = s.v[x.node]
		s.drop[x.slot] = lane{}
		return
	}
	var far lane
	if len(st.taps) > 0 {
		kept, drop, sign := &s.kept[st.kept], &s.drop[st.across.slot], s.senseOf(st.across.slot, st.far.a)
		for l := range far {
			far[l] = kept[l] * scale(sign, drop[l])
		}
	}
	for i, x := range st.arms {
		var d lane
		for j, o := range st.arms {
			if i == j {
				continue
			}
			slot := st.pair(i, j)
			drop, sign, w := &s.drop[slot], s.senseOf(slot, o.node), &s.y[o.slot]
			for l := range d {
				d[l] += w[l] * scale(sign, drop[l])
			}
		}
		for l := range d {
			d[l] -= far[l]
		}
		s.setDrop(x.slot, st.node, &d)
	}
	x := st.nearest()
	vk, vx, d := &s.v[st.node], &s.v[x.node], &s.drop[x.slot]
	sign := s.senseOf(x.slot, st.node)
	for l := range vk {
		vk[l] = vx[l] + scale(sign, d[l])
	}
}

// nearest returns the arm from which the node's voltage is formed: the one to
// ground, if there is one, keeps the digits of a small voltage.
func (st *star) nearest() arm {
	for _, x := range st.arms {
		if x.node == Ground {
			return x
		}
	}
	return st.arms[0]
}

// pair returns the slot between arms i and j.
func (st *star) pair(i, j int) int {
	i, j = max(i, j), min(i, j)
	n := len(st.arms)
	return st.pairs[n*(n-1)/2-i*(i+1)/2+j].slot
}

// absorb removes an ideal transformer whose winding side carries nothing but
// what is across it, where v_onto = ratio·v_side.
type absorb struct {
	side, onto port
	ratio      float64
	from       int // slot of side, -1 if nothing is across it
	to         target
	couplings  []moved
}

// moved is a coupling that changes its port.
type moved struct{ from, to signed }

func (st *absorb) forward(s *Solver) {
	inv := 1 / st.ratio
	if st.from >= 0 {
		var f lane
		for l := range f {
			f[l] = complex(inv*inv, 0)
		}
		s.accumulate(st.to, &f, &s.y[st.from])
	}
	for _, m := range st.couplings {
		dst, u, f := &s.u[m.to.slot], &s.u[m.from.slot], m.from.sign*m.to.sign*inv
		for l := range dst {
			dst[l] += scale(f, u[l])
		}
	}
}

func (st *absorb) backward(s *Solver) {
	var d lane
	va, vb := &s.v[st.onto.a], &s.v[st.onto.b]
	inv := 1 / st.ratio
	for l := range d {
		d[l] = scale(inv, va[l]-vb[l])
	}
	vk, vx := &s.v[st.side.a], &s.v[st.side.b]
	for l := range vk {
		vk[l] = vx[l] + d[l]
	}
	if st.from >= 0 {
		s.setDrop(st.from, st.side.a, &d)
	}
}
