package transfer

import (
	"fmt"
	"math"
	"math/cmplx"
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

	// Bandwidth is the half width in octaves of the triangle over which a
	// point is averaged; over a resonance of quality Q this takes the share
	// (Q·Bandwidth)²/3 off the peak. Default: half a step of the points.
	// The spectra's own resolution is a lower bound.
	Bandwidth float64

	// Segment is the length in seconds of the segments for CrossSpectra,
	// rounded down to a power of two samples: their spectra resolve twice its
	// reciprocal. Default: a fourth of the recording.
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
		o.Bandwidth = 0.5 / float64(o.PerOctave)
	}
	if o.Segment == 0 {
		o.Segment = float64(samples) / rate / 4
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
	const rounding = 1e-9
	n := int(math.Floor(float64(o.PerOctave)*math.Log2(o.To/o.From)+rounding)) + 1
	r := &Response{Hz: make([]float64, n), H: make([]complex128, n), Coherence: make([]float64, n)}
	for i := range n {
		hz := o.From * math.Exp2(float64(i)/float64(o.PerOctave))
		xx, yy, xy := s.around(hz, max(hz*math.Ln2*o.Bandwidth, s.step))
		if xx == 0 {
			return nil, fmt.Errorf("transfer: %.4g Hz: no signal in the channel that is the reference", hz)
		}
		r.Hz[i], r.H[i] = hz, xy/complex(xx, 0)
		if yy > 0 {
			r.Coherence[i] = min(power(xy)/(xx*yy), 1)
		}
	}
	return r, nil
}

// around returns the sums over bins nearer to hz than width, weighted with a
// triangle: no narrower than a bin, it interpolates between two.
func (s *spectra) around(hz, width float64) (xx, yy float64, xy complex128) {
	first := max(int(math.Ceil((hz-width)/s.step)), 1)
	last := min(int(math.Floor((hz+width)/s.step)), len(s.xx)-1)
	for k := first; k <= last; k++ {
		weight := 1 - math.Abs(float64(k)*s.step-hz)/width
		xx += weight * s.xx[k]
		yy += weight * s.yy[k]
		xy += complex(weight, 0) * s.xy[k]
	}
	return xx, yy, xy
}
