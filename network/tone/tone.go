package tone

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network/hearing"
)

// A Comparison is a response held against a reference.
type Comparison struct {
	Band      hearing.Band
	Hz        []float64
	Deviation []float64 // dB at each frequency, after level matching
	Offset    float64   // dB by which the response is louder than the reference
	RMS       float64   // dB, of the deviation in the band on the ERB-rate axis
	Largest   float64   // dB, the deviation of largest magnitude in the band
	LargestHz float64   // Hz, where that is
	Features  []Feature // in order of frequency
}

// Compare compares the response h with the reference at the rising frequencies
// hz in hertz. The zero band is the listening band; it must lie within the
// frequencies but for one step of them. A response of zero, or one that is not
// finite, is an error.
func Compare(hz []float64, h, reference []complex128, band hearing.Band) (*Comparison, error) {
	if len(h) != len(hz) || len(reference) != len(hz) {
		panic("tone: responses and frequencies differ in length")
	}
	c := &Comparison{Band: band.Defaults(), Hz: hz, Deviation: make([]float64, len(hz))}
	for i := range hz {
		d := level(h[i]) - level(reference[i])
		if math.IsNaN(d) || math.IsInf(d, 0) {
			return nil, fmt.Errorf("tone: responses %v and %v at %.6g Hz: expected finite numbers other than zero", h[i], reference[i], hz[i])
		}
		c.Deviation[i] = d
	}
	if err := c.matchLevels(h, reference); err != nil {
		return nil, err
	}
	if err := c.sum(); err != nil {
		return nil, err
	}
	return c, c.findFeatures()
}

func level(h complex128) float64 { return 20 * math.Log10(cmplx.Abs(h)) }

// matchLevels finds the offset and takes it from the deviation.
func (c *Comparison) matchLevels(h, reference []complex128) error {
	loud, err := Level(c.Hz, h, c.Band)
	if err != nil {
		return err
	}
	loudReference, err := Level(c.Hz, reference, c.Band)
	if err != nil {
		return err
	}
	c.Offset = loud - loudReference
	for i := range c.Deviation {
		c.Deviation[i] -= c.Offset
	}
	return nil
}

func square(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// Level returns the level in dB of a response or voltage: its power, K-weighted
// and averaged over log frequency in the band.
func Level(hz []float64, h []complex128, band hearing.Band) (float64, error) {
	weights, err := hearing.KWeights(nil, hz, band.Defaults())
	if err != nil {
		return 0, err
	}
	power := 0.0
	for i, w := range weights {
		power += w * square(h[i])
	}
	return 10 * math.Log10(power), nil
}

// sum finds the RMS and the largest deviation in the band.
func (c *Comparison) sum() error {
	weights, err := hearing.ERBWeights(nil, c.Hz, c.Band)
	if err != nil {
		return err
	}
	mean := 0.0
	for i, w := range weights {
		d := c.Deviation[i]
		mean += w * d * d
		if c.Band.Contains(c.Hz[i]) && math.Abs(d) > math.Abs(c.Largest) {
			c.Largest, c.LargestHz = d, c.Hz[i]
		}
	}
	c.RMS = math.Sqrt(mean)
	return nil
}
