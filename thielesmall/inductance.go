package thielesmall

import "loadscape/network"

// Inductance is a coil without losses in the iron: Zb = Re + jωLe.
type Inductance struct {
	Le float64 // H
}

var _ VoiceCoil = Inductance{}

// Label returns "inductance".
func (Inductance) Label() string { return "inductance" }

// Validate reports an inductance that is not positive.
func (v Inductance) Validate() error {
	var c checker
	c.positive("le", v.Le, "H")
	return c.err(v.Label())
}

// Lay lays the inductance.
func (v Inductance) Lay(c *network.Circuit, p network.PartID, a, b network.Node) {
	c.Branch(p, a, b, network.Inductance(v.Le))
}
