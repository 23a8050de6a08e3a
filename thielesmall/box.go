package thielesmall

import (
	"fmt"
	"math"

	"loadscape/network"
)

// box is an enclosure under construction.
type box struct {
	mounting
	circuit  *network.Circuit
	path     string
	rear     network.Node // where the cones meet; ground: nowhere
	openings []opening
	bare     bool // what the rear radiates meets what the front does
}

// opening is a way from the chamber to the outside.
type opening struct {
	name   string
	area   float64          // m²; 0: not known
	branch network.BranchID // its current flows outwards
	volume float64          // m³/s per unit of that current
}

// part adds an acoustic part.
func (b *box) part(name string) network.PartID {
	return b.circuit.Part(b.path+"/"+name, network.Acoustic, network.Rating{})
}

func (b *box) node(name string) network.Node { return b.circuit.Node(b.path + "/" + name) }

// A chamber is the air of a box with its losses, whose Q hold at the angular
// frequency w0.
type chamber struct {
	volume                float64 // m³, filling taken into account
	leakageQ, absorptionQ float64 // 0 or +Inf: no loss
	w0                    float64
}

// layChamber lays the chamber and makes its node the rear of the cones:
// absorption Rab = 1/(Qa·ω0·Cab) in series with the volume, leakage
// Ral = Ql/(ω0·Cab) in parallel with both (Small 1972, 1973).
func (b *box) layChamber(c chamber) {
	b.rear = b.node("chamber")
	cab := b.air.Compliance(c.volume)
	part, at := b.part("chamber"), b.rear
	if lossy(c.absorptionQ) {
		at = b.node("absorption")
		b.circuit.Branch(part, b.rear, at, network.Resistance(1/(c.absorptionQ*c.w0*cab)))
	}
	b.circuit.Branch(part, at, network.Ground, network.Capacitance(cab))
	if lossy(c.leakageQ) {
		leak := b.circuit.Branch(b.part("leak"), b.rear, network.Ground, network.Resistance(c.leakageQ/(c.w0*cab)))
		b.openings = append(b.openings, opening{name: "leak", branch: leak, volume: 1})
	}
}

func lossy(q float64) bool { return q != 0 && q <= maxQ }

// maxQ is the Q beyond which a loss is none.
const maxQ = 1e15

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
