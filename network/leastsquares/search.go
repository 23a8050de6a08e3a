package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// A search holds the linear problem about a point: minimize |R·p − q|.
type search struct {
	Problem
	low, high           []float64
	longest, difference float64
	r, up, down         []float64
	jac                 blas64.General // derivatives, and −r in the last column; then R and q
	derivatives         *mat.Dense     // the part of jac that the problem sets
	norms, gradient     []float64
	column              []float64      // weights of the steps: the largest norms so far
	small               blas64.General // R over the damping, for one step
	tau, work           []float64
	solution            []float64
	p                   []float64
	fixed               []bool // of p, at a bound
}

func newSearch(p Problem, n int, settings Settings) *search {
	s := &search{
		Problem: p, longest: settings.Longest, difference: settings.Difference,
		low: bounds(p.Lower, n, -1), high: bounds(p.Upper, n, 1),
		r:        make([]float64, p.Size),
		jac:      general(max(p.Size, n+1), n+1), // rows of zeros if there are few
		small:    general(2*n, n+1),
		norms:    make([]float64, n),
		gradient: make([]float64, n),
		column:   make([]float64, n),
		tau:      make([]float64, n+1),
		solution: make([]float64, n),
		p:        make([]float64, n),
		fixed:    make([]bool, n),
	}
	if n == 0 {
		return s
	}
	whole := mat.NewDense(s.jac.Rows, n+1, s.jac.Data)
	s.derivatives = whole.Slice(0, p.Size, 0, n).(*mat.Dense)
	if p.Jacobian == nil {
		s.up, s.down = make([]float64, p.Size), make([]float64, p.Size)
	}
	query := make([]float64, 1)
	lapack64.Geqrf(s.jac, s.tau, query, -1)
	s.work = make([]float64, int(query[0])+n+1)
	return s
}

func bounds(given []float64, n, sign int) []float64 {
	if given == nil {
		given = make([]float64, n)
		floats.AddConst(math.Inf(sign), given)
	}
	if len(given) != n {
		panic("leastsquares: bounds and parameters differ in length")
	}
	return given
}

func general(rows, columns int) blas64.General {
	return blas64.General{Rows: rows, Cols: columns, Stride: columns, Data: make([]float64, rows*columns)}
}

// linearise factors the derivatives at x, of which the residuals are there.
func (s *search) linearise(x []float64) {
	n := len(x)
	s.jacobian(x)
	clear(s.jac.Data[s.Size*(n+1):])
	clear(s.norms)
	clear(s.gradient)
	for i, r := range s.r {
		row := s.jac.Data[i*(n+1) : (i+1)*(n+1)]
		row[n] = -r
		for j, d := range row[:n] {
			s.norms[j] += d * d
			s.gradient[j] += d * r
		}
	}
	for j := range x {
		s.column[j] = max(s.column[j], math.Sqrt(s.norms[j]))
		if x[j] <= s.low[j] && s.gradient[j] > 0 || x[j] >= s.high[j] && s.gradient[j] < 0 {
			for i := range s.r {
				s.jac.Data[i*(n+1)+j] = 0
			}
		}
	}
	lapack64.Geqrf(s.jac, s.tau, s.work, len(s.work))
}

// step sets next to x and a damped step. What would go beyond its bound goes
// there, and the others are found anew for that. It returns the decrease of the
// cost that the linear problem predicts, and the step's largest component.
func (s *search) step(next, x []float64, damping float64) (predicted, length float64) {
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
func (s *search) solve(damping float64) {
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
	for j := range n {
		s.solution[j] = s.small.Data[j*(n+1)+n]
	}
	triangle := blas64.Triangular{N: n, Stride: n + 1, Data: s.small.Data, Uplo: blas.Upper, Diag: blas.NonUnit}
	blas64.Trsv(blas.NoTrans, triangle, blas64.Vector{N: n, Inc: 1, Data: s.solution})

	shrink := min(1, s.longest/floats.Norm(s.solution, math.Inf(1)))
	for j := range n {
		if !s.fixed[j] {
			s.p[j] = shrink * s.solution[j]
		}
	}
}

// decrease returns |q|² − |R·p − q|².
func (s *search) decrease() float64 {
	n := len(s.p)
	sum := 0.0
	for j := range n {
		row := s.jac.Data[j*(n+1) : (j+1)*(n+1)]
		rp := floats.Dot(row[j:n], s.p[j:])
		sum += rp * (2*row[n] - rp)
	}
	return sum
}
