package rational

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
)

// Options guide [Fit].
type Options struct {
	// Order is the number of poles, from 0 to MaxOrder.
	Order int

	// Poles are the poles to start from, complex ones as in a [Function];
	// they set the order. Default: Order poles as of [StartPoles].
	Poles []complex128

	// Weights count the deviation at every frequency, none below zero.
	// Default: 1 everywhere. The reciprocal of the magnitude makes relative
	// deviations count.
	Weights []float64

	NoConstant   bool // leave out d
	Proportional bool // fit e
	Unstable     bool // leave poles in the right half plane where they are

	// Iterations is the largest number of times that the poles are moved.
	// Default: 30.
	Iterations int
}

// MaxOrder is the largest number of poles.
const MaxOrder = 100

// A Result is a function and how well it fits.
type Result struct {
	Function
	RMS        float64 // of the weighted deviations
	Iterations int     // after which the function was found
}

// Fit fits a rational function to the values f at the frequencies w in rad/s.
// Of the functions that the iterations give it returns the one that fits best.
func Fit(w []float64, f []complex128, opts Options) (*Result, error) {
	p, err := newProblem(w, f, opts)
	if err != nil {
		return nil, err
	}
	var best *Result
	for i := 0; ; i++ {
		function, rms, err := p.residues()
		if err != nil {
			return nil, err
		}
		if best == nil || rms < best.RMS {
			best = &Result{function, rms, i}
		}
		if i == p.opts.Iterations || len(p.poles) == 0 {
			return best, nil
		}
		moved, err := p.relocate()
		if err != nil {
			return nil, err
		}
		const settled = 1e-14
		if moved < settled {
			return best, nil
		}
	}
}

// StartPoles returns n stable poles spread logarithmically from low to high in
// rad/s: pairs a hundred times longer than wide (Gustavsen and Semlyen 1999,
// section 3.2), and a real one in the middle if n is odd.
func StartPoles(low, high float64, n int) []complex128 {
	var poles []complex128
	if n%2 == 1 {
		poles = append(poles, complex(-math.Sqrt(low*high), 0))
	}
	pairs := n / 2
	for i := range pairs {
		at := 0.5
		if pairs > 1 {
			at = float64(i) / float64(pairs-1)
		}
		w := low * math.Pow(high/low, at)
		poles = append(poles, complex(-w/100, w), complex(-w/100, -w))
	}
	return poles
}

func newProblem(w []float64, f []complex128, opts Options) (*problem, error) {
	if err := opts.check(w, f); err != nil {
		return nil, err
	}
	if opts.Iterations == 0 {
		opts.Iterations = 30
	}
	low := slices.Min(w)
	if opts.Poles == nil {
		opts.Poles = StartPoles(low, slices.Max(w), opts.Order)
	}
	p := &problem{w: w, f: f, weights: opts.Weights, low: low, poles: slices.Clone(opts.Poles), opts: opts}
	if p.weights == nil {
		p.weights = make([]float64, len(w))
		for i := range p.weights {
			p.weights[i] = 1
		}
	}
	if unknowns := 2*len(p.poles) + 3; 2*len(w) < unknowns {
		return nil, fmt.Errorf("rational: %d frequencies for %d poles: expected at least %d", len(w), len(p.poles), (unknowns+1)/2)
	}
	return p, nil
}

func (o Options) check(w []float64, f []complex128) error {
	if len(w) != len(f) || o.Weights != nil && len(o.Weights) != len(w) {
		panic("rational: slices of different lengths")
	}
	if len(w) == 0 {
		return fmt.Errorf("rational: no frequencies")
	}
	for i := range w {
		switch {
		case !(w[i] > 0) || math.IsInf(w[i], 0):
			return fmt.Errorf("rational: frequency of %g rad/s: expected a positive one", w[i])
		case cmplx.IsNaN(f[i]) || cmplx.IsInf(f[i]):
			return fmt.Errorf("rational: value of %g at %g rad/s: expected a finite one", f[i], w[i])
		case o.Weights != nil && !(o.Weights[i] >= 0 && !math.IsInf(o.Weights[i], 0)):
			return fmt.Errorf("rational: weight of %g at %g rad/s: expected a number not below zero", o.Weights[i], w[i])
		}
	}
	switch n := len(o.Poles); {
	case o.Order < 0 || o.Order > MaxOrder || n > MaxOrder:
		return fmt.Errorf("rational: %d poles: expected from 0 to %d", max(o.Order, n), MaxOrder)
	case o.Iterations < 0:
		return fmt.Errorf("rational: %d iterations: expected a positive number", o.Iterations)
	}
	return checkPoles(o.Poles)
}

// checkPoles checks that complex poles come in pairs.
func checkPoles(poles []complex128) error {
	for n := 0; n < len(poles); n++ {
		p := poles[n]
		switch {
		case cmplx.IsNaN(p) || cmplx.IsInf(p) || p == 0:
			return fmt.Errorf("rational: pole %g: expected a finite one that is not zero", p)
		case imag(p) == 0:
			continue
		case imag(p) < 0 || n+1 == len(poles) || poles[n+1] != cmplx.Conj(p):
			return fmt.Errorf("rational: pole %g: expected its conjugate after it, the positive imaginary part first", p)
		}
		n++
	}
	return nil
}
