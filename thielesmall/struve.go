package thielesmall

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// struveH1 returns the Struve function H1(x) for x ≥ 0: by its power series
// (NIST Digital Library of Mathematical Functions, 11.2.1)
//
//	H1(x) = (2/π)·(x²/3 − x⁴/45 + …)
//
// while that does not cancel, and beyond by the integral of DLMF 11.5.2,
//
//	H1(x) = Y1(x) + (2/π)·∫ e^{−s}·√(1 + s²/x²) ds, s from 0 to ∞
func struveH1(x float64) float64 {
	const seam = 4
	if x < seam {
		return alternating(2/(3*math.Pi)*x*x, func(k float64) float64 { return x * x / ((2*k + 1) * (2*k + 3)) })
	}
	sum := 0.0
	for _, n := range exponentialRule() {
		sum += n.weight * math.Sqrt(1+n.s2/(x*x))
	}
	return math.Y1(x) + 2/math.Pi*sum
}

// node is a point of a quadrature in s.
type node struct{ s2, weight float64 }

// exponentialRule returns a quadrature of e^{−s}·f(s) over s ≥ 0 for an even f
// without singularities within 4 of the axis: Gauss–Legendre rules on panels
// that widen, up to where e^{−s} is below rounding.
var exponentialRule = sync.OnceValue(func() []node {
	const order = 16
	edges := [...]float64{0, 1.5, 4, 8, 14, 24, 40}
	var rule []node
	x, w := make([]float64, order), make([]float64, order)
	for i := range len(edges) - 1 {
		quad.Legendre{}.FixedLocations(x, w, edges[i], edges[i+1])
		for j, s := range x {
			rule = append(rule, node{s * s, w[j] * math.Exp(-s)})
		}
	}
	return rule
})
