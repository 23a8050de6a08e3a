package thielesmall

import (
	"math"

	"loadscape/network"
)

// piston is the radiation impedance of a circular piston in an infinite
// baffle as an acoustic element, (ρc/S)·(R1(2ka) + j·X1(2ka)) with
// R1(x) = 1 − 2J1(x)/x and X1(x) = 2H1(x)/x, where J1 is the Bessel and H1 the
// Struve function (Rayleigh, The Theory of Sound, § 302; Beranek, Acoustics).
type piston struct {
	radius float64
	air    Air
}

var _ network.Element = piston{}

// Admittance returns volume velocity over pressure.
func (p piston) Admittance(w float64) complex128 {
	c := p.air.SoundSpeed()
	x := 2 * w / c * p.radius
	return complex(p.area()/(p.air.Density()*c), 0) / complex(pistonResistance(x), 2*struveH1(x)/x)
}

// mass returns the acoustic mass of the radiation reactance at low
// frequencies, where X1(x) = 4x/(3π).
func (p piston) mass() float64 { return p.air.Density() * flangedEnd * p.radius / p.area() }

func (p piston) area() float64 { return math.Pi * p.radius * p.radius }

// pistonResistance returns R1(x). For small x, where the difference cancels,
// it sums the series x²/8 − x⁴/192 + ….
func pistonResistance(x float64) float64 {
	if x > 2 {
		return 1 - 2*math.J1(x)/x
	}
	q := x * x / 4
	return alternating(q/2, func(k float64) float64 { return q / ((k + 1) * (k + 2)) })
}

// alternating sums a series from its first term on; term k has the opposite
// sign of the one before and ratio(k) of its size.
func alternating(first float64, ratio func(k float64) float64) float64 {
	sum := 0.0
	for k := 1.0; sum+first != sum; k++ {
		sum += first
		first *= -ratio(k)
	}
	return sum
}
