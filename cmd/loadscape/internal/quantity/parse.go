package quantity

import (
	"fmt"
	"strings"
)

// MaxLength is the length in bytes of the longest text that [Parse] reads.
const MaxLength = 64

// An Error tells why a text is not the quantity that was asked for.
type Error struct {
	Input      string // the text
	Part       string // the part of it that is wrong
	Found      string // what was found, ready to print
	Expected   string // what was expected, with an example or the bounds
	Suggestion string // what was probably meant, or ""
}

func (e *Error) Error() string {
	s := "found " + e.Found + "; expected " + e.Expected
	if e.Suggestion != "" {
		s += fmt.Sprintf(" (did you mean %q?)", e.Suggestion)
	}
	return s
}

// Parse reads a quantity of dimension d and returns it in SI units
// (temperatures in degrees Celsius). The result is finite and lies within all
// bounds given. Errors are of type [*Error].
func Parse(text string, d Dimension, within ...Bounds) (float64, error) {
	v, err := parse(text, d)
	if err != nil {
		return 0, err
	}
	for _, b := range within {
		if !b.Contain(v) {
			text = strings.TrimSpace(text)
			return 0, &Error{Input: text, Part: text, Found: quote(text), Expected: b.Expected(d)}
		}
	}
	return v, nil
}

func parse(text string, d Dimension) (float64, error) {
	fail := func(part, format string, args ...any) error {
		return &Error{Input: text, Part: part, Found: fmt.Sprintf(format, args...), Expected: d.Expected()}
	}
	s := strings.TrimSpace(text)
	switch {
	case d >= dimensions:
		panic("quantity: " + d.String() + " is not a dimension")
	case s == "":
		return 0, fail(text, "nothing")
	case len(s) > MaxLength:
		return 0, fail(s, "a text of %d bytes, more than %d", len(s), MaxLength)
	}
	if code, ok := scanLetterCode(s); ok && d == Resistance {
		if v, ok := code.in(scale{}); ok {
			return v, nil
		}
	}
	n, rest, ok := scanNumber(s)
	if !ok {
		return 0, fail(s, "%s, which does not begin with a number", quote(s))
	}
	sc, err := unitOf(s, rest, d)
	if err != nil {
		return 0, err
	}
	v, ok := n.in(sc)
	if !ok {
		return 0, fail(s[:len(s)-len(rest)], "%s, too large or too small for a number", quote(s))
	}
	return v, nil
}

// unitOf returns the scale of the unit of d that is written as rest of text.
func unitOf(text, rest string, d Dimension) (scale, error) {
	written := strings.TrimSpace(rest)
	unit := normal(rest)
	if sc, ok := spellings[d][unit]; ok {
		return sc, nil
	}
	e := &Error{Input: text, Part: written, Expected: d.Expected()}
	other, known := measures(unit)
	switch e.Suggestion = likely(d, unit); {
	case unit == "":
		e.Part, e.Found = text, quote(text)+", a number without a unit"
	case rest[0] == ',':
		e.Found = quote(text) + ", a number with a comma"
		e.Expected += ", with a decimal point and nothing between thousands"
	case known && e.Suggestion == "":
		e.Found = fmt.Sprintf("%s, %s %s", quote(text), kinds[other].article, other)
	default:
		e.Found = fmt.Sprintf("%s with the unknown unit %s", quote(text), quote(written))
	}
	return scale{}, e
}

// quote returns s in quotes, on one line and not too long.
func quote(s string) string { return fmt.Sprintf("%.60q", s) }
