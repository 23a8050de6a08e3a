package network

import "math"

// TappedWinding is an autotransformer: its whole winding lies at the input,
// the output at a tap that gives 1/Ratio of the voltage.
type TappedWinding struct {
	Ratio                 float64 // from input to output, above 0
	MagnetizingInductance float64 // H of the whole winding; 0: infinite
	LeakageInductance     float64 // H, referred to the whole winding; 0: none
	Resistance            float64 // ohm of the copper, referred to the whole winding; 0: none
	Rating                Rating
}

var _ TwoPort = TappedWinding{}

// Label returns "winding".
func (TappedWinding) Label() string { return "winding" }

// Lay lays copper and leakage in series, the magnetizing inductance across the
// line, and an ideal transformer that shares the common terminal.
func (t TappedWinding) Lay(c *Circuit, path string, in, common Node) Node {
	t.Rating.By = ByCurrent
	part := c.Part(path, Electrical, t.Rating)
	for _, e := range []Element{Resistance(t.Resistance), Inductance(t.LeakageInductance)} {
		if e == Resistance(0) || e == Inductance(0) {
			continue
		}
		next := c.Node(path)
		c.Branch(part, in, next, e)
		in = next
	}
	if t.MagnetizingInductance != 0 {
		c.Branch(part, in, common, Inductance(t.MagnetizingInductance))
	}
	out := c.Node(path + "/tap")
	c.Transformer(part, in, common, out, common, t.Ratio)
	return out
}

// DecibelRatio returns the voltage ratio of an attenuation in dB.
func DecibelRatio(db float64) float64 { return math.Pow(10, db/20) }
