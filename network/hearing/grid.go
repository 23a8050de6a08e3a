package hearing

import (
	"errors"
	"fmt"
	"math"
)

// A Band is a range of frequencies, ends included. The zero Band is the
// listening band.
type Band struct {
	From, To float64 // Hz; default 60 Hz and 10 kHz
}

// Defaults returns the band with its zero fields set.
func (b Band) Defaults() Band {
	if b.From == 0 {
		b.From = 60
	}
	if b.To == 0 {
		b.To = 10e3
	}
	return b
}

// Contains reports whether a frequency in hertz lies in the band.
func (b Band) Contains(hz float64) bool { return b.From <= hz && hz <= b.To }

// String returns the ends of the band, such as "60 Hz to 10000 Hz".
func (b Band) String() string { return fmt.Sprintf("%g Hz to %g Hz", b.From, b.To) }

// KWeights returns weights w of sum 1 such that Σ w |H|² is the K-weighted
// mean over log frequency of the power of a response H in the band. Ten times
// its logarithm is a level in dB, 0 for a response of 1 throughout.
//
// The frequencies hz must rise. Between them the integrand is taken as linear
// in log frequency, so the band may begin and end between points; it may also
// reach past the grid by up to one of its steps, where the last value is held.
// Weights of points outside the band are zero but for its two neighbours.
// The weights are stored in dst, which must be as long as hz unless it is nil.
func KWeights(dst, hz []float64, band Band) ([]float64, error) {
	dst, err := meanWeights(dst, hz, band, math.Log)
	if err != nil {
		return nil, err
	}
	for i := range dst {
		dst[i] *= KWeight(hz[i])
	}
	return normalize(dst), nil
}

// ERBWeights returns weights w of sum 1 such that Σ w g is the mean of g in the
// band over the ERB-rate axis. Frequencies, band and dst are as in [KWeights].
func ERBWeights(dst, hz []float64, band Band) ([]float64, error) {
	dst, err := meanWeights(dst, hz, band, ERBRate)
	if err != nil {
		return nil, err
	}
	return normalize(dst), nil
}

// meanWeights returns weights that integrate the piecewise linear interpolant
// over the band on an axis that rises with frequency.
func meanWeights(dst, hz []float64, band Band, axis func(hz float64) float64) ([]float64, error) {
	if dst == nil {
		dst = make([]float64, len(hz))
	}
	if len(dst) != len(hz) {
		panic("hearing: dst and hz differ in length")
	}
	band = band.Defaults()
	if err := checkGrid(hz, band); err != nil {
		return nil, err
	}
	clear(dst)
	from, to := axis(band.From), axis(band.To)
	for i := 1; i < len(hz); i++ {
		left, right := axis(hz[i-1]), axis(hz[i])
		a, b := math.Max(left, from), math.Min(right, to)
		if a < b {
			share := ((a+b)/2 - left) / (right - left)
			dst[i-1] += (b - a) * (1 - share)
			dst[i] += (b - a) * share
		}
	}
	last := len(hz) - 1
	dst[0] += math.Max(0, axis(hz[0])-from)
	dst[last] += math.Max(0, to-axis(hz[last]))
	return dst, nil
}

func normalize(w []float64) []float64 {
	var sum float64
	for _, v := range w {
		sum += v
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// checkGrid returns an error unless hz rises and covers the band to within one
// of its steps.
func checkGrid(hz []float64, band Band) error {
	if !(band.From > 0) || !(band.To > band.From) || math.IsInf(band.To, 0) {
		return fmt.Errorf("hearing: band from %v: expected two positive frequencies, the lower one first", band)
	}
	if len(hz) < 2 {
		return errors.New("hearing: expected at least two frequencies")
	}
	for i, f := range hz {
		if !(f > 0) || math.IsInf(f, 0) {
			return fmt.Errorf("hearing: frequency %g Hz: expected a positive number", f)
		}
		if i > 0 && f <= hz[i-1] {
			return fmt.Errorf("hearing: frequency %g Hz follows %g Hz: expected rising frequencies", f, hz[i-1])
		}
	}
	n := len(hz)
	const rounding = 1e-9
	below, above := hz[0]*hz[0]/hz[1], hz[n-1]*hz[n-1]/hz[n-2]
	if band.From < below*(1-rounding) || band.To > above*(1+rounding) {
		return fmt.Errorf("hearing: band from %v is not covered by frequencies from %g Hz to %g Hz", band, hz[0], hz[n-1])
	}
	return nil
}
