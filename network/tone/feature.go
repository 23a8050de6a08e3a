package tone

import (
	"fmt"
	"math"
	"slices"

	"loadscape/network/hearing"
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
	Hz      float64 // centre of a hump or dip, turnover of a shelf: where half its height is reached
	Height  float64 // dB against the plateau; below zero for a dip
	Octaves float64 // width at half the height, or to the saddle before the next; of a shelf, of the middle half of its slope
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
	worthNaming = 0.5  // dB, the least height of a feature
	saddleShare = 0.25 // of the lower of two heights, the least depth of what parts them
)

// findFeatures names what rises above or falls below the plateau of the
// deviation: the level at which most of the band lies, on the ERB-rate axis.
// A stretch above or below it is one feature, or several if deep saddles part
// it. One that is highest at an end of the band is a shelf.
func (c *Comparison) findFeatures() error {
	from, to := c.inBand()
	if to-from < 2 {
		return nil
	}
	weights, err := hearing.ERBWeights(nil, c.Hz, c.Band)
	if err != nil {
		return err
	}
	s := &shape{hz: c.Hz, from: from, to: to, y: make([]float64, len(c.Hz))}
	plateau := plateau(c.Deviation[from:to], weights[from:to])
	for i, d := range c.Deviation {
		s.y[i] = d - plateau
	}
	for i := from; i < to; {
		j := i + 1
		for j < to && (s.y[j] > 0) == (s.y[i] > 0) {
			j++
		}
		c.Features = append(c.Features, s.stretch(i, j)...)
		i = j
	}
	return nil
}

// inBand returns the first point in the band and that after the last.
func (c *Comparison) inBand() (from, to int) {
	from = slices.IndexFunc(c.Hz, c.Band.Contains)
	if from < 0 {
		return 0, 0
	}
	to = from
	for to < len(c.Hz) && c.Band.Contains(c.Hz[to]) {
		to++
	}
	return from, to
}

// plateau returns the middle of the narrowest range of levels that holds a
// given share of the weight.
func plateau(y, weights []float64) float64 {
	const share = 0.35
	order := make([]int, len(y))
	total := 0.0
	for i := range order {
		order[i] = i
		total += weights[i]
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case y[a] < y[b]:
			return -1
		case y[a] > y[b]:
			return 1
		}
		return 0
	})
	narrowest, middle := math.Inf(1), 0.0
	held, low := 0.0, 0
	for _, i := range order {
		held += weights[i]
		for held-weights[order[low]] >= share*total {
			held -= weights[order[low]]
			low++
		}
		if width := y[i] - y[order[low]]; held >= share*total && width < narrowest {
			narrowest, middle = width, (y[i]+y[order[low]])/2
		}
	}
	return middle
}

// shape is a deviation against its plateau; points from … to−1 are in the band.
type shape struct {
	hz, y    []float64
	from, to int
}

// stretch names the points i … j−1, which lie on one side of the plateau.
func (s *shape) stretch(i, j int) []Feature {
	peak := i
	for k := i; k < j; k++ {
		if math.Abs(s.y[k]) > math.Abs(s.y[peak]) {
			peak = k
		}
	}
	if math.Abs(s.y[peak]) < worthNaming {
		return nil
	}
	// What a saddle parts from the peak is named by itself.
	left, right := s.saddle(peak, i-1, -1), s.saddle(peak, j, 1)
	var named []Feature
	if left > i-1 {
		named = s.stretch(i, left)
	}
	named = append(named, s.feature(peak, left, right))
	if right < j {
		named = append(named, s.stretch(right+1, j)...)
	}
	return named
}

// saddle returns the lowest point between peak and the next height beside it
// that is worth a name, or end if there is none.
func (s *shape) saddle(peak, end, step int) int {
	low, best, bestLow := peak, -1, end
	for k := peak + step; k != end; k += step {
		a := math.Abs(s.y[k])
		if a < math.Abs(s.y[low]) {
			low = k
		}
		depth := a - math.Abs(s.y[low])
		if depth >= max(worthNaming, saddleShare*a) && (best < 0 || a > math.Abs(s.y[best])) {
			best, bestLow = k, low
		}
	}
	return bestLow
}

// feature names the peak of what lies between the points left and right, at
// which it ends unless the band does.
func (s *shape) feature(peak, left, right int) Feature {
	if left < s.from {
		left = 0
	}
	if right >= s.to {
		right = len(s.hz) - 1
	}
	f := Feature{Hz: s.hz[peak], Height: s.y[peak]}
	low, high := s.reach(peak, left, 0.5), s.reach(peak, right, 0.5)
	switch {
	case peak == s.from && low < s.hz[s.from]:
		f.Kind, f.Hz = LowShelf, high
		f.Octaves = math.Log2(s.reach(peak, right, 0.25) / s.reach(peak, right, 0.75))
		return f
	case peak == s.to-1 && high > s.hz[s.to-1]:
		f.Kind, f.Hz = HighShelf, low
		f.Octaves = math.Log2(s.reach(peak, left, 0.75) / s.reach(peak, left, 0.25))
		return f
	}
	f.Kind = Hump
	if f.Height < 0 {
		f.Kind = Dip
	}
	f.Octaves = math.Log2(high / low)
	return f
}

// reach returns the frequency, from the peak towards the point end, at which a
// share of its height is left. If that is not reached, it is at the end, where
// a saddle parts the peak from the next, or beyond the last of all frequencies.
func (s *shape) reach(peak, end int, share float64) float64 {
	step := 1
	if end < peak {
		step = -1
	}
	for k := peak; k != end; {
		k += step
		if s.y[k]/s.y[peak] > share {
			continue
		}
		t := (share*s.y[peak] - s.y[k-step]) / (s.y[k] - s.y[k-step])
		return s.hz[k-step] * math.Pow(s.hz[k]/s.hz[k-step], t)
	}
	switch end {
	case 0:
		return s.hz[0] / 2
	case len(s.hz) - 1:
		return s.hz[end] * 2
	}
	return s.hz[end]
}
