package rational

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// equations is a system of weighted linear equations with more rows than
// unknowns.
type equations struct {
	a   *mat.Dense
	rhs *mat.VecDense
	n   int // rows set
}

func newEquations(rows, columns int) *equations {
	return &equations{a: mat.NewDense(rows, columns, nil), rhs: mat.NewVecDense(rows, nil)}
}

// add adds row·x = rhs with a weight.
func (e *equations) add(row []float64, rhs, weight float64) {
	dst := e.a.RawRowView(e.n)
	for j, v := range row {
		dst[j] = weight * v
	}
	e.rhs.SetVec(e.n, weight*rhs)
	e.n++
}

// addComplex adds row·x = rhs as two equations for real x.
func (e *equations) addComplex(row []complex128, rhs complex128, weight float64) {
	re, im := e.a.RawRowView(e.n), e.a.RawRowView(e.n+1)
	for j, v := range row {
		re[j], im[j] = weight*real(v), weight*imag(v)
	}
	e.rhs.SetVec(e.n, weight*real(rhs))
	e.rhs.SetVec(e.n+1, weight*imag(rhs))
	e.n += 2
}

// solve returns the least-squares solution, which is the smallest one in terms
// of scaled columns where it is not unique: more poles than the data have.
func (e *equations) solve() ([]float64, error) {
	rows, columns := e.a.Dims()
	scale := make([]float64, columns)
	for i := range rows {
		for j, v := range e.a.RawRowView(i) {
			scale[j] = math.Hypot(scale[j], v)
		}
	}
	if n := floats.Norm(scale, 1); math.IsInf(n, 0) || math.IsNaN(n) {
		return nil, fmt.Errorf("rational: the equations could not be solved: numbers too large")
	}
	for i := range rows {
		for j := range columns {
			if scale[j] != 0 {
				e.a.RawRowView(i)[j] /= scale[j]
			}
		}
	}
	x, err := leastSquares(e.a, e.rhs)
	if err != nil {
		return nil, err
	}
	for j := range x {
		if scale[j] != 0 {
			x[j] /= scale[j]
		}
	}
	return x, nil
}

// leastSquares solves by QR, or by singular values where columns depend on
// each other.
func leastSquares(a *mat.Dense, b *mat.VecDense) ([]float64, error) {
	const dependent = 1e-13
	var qr mat.QR
	qr.Factorize(a)
	var x mat.VecDense
	if qr.Cond() < 1/dependent {
		if err := qr.SolveVecTo(&x, false, b); err == nil {
			return x.RawVector().Data, nil
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return nil, fmt.Errorf("rational: the equations could not be solved")
	}
	rank := svd.Rank(dependent)
	if rank == 0 {
		return nil, fmt.Errorf("rational: the weights leave no equations")
	}
	x.Reset()
	svd.SolveVecTo(&x, b, rank)
	return x.RawVector().Data, nil
}
