package measured

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"
)

// MinPhaseRows is the least number of points for [MinimumPhase].
const MinPhaseRows = 8

// MinimumPhase returns the phase in radians that a passive impedance of the
// given magnitudes has at the ascending frequencies hz.
//
// The magnitude is interpolated on a uniform logarithmic axis, where Bode's
// integral is a convolution. Beyond the table it is taken to go on as that of
// a device does: upwards with the slope of the last octaves, whose trend
// fades; downwards levelling out as ω² into the resistance at zero frequency,
// or into a capacitance if it falls faster than ω^-½ already.
//
// For loudspeakers and loads from 20 Hz to 20 kHz at 48 points an octave the
// error is under 2° an octave inside the table and under 4° at its ends; every
// per cent of noise in the magnitude adds some 2°, at the ends 4°. Points wider
// apart than a fifth of a resonance's bandwidth cost more.
func MinimumPhase(hz, magnitude []float64) ([]float64, error) {
	if err := checkMagnitudes(hz, magnitude); err != nil {
		return nil, err
	}
	x, a := make([]float64, len(hz)), make([]float64, len(hz))
	for i := range hz {
		x[i], a[i] = math.Log(hz[i]), math.Log(magnitude[i])
	}
	g := newLogGrid(x)
	phase := g.bode(g.extend(x, a))
	var curve interp.AkimaSpline
	if err := curve.Fit(g.points(), phase); err != nil {
		return nil, fmt.Errorf("measured: %w", err)
	}
	out := make([]float64, len(x))
	for i := range x {
		out[i] = curve.Predict(x[i])
	}
	return out, nil
}

func checkMagnitudes(hz, magnitude []float64) error {
	if len(hz) != len(magnitude) {
		panic("measured: slices of different lengths")
	}
	if len(hz) < MinPhaseRows || hz[len(hz)-1] < 2*hz[0] {
		return fmt.Errorf("measured: %d magnitudes: expected at least %d over an octave or more, to compute a phase", len(hz), MinPhaseRows)
	}
	for i := range hz {
		if i > 0 && hz[i] <= hz[i-1]*sameHz {
			return fmt.Errorf("measured: %g Hz after %g Hz: expected ascending frequencies", hz[i], hz[i-1])
		}
		if err := checkPoint(hz[i], complex(magnitude[i], 0)); err != nil {
			return fmt.Errorf("measured: %w", err)
		}
	}
	return nil
}

// logGrid is a uniform axis of x = ln f over a table and a margin beyond
// either end.
type logGrid struct {
	first, step float64
	n           int
}

const (
	gridMargin = 8 * math.Ln2 // beyond it a tail has settled to 2^-16
	minStep    = math.Ln2 / 768
	maxStep    = math.Ln2 / 96
)

// newLogGrid returns a grid as fine as the typical row of a table, within
// limits that bound the error and the work.
func newLogGrid(x []float64) logGrid {
	span := x[len(x)-1] - x[0]
	step := min(max(span/float64(len(x)-1)/4, minStep), maxStep)
	return logGrid{x[0] - gridMargin, step, int(math.Ceil((span+2*gridMargin)/step)) + 1}
}

func (g logGrid) points() []float64 {
	x := make([]float64, g.n)
	for i := range x {
		x[i] = g.first + float64(i)*g.step
	}
	return x
}

// extend returns ln|Z|, known as a at x, on the grid.
func (g logGrid) extend(x, a []float64) []float64 {
	var curve interp.AkimaSpline
	if err := curve.Fit(x, a); err != nil {
		panic("measured: " + err.Error()) // the points were checked
	}
	low, high := lowTail(x, a), highTail(x, a)
	last := len(x) - 1
	out := g.points()
	for i, xi := range out {
		switch {
		case xi < x[0]:
			out[i] = a[0] + low.at(x[0]-xi)
		case xi > x[last]:
			out[i] = a[last] + high.at(xi-x[last])
		default:
			out[i] = curve.Predict(xi)
		}
	}
	return out
}

// tail is how ln|Z| goes on beyond an end of the table: its slope away from
// the end passes from near to far as e^(−decay·distance).
type tail struct{ near, far, decay float64 }

func (t tail) at(distance float64) float64 {
	return t.far*distance - (t.near-t.far)*math.Expm1(-t.decay*distance)/t.decay
}

// lowTail settles as ω² to a resistance or, where the slope says so, to a
// capacitance.
func lowTail(x, a []float64) tail {
	slope, _ := edge(x, a, 0, math.Ln2/2)
	far := 0.0
	if slope < -0.5 {
		far = 1
	}
	return tail{-slope, far, 2}
}

// highTail keeps the slope and lets its trend fade over a factor of e. No
// passive impedance goes on steeper than an inductance or a capacitance.
func highTail(x, a []float64) tail {
	slope, trend := edge(x, a, len(x)-1, 1.5*math.Ln2)
	slope = min(max(slope, -1), 1)
	return tail{slope, min(max(slope+trend, -1), 1), 1}
}

// edge returns slope and curvature of a at x[at], the first or last point, by
// regression over the points within width, at least six.
func edge(x, a []float64, at int, width float64) (slope, curvature float64) {
	n := len(x)
	var design, rhs []float64
	for k := range n {
		i := k
		if at > 0 {
			i = n - 1 - k
		}
		u := x[i] - x[at]
		if k >= 6 && math.Abs(u) > width {
			break
		}
		design, rhs = append(design, 1, u, u*u/2), append(rhs, a[i])
	}
	var c mat.VecDense
	if err := c.SolveVec(mat.NewDense(len(rhs), 3, design), mat.NewVecDense(len(rhs), rhs)); err != nil && c.IsEmpty() {
		return 0, 0
	}
	return c.AtVec(1), c.AtVec(2)
}

// bode returns the phase that belongs to ln|Z| on the grid. On every piece of
// the axis the slope is constant, so that it counts with the integral of
// ln coth(|u|/2) over the piece; outside the grid the end slopes go on forever.
func (g logGrid) bode(a []float64) []float64 {
	n := g.n
	size := 1
	for size < 2*n {
		size *= 2
	}
	slopes, kernel := make([]float64, size), make([]float64, size)
	for i := range n - 1 {
		slopes[i] = (a[i+1] - a[i]) / g.step
		k := cothIntegral(float64(i+1)*g.step) - cothIntegral(float64(i)*g.step)
		kernel[i] = k               // the piece i to the right of a point
		kernel[(size-1-i)%size] = k // and i to the left
	}
	fft := fourier.NewFFT(size)
	s, k := fft.Coefficients(nil, slopes), fft.Coefficients(nil, kernel)
	for i := range s {
		s[i] *= cmplx.Conj(k[i])
	}
	phase := fft.Sequence(nil, s)[:n]
	lo, hi := slopes[0], slopes[n-2]
	for j := range phase {
		phase[j] = phase[j]/float64(size) +
			lo*(cothTotal-cothIntegral(float64(j)*g.step)) + hi*(cothTotal-cothIntegral(float64(n-1-j)*g.step))
		phase[j] /= math.Pi
	}
	return phase
}

// cothTotal is the integral of ln coth(u/2) over u from 0 to ∞.
const cothTotal = math.Pi * math.Pi / 4

// cothIntegral returns the integral of ln coth(t/2) over t from 0 to u ≥ 0,
// π²/4 − 2χ₂(e^-u) with Legendre's chi function.
func cothIntegral(u float64) float64 {
	e := complex(math.Exp(-u), 0)
	return cothTotal - real(mathext.Li2(e)-mathext.Li2(-e))
}
