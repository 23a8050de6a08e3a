package thielesmall

import (
	"math"

	"loadscape/network"
)

// A Driver is a moving-coil loudspeaker driver as its data sheet describes it.
// Re, Fs, Qms and Qes are required. Without Vas and Sd only ratios of its
// mechanics are known: it can then be used in free air or an infinite baffle,
// where its impedance is known but not how far its cone moves.
//
// As a one-port it is the driver in free air.
type Driver struct {
	Name string

	Re  float64 // ohm, DC resistance of the coil at 20 °C
	Fs  float64 // Hz, resonance in free air
	Qms float64 // mechanical Q at Fs
	Qes float64 // electrical Q at Fs

	Vas float64 // m³, volume of the suspension's compliance; 0: unknown
	Sd  float64 // m², area of the cone; 0: unknown

	Xmax           float64 // m, linear excursion to one side; 0: not stated
	RatedPower     float64 // W; 0: not stated
	RatedImpedance float64 // ohm; 0: not stated

	VoiceCoil       VoiceCoil   // nil: no inductance
	Suspension      Suspension  // nil: Viscous
	CoilTemperature Temperature // at work; zero: 20 °C

	Sheet Sheet // what else the sheet states
}

var _ network.OnePort = Driver{}

// Label returns the driver's name.
func (d Driver) Label() string { return d.Name }

// Validate reports every impossible value, a [*FieldError] for each.
func (d Driver) Validate() error {
	var c checker
	c.positive("re", d.Re, "ohm")
	c.positive("fs", d.Fs, "Hz")
	c.positive("qms", d.Qms, "")
	c.positive("qes", d.Qes, "")
	c.optional("vas", d.Vas, "m³")
	c.optional("sd", d.Sd, "m²")
	c.optional("xmax", d.Xmax, "m")
	c.optional("rated_power", d.RatedPower, "W")
	c.optional("rated_impedance", d.RatedImpedance, "ohm")
	c.between("coil_temperature", d.CoilTemperature.Celsius(), -100, 400, "°C")
	if d.VoiceCoil != nil {
		c.nested("voice_coil."+d.VoiceCoil.Label(), d.VoiceCoil.Validate())
	}
	if d.Suspension != nil {
		c.nested("suspension", d.Suspension.Validate())
	}
	d.Sheet.check(&c)
	return c.err(d.title())
}

func (d Driver) title() string { return "driver " + d.Name }

// Absolute reports whether Vas and Sd are known, and with them how far the
// cone moves and how an enclosure loads it.
func (d Driver) Absolute() bool { return d.Vas != 0 && d.Sd != 0 }

// Qts returns the total Q at Fs.
func (d Driver) Qts() float64 { return d.Qms * d.Qes / (d.Qms + d.Qes) }

// CoilResistance returns Re at the temperature of the coil. Copper's
// resistance is taken to rise by 0.393 % of that at 20 °C per kelvin
// (IEC 60028).
func (d Driver) CoilResistance() float64 {
	const perKelvin = 0.00393
	return d.Re * (1 + perKelvin*float64(d.CoilTemperature))
}

// omega returns ωs.
func (d Driver) omega() float64 { return 2 * math.Pi * d.Fs }

// Lay lays the driver in free air.
func (d Driver) Lay(c *network.Circuit, path string, a, b network.Node) {
	if err := d.Validate(); err != nil {
		c.Reject(err)
		return
	}
	d.lay(c, path, a, b, network.Ground)
}

// lay lays the driver with its rear at an acoustic node, at ground if it is
// not loaded. It returns the branch of the cone's mass: its current is the
// velocity, outwards for a positive voltage from a to b.
func (d Driver) lay(c *network.Circuit, path string, a, b, rear network.Node) network.BranchID {
	m := d.Mechanics()
	coil := c.Part(path+"/coil", network.Electrical, network.Rating{Power: d.RatedPower})
	motor, cone := c.Node(path+"/motor"), c.Node(path+"/cone")
	d.layCoil(c, coil, a, motor)
	c.Gyrator(coil, motor, b, cone, network.Ground, m.Bl)

	mass := c.Part(path+"/cone", network.Mechanical, network.Rating{})
	moved, lossless := c.Node(path+"/moved"), c.Node(path+"/lossless")
	velocity := c.Branch(mass, cone, moved, network.Inductance(m.Mms))

	surround := network.Ground
	if rear != network.Ground {
		// Outward motion draws Sd·u out of the rear.
		surround = c.Node(path + "/surround")
		c.Transformer(mass, surround, network.Ground, network.Ground, rear, d.Sd)
	}
	suspension := c.Part(path+"/suspension", network.Mechanical, network.Rating{})
	c.Branch(suspension, moved, lossless, network.Resistance(m.Rms))
	c.Branch(suspension, lossless, surround, d.compliance(m.Cms))
	return velocity
}

// layCoil lays the resistance of the coil and what is in series with it.
func (d Driver) layCoil(c *network.Circuit, p network.PartID, a, b network.Node) {
	end := b
	if d.VoiceCoil != nil {
		end = c.Node(c.Parts()[p].Name)
		d.VoiceCoil.Lay(c, p, end, b)
	}
	c.Branch(p, a, end, network.Resistance(d.CoilResistance()))
}

func (d Driver) compliance(cms float64) network.Element {
	if d.Suspension == nil {
		return Viscous{}.Compliance(cms, d.omega())
	}
	return d.Suspension.Compliance(cms, d.omega())
}
