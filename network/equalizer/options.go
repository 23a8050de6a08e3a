package equalizer

import (
	"fmt"
	"math"

	"loadscape/network/hearing"
)

// Options say what a fitted equalizer may look like.
type Options struct {
	Bands      int          // most bands, 1 to 16; default 4
	Range      hearing.Band // where to undo the deviation, and where bands may stand; default the listening band
	MaxGain    float64      // dB, most boost or cut of a band; default 12, at most 100
	MinQ, MaxQ float64      // of peaks, 0.05 to 100; default 0.4 and 10
	SampleRate float64      // Hz, over twice the end of Range, or +Inf for analog; default 48 kHz
	Threshold  float64      // dB, from lowest to highest; less than this is not worth a band; default 0.01
}

// Shelves reach from a slope over many octaves to the steepest without
// overshoot.
const minShelfQ, maxShelfQ = 0.3, math.Sqrt2 / 2

const maxBands = 16

// Defaults returns the options with their zero fields set.
func (o Options) Defaults() Options {
	o.Range = o.Range.Defaults()
	for _, f := range []struct {
		field *float64
		value float64
	}{{&o.MaxGain, 12}, {&o.MinQ, 0.4}, {&o.MaxQ, 10}, {&o.SampleRate, 48e3}, {&o.Threshold, 0.01}} {
		if *f.field == 0 {
			*f.field = f.value
		}
	}
	if o.Bands == 0 {
		o.Bands = 4
	}
	return o
}

func (o Options) check() error {
	switch {
	case o.Bands < 1 || o.Bands > maxBands:
		return fmt.Errorf("equalizer: %d bands: expected 1 to %d", o.Bands, maxBands)
	case !(o.MaxGain > 0 && o.MaxGain <= 100):
		return fmt.Errorf("equalizer: largest gain %g dB: expected a number above 0 and at most 100", o.MaxGain)
	case !(o.MinQ >= 0.05 && o.MaxQ <= 100 && o.MinQ < o.MaxQ):
		return fmt.Errorf("equalizer: Q from %g to %g: expected two rising numbers from 0.05 to 100", o.MinQ, o.MaxQ)
	case !(o.SampleRate > 2*o.Range.To):
		return fmt.Errorf("equalizer: sample rate %g Hz: expected more than twice %g Hz, the end of the range", o.SampleRate, o.Range.To)
	case !(o.Threshold > 0):
		return fmt.Errorf("equalizer: threshold %g dB: expected a positive number", o.Threshold)
	}
	return nil
}
