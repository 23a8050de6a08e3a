package equalizer

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A leastSquares minimizes a sum of squares within bounds by the method of
// Levenberg (Quart. Appl. Math. 2 (1944) 164) and Marquardt (J. SIAM 11 (1963)
// 431): a parameter on a bound is held there while the slope pushes it out,
// and a step is cut off at the bounds. It keeps its workspace between calls.
type leastSquares struct {
	now, trial state
	step       []float64
	scale      []float64 // of each parameter, 0 where it is held
	normal     mat.SymDense
	cholesky   mat.Cholesky
}

// A state is a point and what the function says there.
type state struct {
	x, r []float64
	jac  []float64 // derivatives of r, one parameter after another
	cost float64   // Σ r²
}

func (s *state) resize(x []float64, residuals int) {
	s.x = append(s.x[:0], x...)
	s.r = grow(s.r, residuals)
	s.jac = grow(s.jac, len(x)*residuals)
}

func grow(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

// A limit says when to stop.
type limit struct {
	evaluations int
	decrease    float64 // relative, of the cost by one step
}

const (
	firstDamping = 0.1
	lastDamping  = 1e12
	noCost       = 1e-26 // nothing but rounding is left
)

// minimize moves x to a minimum of Σ r² with lower ≤ x ≤ upper, and returns
// that sum. The function f fills r and its derivatives.
func (l *leastSquares) minimize(f func(x, r, jac []float64), x, lower, upper []float64, residuals int, until limit) float64 {
	l.now.resize(x, residuals)
	l.trial.resize(x, residuals)
	l.step = grow(l.step, len(x))
	l.now.evaluate(f)
	damping := firstDamping
	for n := 1; n < until.evaluations && l.now.cost > noCost && damping < lastDamping; n++ {
		if !l.solve(damping, lower, upper) {
			damping *= 10
			continue
		}
		for i, v := range l.now.x {
			l.trial.x[i] = math.Min(math.Max(v-l.step[i], lower[i]), upper[i])
		}
		l.trial.evaluate(f)
		if !(l.trial.cost < l.now.cost) {
			damping *= 5
			continue
		}
		damping /= 10
		decrease := 1 - l.trial.cost/l.now.cost
		l.now, l.trial = l.trial, l.now
		if decrease < until.decrease {
			break
		}
	}
	copy(x, l.now.x)
	return l.now.cost
}

func (s *state) evaluate(f func(x, r, jac []float64)) {
	f(s.x, s.r, s.jac)
	s.cost = floats.Dot(s.r, s.r)
}

// solve finds the damped step, and reports whether the equations have one. It
// scales each parameter by its own slope first.
func (l *leastSquares) solve(damping float64, lower, upper []float64) bool {
	x, n := l.now.x, len(l.now.r)
	l.normal.Reset()
	l.normal.SymOuterK(1, mat.NewDense(len(x), n, l.now.jac))
	l.scale = grow(l.scale, len(x))
	for i := range x {
		l.step[i] = floats.Dot(l.now.jac[i*n:(i+1)*n], l.now.r)
		l.scale[i] = 1 / math.Sqrt(l.normal.At(i, i))
		out := x[i] <= lower[i] && l.step[i] > 0 || x[i] >= upper[i] && l.step[i] < 0
		if out || math.IsInf(l.scale[i], 1) {
			l.scale[i] = 0 // held
		}
		l.step[i] *= l.scale[i]
	}
	for i := range x {
		for j := range i {
			l.normal.SetSym(i, j, l.normal.At(i, j)*l.scale[i]*l.scale[j])
		}
		l.normal.SetSym(i, i, 1+damping)
	}
	if !l.cholesky.Factorize(&l.normal) {
		return false
	}
	step := mat.NewVecDense(len(x), l.step)
	if l.cholesky.SolveVecTo(step, step) != nil {
		return false
	}
	floats.Mul(l.step, l.scale)
	return true
}
