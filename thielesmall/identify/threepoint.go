package identify

import (
	"math"
	"math/cmplx"

	"loadscape/network/measured"
)

// ThreePoint holds the values that three points of the magnitude give: the
// peak, and the frequencies beside it where |Z| = Re·√r0 (Small, J. Audio
// Eng. Soc. 20 (1972) 383). It is blind to the voice coil, to creep and to
// noise, and is there to compare.
type ThreePoint struct {
	Re            float64 // ohm, that of the fit
	Fs            float64 // Hz, of the peak
	R0            float64 // |Z| at the peak over Re
	Level         float64 // ohm, Re·√r0
	F1, F2        float64 // Hz
	Qms, Qes, Qts float64
}

// threePoint evaluates the highest peak of the curve, or returns nil if the
// curve does not cross the level on both sides of it.
func threePoint(t *measured.Table, g *grid, peaks []peak, r *Result) *ThreePoint {
	curve, err := measured.NewCurve(t)
	if err != nil {
		return nil
	}
	top := peaks[0].at
	for _, p := range peaks {
		if g.lnz[p.at] > g.lnz[top] {
			top = p.at
		}
	}
	p := ThreePoint{Re: r.Re.Value}
	var peak float64
	p.Fs, peak = g.vertex(top)
	p.R0 = peak / p.Re
	p.Level = p.Re * math.Sqrt(p.R0)
	p.F1, p.F2 = g.crossing(curve, top, -1, p.Level), g.crossing(curve, top, 1, p.Level)
	if p.R0 <= 1 || p.F1 == 0 || p.F2 == 0 {
		return nil
	}
	p.Qms = p.Fs * math.Sqrt(p.R0) / (p.F2 - p.F1)
	p.Qes = p.Qms / (p.R0 - 1)
	p.Qts = p.Qms / p.R0
	return &p
}

// vertex returns frequency and height of the parabola through the three points
// about row i.
func (g *grid) vertex(i int) (hz, height float64) {
	x0, x1, x2 := g.lnw[i-1]-g.lnw[i], 0.0, g.lnw[i+1]-g.lnw[i]
	y0, y1, y2 := g.lnz[i-1], g.lnz[i], g.lnz[i+1]
	// Newton's divided differences
	first, second := (y1-y0)/(x1-x0), (y2-y1)/(x2-x1)
	bend := (second - first) / (x2 - x0)
	tilt := first - bend*x0
	x := min(max(-tilt/(2*bend), x0), x2)
	return g.hz[i] * math.Exp(x), math.Exp(y1 + x*(tilt+bend*x))
}

// crossing returns the frequency next to row i where the curve crosses the
// level, or 0.
func (g *grid) crossing(c *measured.Curve, i, step int, level float64) float64 {
	j := i
	for math.Exp(g.lnz[j]) > level {
		if j += step; j < 0 || j >= len(g.hz) {
			return 0
		}
	}
	if j == i {
		return 0
	}
	above, below := g.lnw[j-step], g.lnw[j]
	for range 60 {
		middle := (above + below) / 2
		z, err := c.Impedance(math.Exp(middle))
		if err != nil {
			return 0
		}
		if cmplx.Abs(z) > level {
			above = middle
		} else {
			below = middle
		}
	}
	return math.Exp(above) / (2 * math.Pi)
}
