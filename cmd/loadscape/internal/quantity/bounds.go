package quantity

import "math"

// Bounds limit a value to Min ≤ value ≤ Max.
type Bounds struct {
	Min, Max float64
	Open     bool // Min itself is outside
}

// Bounds that many quantities have.
var (
	Positive    = Bounds{Min: 0, Max: math.MaxFloat64, Open: true}
	NonNegative = Bounds{Min: 0, Max: math.MaxFloat64}
)

// AtLeast are the bounds of values from lo up.
func AtLeast(lo float64) Bounds { return Bounds{Min: lo, Max: math.MaxFloat64} }

// Between are the bounds of values from lo to hi, both inside.
func Between(lo, hi float64) Bounds { return Bounds{Min: lo, Max: hi} }

// Contain reports whether v lies within the bounds.
func (b Bounds) Contain(v float64) bool {
	return (v > b.Min || v == b.Min && !b.Open) && v <= b.Max
}

// Expected says what a value of dimension d within the bounds is, to follow
// the word "expected": "a resistance above zero".
func (b Bounds) Expected(d Dimension) string {
	k := d.kind()
	s := k.article + " " + k.name
	lo := "zero"
	if b.Min != 0 {
		lo = Format(b.Min, d, 0)
	}
	bounded := b.Max < math.MaxFloat64
	switch {
	case bounded && b.Open:
		return s + " above " + lo + " and up to " + Format(b.Max, d, 0)
	case bounded:
		return s + " from " + lo + " to " + Format(b.Max, d, 0)
	case b.Open:
		return s + " above " + lo
	}
	return s + " of at least " + lo
}
