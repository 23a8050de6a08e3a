package stage

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ReferenceFrequency is the frequency in hertz at which rated power, damping
// factor and amount of feedback are stated (IEC 60268-3).
const ReferenceFrequency = 1000

// A Kind tells what drives the output.
type Kind uint8

// The kinds of output stage. The zero Kind is none of them.
const (
	Valve      Kind = iota + 1 // valves and an output transformer
	SolidState                 // transistors, coupled directly
)

// String returns "valve" or "solid-state".
func (k Kind) String() string {
	switch k {
	case Valve:
		return "valve"
	case SolidState:
		return "solid-state"
	}
	return "Kind(" + strconv.Itoa(int(k)) + ")"
}

// A Stage is an output stage as its maker or a measurement describes it.
type Stage struct {
	Kind       Kind
	RatedPower float64   // W into each tap's rated impedance
	Taps       []float64 // rated impedances in ohms; empty: not said, any tap may be asked for
	DefaultTap float64   // ohm; 0: the first of Taps
	Source     Source    // how the source impedance is given
	Feedback   Feedback  // zero: none, or unknown and contained in the Source
}

// Feedback is voltage feedback from the tap to an earlier stage. Its amount
// and a source impedance stated beside it hold with presence and depth at rest.
type Feedback struct {
	Amount   float64 // dB of gain lost at 1 kHz into the rated resistance, 0 to 100
	Presence Shelf   // releases feedback above its turnover
	Depth    Shelf   // releases feedback below its turnover
}

// A Shelf releases feedback on one side of a frequency. The zero Shelf is absent.
type Shelf struct {
	Turnover float64 // Hz
	Release  float64 // dB of loop gain taken away far beyond the turnover, 0 to 100
}

// A FieldError tells what is wrong with one value of a [Stage].
type FieldError struct {
	Field string // the value's name, such as "feedback.amount"
	Is    string // what was found
	Want  string // what was expected
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("stage: %s is %s: expected %s", e.Field, e.Is, e.Want)
}

// Validate reports everything that is wrong with s: a [FieldError] or several
// of them joined, or nil.
func (s Stage) Validate() error {
	var c checker
	if s.Kind != Valve && s.Kind != SolidState {
		c.add("stage", s.Kind.String(), "valve or solid-state")
	}
	c.positive("rated_power", s.RatedPower, "W")
	s.checkTaps(&c)
	s.Feedback.check(&c)
	if s.Source == nil {
		c.add("source impedance", "not given", "one of output_impedance, damping_factor, two_load_test, valves with transformer")
	} else {
		s.Source.check(s, &c)
	}
	if len(c.errs) == 0 {
		// Only a sound stage has a loop that can be found impossible.
		if _, err := s.loop(); err != nil {
			c.errs = append(c.errs, err)
		}
	}
	return errors.Join(c.errs...)
}

func (s Stage) checkTaps(c *checker) {
	if len(s.Taps) == 0 {
		c.positive("tap", s.DefaultTap, "ohm")
		return
	}
	for i, t := range s.Taps {
		c.positive("taps", t, "ohm")
		if contains(s.Taps[:i], t) {
			c.add("taps", ohms(s.Taps), "each rating once")
		}
	}
	if s.DefaultTap != 0 && !contains(s.Taps, s.DefaultTap) {
		c.add("tap", number(s.DefaultTap, "ohm"), "one of the taps "+ohms(s.Taps))
	}
}

func (f Feedback) check(c *checker) {
	c.decibels("feedback.amount", f.Amount)
	f.Presence.check("feedback.presence", c)
	f.Depth.check("feedback.depth", c)
	if f.Amount == 0 && (f.Presence != Shelf{} || f.Depth != Shelf{}) {
		c.add("feedback.amount", "zero or missing", "the feedback that presence and depth release")
	}
}

func (s Shelf) check(field string, c *checker) {
	if s == (Shelf{}) {
		return
	}
	c.positive(field+".turnover", s.Turnover, "Hz")
	c.decibels(field+".release", s.Release)
}

// tap returns the rating that is meant by tap, 0 being the default one.
func (s Stage) tap(tap float64) (float64, error) {
	taps := s.Taps
	if len(taps) == 0 {
		taps = []float64{s.DefaultTap}
	}
	if tap == 0 {
		return s.defaultTap(), nil
	}
	if len(s.Taps) == 0 && tap > 0 && tap <= math.MaxFloat64 {
		return tap, nil // which taps there are is not said
	}
	if !contains(taps, tap) {
		return 0, &FieldError{"tap", number(tap, "ohm"), "one of the taps " + ohms(taps)}
	}
	return tap, nil
}

func (s Stage) defaultTap() float64 {
	if s.DefaultTap == 0 && len(s.Taps) > 0 {
		return s.Taps[0]
	}
	return s.DefaultTap
}

// contains reports whether tap is among taps but for rounding.
func contains(taps []float64, tap float64) bool {
	for _, t := range taps {
		if math.Abs(t-tap) <= 1e-9*math.Abs(t) {
			return true
		}
	}
	return false
}

// A checker collects what is wrong.
type checker struct{ errs []error }

func (c *checker) add(field, is, want string) {
	c.errs = append(c.errs, &FieldError{field, is, want})
}

func (c *checker) positive(field string, v float64, unit string) {
	if !(v > 0 && v <= math.MaxFloat64) {
		c.add(field, number(v, unit), "a finite number above zero")
	}
}

func (c *checker) notNegative(field string, v float64, unit string) {
	if !(v >= 0 && v <= math.MaxFloat64) {
		c.add(field, number(v, unit), "a finite number, zero or above")
	}
}

func (c *checker) decibels(field string, v float64) {
	if !(v >= 0 && v <= 100) {
		c.add(field, number(v, "dB"), "0 to 100 dB")
	}
}

func number(v float64, unit string) string {
	return strings.TrimSpace(strconv.FormatFloat(v, 'g', 6, 64) + " " + unit)
}

// ohms lists ratings: "4, 8, 16 ohm".
func ohms(taps []float64) string {
	list := make([]string, len(taps))
	for i, t := range taps {
		list[i] = strconv.FormatFloat(t, 'g', 6, 64)
	}
	return strings.Join(list, ", ") + " ohm"
}
