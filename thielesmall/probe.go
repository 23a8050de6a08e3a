package thielesmall

import (
	"math"
	"math/cmplx"

	"loadscape/network"
)

// A Probe knows where the moving things of a cabinet are in the circuit into
// which it was laid.
type Probe struct {
	box   *box
	cones []cone
}

// cone is the cone of a driver.
type cone struct {
	name     string
	driver   Driver
	velocity network.BranchID
}

// Motion is what a cone, a passive radiator or the air in a port does at each
// frequency.
type Motion struct {
	Name       string       // path, as "ash-412/driver-1"
	Area       float64      // m²; 0: not known
	Xmax       float64      // m, linear excursion of a driver to one side; 0: not stated
	Velocity   []complex128 // m/s, RMS, outwards; nil: not known
	Excursion  []float64    // m, peak, to one side; nil: not known
	VolumeFlow []complex128 // m³/s, RMS, outwards; nil: not known
}

// PeakVelocity returns the peak of the velocity in m/s.
func (m Motion) PeakVelocity() []float64 {
	peak := make([]float64, len(m.Velocity))
	for i, v := range m.Velocity {
		peak[i] = math.Sqrt2 * cmplx.Abs(v)
	}
	return peak
}

// Read returns what moves in the cabinet when a current amperes[i] flows into
// the solution's port at its frequency i.
func (p *Probe) Read(sol *network.Solution, amperes []complex128) Output {
	if len(amperes) != len(sol.Hz) {
		panic("thielesmall: length of amperes is not that of the solution")
	}
	o := Output{Hz: sol.Hz}
	current := func(b network.BranchID) []complex128 {
		i := sol.BranchCurrent(b)
		for k := range i {
			i[k] *= amperes[k]
		}
		return i
	}
	for _, c := range p.cones {
		m := Motion{Name: c.name, Area: c.driver.Sd, Xmax: c.driver.Xmax}
		if c.driver.Absolute() {
			m.move(sol.Hz, current(c.velocity), c.driver.Sd)
		}
		o.Cones = append(o.Cones, m)
	}
	for _, x := range p.box.openings {
		m := Motion{Name: p.box.path + "/" + x.name, Area: x.area}
		m.move(sol.Hz, current(x.branch), x.volume)
		o.Openings = append(o.Openings, m)
	}
	p.radiate(&o)
	return o
}

// move sets the motion from a current that carries volume m³/s per unit.
func (m *Motion) move(hz []float64, current []complex128, volume float64) {
	m.VolumeFlow = make([]complex128, len(hz))
	for i, v := range current {
		m.VolumeFlow[i] = complex(volume, 0) * v
	}
	if m.Area == 0 {
		return
	}
	m.Velocity, m.Excursion = make([]complex128, len(hz)), make([]float64, len(hz))
	for i, u := range m.VolumeFlow {
		m.Velocity[i] = u / complex(m.Area, 0)
		m.Excursion[i] = math.Sqrt2 * cmplx.Abs(m.Velocity[i]) / (2 * math.Pi * hz[i])
	}
}

// radiate sums the volume flows and sets the level that they make.
func (p *Probe) radiate(o *Output) {
	if p.box.bare {
		return
	}
	sum := make([]complex128, len(o.Hz))
	for _, sources := range [][]Motion{o.Cones, o.Openings} {
		for _, m := range sources {
			if m.VolumeFlow == nil {
				return
			}
			for i, u := range m.VolumeFlow {
				sum[i] += u
			}
		}
	}
	o.VolumeFlow, o.Level = sum, make([]float64, len(sum))
	for i, u := range sum {
		// |p| = ωρ|U|/(2πr) at r = 1 m: a source in an infinite wall.
		o.Level[i] = 20 * math.Log10(o.Hz[i]*p.box.air.Density()*cmplx.Abs(u)/referencePressure)
	}
}
