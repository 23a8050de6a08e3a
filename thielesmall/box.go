package thielesmall

import (
	"fmt"
	"math"
)

// chamber checks the values that boxes share.
func (c *checker) chamber(volume, fill, leakageQ, absorptionQ float64) {
	c.positive("volume", volume, "m³")
	if fill != 0 {
		c.between("fill_factor", fill, 1, 1.4, "")
	}
	c.quality("leakage_q", leakageQ)
	c.quality("absorption_q", absorptionQ)
}

// checkVolume warns of a box that is hardly larger than the drivers in it, taken
// to be as deep as the radius of their cones (common practice, no source).
func (m mounting) checkVolume(label string, volume float64) []Warning {
	least := 0.0
	for _, d := range m.drivers {
		least += d.Sd * math.Sqrt(d.Sd/math.Pi)
	}
	if volume >= least {
		return nil
	}
	return []Warning{{Limit, label, fmt.Sprintf("a volume of %.3g L hardly holds its drivers, which take about %.3g L", 1e3*volume, 1e3*least)}}
}
