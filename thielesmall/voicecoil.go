package thielesmall

import "loadscape/network"

// A VoiceCoil is what the blocked impedance of a driver has beside its
// resistance: the inductance of the coil with the losses in the iron.
// A new model is one type with these methods.
type VoiceCoil interface {
	// Label names the model, as "semi_inductance".
	Label() string
	// Validate reports every value that no coil has.
	Validate() error
	// Lay lays the model between nodes a and b as branches of part p.
	Lay(c *network.Circuit, p network.PartID, a, b network.Node)
}
