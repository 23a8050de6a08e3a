package thielesmall

import (
	"math"

	"loadscape/network"
)

// SplitPowerLaw gives resistance and reactance a power law each:
// Zb = Re + Kr·ω^Xr + j·Ki·ω^Xi (Wright, J. Audio Eng. Soc. 38 (1990) 749).
// It follows measured curves closely but is not the transform of a causal
// response unless both exponents agree.
type SplitPowerLaw struct {
	Kr float64 // ohm·s^Xr; 0: no losses
	Xr float64 // 0 to 2
	Ki float64 // ohm·s^Xi
	Xi float64 // 0 to 2
}

var (
	_ VoiceCoil       = SplitPowerLaw{}
	_ network.Element = SplitPowerLaw{}
)

// Label returns "split_power_law".
func (SplitPowerLaw) Label() string { return "split_power_law" }

// Validate reports factors and exponents that no coil has.
func (v SplitPowerLaw) Validate() error {
	var c checker
	c.optional("kr", v.Kr, "ohm s^xr")
	c.between("xr", v.Xr, 0, 2, "")
	c.positive("ki", v.Ki, "ohm s^xi")
	c.between("xi", v.Xi, 0, 2, "")
	return c.err(v.Label())
}

// Lay lays the two power laws as one element.
func (v SplitPowerLaw) Lay(c *network.Circuit, p network.PartID, a, b network.Node) {
	c.Branch(p, a, b, v)
}

// Admittance returns the admittance of the two laws in series, without Re.
func (v SplitPowerLaw) Admittance(w float64) complex128 {
	lnw := math.Log(w)
	return 1 / complex(v.Kr*math.Exp(v.Xr*lnw), v.Ki*math.Exp(v.Xi*lnw))
}
