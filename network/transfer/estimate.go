package transfer

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// Method is a way to find the ratio of two channels.
type Method int

// The methods are described at the head of the package.
const (
	CrossSpectra Method = iota
	Deconvolution
)

// Options guide [Estimate].
type Options struct {
	Method Method // default CrossSpectra

	// The frequencies of the points are From·2^(i/PerOctave), i = 0, 1, …
	// up to and including To.
	From, To  float64 // Hz; default 20 Hz, and 20 kHz or 0.45 of the sampling rate
	PerOctave int     // 1 to 1000; default 48

	// Bandwidth is the half width in octaves of the range around a point to
	// which a parabola is fitted, with weights that fall off to its ends.
	// Default: a step between points. Four bins of the spectra are the least.
	Bandwidth float64

	// Segment is the length in seconds of the segments for CrossSpectra,
	// rounded down to 2^k or 3·2^k samples. Long ones resolve resonances, the
	// response to what came before a segment counts less in them; short ones
	// let more of them be averaged. Default: two thirds of the recording.
	Segment float64

	// Gate is how much of the response in seconds is kept by Deconvolution;
	// the latter half of it fades out. Default 1 s.
	Gate float64
}

// A Response is the ratio of two channels at ascending frequencies.
type Response struct {
	Hz        []float64
	H         []complex128
	Coherence []float64 // 0 to 1
}

// Estimate returns the ratio of y to x, sampled rate times a second.
func Estimate(x, y []float64, rate float64, opts Options) (*Response, error) {
	if len(x) != len(y) {
		panic("transfer: channels of different lengths")
	}
	opts, err := opts.prepare(len(x), rate)
	if err != nil {
		return nil, err
	}
	x, y = centred(x), centred(y)
	var s *spectra
	switch opts.Method {
	case CrossSpectra:
		s, err = average(x, y, rate, opts.Segment)
	case Deconvolution:
		s, err = deconvolve(x, y, rate, opts.Gate)
	}
	if err != nil {
		return nil, err
	}
	return s.reduce(opts)
}

// prepare checks the options and sets the defaults.
func (o Options) prepare(samples int, rate float64) (Options, error) {
	if o.From == 0 {
		o.From = 20
	}
	if o.To == 0 {
		o.To = min(20e3, 0.45*rate)
	}
	if o.PerOctave == 0 {
		o.PerOctave = 48
	}
	if o.Bandwidth == 0 {
		o.Bandwidth = 1 / float64(o.PerOctave)
	}
	if o.Segment == 0 {
		o.Segment = float64(samples) / rate * 2 / 3
	}
	if o.Gate == 0 {
		o.Gate = 1
	}
	switch {
	case o.Method != CrossSpectra && o.Method != Deconvolution:
		return o, fmt.Errorf("transfer: method %d: expected cross spectra or deconvolution", o.Method)
	case !(rate > 0) || math.IsInf(rate, 0):
		return o, fmt.Errorf("transfer: %g samples per second: expected a positive number", rate)
	case !(o.From > 0 && o.To > o.From && o.To < rate/2):
		return o, fmt.Errorf("transfer: from %g to %g Hz: expected ascending frequencies below %g Hz, half the sampling rate", o.From, o.To, rate/2)
	case o.PerOctave < 1 || o.PerOctave > 1000:
		return o, fmt.Errorf("transfer: %d points per octave: expected 1 to 1000", o.PerOctave)
	case !(o.Bandwidth > 0 && o.Bandwidth <= 1):
		return o, fmt.Errorf("transfer: bandwidth of %g octaves: expected up to 1", o.Bandwidth)
	case !(o.Segment > 0) || math.IsInf(o.Segment, 0):
		return o, fmt.Errorf("transfer: segments of %g s: expected a positive length", o.Segment)
	case !(o.Gate > 0) || math.IsInf(o.Gate, 0):
		return o, fmt.Errorf("transfer: gate of %g s: expected a positive length", o.Gate)
	}
	return o, nil
}

// centred returns x less its mean.
func centred(x []float64) []float64 {
	mean := 0.0
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = v - mean
	}
	return out
}

// spectra are sums over segments of the power of x and y and of the cross
// power conj(X)·Y, in bins of step hertz from zero.
type spectra struct {
	step   float64
	xx, yy []float64
	xy     []complex128
}

// add adds the spectra of a segment.
func (s *spectra) add(x, y []complex128) {
	for k := range x {
		s.xx[k] += power(x[k])
		s.yy[k] += power(y[k])
		s.xy[k] += cmplx.Conj(x[k]) * y[k]
	}
}

func power(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

func newSpectra(step float64, bins int) *spectra {
	return &spectra{step, make([]float64, bins), make([]float64, bins), make([]complex128, bins)}
}

// reduce returns the points of a logarithmic axis.
func (s *spectra) reduce(o Options) (*Response, error) {
	if leastBins*s.step > o.From/4 {
		return nil, fmt.Errorf("transfer: segments of %.3g s: expected at least %.3g s for frequencies from %g Hz", 1/s.step, 4*leastBins/o.From, o.From)
	}
	const rounding = 1e-9
	n := int(math.Floor(float64(o.PerOctave)*math.Log2(o.To/o.From)+rounding)) + 1
	r := &Response{Hz: make([]float64, n), H: make([]complex128, n), Coherence: make([]float64, n)}
	for i := range n {
		hz := o.From * math.Exp2(float64(i)/float64(o.PerOctave))
		h, coherence, ok := s.at(hz, max(hz*math.Ln2*o.Bandwidth, leastBins*s.step))
		if !ok {
			return nil, fmt.Errorf("transfer: %.4g Hz: no signal in the channel that is the reference", hz)
		}
		r.Hz[i], r.H[i], r.Coherence[i] = hz, h, coherence
	}
	return r, nil
}

// leastBins is the least half width of what a point is fitted to, in bins.
const leastBins = 4

// terms is the number of coefficients of a parabola.
const terms = 3

// moments are sums over the bins near a frequency, the j-th weighted with the
// j-th power of the distance.
type moments struct {
	xx [2*terms - 1]float64
	xy [terms]complex128
	yy float64
}

// at returns the ratio of y to x at hz, and the share of the power of y that
// it explains: the middle of the parabola over frequency that, times x, comes
// nearest to y. The bins nearer than width count with a triangle as weight.
func (s *spectra) at(hz, width float64) (h complex128, coherence float64, ok bool) {
	var m moments
	first := max(int(math.Ceil((hz-width)/s.step)), 1)
	last := min(int(math.Floor((hz+width)/s.step)), len(s.xx)-1)
	for k := first; k <= last; k++ {
		distance := (float64(k)*s.step - hz) / width
		weight := 1 - math.Abs(distance)
		m.yy += weight * s.yy[k]
		for j := range m.xx {
			m.xx[j] += weight * s.xx[k]
			if j < terms {
				m.xy[j] += complex(weight, 0) * s.xy[k]
			}
			weight *= distance
		}
	}
	return m.middle()
}

// middle solves the normal equations for the parabola.
func (m *moments) middle() (h complex128, coherence float64, ok bool) {
	normal, rhs := mat.NewSymDense(terms, nil), mat.NewDense(terms, 2, nil)
	for i := range terms {
		rhs.Set(i, 0, real(m.xy[i]))
		rhs.Set(i, 1, imag(m.xy[i]))
		for j := range i + 1 {
			normal.SetSym(i, j, m.xx[i+j])
		}
	}
	var cholesky mat.Cholesky
	var parabola mat.Dense
	if !cholesky.Factorize(normal) || cholesky.SolveTo(&parabola, rhs) != nil {
		return 0, 0, false // no signal, or all of it in one or two bins
	}
	explained := 0.0
	for i := range terms {
		explained += parabola.At(i, 0)*rhs.At(i, 0) + parabola.At(i, 1)*rhs.At(i, 1)
	}
	if m.yy > 0 {
		coherence = min(max(explained/m.yy, 0), 1)
	}
	return complex(parabola.At(0, 0), parabola.At(0, 1)), coherence, true
}
