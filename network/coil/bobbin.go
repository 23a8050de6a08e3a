package coil

import (
	"fmt"
	"math"

	"loadscape/network/wire"
)

// A bobbin is a former and the wire that comes on it.
type bobbin struct {
	radius, length float64 // m
	perLayer       float64 // whole, but while a wire is being looked for
	rise           float64 // m, of one layer
	wire           wire.Wire
}

// bobbin returns the former for s with whole turns in a layer. That of a Brooks
// coil is one that its layers fill from cheek to cheek.
func (s Spec) bobbin() (bobbin, error) {
	b := s.ideal()
	pitch := b.wire.Overall()
	if s.Length != 0 {
		b.perLayer = math.Floor(s.Length/pitch + 1e-9)
		if b.perLayer < 1 {
			return bobbin{}, fmt.Errorf("coil: length of the former is %.3g mm: expected room for a wire of %.3g mm", 1e3*s.Length, 1e3*pitch)
		}
		return b, nil
	}
	b.perLayer = max(1, math.Round(b.perLayer))
	b.length = b.perLayer * pitch
	b.radius = b.length
	return b, nil
}

// ideal returns the former for s with as many turns in a layer as would fill
// it, whole or not. The side c of a Brooks coil follows from c² = N·pitch·rise.
func (s Spec) ideal() bobbin {
	pitch := s.Wire.Overall()
	b := bobbin{radius: s.InnerRadius, length: s.Length, rise: pitch * s.Stacking, wire: s.Wire}
	if s.Length == 0 {
		turn := pitch * b.rise
		b.length = math.Pow(s.Inductance*turn*turn/(1.5*brooks), 0.2)
		b.radius = b.length
	}
	b.perLayer = b.length / pitch
	return b
}

// winding returns the space that turns fill.
func (b bobbin) winding(turns float64) Winding {
	return Winding{b.radius, b.length, turns / b.perLayer * b.rise, turns}
}

// turns returns how many turns bring an inductance, not rounded and with the
// last layer spread out, +Inf for more than a coil can have. Inductance grows
// with the second to third power of the turns.
func (b bobbin) turns(inductance float64) float64 {
	n := 10.0
	for range 100 {
		ratio := inductance / b.winding(n).Inductance()
		n *= math.Pow(ratio, 0.4)
		if n > maxTurns {
			return math.Inf(1)
		}
		if math.Abs(ratio-1) < 1e-8 {
			break
		}
	}
	return n
}

// wholeTurns returns the number of turns that comes nearest to an inductance.
func (b bobbin) wholeTurns(inductance float64) (int, error) {
	estimate := b.turns(inductance)
	if estimate > maxTurns {
		return 0, fmt.Errorf("coil: %g mH takes more than %d turns of %.3g mm wire: expected a larger former or thicker wire",
			1e3*inductance, maxTurns, 1e3*b.wire.Diameter)
	}
	n := max(1, int(math.Round(estimate)))
	l := b.inductance(n)
	if n == 1 && l > 2*inductance {
		return 0, fmt.Errorf("coil: a single turn of %.3g mm wire has more than %g mH: expected a smaller former or thinner wire",
			1e3*b.wire.Diameter, 1e3*inductance)
	}
	for range 20 {
		step := int(math.Round((inductance/l - 1) * float64(n) / 2.2))
		if step == 0 || n+step < 1 || n+step > maxTurns {
			break
		}
		n += step
		l = b.inductance(n)
	}
	return n, nil
}

// inductance returns the inductance of whole turns, each a ring of round wire:
// the sum over all pairs, which are alike for pairs of layers and steps apart.
func (b bobbin) inductance(turns int) float64 {
	perLayer := int(b.perLayer)
	pitch := b.length / b.perLayer
	round := math.Exp(-0.25) * b.wire.Diameter / 2 // distance of a disc from itself
	var sum float64
	for i := 0; i*perLayer < turns; i++ {
		above := min(perLayer, turns-i*perLayer)
		sum += float64(above) * self(b.layer(i), round)
		for j := range i + 1 {
			// Turn p of layer i pairs with turn p+d of layer j.
			below, first := perLayer, 1-above
			if j == i {
				below, first = above, 1
			}
			for d := first; d < below; d++ {
				pairs := min(above, below-d) - max(0, -d)
				sum += 2 * float64(pairs) * Mutual(b.layer(i), b.layer(j), float64(d)*pitch)
			}
		}
	}
	return sum
}

// layer returns the radius of the middle of layer i, the innermost being 0.
func (b bobbin) layer(i int) float64 { return b.radius + (float64(i)+0.5)*b.rise }
