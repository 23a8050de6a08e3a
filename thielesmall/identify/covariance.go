package identify

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A covariance is that of the x of a fit.
type covariance struct {
	matrix *mat.SymDense
	pinned []bool    // at a bound, or without effect on the curve
	effect []float64 // RMS of the weighted residual per unit of x
	lag    float64   // correlation of the residuals of neighbouring rows
}

// newCovariance returns (JᵀJ)⁻¹ at the end of a fit, scaled to its residual
// unless the noise is known. What is pinned is taken for certain.
func newCovariance(a *attempt, noise Noise) *covariance {
	rows, n := a.model.size()
	c := &covariance{matrix: mat.NewSymDense(max(n, 1), nil), pinned: make([]bool, n), effect: make([]float64, n)}
	r, jac := make([]float64, rows), mat.NewDense(rows, max(n, 1), nil)
	a.model.residuals(r, a.X)
	a.model.jacobian(jac, a.X)
	c.lag = lagOf(r, len(a.model.grid.hz))
	low, high := a.model.bounds()
	var free []int
	for j := range n {
		column := mat.NewVecDense(rows, nil)
		column.CopyVec(jac.ColView(j))
		edge := 1e-6 * (high[j] - low[j])
		c.effect[j] = mat.Norm(column, 2) / math.Sqrt(float64(rows))
		c.pinned[j] = a.X[j] <= low[j]+edge || a.X[j] >= high[j]-edge || c.effect[j] == 0
		if !c.pinned[j] {
			free = append(free, j)
		}
	}
	if len(free) == 0 || rows <= len(free) {
		return c
	}
	c.fill(inverseGram(jac, free), free)
	if !noise.Known {
		c.matrix.ScaleSym(a.Cost/float64(rows-len(free)), c.matrix)
	}
	return c
}

func (c *covariance) fill(inverse *mat.Dense, free []int) {
	for i, fi := range free {
		for j, fj := range free[:i+1] {
			c.matrix.SetSym(fi, fj, mat.Dot(inverse.RowView(i), inverse.RowView(j)))
		}
	}
}

// inverseGram returns R⁻¹ of the factorisation of the free columns of jac, so
// that (JᵀJ)⁻¹ = R⁻¹·R⁻ᵀ. Columns are scaled first; one that depends on the
// others gets an error that is large, not infinite.
func inverseGram(jac *mat.Dense, free []int) *mat.Dense {
	rows, _ := jac.Dims()
	n := len(free)
	scaled := mat.NewDense(rows, n, nil)
	norms := make([]float64, n)
	for k, j := range free {
		norms[k] = mat.Norm(jac.ColView(j), 2)
		for i := range rows {
			scaled.Set(i, k, jac.At(i, j)/norms[k])
		}
	}
	var qr mat.QR
	qr.Factorize(scaled)
	var r mat.Dense
	qr.RTo(&r)
	triangle := mat.NewTriDense(n, mat.Upper, nil)
	for i := range n {
		for j := i; j < n; j++ {
			triangle.SetTri(i, j, r.At(i, j))
		}
		if d := r.At(i, i); math.Abs(d) < 1e-12 {
			triangle.SetTri(i, i, 1e-12)
		}
	}
	var inverse mat.TriDense
	_ = inverse.InverseTri(triangle) // a Condition error is no news here
	var out mat.Dense
	out.CloneFrom(&inverse)
	for k := range n {
		for j := range n {
			out.Set(k, j, out.At(k, j)/norms[k])
		}
	}
	return &out
}

// deviation returns the standard error of x.
func (c *covariance) deviation(j int) float64 { return math.Sqrt(c.matrix.At(j, j)) }

func (c *covariance) correlation(i, j int) float64 {
	if c.pinned[i] || c.pinned[j] {
		return 0
	}
	return c.matrix.At(i, j) / (c.deviation(i) * c.deviation(j))
}

// lagOf returns the correlation of residuals of neighbouring rows, of
// magnitude and phase together.
func lagOf(r []float64, rows int) float64 {
	var product, power float64
	for i, v := range r {
		power += v * v
		if i%rows != 0 {
			product += v * r[i-1]
		}
	}
	if power == 0 {
		return 0
	}
	return product / power
}
