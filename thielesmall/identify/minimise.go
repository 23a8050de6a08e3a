package identify

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// An objective is a vector of residuals whose sum of squares is wanted small. It
// has more rows than columns.
type objective interface {
	size() (rows, columns int)
	// evaluate sets the residuals r at x and, unless jac has no data, the
	// first columns of jac to their derivatives.
	evaluate(x, r []float64, jac blas64.General)
}

// A minimum is where [minimise] ended.
type minimum struct {
	x          []float64
	cost       float64 // sum of the squared residuals
	iterations int
	converged  bool
}

// An effort is when to stop: after so many iterations, or when no more than a
// part of the cost can be gained.
type effort struct {
	iterations int
	gain       float64
}

// minimise finds a local minimum of the cost of o between bounds by the method
// of Levenberg and Marquardt, started at x. A parameter at a bound that would
// leave it is pinned for the iteration.
func minimise(o objective, x, low, high []float64, e effort) minimum {
	s := newMinimiser(o, low, high)
	m := minimum{x: append([]float64(nil), x...)}
	m.cost = s.linearise(m.x)
	next := make([]float64, len(x))
	damping, growth := 1e-3, 2.0
	for m.iterations < e.iterations {
		m.iterations++
		for {
			predicted, length := s.step(next, m.x, damping)
			if !(predicted > e.gain*m.cost) || length < 1e-11 { // or not a number
				m.converged = true
				return m
			}
			cost := s.costAt(next)
			if gain := (m.cost - cost) / predicted; gain > 1e-4 {
				damping *= max(1.0/3, 1-math.Pow(2*gain-1, 3))
				growth = 2
				break
			}
			damping *= growth
			growth *= 2
		}
		copy(m.x, next)
		m.cost = s.linearise(m.x)
	}
	return m
}

// A minimiser holds the linear problem about a point: minimise |R·p − q|.
type minimiser struct {
	o         objective
	low, high []float64
	r         []float64
	jac       blas64.General // derivatives, and −r in the last column; then R and q
	column    []float64      // weights of the steps: the largest norms so far
	small     blas64.General // R over the damping, for one step
	tau, work []float64
	p         []float64
	fixed     []bool // of p, at a bound
}

func newMinimiser(o objective, low, high []float64) *minimiser {
	rows, n := o.size()
	s := &minimiser{
		o: o, low: low, high: high,
		r:      make([]float64, rows),
		jac:    general(rows, n+1),
		small:  general(2*n, n+1),
		column: make([]float64, n),
		tau:    make([]float64, n+1),
		p:      make([]float64, n),
		fixed:  make([]bool, n),
	}
	query := make([]float64, 1)
	lapack64.Geqrf(s.jac, s.tau, query, -1)
	s.work = make([]float64, int(query[0])+n+1)
	return s
}

func general(rows, columns int) blas64.General {
	return blas64.General{Rows: rows, Cols: columns, Stride: columns, Data: make([]float64, rows*columns)}
}

// linearise factors the derivatives at x and returns the cost.
func (s *minimiser) linearise(x []float64) float64 {
	n := len(x)
	s.o.evaluate(x, s.r, s.jac)
	norms, gradient := make([]float64, n), make([]float64, n)
	for i, r := range s.r {
		row := s.jac.Data[i*(n+1) : (i+1)*(n+1)]
		row[n] = -r
		for j, d := range row[:n] {
			norms[j] += d * d
			gradient[j] += d * r
		}
	}
	for j := range x {
		s.column[j] = max(s.column[j], math.Sqrt(norms[j]))
		if x[j] <= s.low[j] && gradient[j] > 0 || x[j] >= s.high[j] && gradient[j] < 0 {
			for i := range s.r {
				s.jac.Data[i*(n+1)+j] = 0
			}
		}
	}
	lapack64.Geqrf(s.jac, s.tau, s.work, len(s.work))
	return floats.Dot(s.r, s.r)
}

func (s *minimiser) costAt(x []float64) float64 {
	s.o.evaluate(x, s.r, blas64.General{})
	cost := floats.Dot(s.r, s.r)
	if math.IsNaN(cost) {
		return math.Inf(1)
	}
	return cost
}

// step sets next to x and a damped step. What would go beyond its bound goes
// there, and the others are found anew for that. It returns the decrease of the
// cost that the linear problem predicts, and the step's largest component.
func (s *minimiser) step(next, x []float64, damping float64) (predicted, length float64) {
	clear(s.p)
	clear(s.fixed)
	for bound := true; bound; {
		bound = false
		s.solve(damping)
		for j, p := range s.p {
			at := min(max(x[j]+p, s.low[j]), s.high[j])
			if at != x[j]+p && !s.fixed[j] {
				s.p[j], s.fixed[j], bound = at-x[j], true, true
			}
			next[j] = at
		}
	}
	for j := range x {
		length = max(length, math.Abs(next[j]-x[j]))
	}
	return s.decrease(), length
}

// solve sets what is not fixed of the step p to the damped solution.
func (s *minimiser) solve(damping float64) {
	n := len(s.p)
	clear(s.small.Data)
	for i := range n {
		row, from := s.small.Data[i*(n+1):(i+1)*(n+1)], s.jac.Data[i*(n+1):(i+1)*(n+1)]
		copy(row[i:], from[i:])
		for j := i; j < n; j++ {
			if s.fixed[j] {
				row[n] -= from[j] * s.p[j]
				row[j] = 0
			}
		}
		weight := s.column[i]
		if weight == 0 {
			weight = 1
		}
		s.small.Data[(n+i)*(n+1)+i] = math.Sqrt(damping) * weight
	}
	lapack64.Geqrf(s.small, s.tau, s.work, len(s.work))
	solution := make([]float64, n)
	for j := range n {
		solution[j] = s.small.Data[j*(n+1)+n]
	}
	triangle := blas64.Triangular{N: n, Stride: n + 1, Data: s.small.Data, Uplo: blas.Upper, Diag: blas.NonUnit}
	blas64.Trsv(blas.NoTrans, triangle, blas64.Vector{N: n, Inc: 1, Data: solution})

	const longest = 2 // in logarithms: a factor of seven
	shrink := min(1, longest/floats.Norm(solution, math.Inf(1)))
	for j := range n {
		if !s.fixed[j] {
			s.p[j] = shrink * solution[j]
		}
	}
}

// decrease returns |q|² − |R·p − q|².
func (s *minimiser) decrease() float64 {
	n := len(s.p)
	sum := 0.0
	for j := range n {
		row := s.jac.Data[j*(n+1) : (j+1)*(n+1)]
		rp := floats.Dot(row[j:n], s.p[j:])
		sum += rp * (2*row[n] - rp)
	}
	return sum
}
