package tone

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loadscape/network/equalizer"
)

// A Kind is the shape of a [Feature].
type Kind int

// The kinds of feature.
const (
	LowShelf Kind = iota
	Hump
	Dip
	HighShelf
)

// String returns the name of the kind, such as "low shelf".
func (k Kind) String() string {
	switch k {
	case LowShelf:
		return "low shelf"
	case Hump:
		return "hump"
	case Dip:
		return "dip"
	case HighShelf:
		return "high shelf"
	}
	return fmt.Sprintf("Kind(%d)", int(k))
}

// A Feature is a part of a deviation that has a name.
type Feature struct {
	Kind    Kind
	Hz      float64 // centre of a hump or dip, turnover of a shelf
	Height  float64 // dB against what lies beside it; below zero for a dip
	Octaves float64 // width at half the height, or of the middle half of a shelf's slope
}

// String returns the feature in words, such as "hump of 5.4 dB at 92 Hz, 1.1
// octaves wide".
func (f Feature) String() string {
	at := fmt.Sprintf("%.3g Hz", f.Hz)
	if f.Hz >= 999.5 {
		at = fmt.Sprintf("%.3g kHz", f.Hz/1000)
	}
	switch f.Kind {
	case LowShelf:
		return fmt.Sprintf("low shelf of %+.1f dB below %s", f.Height, at)
	case HighShelf:
		return fmt.Sprintf("high shelf of %+.1f dB above %s", f.Height, at)
	}
	return fmt.Sprintf("%v of %.1f dB at %s, %.1f octaves wide", f.Kind, math.Abs(f.Height), at, f.Octaves)
}

const (
	worthNaming  = 0.5 // dB, from lowest to highest
	mostFeatures = 4
	headroom     = 1.3 // the plateau may lie some way from the median
)

// findFeatures takes the deviation apart into as few shapes of second order as
// tell it, none much higher than the deviation itself rises above or falls
// below its median: shapes that work against each other would tell of what
// nobody can see.
func (c *Comparison) findFeatures() error {
	low, median, high := c.span()
	if high-low < worthNaming {
		return nil
	}
	enough := max(worthNaming/2, c.RMS/4)
	hz, deviation := c.thinned()
	for n := 1; n <= mostFeatures; n++ {
		undo, err := equalizer.Fit(hz, deviation, equalizer.Options{
			Bands:      n,
			Range:      c.Band,
			MaxGain:    min(100, headroom*max(high-median, median-low)),
			SampleRate: math.Inf(1),
			Threshold:  worthNaming,
		})
		if err != nil {
			return err
		}
		if undo.After <= enough || n == mostFeatures {
			c.name(undo.Bands)
			return nil
		}
	}
	return nil
}

// thinned returns the deviation at about as many frequencies as shapes of
// second order need to be told apart.
func (c *Comparison) thinned() (hz, deviation []float64) {
	const most = 160
	step := (len(c.Hz) + most - 1) / most
	last := len(c.Hz) - 1
	for i := 0; i <= last; i += step {
		if i+step > last {
			i = last // the band may end there
		}
		hz, deviation = append(hz, c.Hz[i]), append(deviation, c.Deviation[i])
	}
	return hz, deviation
}

// name turns the bands that undo the deviation into features.
func (c *Comparison) name(bands []equalizer.Band) {
	for _, b := range bands {
		b.Gain = -b.Gain
		if f := featureOf(b); math.Abs(f.Height) >= worthNaming {
			c.Features = append(c.Features, f)
		}
	}
	slices.SortFunc(c.Features, func(a, b Feature) int { return cmp.Compare(a.Hz, b.Hz) })
}

// span returns the lowest, the median and the highest deviation in the band.
func (c *Comparison) span() (low, median, high float64) {
	var inside []float64
	for i, f := range c.Hz {
		if c.Band.Contains(f) {
			inside = append(inside, c.Deviation[i])
		}
	}
	if len(inside) == 0 {
		return 0, 0, 0
	}
	slices.Sort(inside)
	return inside[0], inside[len(inside)/2], inside[len(inside)-1]
}

func featureOf(b equalizer.Band) Feature {
	f := Feature{Hz: b.Hz, Height: b.Gain, Octaves: b.Octaves()}
	switch {
	case b.Kind == equalizer.LowShelf:
		f.Kind = LowShelf
	case b.Kind == equalizer.HighShelf:
		f.Kind = HighShelf
	case b.Gain > 0:
		f.Kind = Hump
	default:
		f.Kind = Dip
	}
	if b.Kind != equalizer.Peak {
		f.Octaves = slope(b)
	}
	return f
}

// slope returns the octaves in which a shelf rises from a quarter to three
// quarters of its gain. It is symmetrical about its turnover.
func slope(b equalizer.Band) float64 {
	if b.Gain == 0 {
		return 0
	}
	part := func(octaves float64) float64 {
		return b.DB(b.Hz*math.Exp2(octaves), math.Inf(1)) / b.Gain
	}
	away := 0.25
	if b.Kind == equalizer.HighShelf {
		away = 0.75
	}
	low, high := 0.0, 16.0
	for range 60 {
		mid := (low + high) / 2
		if (part(mid) < away) == (b.Kind == equalizer.HighShelf) {
			low = mid
		} else {
			high = mid
		}
	}
	return 2 * high
}
