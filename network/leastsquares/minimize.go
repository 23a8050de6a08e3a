package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A Problem is a vector of residuals whose sum of squares is wanted small.
type Problem struct {
	Size      int                               // of the residuals, more or fewer than parameters
	Residuals func(r, x []float64)              // sets r to the residuals at x
	Jacobian  func(jac *mat.Dense, x []float64) // sets row i to the derivatives of r[i]; nil: central differences
	Lower     []float64                         // bounds of x; nil: none
	Upper     []float64                         // bounds of x; nil: none
}

// Settings say how a search goes and when it ends.
type Settings struct {
	Iterations int     // most steps that are taken; 0: 100
	Gain       float64 // ends when no more than this part of the cost can be gained; 0: 1e-14
	Floor      float64 // ends at a cost that is nothing but rounding; 0: none is
	Longest    float64 // change of any parameter in one step; 0: no limit
	Damping    float64 // λ of the first step; 0: 1e-3
	Difference float64 // half the distance in x of central differences; 0: 1e-5
}

func (s Settings) defaults() Settings {
	set := func(v *float64, to float64) {
		if *v == 0 {
			*v = to
		}
	}
	if s.Iterations == 0 {
		s.Iterations = 100
	}
	set(&s.Gain, 1e-14)
	set(&s.Longest, math.Inf(1))
	set(&s.Damping, 1e-3)
	set(&s.Difference, 1e-5)
	return s
}

// A Minimum is where a search ended.
type Minimum struct {
	X          []float64
	Cost       float64 // sum of the squared residuals
	Iterations int
	Converged  bool // false: out of iterations, or the residuals are not numbers
}

// Minimize finds a local minimum of the cost of p, started at x, which it does
// not change. No point beyond the bounds is evaluated; a start there is moved
// to the bound. It panics if the bounds differ in length from x.
func Minimize(p Problem, x []float64, settings Settings) Minimum {
	settings = settings.defaults()
	s := newSearch(p, len(x), settings)
	m := Minimum{X: make([]float64, len(x))}
	for j, v := range x {
		m.X[j] = min(max(v, s.low[j]), s.high[j])
	}
	m.Cost = s.costAt(m.X)
	if len(x) == 0 {
		m.Converged = true
		return m
	}
	next := make([]float64, len(x))
	const shortest = 1e-11
	damping, growth := settings.Damping, 2.0
	for ; m.Iterations < settings.Iterations; m.Iterations++ {
		if m.Cost <= settings.Floor {
			m.Converged = true
			break
		}
		s.linearise(m.X)
		for {
			predicted, length := s.step(next, m.X, damping)
			if !(predicted > settings.Gain*m.Cost) || length < shortest { // or not a number
				m.Converged = !math.IsNaN(predicted)
				return m
			}
			cost := s.costAt(next)
			if gain := (m.Cost - cost) / predicted; gain > 1e-4 {
				damping *= max(1.0/3, 1-math.Pow(2*gain-1, 3))
				growth = 2
				m.Cost = cost
				break
			}
			damping *= growth
			growth *= 2
		}
		copy(m.X, next)
	}
	return m
}

// jacobian sets the derivatives at x.
func (s *search) jacobian(x []float64) {
	if s.Jacobian != nil {
		s.Jacobian(s.derivatives, x)
		return
	}
	for j, at := range x {
		up, down := min(at+s.difference, s.high[j]), max(at-s.difference, s.low[j])
		if up == down {
			clear(s.up)
		} else {
			x[j] = up
			s.Residuals(s.up, x)
			x[j] = down
			s.Residuals(s.down, x)
			x[j] = at
			floats.Sub(s.up, s.down)
			floats.Scale(1/(up-down), s.up)
		}
		s.derivatives.SetCol(j, s.up)
	}
}

// costAt sets the residuals at x and returns the sum of their squares.
func (s *search) costAt(x []float64) float64 {
	s.Residuals(s.r, x)
	cost := floats.Dot(s.r, s.r)
	if math.IsNaN(cost) {
		return math.Inf(1)
	}
	return cost
}
