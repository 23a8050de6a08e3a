package thielesmall

import (
	"fmt"

	"loadscape/network"
)

// PassiveRadiator is a box with one or several equal radiators without motors
// (Small, J. Audio Eng. Soc. 22 (1974) 592).
type PassiveRadiator struct {
	Volume float64 // m³, net
	Sd     float64 // m², area of one radiator
	Mms    float64 // kg, moving mass of one, with added mass and air load
	Cms    float64 // m/N, compliance of one
	Rms    float64 // N·s/m, loss of one; 0: none
	Count  int     // number of equal radiators, up to MaxDrivers; 0: 1
}

var _ Enclosure = PassiveRadiator{}

// Label returns "passive_radiator".
func (PassiveRadiator) Label() string { return "passive_radiator" }

// Validate reports impossible values.
func (e PassiveRadiator) Validate() error {
	var c checker
	c.positive("volume", e.Volume, "m³")
	c.positive("sd", e.Sd, "m²")
	c.positive("mms", e.Mms, "kg")
	c.positive("cms", e.Cms, "m/N")
	c.optional("rms", e.Rms, "N s/m")
	c.between("count", float64(e.Count), 0, MaxDrivers, "")
	return c.err(e.Label())
}

func (PassiveRadiator) loads() bool { return true }

func (e PassiveRadiator) lay(b *box) {
	b.layChamber(chamber{volume: e.Volume})
	for i := range max(1, e.Count) {
		e.layRadiator(b, fmt.Sprintf("radiator-%d", i+1))
	}
}

// layRadiator lays a mechanical branch that the pressure in the chamber drives
// outwards.
func (e PassiveRadiator) layRadiator(b *box, name string) {
	c := b.circuit
	part := c.Part(b.path+"/"+name, network.Mechanical, network.Rating{})
	cone, moved := b.node(name+"/cone"), b.node(name+"/moved")
	c.Transformer(part, cone, network.Ground, b.rear, network.Ground, e.Sd)
	velocity := c.Branch(part, cone, moved, network.Inductance(e.Mms))
	if e.Rms != 0 {
		lossless := b.node(name + "/lossless")
		c.Branch(part, moved, lossless, network.Resistance(e.Rms))
		moved = lossless
	}
	c.Branch(part, moved, network.Ground, network.Capacitance(e.Cms))
	b.openings = append(b.openings, opening{name, e.Sd, velocity, e.Sd})
}

func (e PassiveRadiator) check(m mounting) []Warning { return m.checkVolume(e.Label(), e.Volume) }
