package thielesmall

import (
	"errors"
	"fmt"
	"math"
)

// A FieldError tells what is wrong with one value of a driver, an enclosure or
// a cabinet.
type FieldError struct {
	Of    string // whose value it is, such as "driver marlow-12"
	Field string // the value's name, such as "vas"
	Is    string // what was found
	Want  string // what was expected
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("thielesmall: %s: %s is %s: expected %s", e.Of, e.Field, e.Is, e.Want)
}

// A WarningKind tells what a [Warning] is about.
type WarningKind uint8

// The kinds of warning.
const (
	Contradiction WarningKind = iota + 1 // a data sheet disagrees with itself
	Assumption                           // a value that was not given acts by its default
	Limit                                // the model is near or beyond where it stops being true
)

// String returns "contradiction", "assumption" or "limit".
func (k WarningKind) String() string {
	switch k {
	case Contradiction:
		return "contradiction"
	case Assumption:
		return "assumption"
	case Limit:
		return "limit"
	}
	return fmt.Sprintf("WarningKind(%d)", uint8(k))
}

// A Warning tells of a usable but doubtful value.
type Warning struct {
	Kind WarningKind
	Of   string // what it is about, such as "driver marlow-12"
	Says string
}

// String returns what the warning says and about what.
func (w Warning) String() string { return w.Of + ": " + w.Says }

// A checker collects what is wrong with the values of one thing.
type checker struct{ errs []*FieldError }

func (c *checker) add(field, is, want string) {
	c.errs = append(c.errs, &FieldError{Field: field, Is: is, Want: want})
}

// positive wants a finite number above zero.
func (c *checker) positive(field string, v float64, unit string) {
	if !(v > 0) || math.IsInf(v, 1) {
		c.add(field, quantity(v, unit), "a positive, finite number")
	}
}

// optional wants a finite number above zero, or zero for one not given.
func (c *checker) optional(field string, v float64, unit string) {
	if v != 0 {
		c.positive(field, v, unit)
	}
}

// quality wants a number above zero, zero for one not given, or infinity.
func (c *checker) quality(field string, v float64) {
	if !(v >= 0) {
		c.add(field, quantity(v, ""), "a positive number, infinite for no loss")
	}
}

func (c *checker) between(field string, v, low, high float64, unit string) {
	if !(v >= low && v <= high) {
		c.add(field, quantity(v, unit), fmt.Sprintf("a number from %g to %g", low, high))
	}
}

// nested takes over what is wrong with a value that has values of its own.
func (c *checker) nested(prefix string, err error) {
	if err == nil {
		return
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			c.nested(prefix, e)
		}
		return
	}
	var f *FieldError
	if !errors.As(err, &f) {
		c.add(prefix, err.Error(), "a value that its model allows")
		return
	}
	c.add(prefix+"."+f.Field, f.Is, f.Want)
}

// err returns the mistakes as those of something, or nil.
func (c *checker) err(of string) error {
	errs := make([]error, len(c.errs))
	for i, e := range c.errs {
		e.Of = of
		errs[i] = e
	}
	return errors.Join(errs...)
}

func quantity(v float64, unit string) string {
	if unit == "" {
		return fmt.Sprintf("%g", v)
	}
	return fmt.Sprintf("%g %s", v, unit)
}
