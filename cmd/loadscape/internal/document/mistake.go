package document

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A Mistake is something wrong at a place in a file.
type Mistake struct {
	File         string
	Line, Column int    // from 1; column in characters
	Path         string // of keys, as "cabinets.pine-212.enclosure"; "" at the top
	Found        string
	Expected     string
	Suggestion   string // what was probably meant, or ""
}

// String returns the mistake on one line, as
//
//	bench.yaml:12:7: cabinets.ash-412.driver: found "marlow-21"; expected the name of a driver (did you mean "marlow-12"?)
func (m Mistake) String() string {
	var s strings.Builder
	fmt.Fprintf(&s, "%s:%d:%d: ", m.File, m.Line, m.Column)
	if m.Path != "" {
		s.WriteString(m.Path + ": ")
	}
	fmt.Fprintf(&s, "found %s; expected %s", m.Found, m.Expected)
	if m.Suggestion != "" {
		fmt.Fprintf(&s, " (did you mean %s?)", quote(m.Suggestion))
	}
	return s.String()
}

// Error is all mistakes of a file in the order of their places, at least one.
type Error struct{ Mistakes []Mistake }

// MaxPrinted is the number of mistakes that [Error.Error] prints.
const MaxPrinted = 100

// Error returns the mistakes, one on each line.
func (e *Error) Error() string {
	var lines []string
	for i, m := range e.Mistakes {
		if i == MaxPrinted {
			lines = append(lines, fmt.Sprintf("and %d more mistakes", len(e.Mistakes)-i))
			break
		}
		lines = append(lines, m.String())
	}
	return strings.Join(lines, "\n")
}

// newError sorts mistakes by place and leaves out repetitions. It returns nil
// if there are none.
func newError(mistakes []Mistake) error {
	if len(mistakes) == 0 {
		return nil
	}
	slices.SortStableFunc(mistakes, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Path, b.Path))
	})
	return &Error{slices.Compact(mistakes)}
}

// quote returns s in quotes, on one line and not too long.
func quote(s string) string { return fmt.Sprintf("%.60q", s) }

// list joins words as "a, b or c".
func list(words []string, conjunction string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + " " + conjunction + " " + words[n]
}

// quotedList joins words in quotes as list does.
func quotedList(words []string, conjunction string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = quote(w)
	}
	return list(quoted, conjunction)
}
