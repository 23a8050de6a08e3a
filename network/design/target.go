package design

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network"
	"loadscape/network/hearing"
	"loadscape/network/stage"
	"loadscape/network/tone"
)

// A Target is the impedance that a design is to have, and the amplifier with
// which it is heard.
type Target struct {
	Hz     []float64 // evenly spaced on a log axis over the band
	Z      []complex128
	Output *stage.Output
	Band   hearing.Band
}

const perOctave = 24

// NewTarget takes the curve of p times scale as the target in the band, of
// which zero is the listening band.
func NewTarget(p network.OnePort, scale float64, out *stage.Output, band hearing.Band) (*Target, error) {
	band = band.Defaults()
	if !(scale >= 0.01 && scale <= 100) {
		return nil, fmt.Errorf("design: scale %g: expected a number from 0.01 to 100", scale)
	}
	if !(band.From >= 1 && band.To >= 4*band.From && band.To <= 100e3) {
		return nil, fmt.Errorf("design: band from %v: expected two octaves or more between 1 Hz and 100 kHz", band)
	}
	t := &Target{Output: out, Band: band}
	octaves := math.Log2(band.To / band.From)
	steps := math.Ceil(perOctave * octaves)
	for i := range int(steps) + 1 {
		t.Hz = append(t.Hz, band.From*math.Exp2(octaves*float64(i)/steps))
	}
	t.Hz[len(t.Hz)-1] = band.To
	var err error
	if t.Z, err = network.Impedance(p, t.Hz); t.Z == nil {
		return nil, err
	}
	for i := range t.Z {
		t.Z[i] *= complex(scale, 0)
		if real(t.Z[i]) < 0 || cmplx.Abs(t.Z[i]) < 1e-3 || cmplx.Abs(t.Z[i]) > 1e6 {
			return nil, fmt.Errorf("design: target is %.4g ohm at %.4g Hz: expected 0.001 ohm to 1 Mohm with no negative resistance, which parts could follow", t.Z[i], t.Hz[i])
		}
	}
	return t, nil
}

// An Error is how far a curve is off the target.
type Error struct {
	Impedance     float64 // RMS of |Z − Zt|/|Zt| over log frequency
	Largest       float64 // the largest of it
	LargestHz     float64
	Tone          float64 // dB, RMS of the deviation
	LargestTone   float64 // dB, of largest magnitude
	LargestToneHz float64
}

// Score returns the RMS of both errors over their limits.
func (e Error) Score(limits Limits) float64 {
	return math.Hypot(e.Impedance/limits.Impedance, e.Tone/limits.Tone) / math.Sqrt2
}

// Within reports whether both errors keep their limits.
func (e Error) Within(limits Limits) bool {
	return e.Impedance <= limits.Impedance && e.Tone <= limits.Tone
}

// Error returns how far impedances at the target's frequencies are off.
func (t *Target) Error(z []complex128) (Error, error) {
	var e Error
	h, reference := make([]complex128, len(z)), make([]complex128, len(z))
	sum := 0.0
	for i, f := range t.Hz {
		w := 2 * math.Pi * f
		off := cmplx.Abs(z[i]-t.Z[i]) / cmplx.Abs(t.Z[i])
		sum += off * off
		if off > e.Largest {
			e.Largest, e.LargestHz = off, f
		}
		h[i], reference[i] = t.Output.Voltage(w, z[i]), t.Output.Voltage(w, t.Z[i])
	}
	e.Impedance = math.Sqrt(sum / float64(len(z)))
	c, err := tone.Compare(t.Hz, h, reference, t.Band)
	if err != nil {
		return e, err
	}
	e.Tone, e.LargestTone, e.LargestToneHz = c.RMS, c.Largest, c.LargestHz
	return e, nil
}

// problem is a target with what the fit computes but once.
type problem struct {
	*Target
	limits    Limits
	w         []float64
	source    []complex128
	inverse   []complex128 // 1/Zt
	emf       []float64    // |EMF|², K-weighted
	reference []float64    // dB, level of z/(z+Zs) of the target
	loudness  float64      // dB, of the target
	ear       []float64    // roots of the ERB weights over the limit
}

func newProblem(t *Target, limits Limits) (*problem, error) {
	n := len(t.Hz)
	p := &problem{Target: t, limits: limits, w: make([]float64, n), source: make([]complex128, n), inverse: make([]complex128, n), reference: make([]float64, n)}
	var err error
	if p.emf, err = hearing.KWeights(nil, t.Hz, t.Band); err != nil {
		return nil, err
	}
	if p.ear, err = hearing.ERBWeights(nil, t.Hz, t.Band); err != nil {
		return nil, err
	}
	power := 0.0
	for i, f := range t.Hz {
		p.w[i] = 2 * math.Pi * f
		p.source[i] = t.Output.Impedance(p.w[i])
		p.inverse[i] = 1 / t.Z[i]
		e := cmplx.Abs(t.Output.EMF(p.w[i]))
		p.emf[i] *= e * e
		share := square(t.Z[i]) / square(t.Z[i]+p.source[i])
		power += p.emf[i] * share
		p.reference[i] = decibel * math.Log(share)
		p.ear[i] = math.Sqrt(p.ear[i]) / limits.Tone
	}
	p.loudness = 10 * math.Log10(power)
	return p, nil
}

// decibel is 10·log10 e: log10 itself takes longer.
const decibel = 10 / math.Ln10

func square(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// size returns the number of residuals.
func (p *problem) size() int { return 3 * len(p.w) }

// residuals stores in r the real and imaginary part of the relative error of
// impedance and the deviation of tone at each frequency, so weighted that the
// sum of squares is twice the square of the score.
func (p *problem) residuals(r []float64, impedance func(w float64) complex128) {
	n := len(p.w)
	each := complex(1/(p.limits.Impedance*math.Sqrt(float64(n))), 0)
	power := 0.0
	for i, w := range p.w {
		z := impedance(w)
		e := (z*p.inverse[i] - 1) * each
		r[i], r[n+i] = real(e), imag(e)
		share := square(z) / square(z+p.source[i])
		power += p.emf[i] * share
		r[2*n+i] = decibel*math.Log(share) - p.reference[i]
	}
	offset := 10*math.Log10(power) - p.loudness
	for i := range p.w {
		r[2*n+i] = (r[2*n+i] - offset) * p.ear[i]
	}
}
