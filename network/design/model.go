package design

import (
	"math"
	"slices"

	"loadscape/network/coil"
	"loadscape/network/leastsquares"
	"loadscape/network/wire"
)

// WindingResistance returns the resistance in ohms of a coil of the Brooks
// shape that fills its section to the last turn: with pitch p its side is
// c⁵ = L·p⁴/k, k being L·/(c·N²). It is proportional to L^(3/5).
func WindingResistance(henries float64, w wire.Wire) float64 {
	unit := coil.Brooks(1, 1).Turns
	c := math.Pow(henries*math.Pow(w.Overall(), 4)*unit*unit, 0.2)
	return coil.Brooks(c, henries).WireLength() * w.Resistance()
}

// model is a network under design. Its parameters x are the logarithms of its
// values.
type model struct {
	*problem
	topology Topology
	kinds    []Kind
	henry    float64   // ohm, resistance of a winding of one henry
	excess   []float64 // resistance of a winding over that of the formula

	lower, upper []float64
	values, dcr  []float64 // workspace
}

// bounds hold the least and largest values of each kind of part.
var bounds = [...][2]float64{
	Resistor:  {0.01, 100e3},
	Inductor:  {1e-6, 1},
	Capacitor: {1e-9, 20e-3},
}

func (p *problem) model(t Topology, o Options) *model {
	m := &model{problem: p, topology: t, kinds: t.Kinds(), henry: WindingResistance(1, o.Wire)}
	n := len(m.kinds)
	m.excess = slices.Repeat([]float64{1}, n)
	m.values, m.dcr = make([]float64, n), make([]float64, n)
	for _, k := range m.kinds {
		m.lower = append(m.lower, math.Log(bounds[k][0]))
		m.upper = append(m.upper, math.Log(bounds[k][1]))
	}
	return m
}

// set makes x the values in hand.
func (m *model) set(x []float64) {
	for i, v := range x {
		m.values[i] = math.Exp(v)
		if m.kinds[i] == Inductor {
			m.dcr[i] = m.excess[i] * m.henry * math.Exp(0.6*v)
		}
	}
}

func (m *model) residualsAt(r, x []float64) {
	m.set(x)
	m.problem.residuals(r, func(w float64) complex128 { return m.topology.impedance(w, m.values, m.dcr) })
}

// fit moves the free ones of x and returns the score; nil frees all.
func (m *model) fit(x []float64, free []bool, steps int) float64 {
	p := leastsquares.Problem{Size: m.size(), Residuals: m.residualsAt, Lower: m.lower, Upper: m.upper}
	if free != nil {
		p.Lower, p.Upper = slices.Clone(m.lower), slices.Clone(m.upper)
		for i, v := range x {
			if !free[i] {
				p.Lower[i], p.Upper[i] = v, v
			}
		}
	}
	found := leastsquares.Minimize(p, x, leastsquares.Settings{
		Iterations: steps,
		Gain:       1e-7,
		Floor:      1e-22,
		Longest:    2, // a factor of seven
		Damping:    1e-2,
	})
	copy(x, found.X)
	return math.Sqrt(found.Cost / 2)
}

// score returns the score of x, r being workspace.
func (m *model) score(x, r []float64) float64 {
	m.residualsAt(r, x)
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return math.Sqrt(sum / 2)
}

// A Design is a network with values for its parts.
type Design struct {
	Topology Topology
	Values   []float64 // ohm, H or F, in the order of Topology.Kinds
	DCR      []float64 // ohm, of the winding where the part is an inductor
	Error    Error
	Score    float64
}

// design returns x as a design.
func (m *model) design(x []float64) (Design, error) {
	m.set(x)
	return m.problem.design(m.topology, slices.Clone(m.values), slices.Clone(m.dcr))
}

func (p *problem) design(t Topology, values, dcr []float64) (Design, error) {
	d := Design{Topology: t, Values: values, DCR: dcr}
	z := make([]complex128, len(p.w))
	for i, w := range p.w {
		z[i] = t.impedance(w, values, dcr)
	}
	var err error
	d.Error, err = p.Error(z)
	d.Score = d.Error.Score(p.limits)
	return d, err
}
