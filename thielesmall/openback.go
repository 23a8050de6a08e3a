package thielesmall

import (
	"fmt"
	"math"

	"loadscape/network"
)

// OpenBack is a box with an opening in its rear panel. Chamber and opening are
// lumped, which is good to about a quarter wave of the depth.
type OpenBack struct {
	Volume      float64 // m³, net
	Opening     float64 // m²
	Thickness   float64 // m, of the panel; 0: thin
	LeakageQ    float64 // Q of the leaks at the resonance of volume and opening; 0: no leaks
	AbsorptionQ float64 // Q of the absorption at that resonance; 0: none
}

var _ Enclosure = OpenBack{}

// Label returns "open_back".
func (OpenBack) Label() string { return "open_back" }

// Validate reports impossible values.
func (e OpenBack) Validate() error {
	var c checker
	c.chamber(e.Volume, 0, e.LeakageQ, e.AbsorptionQ)
	c.positive("opening", e.Opening, "m²")
	c.optional("thickness", e.Thickness, "m")
	return c.err(e.Label())
}

func (OpenBack) loads() bool { return true }

// lay lays the chamber and, across it, the air in the opening with its inner,
// flanged end and the radiation of a piston of the same area.
func (e OpenBack) lay(b *box) {
	radius := math.Sqrt(e.Opening / math.Pi)
	mass := b.air.Density() * (e.Thickness + flangedEnd*radius) / e.Opening
	outside := piston{radius: radius, air: b.air}
	w0 := 1 / math.Sqrt((mass+outside.mass())*b.air.Compliance(e.Volume))
	b.layChamber(chamber{e.Volume, e.LeakageQ, e.AbsorptionQ, w0})

	part, mouth := b.part("opening"), b.node("opening")
	air := b.circuit.Branch(part, b.rear, mouth, network.Inductance(mass))
	b.circuit.Branch(part, mouth, network.Ground, outside)
	b.openings = append(b.openings, opening{"opening", e.Opening, air, 1})
}

func (e OpenBack) check(m mounting) []Warning {
	depth := math.Cbrt(e.Volume)
	return append(m.checkVolume(e.Label(), e.Volume),
		Warning{Limit, e.Label(), fmt.Sprintf("the air in the box is lumped, which is good to about %.0f Hz, a quarter wave of the depth (taken as %.2f m, that of a cube of the volume)", m.air.SoundSpeed()/(4*depth), depth)},
		Warning{Limit, e.Label(), "the sound level is the sum of front and opening without the path between them: it is too low where they cancel"})
}
