package tolerance

import (
	"fmt"
	"slices"

	"loadscape/network"
)

// A part is one that varies. It lays itself in place of the part it stands
// for and remembers where.
type part struct {
	network.OnePort // for its label
	element         network.Element
	rating          network.Rating
	series, shunt   float64 // ohm of the losses, which do not vary; 0: none

	name      string
	tolerance float64
	link      int
	id        network.PartID
	branch    network.BranchID
}

// Lay lays the part as package network does, the element that varies apart
// from its losses.
func (p *part) Lay(c *network.Circuit, path string, a, b network.Node) {
	p.name = path
	p.id = c.Part(path, network.Electrical, p.rating)
	if p.series != 0 {
		inner := c.Node(path)
		c.Branch(p.id, a, inner, network.Resistance(p.series))
		a = inner
	}
	p.branch = c.Branch(p.id, a, b, p.element)
	if p.shunt != 0 {
		c.Branch(p.id, a, b, network.Resistance(p.shunt))
	}
}

// scaled returns the element with its value multiplied by factor.
func (p *part) scaled(factor float64) network.Element {
	switch e := p.element.(type) {
	case network.Resistance:
		return e * network.Resistance(factor)
	case network.Inductance:
		return e * network.Inductance(factor)
	case network.Capacitance:
		return e * network.Capacitance(factor)
	case network.PowerLaw:
		return network.PowerLaw{K: e.K * factor, N: e.N}
	}
	return network.ElementFunc(func(w float64) complex128 {
		return p.element.Admittance(w) / complex(factor, 0)
	})
}

// A marker replaces parts that state a tolerance by ones that can vary.
type marker struct {
	link  int
	parts []*part
	err   error
}

func (m *marker) onePort(p network.OnePort) network.OnePort {
	switch p := p.(type) {
	case network.Resistor:
		return m.vary(p, &part{element: network.Resistance(p.Ohms), rating: p.Rating})
	case network.Inductor:
		return m.vary(p, &part{element: network.Inductance(p.Henries), rating: p.Rating, series: p.DCR, shunt: p.CoreLoss})
	case network.Capacitor:
		return m.vary(p, &part{element: network.Capacitance(p.Farads), rating: p.Rating, series: p.ESR})
	case network.Single:
		return m.vary(p, &part{element: p.Element, rating: p.Rating})
	case network.Series:
		return network.Series(m.all(p))
	case network.Parallel:
		return network.Parallel(m.all(p))
	case network.Named:
		p.OnePort = m.onePort(p.OnePort)
		return p
	case network.Mesh:
		p.Parts = m.mesh(p.Parts)
		return p
	case network.Terminated:
		return network.Terminated{Through: m.twoPort(p.Through), Load: m.onePort(p.Load)}
	}
	return p
}

func (m *marker) twoPort(p network.TwoPort) network.TwoPort {
	switch p := p.(type) {
	case network.SeriesArm:
		return network.SeriesArm{OnePort: m.onePort(p.OnePort)}
	case network.ShuntArm:
		return network.ShuntArm{OnePort: m.onePort(p.OnePort)}
	case network.Cascade:
		p = slices.Clone(p)
		for i := range p {
			p[i] = m.twoPort(p[i])
		}
		return p
	case network.NamedTwoPort:
		p.TwoPort = m.twoPort(p.TwoPort)
		return p
	case network.MeshTwoPort:
		p.Parts = m.mesh(p.Parts)
		return p
	}
	return p
}

func (m *marker) all(ports []network.OnePort) []network.OnePort {
	out := make([]network.OnePort, len(ports))
	for i, p := range ports {
		out[i] = m.onePort(p)
	}
	return out
}

func (m *marker) mesh(parts []network.MeshPart) []network.MeshPart {
	parts = slices.Clone(parts)
	for i := range parts {
		parts[i].OnePort = m.onePort(parts[i].OnePort)
	}
	return parts
}

// vary returns p, or v in its place if it states a tolerance.
func (m *marker) vary(p network.OnePort, v *part) network.OnePort {
	t := v.rating.Tolerance
	if t == 0 {
		return p
	}
	if !(t > 0 && t < 1) && m.err == nil {
		m.err = fmt.Errorf("tolerance: %s with a tolerance of %g: expected 0 to below 1", p.Label(), t)
	}
	v.OnePort, v.tolerance, v.link = p, t, m.link
	m.parts = append(m.parts, v)
	return v
}
