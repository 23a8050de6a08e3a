package identify

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// A parameter is an unknown of a model. Fits know it by x, the logarithm of
// its value or, if it is linear, the value itself.
type parameter struct {
	name, unit string
	low, high  float64 // of the value
	linear     bool
}

func (p parameter) x(value float64) float64 {
	value = min(max(value, p.low), p.high)
	if p.linear {
		return value
	}
	return math.Log(value)
}

func (p parameter) value(x float64) float64 {
	if p.linear {
		return x
	}
	return math.Exp(x)
}

// slope returns dvalue/dx.
func (p parameter) slope(value float64) float64 {
	if p.linear {
		return 1
	}
	return value
}

// A block is an additive part of an impedance.
type block interface {
	parameters(scale) []parameter
	// add adds the impedance for the values v to z and, unless dz is nil, sets
	// its derivative by the x of every parameter.
	add(v []float64, g *grid, z []complex128, dz [][]complex128)
}

// Values of parameters by their names: how one fit starts where another ended.
type values map[string]float64

// with returns the values with those of others in their place.
func (v values) with(others ...values) values {
	all := make(values, len(v))
	for _, m := range append([]values{v}, others...) {
		for name, value := range m {
			all[name] = value
		}
	}
	return all
}

// A model is a sum of blocks over a grid. Its residuals are what a fit makes small.
type model struct {
	blocks     []block
	parameters []parameter
	grid       *grid

	counts []int // of the parameters of each block
	v      []float64
	z      []complex128
	dz     [][]complex128
}

func newModel(g *grid, s scale, blocks ...block) *model {
	m := &model{blocks: blocks, grid: g, z: make([]complex128, len(g.w))}
	for _, b := range blocks {
		p := b.parameters(s)
		m.parameters = append(m.parameters, p...)
		m.counts = append(m.counts, len(p))
	}
	m.v = make([]float64, len(m.parameters))
	for range m.parameters {
		m.dz = append(m.dz, make([]complex128, len(g.w)))
	}
	return m
}

// on returns the same model over another grid.
func (m *model) on(g *grid, s scale) *model { return newModel(g, s, m.blocks...) }

func (m *model) size() (rows, columns int) { return m.grid.rows(), len(m.parameters) }

// impedance sets m.z and, if asked for, m.dz.
func (m *model) impedance(x []float64, derivatives bool) {
	for j, p := range m.parameters {
		m.v[j] = p.value(x[j])
	}
	clear(m.z)
	n := 0
	for i, b := range m.blocks {
		var dz [][]complex128
		if derivatives {
			dz = m.dz[n : n+m.counts[i]]
		}
		b.add(m.v[n:n+m.counts[i]], m.grid, m.z, dz)
		n += m.counts[i]
	}
}

// residuals sets r to the weighted residuals ln(z/measured), first those of the
// magnitude.
func (m *model) residuals(r, x []float64) {
	m.impedance(x, false)
	g := m.grid
	for i, z := range m.z {
		q := z * cmplx.Conj(g.z[i])
		r[i] = (0.5*math.Log(norm(z)) - g.lnz[i]) * g.magnitude[i]
		if g.phase != nil {
			r[len(m.z)+i] = math.Atan2(imag(q), real(q)) * g.phase[i]
		}
	}
}

// jacobian sets jac to the derivatives of the residuals.
func (m *model) jacobian(jac *mat.Dense, x []float64) {
	m.impedance(x, true)
	g := m.grid
	for i, z := range m.z {
		inverse := reciprocal(z)
		row := jac.RawRowView(i)
		for j := range m.dz {
			row[j] = real(m.dz[j][i]*inverse) * g.magnitude[i]
		}
		if g.phase == nil {
			continue
		}
		row = jac.RawRowView(len(m.z) + i)
		for j := range m.dz {
			row[j] = imag(m.dz[j][i]*inverse) * g.phase[i]
		}
	}
}

// start returns the x of the values.
func (m *model) start(v values) []float64 {
	x := make([]float64, len(m.parameters))
	for j, p := range m.parameters {
		value, ok := v[p.name]
		if !ok {
			panic("identify: no start value of " + p.name)
		}
		x[j] = p.x(value)
	}
	return x
}

func (m *model) values(x []float64) values {
	v := values{}
	for j, p := range m.parameters {
		v[p.name] = p.value(x[j])
	}
	return v
}

// bounds returns the least and the largest x.
func (m *model) bounds() (low, high []float64) {
	for _, p := range m.parameters {
		low, high = append(low, p.x(p.low)), append(high, p.x(p.high))
	}
	return low, high
}

func norm(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// reciprocal is 1/z for numbers of ordinary size, for which it is much faster
// than the division of the language.
func reciprocal(z complex128) complex128 {
	n := 1 / norm(z)
	return complex(real(z)*n, -imag(z)*n)
}

// resistance is Re.
type resistance struct{ held float64 } // ohm; 0: fitted

func (b resistance) parameters(s scale) []parameter {
	if b.held != 0 {
		return nil
	}
	return []parameter{{name: "re", unit: "ohm", low: 1e-3 * s.z0, high: s.z1}}
}

func (b resistance) add(v []float64, _ *grid, z []complex128, dz [][]complex128) {
	re := b.held
	if re == 0 {
		re = v[0]
	}
	for i := range z {
		z[i] += complex(re, 0)
		if len(dz) > 0 {
			dz[0][i] = complex(re, 0)
		}
	}
}
