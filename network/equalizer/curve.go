package equalizer

import "math"

// A curve is the magnitude of a band in dB over its frequency ratio, in the
// form that the fit needs: the squared magnitudes of numerator and denominator
// written in y = (frequency ratio)².
type curve struct {
	kind Kind
	a    float64 // 10^(gain/40)
	k    float64 // 1/Q²
}

// A slope holds the derivatives of a curve in dB.
type slope struct {
	gain  float64 // per dB
	ratio float64 // per unit of the natural logarithm of the frequency ratio
	q     float64 // per unit of the natural logarithm of Q
}

const bel = 10 / math.Ln10 // dB per unit of the logarithm of a power

func newCurve(kind Kind, gain, q float64) curve {
	return curve{kind, math.Pow(10, gain/40), 1 / (q * q)}
}

// at returns the squared magnitude and the slopes in dB.
func (c curve) at(y float64) (power float64, d slope) {
	switch c.kind {
	case Peak:
		return c.peak(y)
	case HighShelf:
		return c.highShelf(y)
	}
	// A low shelf is a high shelf mirrored in frequency.
	power, d = c.highShelf(1 / y)
	d.ratio = -d.ratio
	return power, d
}

// peak is (ν² + A²)/(ν² + 1/A²) with ν = Q·(ratio − 1/ratio).
func (c curve) peak(y float64) (float64, slope) {
	a2 := c.a * c.a
	ν2 := (y - 1) * (y - 1) / (y * c.k)
	n, d := ν2+a2, ν2+1/a2
	tilt := bel * (1/n - 1/d)
	return n / d, slope{
		gain:  (a2/n + 1/(a2*d)) / 2,
		ratio: 2 * (y - 1/y) / c.k * tilt,
		q:     2 * ν2 * tilt,
	}
}

// highShelf is A²·((1 − Ay)² + kAy)/((A − y)² + kAy).
func (c curve) highShelf(y float64) (float64, slope) {
	a, ay := c.a, c.a*y
	n, d := (1-ay)*(1-ay)+c.k*ay, (a-y)*(a-y)+c.k*ay
	ny := (c.k*ay - 2*ay*(1-ay)) / n // of ln n by ln y, and by ln A
	dy := (c.k*ay - 2*y*(a-y)) / d
	da := (c.k*ay + 2*a*(a-y)) / d
	return a * a * n / d, slope{
		gain:  (2 + ny - da) / 4,
		ratio: 2 * bel * (ny - dy),
		q:     -2 * bel * c.k * ay * (1/n - 1/d),
	}
}
