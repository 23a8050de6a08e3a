package design

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// leastSquares minimizes Σ r² over the free ones of parameters x within
// bounds. The derivatives are central differences.
type leastSquares struct {
	residuals    func(r, x []float64)
	n            int // of residuals
	lower, upper []float64
	free         []bool
}

const (
	difference   = 1e-5 // of a parameter, for derivatives
	firstDamping = 1e-2
	lastDamping  = 1e10
	noCost       = 1e-22 // nothing but rounding is left
	settled      = 1e-7  // relative decrease of the cost by one step
)

// minimize moves x and returns the cost, after at most so many steps.
func (l *leastSquares) minimize(x []float64, steps int) float64 {
	r, trial := make([]float64, l.n), make([]float64, l.n)
	l.residuals(r, x)
	cost := floats.Dot(r, r)
	index := l.indices()
	if len(index) == 0 {
		return cost
	}
	damping, quiet := firstDamping, 0
	for ; steps > 0 && cost > noCost && quiet < 3; steps-- {
		normal, slope := l.equations(x, r, index)
		moved := false
		for ; damping < lastDamping; damping *= 4 {
			next, ok := l.step(x, normal, slope, index, damping)
			if !ok {
				continue
			}
			l.residuals(trial, next)
			if c := floats.Dot(trial, trial); c < cost {
				quiet++
				if c < cost*(1-settled) {
					quiet = 0
				}
				cost, moved = c, true
				copy(x, next)
				r, trial = trial, r
				damping /= 8
				break
			}
		}
		if !moved {
			break
		}
	}
	return cost
}

// indices returns the places of the free parameters.
func (l *leastSquares) indices() []int {
	var index []int
	for i := range l.free {
		if l.free[i] {
			index = append(index, i)
		}
	}
	return index
}

// equations returns JᵀJ and Jᵀr of the free parameters.
func (l *leastSquares) equations(x, r []float64, index []int) (*mat.SymDense, []float64) {
	jacobian := mat.NewDense(len(index), l.n, nil)
	down := make([]float64, l.n)
	for k, i := range index {
		row, at := jacobian.RawRowView(k), x[i]
		x[i] = at + difference
		l.residuals(row, x)
		x[i] = at - difference
		l.residuals(down, x)
		x[i] = at
		floats.Sub(row, down)
		floats.Scale(1/(2*difference), row)
	}
	normal := mat.NewSymDense(len(index), nil)
	normal.SymOuterK(1, jacobian)
	slope := make([]float64, len(index))
	for k := range index {
		slope[k] = floats.Dot(jacobian.RawRowView(k), r)
	}
	return normal, slope
}

// step returns x moved by a damped step and cut off at the bounds. A parameter
// changes by a factor of e² at most.
func (l *leastSquares) step(x []float64, normal *mat.SymDense, slope []float64, index []int, damping float64) ([]float64, bool) {
	const floor, longest = 1e-12, 2
	n := len(index)
	damped := mat.NewSymDense(n, nil)
	damped.CopySym(normal)
	for k := range n {
		damped.SetSym(k, k, normal.At(k, k)*(1+damping)+floor)
	}
	var c mat.Cholesky
	if !c.Factorize(damped) {
		return nil, false
	}
	d := mat.NewVecDense(n, nil)
	if c.SolveVecTo(d, mat.NewVecDense(n, slope)) != nil {
		return nil, false
	}
	next := append([]float64(nil), x...)
	for k, i := range index {
		by := math.Max(-longest, math.Min(longest, d.AtVec(k)))
		next[i] = math.Max(l.lower[i], math.Min(l.upper[i], x[i]-by))
	}
	return next, true
}
