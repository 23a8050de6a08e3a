package plot

import (
	"math"
	"strconv"
	"strings"

	gonum "gonum.org/v1/plot"
)

// logTicks labels 1, 2 and 5 times the powers of ten and marks the other
// multiples: 20, 50, 100, 200, 500, 1k … 20k over the audio range. Over many
// decades it labels powers of ten alone; over less than a decade it labels
// every multiple; and where even those are too few, round values.
func logTicks(s span) []gonum.Tick {
	first, last := decade(s.lo), decade(s.hi)
	labelled := []int{1, 2, 5}
	if last-first > 6 {
		labelled = []int{1}
	}
	ticks := multiples(s, labelled)
	if majors(ticks) < 3 && last-first <= 2 {
		ticks = multiples(s, []int{1, 2, 3, 4, 5, 6, 7, 8, 9})
	}
	if majors(ticks) < 3 {
		ticks = linearTicks(s, roundUp125(s.width()/6))
		for i := range ticks {
			ticks[i].Label = prefixed(ticks[i].Value)
		}
	}
	return ticks
}

// multiples returns a tick at m·10^d for m from 1 to 9 wherever that lies in
// s, with a label where m is in labelled. Beyond a dozen decades it thins
// them out.
func multiples(s span, labelled []int) []gonum.Tick {
	var ticks []gonum.Tick
	first, last := decade(s.lo), decade(s.hi)
	every := 1 + (last-first)/12
	for d := first; d <= last; d += every {
		for m := 1; m <= 9; m++ {
			v := scaled(m, d)
			if !inside(v, s) || (every > 1 && m > 1) {
				continue
			}
			t := gonum.Tick{Value: v}
			for _, l := range labelled {
				if l == m {
					t.Label = prefixed(v)
				}
			}
			ticks = append(ticks, t)
		}
	}
	return ticks
}

func majors(ticks []gonum.Tick) int {
	n := 0
	for _, t := range ticks {
		if !t.IsMinor() {
			n++
		}
	}
	return n
}

// inside allows for the rounding of 20·2^(n/48) and its like at the ends.
func inside(v float64, s span) bool {
	slack := 1e-9 * math.Max(math.Abs(s.lo), math.Abs(s.hi))
	if s.lo > 0 {
		slack = 1e-9 * v
	}
	return v >= s.lo-slack && v <= s.hi+slack
}

// decade returns the exponent of the power of ten at or below v.
func decade(v float64) int {
	d := int(math.Floor(math.Log10(v)))
	if scaled(1, d+1) <= v*(1+1e-12) {
		d++
	}
	return d
}

// scaled returns m·10^d as the double nearest to it.
func scaled(m, d int) float64 {
	v, _ := strconv.ParseFloat(strconv.Itoa(m)+"e"+strconv.Itoa(d), 64)
	return v
}

// roundUp125 returns the least 1, 2 or 5 times a power of ten that is no less
// than v > 0; roundDown125 the greatest that is no more.
func roundUp125(v float64) float64 {
	d := decade(v)
	for _, m := range []int{1, 2, 5} {
		if r := scaled(m, d); r >= v*(1-1e-9) {
			return r
		}
	}
	return scaled(1, d+1)
}

func roundDown125(v float64) float64 {
	d := decade(v)
	for _, m := range []int{5, 2} {
		if r := scaled(m, d); r <= v*(1+1e-9) {
			return r
		}
	}
	return scaled(1, d)
}

// linearTicks labels the multiples of step in s.
func linearTicks(s span, step float64) []gonum.Tick {
	places := max(0, -decade(step))
	var ticks []gonum.Tick
	for k := math.Ceil(s.lo/step - 1e-9); k*step <= s.hi+1e-9*step; k++ {
		v := k * step
		ticks = append(ticks, gonum.Tick{Value: v, Label: decimal(v, step, places)})
		if k+1 == k || len(ticks) > 200 {
			break // steps below the resolution of the values
		}
	}
	return ticks
}

// decimal writes a multiple of step with as many places as step has.
func decimal(v, step float64, places int) string {
	if v == 0 {
		return "0"
	}
	size := math.Abs(v)
	if size >= 1e6 || step < 1e-4 {
		return minus(strconv.FormatFloat(v, 'g', 1+max(0, decade(size)-decade(step)), 64))
	}
	return minus(strconv.FormatFloat(v, 'f', places, 64))
}

// prefixed writes v as an audio frequency is written: 50, 1k, 2.5k, 1M.
func prefixed(v float64) string {
	size := math.Abs(v)
	switch {
	case size >= 0.999999e6 && size < 1e9:
		return short(v/1e6) + "M"
	case size >= 0.999999e3 && size < 1e6:
		return short(v/1e3) + "k"
	}
	return short(v)
}

// short writes v with at most six digits and no needless zeros.
func short(v float64) string {
	return minus(strconv.FormatFloat(v, 'g', 6, 64))
}

// minus sets the typographer's minus sign in place of the hyphen.
func minus(s string) string { return strings.ReplaceAll(s, "-", "−") }
