package thielesmall

import "loadscape/network"

// PowerLaw is a lossy inductance whose angle does not change with frequency:
// Zb = Re + K·(jω)^N (Leach, J. Audio Eng. Soc. 50 (2002) 442).
type PowerLaw struct {
	K float64 // ohm·s^N
	N float64 // 0.5 (all eddy currents) to 1 (no losses)
}

var _ VoiceCoil = PowerLaw{}

// Label returns "power_law".
func (PowerLaw) Label() string { return "power_law" }

// Validate reports a factor that is not positive and an exponent that no
// coil has.
func (v PowerLaw) Validate() error {
	var c checker
	c.positive("k", v.K, "ohm s^n")
	c.between("n", v.N, 0.5, 1, "")
	return c.err(v.Label())
}

// Lay lays the power law.
func (v PowerLaw) Lay(c *network.Circuit, p network.PartID, a, b network.Node) {
	c.Branch(p, a, b, network.PowerLaw{K: v.K, N: v.N})
}
