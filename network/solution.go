package network

import (
	"math"
	"slices"
)

// A Solution holds what every part does at each frequency per ampere (RMS)
// into the port. Its methods return fresh slices as long as Hz.
type Solution struct {
	Hz   []float64
	plan *Plan
	z    []complex128
	v    []complex128 // node-major, relative to ground
	drop []complex128 // branch-major
	i    []complex128 // branch-major
}

// Solve returns the complete solution at the frequencies hz. The same errors
// as those of [Solver.Impedance] are reported in the same way.
func (s *Solver) Solve(hz []float64) (*Solution, error) {
	nb, nn, nf := len(s.elements), len(s.v), len(hz)
	sol := &Solution{
		Hz: slices.Clone(hz), plan: s.plan,
		z: make([]complex128, nf), v: make([]complex128, nn*nf),
		drop: make([]complex128, nb*nf), i: make([]complex128, nb*nf),
	}
	var worst *Condition
	for at := 0; at < nf; at += lanes {
		n, err := s.block(hz, at)
		if err != nil {
			return nil, err
		}
		if err := s.port(sol.z[at : at+n]); err != nil {
			return nil, err
		}
		s.back()
		sol.store(s, at, n)
		worst = s.worse(worst, hz[at:at+n])
	}
	if worst != nil {
		return sol, worst
	}
	return sol, nil
}

// back recovers the voltages of all nodes and slots for one ampere into the
// port.
func (s *Solver) back() {
	if s.core == nil {
		p, slot := s.plan.port, s.plan.portSlot
		s.v[p.b] = lane{}
		for l, y := range s.y[slot] {
			s.v[p.a][l] = reciprocal(y)
		}
		s.setDrop(slot, p.a, &s.v[p.a])
	}
	for i := len(s.plan.steps) - 1; i >= 0; i-- {
		s.plan.steps[i].backward(s)
	}
}

// store copies the block in hand to frequencies at … at+n−1 of the solution.
func (sol *Solution) store(s *Solver, at, n int) {
	nf := len(sol.Hz)
	ground := s.v[Ground]
	for k := range s.v {
		for l := range n {
			sol.v[k*nf+at+l] = s.v[k][l] - ground[l]
		}
	}
	for b, slot := range s.plan.branchSlot {
		sign := s.senseOf(slot, s.plan.circuit.branches[b].a)
		for l := range n {
			d := scale(sign, s.drop[slot][l])
			sol.drop[b*nf+at+l] = d
			sol.i[b*nf+at+l] = d * s.elements[b].Admittance(s.w[l])
		}
	}
}

// examine certifies the suspect frequencies of a block of which only the
// impedance was asked.
func (s *Solver) examine(worst *Condition, hz []float64) *Condition {
	for l := range hz {
		if s.sus[l] {
			s.back()
			return s.worse(worst, hz)
		}
	}
	return worst
}

// worse returns the worst condition of worst and the suspect frequencies of
// the block in hand, for which back has run.
func (s *Solver) worse(worst *Condition, hz []float64) *Condition {
	for l, f := range hz {
		if !s.sus[l] {
			continue
		}
		if n := s.condition(l); n > conditionLimit && (worst == nil || n > worst.Number) {
			worst = &Condition{f, n}
		}
	}
	return worst
}

// condition returns Σ|y||v|²/|Z| over all elements of lane l. By Tellegen's
// theorem ∂Z/∂y = −v² for a branch of a reciprocal network driven by one
// ampere, so this bounds the relative change of Z for a relative change of
// the elements. Gyrators and transformers are taken as exact. A core that
// refinement did not settle counts by its last relative correction.
func (s *Solver) condition(l int) float64 {
	sum := 0.0
	for b, slot := range s.plan.branchSlot {
		d := abs1(s.drop[slot][l])
		sum += abs1(s.elements[b].Admittance(s.w[l])) * d * d
	}
	p := s.plan.port
	n := sum / abs1(s.v[p.a][l]-s.v[p.b][l])
	if math.IsNaN(n) {
		return math.Inf(1)
	}
	if s.core != nil {
		n = max(n, s.core.unsettled[l]/epsilon)
	}
	return n
}

// Impedance returns the impedance at the port, in ohms.
func (sol *Solution) Impedance() []complex128 { return slices.Clone(sol.z) }

// Voltage returns the voltage of node n against ground.
func (sol *Solution) Voltage(n Node) []complex128 { return sol.row(sol.v, int(n)) }

// BranchVoltage returns the voltage from the first to the second node of
// branch b.
func (sol *Solution) BranchVoltage(b BranchID) []complex128 { return sol.row(sol.drop, int(b)) }

// BranchCurrent returns the current from the first to the second node of
// branch b.
func (sol *Solution) BranchCurrent(b BranchID) []complex128 { return sol.row(sol.i, int(b)) }

func (sol *Solution) row(m []complex128, k int) []complex128 {
	nf := len(sol.Hz)
	return slices.Clone(m[k*nf : (k+1)*nf])
}

// PartPower returns the power in watts that part p takes: the sum over its
// branches, and what its gyrators pass on to the mechanical side.
func (sol *Solution) PartPower(p PartID) []float64 {
	power := make([]float64, len(sol.Hz))
	for b, x := range sol.plan.circuit.branches {
		if x.part == p {
			sol.addPower(power, sol.row(sol.drop, b), sol.row(sol.i, b))
		}
	}
	for _, g := range sol.plan.circuit.gyrators {
		if g.part != p {
			continue
		}
		v, i := sol.across(g.from), sol.across(g.to)
		for k := range i {
			i[k] /= complex(g.value, 0)
		}
		sol.addPower(power, v, i)
	}
	return power
}

// PartCurrent returns the largest current (RMS magnitude) in any branch of
// part p.
func (sol *Solution) PartCurrent(p PartID) []float64 { return sol.largest(p, sol.i) }

// PartVoltage returns the largest voltage (RMS magnitude) across any branch
// of part p.
func (sol *Solution) PartVoltage(p PartID) []float64 { return sol.largest(p, sol.drop) }

func (sol *Solution) largest(p PartID, of []complex128) []float64 {
	most := make([]float64, len(sol.Hz))
	for b, x := range sol.plan.circuit.branches {
		if x.part != p {
			continue
		}
		for k, z := range sol.row(of, b) {
			most[k] = max(most[k], math.Hypot(real(z), imag(z)))
		}
	}
	return most
}

func (sol *Solution) across(p port) []complex128 {
	v := sol.Voltage(p.a)
	for k, b := range sol.Voltage(p.b) {
		v[k] -= b
	}
	return v
}

func (sol *Solution) addPower(dst []float64, v, i []complex128) {
	for k := range dst {
		dst[k] += real(v[k])*real(i[k]) + imag(v[k])*imag(i[k])
	}
}
