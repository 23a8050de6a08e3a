package transfer

import (
	"fmt"
	"math"
	"math/bits"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/dsp/window"
)

// average returns the spectra of segments of at most length seconds, under
// Hann windows that overlap by half.
func average(x, y []float64, rate, length float64) (*spectra, error) {
	samples := min(length*rate, float64(len(x)))
	if samples < 16 {
		return nil, fmt.Errorf("transfer: segments of %.3g s: expected at least 16 samples", samples/rate)
	}
	n := 1 << (bits.Len(uint(samples)) - 1)
	if n+n/2 <= int(samples) {
		n += n / 2
	}
	s := newSpectra(rate/float64(n), n/2+1)
	fft := fourier.NewFFT(n)
	var xs, ys []complex128
	segment := make([]float64, n)
	for start := 0; start+n <= len(x); start += n / 2 {
		copy(segment, x[start:])
		xs = fft.Coefficients(xs, window.Hann(segment))
		copy(segment, y[start:])
		ys = fft.Coefficients(ys, window.Hann(segment))
		s.add(xs, ys)
	}
	return s, nil
}

// deconvolve returns the spectra of x and of what the gated response makes of
// x; the power of y that it does not explain is added to yy.
func deconvolve(x, y []float64, rate, gate float64) (*spectra, error) {
	keep := int(math.Ceil(gate * rate))
	if keep < 16 || 2*keep > len(x) {
		return nil, fmt.Errorf("transfer: gate of %.3g s in a recording of %.3g s: expected at most half of it", gate, float64(len(x))/rate)
	}
	n := 1 << bits.Len(uint(len(x)+2*keep-1))
	fft := fourier.NewFFT(n)
	xs := fft.Coefficients(nil, padded(x, n))
	ys := fft.Coefficients(nil, padded(y, n))
	peak := 0.0
	for _, v := range xs {
		peak = max(peak, power(v))
	}
	if peak == 0 {
		return nil, fmt.Errorf("transfer: no signal in the channel that is the reference")
	}
	const floor = 1e-20 // of the peak: keeps empty bins from dividing by zero
	h := make([]complex128, len(xs))
	for k, v := range xs {
		h[k] = ys[k] * complex(real(v), -imag(v)) / complex(power(v)+floor*peak, 0)
	}
	response := fft.Sequence(nil, h)
	gateResponse(response, keep)
	h = fft.Coefficients(h, response)
	s := newSpectra(rate/float64(n), len(xs))
	for k, v := range xs {
		hk := h[k] / complex(float64(n), 0)
		s.xx[k] = power(v)
		s.xy[k] = hk * complex(s.xx[k], 0)
		s.yy[k] = power(hk*v) + power(ys[k]-hk*v)
	}
	return s, nil
}

// gateResponse keeps the first samples of a periodic response, of which the
// latter half fades out, and a fourth as many ahead of it, where a response
// of limited bandwidth begins.
func gateResponse(response []float64, keep int) {
	n := len(response)
	lead := keep / 4
	fade := func(i, length int) float64 { // of the latter half
		return 0.5 + 0.5*math.Cos(math.Pi*max(0, 2*float64(i)/float64(length)-1))
	}
	for i := range response {
		switch {
		case i < keep:
			response[i] *= fade(i, keep)
		case n-i < lead:
			response[i] *= fade(n-i, lead)
		default:
			response[i] = 0
		}
	}
}

// padded returns x with zeros up to a length of n.
func padded(x []float64, n int) []float64 {
	out := make([]float64, n)
	copy(out, x)
	return out
}
