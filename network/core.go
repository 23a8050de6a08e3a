package network

import "math"

// core is what is left of a circuit when no step applies: branches, couplings
// and transformers in loops. Its unknowns are the node voltages, against one
// of the port's nodes, and the transformers' currents (modified nodal
// analysis: Ho, Ruehli and Brennan, IEEE Trans. CAS 22 (1975) 504).
type core struct {
	nodes        []Node // all but the reference
	names        []string
	unknown      map[Node]int
	size         int
	port         port
	branches     []coreBranch
	couplings    []coreCoupling
	transformers []coreTransformer
}

// Indices into the unknowns; the reference node is -1.
type corePort struct{ a, b int }

type coreBranch struct {
	corePort
	slot int
}

type coreCoupling struct {
	p, q corePort
	slot int
}

type coreTransformer struct {
	from, to corePort
	ratio    complex128
}

func newCore(r *reducer, rest []Node) *core {
	c := &core{port: r.plan.port, unknown: map[Node]int{}}
	for _, n := range rest {
		if n == r.plan.port.b {
			c.unknown[n] = -1
			continue
		}
		c.unknown[n] = len(c.nodes)
		c.nodes = append(c.nodes, n)
		c.names = append(c.names, r.plan.circuit.nodeName(n))
	}
	for _, n := range rest {
		for _, x := range r.arms[n] {
			if n < x.node {
				p := r.plan.slots[x.slot]
				c.branches = append(c.branches, coreBranch{c.at(p), x.slot})
			}
		}
		for _, id := range r.at[n] {
			if k := r.plan.couplings[id]; k.p.a == n {
				c.couplings = append(c.couplings, coreCoupling{c.at(k.p), c.at(k.q), id})
			}
		}
	}
	for _, t := range r.transformers {
		c.transformers = append(c.transformers, coreTransformer{c.at(t.from), c.at(t.to), complex(t.value, 0)})
		c.names = append(c.names, t.name)
	}
	c.size = len(c.nodes) + len(c.transformers)
	return c
}

func (c *core) at(p port) corePort { return corePort{c.unknown[p.a], c.unknown[p.b]} }

// coreSolver holds the equations of a core at one frequency.
type coreSolver struct {
	*core
	lu        lu
	x, r      []complex128
	unsettled [lanes]float64 // last relative correction where refinement did not settle
}

func newCoreSolver(c *core) *coreSolver {
	return &coreSolver{core: c, lu: newLU(c.size), x: make([]complex128, c.size), r: make([]complex128, c.size)}
}

// solve stores the voltages of the core's nodes in the solver, lane by lane.
func (c *coreSolver) solve(s *Solver, n int) error {
	for l := range lanes {
		if l >= n { // padding
			for _, k := range c.nodes {
				s.v[k][l] = s.v[k][n-1]
			}
			continue
		}
		c.assemble(s, l)
		if bad := c.lu.factor(); bad >= 0 {
			return &SingularError{Hz: s.w[l] / (2 * math.Pi), Nodes: []string{c.names[bad]}}
		}
		c.unsettled[l] = c.refine(s, l)
		if c.unsettled[l] > 0 {
			s.sus[l] = true
		}
		for i, k := range c.nodes {
			s.v[k][l] = c.x[i]
		}
		s.v[c.port.b][l] = 0
	}
	for _, b := range c.branches {
		p := s.plan.slots[b.slot]
		for l := range lanes {
			s.drop[b.slot][l] = s.v[p.a][l] - s.v[p.b][l]
		}
	}
	return nil
}

func (c *coreSolver) assemble(s *Solver, l int) {
	c.lu.clear()
	for _, b := range c.branches {
		c.stamp(b.corePort, b.corePort, s.y[b.slot][l])
	}
	for _, k := range c.couplings {
		u := s.u[k.slot][l]
		c.stamp(k.p, k.q, u)
		c.stamp(k.q, k.p, -u)
	}
	for i, t := range c.transformers {
		j := corePort{len(c.nodes) + i, -1}
		c.stamp(t.from, j, 1)
		c.stamp(t.to, j, -t.ratio)
		c.stamp(j, t.from, 1)
		c.stamp(j, t.to, -t.ratio)
	}
}

// stamp adds the current y·v_q through port p.
func (c *coreSolver) stamp(p, q corePort, y complex128) {
	c.lu.add(p.a, q.a, y)
	c.lu.add(p.a, q.b, -y)
	c.lu.add(p.b, q.a, -y)
	c.lu.add(p.b, q.b, y)
}

// refine solves for one ampere into the port and improves the solution with
// residuals formed element by element: the matrix has lost what the elements
// still know (Skeel, Math. Comp. 35 (1980) 817). It returns 0, or the last
// relative correction if that was not small.
func (c *coreSolver) refine(s *Solver, l int) (last float64) {
	clear(c.x)
	const rounds = 4
	for range rounds {
		c.residual(s, l)
		c.lu.solve(c.r)
		change, size := 0.0, 0.0
		for i, d := range c.r {
			c.x[i] += d
			change, size = max(change, abs1(d)), max(size, abs1(c.x[i]))
		}
		if change <= 4*epsilon*size {
			return 0
		}
		last = change / size
	}
	return last
}

// residual sets r to what Kirchhoff's laws leave over.
func (c *coreSolver) residual(s *Solver, l int) {
	clear(c.r)
	c.inject(corePort{c.unknown[c.port.a], -1}, 1)
	for _, b := range c.branches {
		c.inject(b.corePort, -s.y[b.slot][l]*c.across(b.corePort))
	}
	for _, k := range c.couplings {
		u := s.u[k.slot][l]
		c.inject(k.p, -u*c.across(k.q))
		c.inject(k.q, u*c.across(k.p))
	}
	for i, t := range c.transformers {
		j := len(c.nodes) + i
		c.inject(t.from, -c.x[j])
		c.inject(t.to, t.ratio*c.x[j])
		c.r[j] -= c.across(t.from) - t.ratio*c.across(t.to)
	}
}

func (c *coreSolver) inject(p corePort, i complex128) {
	if p.a >= 0 {
		c.r[p.a] += i
	}
	if p.b >= 0 {
		c.r[p.b] -= i
	}
}

func (c *coreSolver) across(p corePort) complex128 {
	var v complex128
	if p.a >= 0 {
		v = c.x[p.a]
	}
	if p.b >= 0 {
		v -= c.x[p.b]
	}
	return v
}
