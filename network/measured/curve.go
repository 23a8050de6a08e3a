package measured

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/interp"
)

// A Curve is a table as a function of frequency: ln|Z| and the phase, each
// interpolated over ln f by monotone cubics. It is safe for concurrent use.
type Curve struct {
	name      string
	low, high float64 // Hz
	magnitude interp.FritschButland
	phase     interp.FritschButland
	beyond    func(w float64) complex128
	seam      [2]complex128 // ln(Z/model) at either end
}

// NewCurve returns the curve through the rows of t.
func NewCurve(t *Table) (*Curve, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	x, a, p := make([]float64, len(t.Hz)), make([]float64, len(t.Hz)), make([]float64, len(t.Hz))
	for i, hz := range t.Hz {
		x[i], a[i], p[i] = math.Log(hz), math.Log(cmplx.Abs(t.Z[i])), cmplx.Phase(t.Z[i])
		if i > 0 { // unwrapped
			p[i] -= 2 * math.Pi * math.Round((p[i]-p[i-1])/(2*math.Pi))
		}
	}
	c := &Curve{name: t.Name, low: t.Hz[0], high: t.Hz[len(t.Hz)-1]}
	if err := c.magnitude.Fit(x, a); err != nil {
		return nil, fmt.Errorf("measured: %w", err)
	}
	if err := c.phase.Fit(x, p); err != nil {
		return nil, fmt.Errorf("measured: %w", err)
	}
	return c, nil
}

// Extend returns a curve that goes on outside the table with a model of its
// impedance at ω. The ratio of the curve to the model at the end of the table
// fades out over the octaves beyond it, so that there is no step.
func (c *Curve) Extend(model func(w float64) complex128) *Curve {
	e := *c
	e.beyond = model
	for i, hz := range []float64{c.low, c.high} {
		e.seam[i] = cmplx.Log(c.inside(math.Log(hz)) / model(2*math.Pi*hz))
	}
	return &e
}

// Range returns the lowest and highest frequency of the table in hertz.
func (c *Curve) Range() (low, high float64) { return c.low, c.high }

// Covers returns an error that names the range of the table if a frequency
// from low to high, in hertz, is outside and the curve is not extended.
func (c *Curve) Covers(low, high float64) error {
	const rounding = 1e-9
	if c.beyond != nil || low >= c.low*(1-rounding) && high <= c.high*(1+rounding) {
		return nil
	}
	what := "measured curve"
	if c.name != "" {
		what += " " + c.name
	}
	asked := fmt.Sprintf("%g to %g Hz", low, high)
	if low == high {
		asked = fmt.Sprintf("%g Hz", low)
	}
	return fmt.Errorf("measured: %s asked for: expected frequencies from %g to %g Hz, the range of the %s", asked, c.low, c.high, what)
}

// Impedance returns the impedance in ohms at ω in rad/s, or the error of
// [Curve.Covers].
func (c *Curve) Impedance(w float64) (complex128, error) {
	if err := c.Covers(w/(2*math.Pi), w/(2*math.Pi)); err != nil {
		return 0, err
	}
	return c.at(w), nil
}

// Admittance returns the admittance in siemens at ω in rad/s. It makes the
// curve an element of a circuit. Outside of the range it is NaN: see
// [Curve.Covers] before a sweep.
func (c *Curve) Admittance(w float64) complex128 {
	if c.Covers(w/(2*math.Pi), w/(2*math.Pi)) != nil {
		return cmplx.NaN()
	}
	return 1 / c.at(w)
}

func (c *Curve) at(w float64) complex128 {
	hz := w / (2 * math.Pi)
	if c.beyond != nil && hz < c.low {
		return c.outside(w, c.seam[0], c.low/hz)
	}
	if c.beyond != nil && hz > c.high {
		return c.outside(w, c.seam[1], hz/c.high)
	}
	return c.inside(math.Log(min(max(hz, c.low), c.high)))
}

func (c *Curve) inside(x float64) complex128 {
	return cmplx.Rect(math.Exp(c.magnitude.Predict(x)), c.phase.Predict(x))
}

// outside returns the model at ω, a ratio of frequencies away from an end.
func (c *Curve) outside(w float64, seam complex128, ratio float64) complex128 {
	return c.beyond(w) * cmplx.Exp(seam/complex(ratio, 0))
}
