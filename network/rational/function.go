package rational

import (
	"math"
	"math/cmplx"
)

// A Function is a rational function in partial fractions. Of complex poles,
// the one with positive imaginary part stands before its conjugate, and so do
// the residues.
type Function struct {
	Poles, Residues []complex128 // rad/s, and the function's unit times rad/s
	Constant        float64      // d
	Proportional    float64      // e
}

// At returns the value of f at the complex frequency s in rad/s.
func (f *Function) At(s complex128) complex128 {
	v := complex(f.Constant, 0) + s*complex(f.Proportional, 0)
	for n, p := range f.Poles {
		v += f.Residues[n] / (s - p)
	}
	return v
}

// AtFrequency returns the value of f at s = jω, ω in rad/s.
func (f *Function) AtFrequency(w float64) complex128 { return f.At(complex(0, w)) }

// A Section is a parallel resonance, R ∥ L ∥ C, with the impedance
//
//	Z(s) = R·(s·ω₀/Q + skew·ω₀²/Q) / (s² + s·ω₀/Q + ω₀²)
//
// in which the skew of three ideal parts is zero.
type Section struct {
	Hz   float64 // of the resonance, ω₀/2π
	Q    float64
	R    float64 // real part at the resonance
	Skew float64
}

// Sections returns the pairs of complex poles of f as parallel resonances, in
// the order of the poles.
func (f *Function) Sections() []Section {
	var sections []Section
	for n, p := range f.Poles {
		if imag(p) <= 0 {
			continue
		}
		// r/(s−p) + r*/(s−p*) = (b₁s + b₀)/(s² − 2 Re(p) s + |p|²)
		r := f.Residues[n]
		b1, b0 := 2*real(r), -2*real(r*cmplx.Conj(p))
		w0, width := cmplx.Abs(p), -2*real(p)
		sections = append(sections, Section{
			Hz:   w0 / (2 * math.Pi),
			Q:    w0 / width,
			R:    b1 / width,
			Skew: b0 / (b1 * w0),
		})
	}
	return sections
}
