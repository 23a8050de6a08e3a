package tolerance

import (
	"errors"
	"fmt"
	"math"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/hearing"
)

// A model is what is built: circuits compiled once, shared by all workers.
type model struct {
	Options
	hz     []float64
	parts  []*part
	fixed  []string
	hidden []string // state a tolerance inside a one-port of another package
	links  []link

	erb    []float64 // weights of the RMS
	inBand []bool
	level  []float64 // weights of the power over the nominal one; nil: no level matching

	nominal  []float64 // |Z|² of the first link, ohm²
	response []float64 // |H|² but for factors that no part changes; nil for a load
}

// A link is one circuit of a model.
type link struct {
	plan   *network.Plan
	load   network.Node
	direct bool         // the load stands at the port
	source []complex128 // ohm, in front of the port; nil for a load alone
}

// loadModel returns the model of a load alone.
func loadModel(p network.OnePort, hz []float64, o Options) (*model, error) {
	m := &model{Options: o, hz: hz}
	if err := m.weigh(); err != nil {
		return nil, err
	}
	if err := m.add(chain.Link{Load: p}, nil, ""); err != nil {
		return nil, err
	}
	return m, m.settle()
}

// setupModel returns the model of a setup, and the warnings of its nominal
// build.
func setupModel(s chain.Setup, hz []float64, o Options) (*model, []string, error) {
	m := &model{Options: o, hz: hz}
	if err := m.weigh(); err != nil {
		return nil, nil, err
	}
	r, err := s.Run(hz)
	if err != nil {
		return nil, nil, err
	}
	if m.level, err = hearing.KWeights(nil, hz, o.Band); err != nil {
		return nil, nil, err
	}
	power := 0.0
	for i, h := range r.Response {
		m.level[i] *= norm(h)
		power += m.level[i]
	}
	for i := range m.level {
		m.level[i] /= power
	}
	for i, l := range s.Links {
		source := make([]complex128, len(hz))
		for k, f := range hz {
			source[k] = r.Links[i].Output.Impedance(2 * math.Pi * f)
		}
		prefix := ""
		if len(s.Links) > 1 {
			prefix = []string{"first amplifier: ", "second amplifier: "}[min(i, 1)]
		}
		if err := m.add(l, source, prefix); err != nil {
			return nil, nil, fmt.Errorf("%s: %w", s.Name, err)
		}
	}
	return m, r.Warnings, m.settle()
}

// weigh sets what sums a deviation up.
func (m *model) weigh() (err error) {
	if len(m.hz) > MaxPoints {
		return fmt.Errorf("tolerance: %d frequencies: expected at most %d", len(m.hz), MaxPoints)
	}
	if m.erb, err = hearing.ERBWeights(nil, m.hz, m.Band); err != nil {
		return err
	}
	for _, f := range m.hz {
		m.inBand = append(m.inBand, m.Band.Contains(f))
	}
	return nil
}

// add compiles a link and appends its parts, named with a prefix.
func (m *model) add(l chain.Link, source []complex128, prefix string) error {
	mark := &marker{link: len(m.links)}
	c := network.NewCircuit()
	in := c.Node("tap")
	load := mark.twoPort(l.Path()).Lay(c, "path", in, network.Ground)
	mark.onePort(l.Load).Lay(c, l.Load.Label(), load, network.Ground)
	if mark.err != nil {
		return mark.err
	}
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		return err
	}
	varies := map[network.PartID]bool{}
	for _, p := range mark.parts {
		varies[p.id] = true
		p.name = prefix + p.name
	}
	for id, p := range plan.Parts() {
		switch {
		case p.Domain != network.Electrical || varies[network.PartID(id)]:
		case p.Rating.Tolerance != 0:
			m.hidden = append(m.hidden, prefix+p.Name)
		default:
			m.fixed = append(m.fixed, prefix+p.Name)
		}
	}
	m.parts = append(m.parts, mark.parts...)
	m.links = append(m.links, link{plan, load, load == in, source})
	return nil
}

// errNothing tells that nothing can vary.
var errNothing = errors.New("tolerance: no part states a tolerance: expected one on at least one resistor, inductor or capacitor, such as tolerance: 5 %")

// settle computes the nominal build.
func (m *model) settle() error {
	if len(m.parts) == 0 {
		return errNothing
	}
	w := m.newWorker()
	w.nominally()
	if _, err := w.solve(); err != nil {
		return err
	}
	m.nominal = make([]float64, len(m.hz))
	for i, z := range w.z {
		m.nominal[i] = norm(z)
	}
	if m.level != nil {
		m.response = make([]float64, len(m.hz))
		for i, h := range w.h {
			m.response[i] = norm(h)
		}
	}
	return nil
}

func norm(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }
