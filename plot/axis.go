package plot

import (
	"math"

	gonum "gonum.org/v1/plot"
)

// A Scale is the law by which an axis spreads its values.
type Scale int

const (
	Linear Scale = iota
	Log
)

// An Axis says what is measured along one side of a panel.
type Axis struct {
	Label string
	Unit  string // in brackets after the label
	Scale Scale

	// Min and Max fix the ends of the axis. Both zero: the ends come from
	// the data, moved out to round values (a logarithmic x axis ends where
	// its data end, or at a round value just beyond).
	Min, Max float64

	// Holds are values that the axis shows whatever the data are, such as
	// zero, or ±3 dB so that a tenth of a decibel does not look like a
	// mountain.
	Holds []float64

	// Step is the distance of labelled ticks on a linear axis, doubled
	// until they fit. Zero means 1, 2 or 5 times a power of ten.
	Step float64

	// Names, if any, stand at 0, 1, 2… in place of numbers, the first at
	// the top.
	Names []string
}

// Frequency returns the logarithmic axis that most figures share.
func Frequency() Axis {
	return Axis{Label: "Frequency", Unit: "Hz", Scale: Log}
}

func (a Axis) title() string {
	if a.Unit == "" {
		return clean(a.Label)
	}
	return clean(a.Label + " (" + a.Unit + ")")
}

// shares reports whether two panels with these x axes are read as one stack.
func (a Axis) shares(b Axis) bool {
	return a.Label == b.Label && a.Unit == b.Unit && a.Scale == b.Scale &&
		a.Min == b.Min && a.Max == b.Max
}

func (a Axis) fixed() bool { return a.Min != 0 || a.Max != 0 }

// A span is a closed interval of values. The zero of use is nothing.
type span struct{ lo, hi float64 }

var nothing = span{math.Inf(1), math.Inf(-1)}

func (s span) add(values ...float64) span {
	for _, v := range values {
		s.lo, s.hi = math.Min(s.lo, v), math.Max(s.hi, v)
	}
	return s
}

func (s span) union(t span) span {
	return span{math.Min(s.lo, t.lo), math.Max(s.hi, t.hi)}
}

func (s span) width() float64 { return s.hi - s.lo }

// limits returns the ends of the axis for data in s. Tight axes end where the
// data end. About n labels are wanted.
func (a Axis) limits(s span, tight bool, n int) span {
	switch {
	case a.fixed():
		return span{a.Min, a.Max}
	case len(a.Names) > 0:
		return span{-0.5, float64(len(a.Names)) - 0.5}
	}
	s = s.add(a.Holds...)
	if s.lo > s.hi {
		s = span{1, 1}
	}
	if a.Scale == Log {
		if s.hi <= s.lo*(1+1e-9) {
			s = span{s.lo / math.Sqrt2, s.hi * math.Sqrt2}
		}
		if tight {
			return s.settle()
		}
		return span{roundDown125(s.lo), roundUp125(s.hi)}
	}
	s = s.open()
	step := a.step(s, n)
	return span{step * math.Floor(s.lo/step+1e-9), step * math.Ceil(s.hi/step-1e-9)}
}

// open widens a span that is a single value, or as good as one.
func (s span) open() span {
	size := math.Max(math.Abs(s.lo), math.Abs(s.hi))
	if s.width() > 1e-9*size {
		return s
	}
	if size == 0 {
		return span{-1, 1}
	}
	return span{s.lo - size/2, s.hi + size/2}
}

// settle moves the ends out to a labelled value that is within a semitone, so
// that a sweep that stops at 19.9 kHz shows its 20k.
func (s span) settle() span {
	const semitone = 1.0595
	if lo := roundDown125(s.lo); s.lo/lo < semitone {
		s.lo = lo
	}
	if hi := roundUp125(s.hi); hi/s.hi < semitone {
		s.hi = hi
	}
	return s
}

// step returns the distance of about n labelled ticks over s.
func (a Axis) step(s span, n int) float64 {
	if a.Step > 0 {
		step := a.Step
		for s.width()/step > 1.5*float64(n) {
			step *= 2
		}
		return step
	}
	return roundUp125(s.width() / float64(n) * 0.99)
}

// ticks returns the marks of the axis over s.
func (a Axis) ticks(s span, n int) []gonum.Tick {
	switch {
	case len(a.Names) > 0:
		ticks := make([]gonum.Tick, len(a.Names))
		for i, name := range a.Names {
			ticks[i] = gonum.Tick{Value: float64(i), Label: clean(name)}
		}
		return ticks
	case a.Scale == Log:
		return logTicks(s)
	}
	return linearTicks(s, a.step(s, n))
}
