package rational

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// problem is a fit under way.
type problem struct {
	w       []float64
	f       []complex128
	weights []float64
	low     float64 // the lowest of w
	poles   []complex128
	opts    Options
}

// basis writes the partial fractions of unit residue at s into phi. For a pair
// they are those of the real and of the imaginary part of the residue, so that
// all unknowns are real (eq. A.5 of the 1999 paper).
func (p *problem) basis(phi []complex128, s complex128) {
	for n := 0; n < len(p.poles); n++ {
		a := 1 / (s - p.poles[n])
		phi[n] = a
		if imag(p.poles[n]) != 0 {
			b := 1 / (s - p.poles[n+1])
			phi[n], phi[n+1] = a+b, 1i*(a-b)
			n++
		}
	}
}

// terms tells which terms f has beside its partial fractions.
type terms struct{ constant, proportional bool }

func (p *problem) terms() terms { return terms{!p.opts.NoConstant, p.opts.Proportional} }

// count returns the number of terms.
func (t terms) count() (n int) {
	if t.constant {
		n++
	}
	if t.proportional {
		n++
	}
	return n
}

// numerator writes the partial fractions and the terms at s into row.
func (p *problem) numerator(row []complex128, s complex128, t terms) {
	n := len(p.poles)
	p.basis(row[:n], s)
	if t.constant {
		row[n] = 1
		n++
	}
	if t.proportional {
		row[n] = s
	}
}

// residues returns the function of best fit over the poles as they are, and
// its weighted RMS deviation.
func (p *problem) residues() (Function, float64, error) {
	n := len(p.poles)
	function := Function{Poles: slices.Clone(p.poles), Residues: make([]complex128, n)}
	if columns := n + p.terms().count(); columns > 0 {
		eqs := newEquations(2*len(p.w), columns)
		row := make([]complex128, columns)
		for i, w := range p.w {
			p.numerator(row, complex(0, w), p.terms())
			eqs.addComplex(row, p.f[i], p.weights[i])
		}
		x, err := eqs.solve()
		if err != nil {
			return Function{}, 0, err
		}
		p.unpack(&function, x)
	}
	sum := 0.0
	for i, w := range p.w {
		d := p.weights[i] * cmplx.Abs(function.AtFrequency(w)-p.f[i])
		sum += d * d
	}
	return function, math.Sqrt(sum / float64(len(p.w))), nil
}

func (p *problem) unpack(f *Function, x []float64) {
	n := len(p.poles)
	for k := 0; k < n; k++ {
		if imag(p.poles[k]) == 0 {
			f.Residues[k] = complex(x[k], 0)
			continue
		}
		f.Residues[k] = complex(x[k], x[k+1])
		f.Residues[k+1] = cmplx.Conj(f.Residues[k])
		k++
	}
	if !p.opts.NoConstant {
		f.Constant = x[n]
		n++
	}
	if p.opts.Proportional {
		f.Proportional = x[n]
	}
}

// relocate moves the poles to the zeros of σ, the function that makes σf best
// fitted over the same poles as σ itself. It returns how far σ was from a
// constant, which is how far the poles have moved.
func (p *problem) relocate() (moved float64, err error) {
	t := p.terms()
	t.constant = t.constant || t.proportional // s·e times a fraction of σ leaves one
	n := len(p.poles)
	own := n + t.count()
	eqs := newEquations(2*len(p.w)+1, own+n+1)
	row, mean := make([]complex128, own+n+1), make([]float64, own+n+1)
	norm := 0.0
	for i, w := range p.w {
		p.numerator(row[:own], complex(0, w), t)
		sigma := row[own:]
		p.basis(sigma[:n], complex(0, w))
		sigma[n] = 1
		for k, v := range sigma {
			mean[own+k] += real(v)
			sigma[k] = -p.f[i] * v
		}
		eqs.addComplex(row, 0, p.weights[i])
		norm = math.Hypot(norm, p.weights[i]*cmplx.Abs(p.f[i]))
	}
	// The mean of σ is 1 (2006 paper, eq. 8), with the weight of the data.
	count := float64(len(p.w))
	eqs.add(mean, count, norm/count)
	x, err := eqs.solve()
	if err != nil {
		return 0, err
	}
	return p.zeros(x[own:own+n], x[own+n])
}

// zeros moves the poles to the zeros of Σ c_n φ_n + d, the eigenvalues of
// A − b·cᵀ/d (eqs. B.1 to B.4 of the 1999 paper).
func (p *problem) zeros(c []float64, d float64) (moved float64, err error) {
	const least = 1e-8 // 2006 paper, section V
	if math.Abs(d) < least {
		d = math.Copysign(least, d)
	}
	n := len(p.poles)
	h := mat.NewDense(n, n, nil)
	for k := 0; k < n; k++ {
		a, b, size := p.poles[k], 1.0, 1
		h.Set(k, k, real(a))
		if imag(a) != 0 {
			h.Set(k, k+1, imag(a))
			h.Set(k+1, k, -imag(a))
			h.Set(k+1, k+1, real(a))
			b, size = 2, 2
		}
		for j := range n {
			h.Set(k, j, h.At(k, j)-b*c[j]/d)
		}
		for _, cj := range c[k : k+size] {
			moved = max(moved, math.Abs(cj/d)/max(cmplx.Abs(a), p.low))
		}
		k += size - 1
	}
	if math.IsNaN(moved) || math.IsInf(moved, 0) {
		return 0, fmt.Errorf("rational: the poles could not be found: numbers too large")
	}
	var eigen mat.Eigen
	if ok := eigen.Factorize(h, mat.EigenNone); !ok {
		return 0, fmt.Errorf("rational: the poles could not be found")
	}
	p.poles = p.arrange(eigen.Values(nil))
	return moved, nil
}

// arrange orders poles by their distance from the origin, each complex one
// before its conjugate, and reflects unstable ones unless they may stay.
func (p *problem) arrange(values []complex128) []complex128 {
	slices.SortFunc(values, func(a, b complex128) int { return cmp.Compare(cmplx.Abs(a), cmplx.Abs(b)) })
	poles := make([]complex128, 0, len(values))
	for _, v := range values {
		re, im := real(v), imag(v)
		const damping = 1e-9 // on the axis a pole could be infinite at a frequency
		if least := damping * max(math.Abs(im), p.low); math.Abs(re) < least {
			re = -least
		}
		if !p.opts.Unstable {
			re = -math.Abs(re)
		}
		switch {
		case im == 0:
			poles = append(poles, complex(re, 0))
		case im > 0:
			poles = append(poles, complex(re, im), complex(re, -im))
		}
	}
	return poles
}
