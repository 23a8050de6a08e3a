package identify

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network/measured"
)

// minRows is the least number of rows that are fitted.
const minRows = 12

// A grid is the measured rows as the fit wants them.
type grid struct {
	hz, w, lnw []float64
	z          []complex128
	lnz        []float64 // ln|z|

	// Reciprocals of the standard deviations of ln|z| and arg z; no phase if
	// it does not count.
	magnitude, phase []float64
}

func newGrid(t *measured.Table, opts Options) (*grid, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	g := &grid{}
	for i, hz := range t.Hz {
		if hz < opts.From || hz > opts.To {
			continue
		}
		g.hz = append(g.hz, hz)
		g.w = append(g.w, 2*math.Pi*hz)
		g.lnw = append(g.lnw, math.Log(2*math.Pi*hz))
		g.z = append(g.z, t.Z[i])
		g.lnz = append(g.lnz, math.Log(cmplx.Abs(t.Z[i])))
		spread := 0.0
		if t.Coherence != nil {
			spread = spreadOf(t.Coherence[i])
		}
		g.magnitude = append(g.magnitude, 1/math.Hypot(opts.Noise.Magnitude, spread))
		if !t.PhaseDerived {
			g.phase = append(g.phase, 1/math.Hypot(opts.Noise.Phase, spread))
		}
	}
	if len(g.hz) < minRows {
		return nil, fmt.Errorf("identify: %d rows: expected at least %d in the range to be fitted", len(g.hz), minRows)
	}
	return g, nil
}

// spreadOf returns the relative standard deviation of a transfer function
// measured with a coherence γ², √((1−γ²)/(2nγ²)) (Bendat and Piersol, Random
// Data, ch. 9). The number of averages n is not in a table and taken as 16.
func spreadOf(coherence float64) float64 {
	const averages = 16
	c := max(coherence, 1e-6)
	return math.Sqrt(max(0, 1-c) / (2 * averages * c))
}

// rows returns the number of residuals.
func (g *grid) rows() int { return len(g.magnitude) + len(g.phase) }

// thinned returns about n rows of g.
func (g *grid) thinned(n int) *grid {
	step := len(g.hz) / n
	if step < 2 {
		return g
	}
	t := &grid{}
	for i := step / 2; i < len(g.hz); i += step {
		t.hz = append(t.hz, g.hz[i])
		t.w = append(t.w, g.w[i])
		t.lnw = append(t.lnw, g.lnw[i])
		t.z = append(t.z, g.z[i])
		t.lnz = append(t.lnz, g.lnz[i])
		t.magnitude = append(t.magnitude, g.magnitude[i])
		if g.phase != nil {
			t.phase = append(t.phase, g.phase[i])
		}
	}
	return t
}

// A scale is what bounds the parameters: outside of it nothing shows in the
// curve.
type scale struct {
	z0, z1 float64 // ohm, the least and largest magnitude
	w0, w1 float64 // rad/s, the lowest and highest frequency
}

func (g *grid) scale() scale {
	s := scale{z0: math.Inf(1), w0: g.w[0], w1: g.w[len(g.w)-1]}
	for _, l := range g.lnz {
		s.z0, s.z1 = min(s.z0, math.Exp(l)), max(s.z1, math.Exp(l))
	}
	return s
}
