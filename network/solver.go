package network

import (
	"fmt"
	"math"
	"math/cmplx"
)

// A Solver answers questions about one [Plan] with one set of element values.
// It owns its workspace, so that a sweep allocates nothing; it must not be
// used by two goroutines at once.
type Solver struct {
	plan     *Plan
	elements []Element
	fill     fill
	stale    bool // fill does not match elements

	w, lnw lane1  // ω and ln ω of the block in hand
	y, u   []lane // branch slots and couplings; eliminated arms hold weights
	kept   []lane
	inv    lane   // 1/Σy of the star in hand
	v      []lane // node voltages per ampere into the port
	drop   []lane // voltage along each slot, in the sense of its node pair
	sus    [lanes]bool
	core   *coreSolver
}

type lane1 [lanes]float64

// NewSolver returns a solver with the element values of the compiled circuit.
func (p *Plan) NewSolver() *Solver {
	s := &Solver{
		plan:     p,
		elements: make([]Element, len(p.circuit.branches)),
		y:        make([]lane, len(p.slots)),
		u:        make([]lane, len(p.couplings)),
		kept:     make([]lane, p.taps),
		v:        make([]lane, len(p.circuit.nodes)),
		drop:     make([]lane, len(p.slots)),
		stale:    true,
	}
	for i, b := range p.circuit.branches {
		s.elements[i] = b.el
	}
	s.fill.init(p)
	if p.core != nil {
		s.core = newCoreSolver(p.core)
	}
	return s
}

// SetBranch gives branch b another element. Nothing is recompiled.
func (s *Solver) SetBranch(b BranchID, e Element) error {
	if b < 0 || int(b) >= len(s.elements) {
		panic("network: branch is not of this circuit")
	}
	if err := checkElement(e); err != nil {
		return fmt.Errorf("network: %s: %w", s.plan.circuit.partName(s.plan.circuit.branches[b].part), err)
	}
	s.elements[b] = e
	s.stale = true
	return nil
}

// Impedance stores in dst the driving-point impedance in ohms at each
// frequency of hz and returns it; a nil dst is allocated. A [*Condition] error
// comes beside usable values, a [*SingularError] without.
func (s *Solver) Impedance(dst []complex128, hz []float64) ([]complex128, error) {
	if dst == nil {
		dst = make([]complex128, len(hz))
	}
	if len(dst) != len(hz) {
		panic("network: length of dst is not that of hz")
	}
	var worst *Condition
	for at := 0; at < len(hz); at += lanes {
		n, err := s.block(hz, at)
		if err != nil {
			return nil, err
		}
		if err := s.port(dst[at : at+n]); err != nil {
			return nil, err
		}
		worst = s.examine(worst, hz[at:at+n])
	}
	if worst != nil {
		return dst, worst
	}
	return dst, nil
}

// block eliminates the nodes for the frequencies from hz[at] on, and returns
// their number.
func (s *Solver) block(hz []float64, at int) (n int, err error) {
	if s.stale {
		s.fill.refresh(s)
		s.stale = false
	}
	n = min(lanes, len(hz)-at)
	for l := range s.w {
		f := hz[at+min(l, n-1)]
		if !(f >= minFrequency && f <= maxFrequency) {
			return 0, fmt.Errorf("network: frequency is %g Hz: expected a number from %g to %g", f, minFrequency, maxFrequency)
		}
		s.w[l] = 2 * math.Pi * f
	}
	s.sus = [lanes]bool{}
	if err := s.fill.run(s); err != nil {
		return 0, err
	}
	for _, st := range s.plan.steps {
		st.forward(s)
	}
	if s.core != nil {
		return n, s.core.solve(s, n)
	}
	return n, nil
}

// port stores the impedance between the port's nodes.
func (s *Solver) port(dst []complex128) error {
	if s.core != nil {
		va, vb := &s.v[s.plan.port.a], &s.v[s.plan.port.b]
		for l := range dst {
			dst[l] = va[l] - vb[l]
		}
		return s.checkFinite(dst)
	}
	y := &s.y[s.plan.portSlot]
	for l := range dst {
		dst[l] = reciprocal(y[l])
	}
	return s.checkFinite(dst)
}

// checkFinite reports an impedance that is none: the port is open, or links
// with extreme ratios have multiplied up beyond what a number can hold.
func (s *Solver) checkFinite(z []complex128) error {
	for l, z := range z {
		if cmplx.IsNaN(z) || cmplx.IsInf(z) {
			p := s.plan.port
			return &SingularError{Hz: s.w[l] / (2 * math.Pi), Nodes: []string{s.plan.circuit.nodeName(p.a), s.plan.circuit.nodeName(p.b)}}
		}
	}
	return nil
}

// invertSum sets inv to 1/Σy over the arms. Where the sum vanishes, as between an
// inductor and a capacitor at their resonance, it is taken to be off by a unit
// in the last place of the arms: so are they. Where all arms are open, their
// sum is the least admittance there can be.
func (s *Solver) invertSum(arms []arm) {
	d := &s.inv
	var size lane1 // Σ|y|²
	for i, x := range arms {
		y := &s.y[x.slot]
		if i == 0 {
			for l := range d {
				d[l], size[l] = y[l], norm(y[l])
			}
			continue
		}
		for l := range d {
			d[l] += y[l]
			size[l] += norm(y[l])
		}
	}
	for l := range d {
		n := norm(d[l])
		if n < suspicion*suspicion*size[l] || n == 0 {
			s.sus[l] = true
			if n <= epsilon*epsilon*size[l] {
				d[l] = complex(max(epsilon*math.Sqrt(size[l]), minAdmittance), 0)
				n = norm(d[l])
			}
		}
		inv := 1 / n
		d[l] = complex(real(d[l])*inv, -imag(d[l])*inv)
	}
}

// accumulate adds a·b to a slot.
func (s *Solver) accumulate(t target, a, b *lane) {
	dst := &s.y[t.slot]
	if t.fresh {
		for l := range dst {
			dst[l] = a[l] * b[l]
		}
		return
	}
	for l := range dst {
		p := a[l] * b[l]
		dst[l] += p
		if norm(dst[l]) < suspicion*suspicion*norm(p) {
			s.suspect(dst, l, p)
		}
	}
}

// add adds p to lane l of a slot.
func (s *Solver) add(dst *lane, l int, p complex128) {
	dst[l] += p
	if norm(dst[l]) < suspicion*suspicion*norm(p) {
		s.suspect(dst, l, p)
	}
}

// suspect marks lane l for examination because what was added to dst last, p,
// has nearly cancelled. If nothing at all is left, p is taken to be off by a
// unit in the last place. It is kept out of line for the sake of its callers'
// loops.
//
//go:noinline
func (s *Solver) suspect(dst *lane, l int, p complex128) {
	s.sus[l] = true
	if dst[l] == 0 {
		dst[l] = complex(epsilon*abs1(p), 0)
	}
}

// suspicion is the share of what was added below which a sum is taken for a
// cancellation that may have cost the answer its digits. Such a frequency is
// examined by its condition number.
const (
	suspicion = 1e-8
	epsilon   = 0x1p-52
)

// norm is |z|². The bounds on element values keep it in range.
func norm(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// abs1 is the 1-norm of a complex number: within √2 of its magnitude.
func abs1(z complex128) float64 { return math.Abs(real(z)) + math.Abs(imag(z)) }

// scale returns f·z.
func scale(f float64, z complex128) complex128 { return complex(f*real(z), f*imag(z)) }

// reciprocal returns 1/z.
func reciprocal(z complex128) complex128 {
	inv := 1 / norm(z)
	return complex(real(z)*inv, -imag(z)*inv)
}

// setDrop stores d, the voltage from node to the other end of slot.
func (s *Solver) setDrop(slot int, node Node, d *lane) {
	sign := s.senseOf(slot, node)
	dst := &s.drop[slot]
	for l := range dst {
		dst[l] = scale(sign, d[l])
	}
}

// senseOf returns 1 if the drop along slot is counted from node, else -1.
func (s *Solver) senseOf(slot int, node Node) float64 {
	if s.plan.slots[slot].a == node {
		return 1
	}
	return -1
}
