package network

import (
	"fmt"
	"math"
)

// Sweep is a logarithmic frequency axis. The points are From·2^(i/PerOctave),
// i = 0, 1, … up to and including To (within rounding).
type Sweep struct {
	From, To  float64 // Hz; default 20 Hz and 20 kHz
	PerOctave int     // default 48
}

// MaxSweepPoints is the largest number of points of a [Sweep].
const MaxSweepPoints = 100_000

// Defaults returns the sweep with its zero fields set.
func (s Sweep) Defaults() Sweep {
	if s.From == 0 {
		s.From = 20
	}
	if s.To == 0 {
		s.To = 20e3
	}
	if s.PerOctave == 0 {
		s.PerOctave = 48
	}
	return s
}

// Frequencies returns the points of the sweep in hertz.
func (s Sweep) Frequencies() ([]float64, error) {
	s = s.Defaults()
	switch {
	case !(s.From > 0) || math.IsInf(s.From, 0):
		return nil, fmt.Errorf("network: sweep from %g Hz: expected a positive frequency", s.From)
	case !(s.To >= s.From) || math.IsInf(s.To, 0):
		return nil, fmt.Errorf("network: sweep to %g Hz: expected a frequency not below %g Hz", s.To, s.From)
	case s.PerOctave < 0:
		return nil, fmt.Errorf("network: %d points per octave: expected a positive number", s.PerOctave)
	}
	const rounding = 1e-9
	points := math.Floor(float64(s.PerOctave)*math.Log2(s.To/s.From)+rounding) + 1
	if points > MaxSweepPoints {
		return nil, fmt.Errorf("network: sweep of %.0f points: expected at most %d", points, MaxSweepPoints)
	}
	hz := make([]float64, int(points))
	for i := range hz {
		hz[i] = s.From * math.Exp2(float64(i)/float64(s.PerOctave))
	}
	return hz, nil
}
