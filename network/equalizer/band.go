package equalizer

import (
	"fmt"
	"math"
)

// A Kind is the shape of a band.
type Kind int

// The kinds of band.
const (
	LowShelf Kind = iota
	Peak
	HighShelf
)

// String returns the name of the kind, such as "low shelf".
func (k Kind) String() string {
	switch k {
	case LowShelf:
		return "low shelf"
	case Peak:
		return "peak"
	case HighShelf:
		return "high shelf"
	}
	return fmt.Sprintf("Kind(%d)", int(k))
}

// A Band is one band of an equalizer.
type Band struct {
	Kind Kind
	Hz   float64 // centre of a peak, frequency of half the gain of a shelf
	Gain float64 // dB
	Q    float64
}

// String describes the band, such as "peak at 92 Hz, -5.4 dB, Q 0.87".
func (b Band) String() string {
	return fmt.Sprintf("%v at %.4g Hz, %+.1f dB, Q %.2f", b.Kind, b.Hz, b.Gain, b.Q)
}

// Octaves returns the distance in octaves between the frequencies where an
// analog peak has half its gain in dB.
func (b Band) Octaves() float64 { return 2 * math.Asinh(1/(2*b.Q)) / math.Ln2 }

// prototype returns the coefficients of s², s and 1 in the numerator and the
// denominator of the analog prototype.
func (b Band) prototype() (num, den [3]float64) {
	a := math.Pow(10, b.Gain/40)
	slope := math.Sqrt(a) / b.Q
	switch b.Kind {
	case LowShelf:
		return [3]float64{a, a * slope, a * a}, [3]float64{a, slope, 1}
	case Peak:
		return [3]float64{1, a / b.Q, 1}, [3]float64{1, 1 / (a * b.Q), 1}
	case HighShelf:
		return [3]float64{a * a, a * slope, a}, [3]float64{1, slope, a}
	}
	panic("equalizer: unknown kind of band " + b.Kind.String())
}

// Response returns the response of the band at a frequency in hertz as a
// digital section at a sample rate in hertz, or as its analog prototype if the
// rate is infinite.
func (b Band) Response(hz, rate float64) complex128 {
	s := complex(0, warp(hz, rate)/warp(b.Hz, rate))
	num, den := b.prototype()
	return polynomial(num, s) / polynomial(den, s)
}

// DB returns the magnitude of [Band.Response] in dB.
func (b Band) DB(hz, rate float64) float64 {
	ratio := warp(hz, rate) / warp(b.Hz, rate)
	power, _ := newCurve(b.Kind, b.Gain, b.Q).at(ratio * ratio)
	return bel * math.Log(power)
}

func polynomial(c [3]float64, s complex128) complex128 {
	return complex(c[2], 0) + s*(complex(c[1], 0)+s*complex(c[0], 0))
}

// warp returns the frequency at which the analog prototype responds as the
// digital section does at hz.
func warp(hz, rate float64) float64 {
	if math.IsInf(rate, 1) {
		return hz
	}
	return rate / math.Pi * math.Tan(math.Pi*hz/rate)
}

// Coefficients is a digital section of second order,
// (B0 + B1/z + B2/z²)/(1 + A1/z + A2/z²).
type Coefficients struct{ B0, B1, B2, A1, A2 float64 }

// Coefficients returns the digital section of the band at a sample rate in
// hertz. It panics unless the frequency of the band is below half that rate.
func (b Band) Coefficients(rate float64) Coefficients {
	if !(b.Hz > 0 && b.Hz < rate/2) {
		panic(fmt.Sprintf("equalizer: band at %g Hz at a sample rate of %g Hz", b.Hz, rate))
	}
	k := math.Tan(math.Pi * b.Hz / rate)
	num, den := b.prototype()
	n, d := bilinear(num, k), bilinear(den, k)
	return Coefficients{n[0] / d[0], n[1] / d[0], n[2] / d[0], d[1] / d[0], d[2] / d[0]}
}

// bilinear returns c·(s², s, 1) at s = (1 − z⁻¹)/(k(1 + z⁻¹)), times
// k²(1 + z⁻¹)², in powers of z⁻¹.
func bilinear(c [3]float64, k float64) [3]float64 {
	return [3]float64{
		c[0] + c[1]*k + c[2]*k*k,
		2 * (c[2]*k*k - c[0]),
		c[0] - c[1]*k + c[2]*k*k,
	}
}

// Response returns the response of the section at a frequency in hertz for a
// sample rate in hertz.
func (c Coefficients) Response(hz, rate float64) complex128 {
	sin, cos := math.Sincos(2 * math.Pi * hz / rate)
	z := complex(cos, -sin) // z⁻¹
	return polynomial([3]float64{c.B2, c.B1, c.B0}, z) / polynomial([3]float64{c.A2, c.A1, 1}, z)
}
