package thielesmall

import "loadscape/network"

// SemiInductance is a free inductance in series with the inductance of the
// coil in the iron, shunted by the semi-inductance of the eddy currents and by
// a resistance, as of a shorting ring (Vanderkooy, J. Audio Eng. Soc. 37
// (1989) 119; Thorborg and Futtrup, J. Audio Eng. Soc. 59 (2011) 612):
//
//	Zb = Re + jωLeb + ( jωLe ∥ Ke·√(jω) ∥ Rss )
type SemiInductance struct {
	Leb float64 // H; 0: none
	Le  float64 // H; 0: absent (infinite)
	Ke  float64 // semi-henries, ohm·s^½
	Rss float64 // ohm; 0: absent (infinite)
}

var _ VoiceCoil = SemiInductance{}

// Label returns "semi_inductance".
func (SemiInductance) Label() string { return "semi_inductance" }

// Validate reports values that are not positive.
func (v SemiInductance) Validate() error {
	var c checker
	c.optional("leb", v.Leb, "H")
	c.optional("le", v.Le, "H")
	c.positive("ke", v.Ke, "ohm s^0.5")
	c.optional("rss", v.Rss, "ohm")
	return c.err(v.Label())
}

// Lay lays the model from a to b.
func (v SemiInductance) Lay(c *network.Circuit, p network.PartID, a, b network.Node) {
	inner := a
	if v.Leb != 0 {
		inner = c.Node(c.Parts()[p].Name + "/leb")
		c.Branch(p, a, inner, network.Inductance(v.Leb))
	}
	c.Branch(p, inner, b, network.PowerLaw{K: v.Ke, N: 0.5})
	if v.Le != 0 {
		c.Branch(p, inner, b, network.Inductance(v.Le))
	}
	if v.Rss != 0 {
		c.Branch(p, inner, b, network.Resistance(v.Rss))
	}
}
