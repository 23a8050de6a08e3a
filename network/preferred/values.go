package preferred

import (
	"fmt"
	"math"
	"slices"
)

// Values are the values in which a kind of part is to be had: a [Series], or
// the [List] of what lies in a drawer.
type Values interface {
	// Nearest returns the value with the smallest ratio to x or of x to it.
	Nearest(x float64) float64
	// Below returns the largest value that is not above x, NaN if there is none.
	Below(x float64) float64
	// Above returns the smallest value that is not below x, NaN if there is none.
	Above(x float64) float64
}

var (
	_ Values = Series(0)
	_ Values = List(nil)
)

// List is values in rising order, each once; see [NewList].
type List []float64

// NewList returns the values in rising order. They must be at least one, and
// within [Min] and [Max].
func NewList(values ...float64) (List, error) {
	if len(values) == 0 {
		return nil, fmt.Errorf("preferred: a list of no values: expected at least one")
	}
	l := List(slices.Clone(values))
	for _, v := range l {
		if !inRange(v) {
			return nil, fmt.Errorf("preferred: value %g: expected %g to %g", v, float64(Min), float64(Max))
		}
	}
	slices.Sort(l)
	return slices.Compact(l), nil
}

// Nearest returns the value nearest in ratio, the larger of two equally near.
func (l List) Nearest(x float64) float64 {
	below, above := l.Below(x), l.Above(x)
	switch {
	case math.IsNaN(below):
		return above
	case math.IsNaN(above) || below*above > x*x:
		return below
	}
	return above
}

// Below returns the largest value that is not above x, but for rounding.
func (l List) Below(x float64) float64 {
	for i := len(l) - 1; i >= 0; i-- {
		if l[i] <= x*(1+rounding) {
			return l[i]
		}
	}
	return math.NaN()
}

// Above returns the smallest value that is not below x, but for rounding.
func (l List) Above(x float64) float64 {
	for _, v := range l {
		if v >= x*(1-rounding) {
			return v
		}
	}
	return math.NaN()
}
