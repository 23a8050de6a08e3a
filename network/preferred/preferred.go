// Package preferred finds preferred values of resistors, capacitors and
// inductors: the series E3 to E192 of IEC 60063.
//
// Values are exact: each is the float64 that its decimal notation reads as, in
// whatever unit the caller counts. They reach from 1e-15 to 1e15; outside
// that, functions return NaN. A number within a relative 1e-12 of a value
// counts as that value, so that what was computed as 4.7 is 4.7.
package preferred

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The range of values, ends included.
const (
	Min = 1e-15
	Max = 1e15
)

const rounding = 1e-12

// A Series is a series of preferred values, known by its number of values in
// a decade.
type Series int

// The series of IEC 60063.
const (
	E3   Series = 3
	E6   Series = 6
	E12  Series = 12
	E24  Series = 24
	E48  Series = 48
	E96  Series = 96
	E192 Series = 192
)

// decades holds the first decade of each series, from 100 to 999.
var decades = makeDecades()

func makeDecades() map[Series][]int {
	// The coarse series do not all follow the rule of the fine ones.
	e24 := []int{
		100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300,
		330, 360, 390, 430, 470, 510, 560, 620, 680, 750, 820, 910,
	}
	e192 := make([]int, E192)
	for i := range e192 {
		e192[i] = int(math.Round(100 * math.Pow(10, float64(i)/192)))
	}
	e192[185] = 920 // in the standard; the rule gives 919
	decades := map[Series][]int{}
	for _, s := range []Series{E3, E6, E12, E24} {
		decades[s] = everyNth(e24, 24/int(s))
	}
	for _, s := range []Series{E48, E96, E192} {
		decades[s] = everyNth(e192, 192/int(s))
	}
	return decades
}

func everyNth(values []int, n int) []int {
	var out []int
	for i := 0; i < len(values); i += n {
		out = append(out, values[i])
	}
	return out
}

// ParseSeries reads the name of a series, such as "E12".
func ParseSeries(name string) (Series, error) {
	digits, ok := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(name)), "E")
	n, err := strconv.Atoi(digits)
	if !ok || err != nil || decades[Series(n)] == nil || strconv.Itoa(n) != digits {
		return 0, fmt.Errorf("preferred: series %q: expected E3, E6, E12, E24, E48, E96 or E192", name)
	}
	return Series(n), nil
}

// String returns the name of the series, such as "E12".
func (s Series) String() string { return "E" + strconv.Itoa(int(s)) }

// Nearest returns the value with the smallest ratio to x or of x to it, the
// larger of two equally near.
func (s Series) Nearest(x float64) float64 {
	below, above := s.Below(x), s.Above(x)
	if below*above > x*x {
		return below
	}
	return above
}

// Snap returns the nearest value and its relative error, value/x − 1.
func (s Series) Snap(x float64) (value, relative float64) {
	value = s.Nearest(x)
	return value, value/x - 1
}

// Below returns the largest value that is not above x.
func (s Series) Below(x float64) float64 {
	if !inRange(x) {
		return math.NaN()
	}
	return s.value(s.last(x * (1 + rounding)))
}

// Above returns the smallest value that is not below x.
func (s Series) Above(x float64) float64 {
	if !inRange(x) {
		return math.NaN()
	}
	k := s.last(x * (1 + rounding))
	if s.value(k) < x*(1-rounding) {
		k++
	}
	return s.value(k)
}

// Values returns the values from lo to hi, ends included, in rising order. It
// returns none if a bound is out of range.
func (s Series) Values(lo, hi float64) []float64 {
	if !inRange(lo) || !inRange(hi) {
		return nil
	}
	var values []float64
	end := s.last(hi * (1 + rounding))
	for k := s.last(lo * (1 + rounding)); k <= end; k++ {
		if v := s.value(k); v >= lo*(1-rounding) {
			values = append(values, v)
		}
	}
	return values
}

func inRange(x float64) bool { return x >= Min && x <= Max }

// value returns the value numbered k, 1 being number 0.
func (s Series) value(k int) float64 {
	decade := decades[s]
	if decade == nil {
		panic("preferred: unknown series " + s.String())
	}
	exponent := int(math.Floor(float64(k) / float64(len(decade))))
	digits := float64(decade[k-exponent*len(decade)])
	// Powers of ten up to 22 are exact, so one division or product rounds
	// once, as reading the decimal would.
	if exponent < 2 {
		return digits / math.Pow10(2-exponent)
	}
	return digits * math.Pow10(exponent-2)
}

// last returns the number of the largest value that is not above x.
func (s Series) last(x float64) int {
	k := int(math.Floor(math.Log10(x) * float64(s)))
	for s.value(k) > x {
		k--
	}
	for s.value(k+1) <= x {
		k++
	}
	return k
}
