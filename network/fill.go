package network

import (
	"fmt"
	"math"
	"math/cmplx"
)

// fill evaluates the elements. Resistances, capacitances and inductances in
// one slot are gathered beforehand into y = G + j(ωC − Γ/ω).
type fill struct {
	rlc    []rlc // for each slot
	powers []powerFill
	others []elementFill
}

type rlc struct{ g, c, gamma float64 }

type powerFill struct {
	slot int
	unit complex128 // admittance at ω = 1
	n    float64
}

type elementFill struct {
	slot, branch int
	el           Element
}

func (f *fill) init(p *Plan) { f.rlc = make([]rlc, len(p.slots)) }

// refresh gathers the solver's elements by slot.
func (f *fill) refresh(s *Solver) {
	clear(f.rlc)
	f.powers, f.others = f.powers[:0], f.others[:0]
	for i, e := range s.elements {
		slot := s.plan.branchSlot[i]
		c := &f.rlc[slot]
		switch e := e.(type) {
		case Resistance:
			c.g += 1 / float64(e)
		case Capacitance:
			c.c += float64(e)
		case Inductance:
			c.gamma += 1 / float64(e)
		case PowerLaw:
			f.powers = append(f.powers, powerFill{slot, e.unit(), e.N})
		default:
			f.others = append(f.others, elementFill{slot, i, e})
		}
	}
}

// run sets every slot that has elements to their admittance, and every coupling
// to that of its gyrators.
func (f *fill) run(s *Solver) error {
	f.runRLC(s)
	if len(f.powers) > 0 {
		f.runPowers(s)
	}
	for _, o := range f.others {
		y := &s.y[o.slot]
		for l, w := range s.w {
			a := o.el.Admittance(w)
			if size := cmplx.Abs(a); size != 0 && !(size >= minAdmittance && size <= maxAdmittance) {
				part := s.plan.circuit.branches[o.branch].part
				return fmt.Errorf("network: %s: admittance at %.6g Hz is %v S: expected a magnitude of zero or from %g to %g S",
					s.plan.circuit.partName(part), w/(2*math.Pi), a, minAdmittance, maxAdmittance)
			}
			s.add(y, l, a)
		}
	}
	clear(s.u)
	for i, g := range s.plan.gyrators {
		if g.slot < 0 {
			continue
		}
		u, v := &s.u[g.slot], complex(g.sign/s.plan.circuit.gyrators[i].value, 0)
		for l := range u {
			u[l] += v
		}
	}
	return nil
}

func (f *fill) runRLC(s *Solver) {
	var inv lane1
	for l, w := range s.w {
		inv[l] = 1 / w
	}
	for _, i := range s.plan.ownSlots {
		c, y := &f.rlc[i], &s.y[i]
		if c.gamma == 0 {
			for l := range y {
				y[l] = complex(c.g, c.c*s.w[l])
			}
			continue
		}
		for l := range y {
			b, x := c.c*s.w[l], c.gamma*inv[l]
			y[l] = complex(c.g, b-x)
			if c.g < suspicion*x && math.Abs(b-x) < suspicion*x {
				s.suspect(y, l, complex(0, x))
			}
		}
	}
}

func (f *fill) runPowers(s *Solver) {
	for l, w := range s.w {
		s.lnw[l] = math.Log(w)
	}
	for _, p := range f.powers {
		y := &s.y[p.slot]
		for l := range y {
			s.add(y, l, scale(math.Exp(-p.n*s.lnw[l]), p.unit))
		}
	}
}
