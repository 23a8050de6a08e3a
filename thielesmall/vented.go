package thielesmall

import (
	"fmt"
	"math"

	"loadscape/network"
)

// DefaultLeakageQ is the Q of the leaks of a vented box of which nothing else
// is known (Small, J. Audio Eng. Soc. 21 (1973) 363).
const DefaultLeakageQ = 7

// Vented is a box with one or several equal ports, given by its tuning or by
// its ports.
type Vented struct {
	Volume      float64 // m³, net
	Tuning      float64 // Hz; 0: from Port
	Port        Port    // zero: from Tuning
	FillFactor  float64 // 1 to 1.4, by which filling enlarges the volume; 0: 1
	LeakageQ    float64 // Q of the leaks at the tuning; 0: DefaultLeakageQ, +Inf: no leaks
	AbsorptionQ float64 // Q of the absorption at the tuning; 0: none
	PortQ       float64 // Q of the ports at the tuning; 0: no loss
}

// Port is a tube from the inside of a box to the outside, with one end flush
// in the panel and one free.
type Port struct {
	Diameter float64 // m; 0: from Area
	Area     float64 // m², of one port; 0: from Diameter
	Length   float64 // m, with the panel's thickness; 0: a hole in a thin panel
	Count    int     // number of equal ports; 0: 1
}

var _ Enclosure = Vented{}

// Label returns "vented".
func (Vented) Label() string { return "vented" }

// Validate reports impossible values.
func (e Vented) Validate() error {
	var c checker
	c.chamber(e.Volume, e.FillFactor, e.LeakageQ, e.AbsorptionQ)
	c.quality("port_q", e.PortQ)
	switch {
	case e.Tuning != 0 && e.Port != (Port{}):
		c.add("tuning", "given beside port", "one or the other")
	case e.Port != (Port{}):
		e.Port.check(&c)
	default:
		c.positive("tuning", e.Tuning, "Hz")
	}
	return c.err(e.Label())
}

func (Vented) loads() bool { return true }

func (e Vented) lay(b *box) {
	leakageQ := e.LeakageQ
	if leakageQ == 0 {
		leakageQ = DefaultLeakageQ
	}
	wb := 2 * math.Pi * e.TunedTo(b.air)
	volume := filled(e.Volume, e.FillFactor)
	b.layChamber(chamber{volume, leakageQ, e.AbsorptionQ, wb})

	mass := 1 / (wb * wb * b.air.Compliance(volume))
	part, at := b.part("port"), b.rear
	if lossy(e.PortQ) {
		at = b.node("port")
		b.circuit.Branch(part, b.rear, at, network.Resistance(wb*mass/e.PortQ))
	}
	port := b.circuit.Branch(part, at, network.Ground, network.Inductance(mass))
	b.openings = append(b.openings, opening{"port", e.Port.totalArea(), port, 1})
}

func (e Vented) check(m mounting) []Warning {
	w := m.checkVolume(e.Label(), e.Volume)
	if e.LeakageQ == 0 {
		w = append(w, Warning{Assumption, e.Label(), fmt.Sprintf("leakage_q is not given: %d is taken, usual for vented boxes (Small 1973)", DefaultLeakageQ)})
	}
	if depth := math.Cbrt(e.Volume); e.Port.Length > depth {
		w = append(w, Warning{Limit, e.Label(), fmt.Sprintf("a port of %.3g m is longer than a cube of the volume is deep (%.3g m): it may not fit, and is no longer a lumped mass", e.Port.Length, depth)})
	}
	return w
}

// TunedTo returns the tuning in hertz: as given, or that of the ports with the
// volume.
func (e Vented) TunedTo(a Air) float64 {
	if e.Tuning != 0 {
		return e.Tuning
	}
	return 1 / (2 * math.Pi * math.Sqrt(e.Port.Mass(a)*a.Compliance(filled(e.Volume, e.FillFactor))))
}

// Corrections in radii for the ends of a tube: flanged, 8/(3π) for a piston
// in a baffle (Rayleigh); free, 0.6133 (Levine and Schwinger, Phys. Rev. 73
// (1948) 383).
const (
	flangedEnd = 8 / (3 * math.Pi)
	freeEnd    = 0.6133
)

// Mass returns the acoustic mass ρ·l'/S in kg/m⁴ of all ports together, with
// one flanged and one free end.
func (p Port) Mass(a Air) float64 {
	radius := math.Sqrt(p.area() / math.Pi)
	return a.Density() * (p.Length + (flangedEnd+freeEnd)*radius) / p.totalArea()
}

// area returns the area of one port, 0 if none is given.
func (p Port) area() float64 {
	if p.Area != 0 {
		return p.Area
	}
	return math.Pi / 4 * p.Diameter * p.Diameter
}

func (p Port) totalArea() float64 { return p.area() * float64(max(1, p.Count)) }

func (p Port) check(c *checker) {
	if p.Diameter != 0 && p.Area != 0 {
		c.add("port.diameter", "given beside area", "one or the other")
	}
	if p.Area == 0 {
		c.positive("port.diameter", p.Diameter, "m")
	} else {
		c.positive("port.area", p.Area, "m²")
	}
	c.optional("port.length", p.Length, "m")
	if p.Count < 0 {
		c.add("port.count", quantity(float64(p.Count), ""), "a positive number")
	}
}
