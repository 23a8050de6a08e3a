package thielesmall

import (
	"fmt"

	"loadscape/network"
)

// Ladder is an inductance in series with inductances that are shunted by
// resistances: Zb = Re + jωL1 + Σ jωL∥R over the rungs. With one rung it is
// the "L2R2" model of the literature; more follow the curve further.
type Ladder struct {
	L1    float64 // H; 0: none
	Rungs []Rung  // any number
}

// A Rung is an inductance with a resistance across it.
type Rung struct {
	L float64 // H
	R float64 // ohm
}

var _ VoiceCoil = Ladder{}

// Label returns "ladder".
func (Ladder) Label() string { return "ladder" }

// Validate reports values that are not positive, and a ladder of nothing.
func (v Ladder) Validate() error {
	var c checker
	c.optional("l1", v.L1, "H")
	if v.L1 == 0 && len(v.Rungs) == 0 {
		c.add("l1", "zero and no rung given", "one or the other")
	}
	for i, r := range v.Rungs {
		c.positive(fmt.Sprintf("rungs[%d].l", i), r.L, "H")
		c.positive(fmt.Sprintf("rungs[%d].r", i), r.R, "ohm")
	}
	return c.err(v.Label())
}

// Lay lays the ladder from a to b.
func (v Ladder) Lay(c *network.Circuit, p network.PartID, a, b network.Node) {
	for i, r := range v.Rungs {
		end := b
		if v.L1 != 0 || i < len(v.Rungs)-1 {
			end = c.Node(fmt.Sprintf("%s/rung-%d", c.Parts()[p].Name, i+1))
		}
		c.Branch(p, a, end, network.Inductance(r.L))
		c.Branch(p, a, end, network.Resistance(r.R))
		a = end
	}
	if v.L1 != 0 {
		c.Branch(p, a, b, network.Inductance(v.L1))
	}
}
