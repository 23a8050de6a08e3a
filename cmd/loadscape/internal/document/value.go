package document

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"loadscape/cmd/loadscape/internal/quantity"
)

// A Value is a place in a [Document] and what stands there, which may be
// nothing. Its methods return what was asked for. If the value is not that,
// they record the mistake and return zero; they return zero in silence if the
// value may be missing and is, or lies in something that was itself a mistake.
// The zero Value is missing.
type Value struct {
	doc  *Document
	node *node // nil: missing
	path string
	// The mapping that must have the value under the key and has not.
	from *Fields
	key  string
}

// Exists reports whether something stands at the place.
func (v Value) Exists() bool { return v.node != nil }

// Find returns the value at a path of keys below v, such as "feedback.amount",
// or the innermost one on the way to it that exists. A path need not name the
// key by which a mapping tells its kind: "enclosure.volume" finds the volume in
// {enclosure: {closed: {volume: 68 L}}}. Find asks for no key.
func (v Value) Find(path string) Value {
	for key := range strings.SplitSeq(path, ".") {
		next := v.child(key)
		if !next.Exists() && v.node != nil && len(v.node.entries) == 1 {
			next = v.child(v.node.entries[0].key.text).child(key)
		}
		if !next.Exists() {
			break
		}
		v = next
	}
	return v
}

// child returns the value of a key of a mapping.
func (v Value) child(key string) Value {
	if v.node == nil {
		return Value{}
	}
	return Value{doc: v.doc, node: v.node.get(key), path: pathOf(v.path, keyStep(key))}
}

// Reject records that the value is wrong: found was found where expected was
// expected, both being phrases without a full stop.
func (v Value) Reject(found, expected string) { v.reject(found, expected, "") }

func (v Value) reject(found, expected, suggestion string) {
	switch {
	case v.node != nil:
		v.doc.mistakes = append(v.doc.mistakes, Mistake{
			File: v.doc.file, Line: v.node.line, Column: v.node.column, Path: v.path,
			Found: found, Expected: expected, Suggestion: suggestion,
		})
	case v.from != nil:
		v.from.miss(v.key, expected)
	}
}

// is reports whether the value has the form, and records a mistake if not.
func (v Value) is(f form, expected string) bool {
	switch {
	case v.node == nil || v.node.null:
		v.Reject("nothing", expected)
	case v.node.form != f:
		v.Reject(v.describe(), expected)
	default:
		return true
	}
	return false
}

// describe says what the value is.
func (v Value) describe() string {
	switch v.node.form {
	case mapping:
		return "a mapping"
	case sequence:
		return "a list"
	}
	return quote(v.node.text)
}

// Word returns the text of the value if it is one, and records nothing.
func (v Value) Word() (string, bool) {
	if v.node == nil || v.node.null || v.node.form != scalar {
		return "", false
	}
	return v.node.text, true
}

// Text returns a text of at least one character.
func (v Value) Text() string {
	const expected = "a text"
	if !v.is(scalar, expected) {
		return ""
	}
	if v.node.text == "" {
		v.Reject("an empty text", expected)
	}
	return v.node.text
}

// Quantity returns a quantity in SI units, as [quantity.Parse] does.
func (v Value) Quantity(d quantity.Dimension, within ...quantity.Bounds) float64 {
	if !v.is(scalar, d.Expected()) {
		return 0
	}
	q, err := quantity.Parse(v.node.text, d, within...)
	var e *quantity.Error
	if errors.As(err, &e) {
		v.reject(e.Found, e.Expected, e.Suggestion)
	}
	return q
}

// Quantities returns a list of quantities, as [Value.Quantity] does.
func (v Value) Quantities(d quantity.Dimension, within ...quantity.Bounds) []float64 {
	var qs []float64
	for _, item := range v.List() {
		qs = append(qs, item.Quantity(d, within...))
	}
	return qs
}

// Integer returns a whole number from lo to hi.
func (v Value) Integer(lo, hi int) int {
	expected := fmt.Sprintf("a whole number from %d to %d", lo, hi)
	if !v.is(scalar, expected) {
		return 0
	}
	n, err := strconv.Atoi(v.node.text)
	if err != nil || n < lo || n > hi {
		v.Reject(quote(v.node.text), expected)
		return 0
	}
	return n
}

// Bool returns a truth value, which is written true or false.
func (v Value) Bool() bool {
	return Enum(v, Choice[bool]{"true", true}, Choice[bool]{"false", false})
}

// List returns the items of a list of at least one item.
func (v Value) List() []Value {
	const expected = "a list such as [a, b]"
	if !v.is(sequence, expected) {
		return nil
	}
	if len(v.node.items) == 0 {
		v.Reject("an empty list", expected)
	}
	var items []Value
	for i, n := range v.node.items {
		items = append(items, Value{doc: v.doc, node: n, path: pathOf(v.path, indexStep(i))})
	}
	return items
}

// An Entry is a key of a mapping whose keys are free, such as names.
type Entry struct {
	Name  string
	Key   Value // the key as a value, for mistakes in the name
	Value Value
}

// Entries returns the entries of a mapping with free keys in the order of the
// file. There may be none.
func (v Value) Entries() []Entry {
	if !v.is(mapping, "a mapping of names to values") {
		return nil
	}
	var entries []Entry
	for _, e := range v.node.entries {
		path := pathOf(v.path, keyStep(e.key.text))
		entries = append(entries, Entry{
			Name:  e.key.text,
			Key:   Value{doc: v.doc, node: e.key, path: path},
			Value: Value{doc: v.doc, node: e.value, path: path},
		})
	}
	return entries
}

// Name returns a text that is one of the known names of a kind of thing, such
// as "the name of a driver".
func (v Value) Name(kind string, known []string) (string, bool) {
	if !v.is(scalar, kind) {
		return "", false
	}
	for _, k := range known {
		if k == v.node.text {
			return k, true
		}
	}
	const few = 8
	expected := kind
	if n := len(known); n == 0 {
		expected += ", of which there are none"
	} else if n <= few {
		expected += ": " + quotedList(known, "or")
	}
	v.reject(quote(v.node.text), expected, v.doc.nearest(v.node.text, known))
	return "", false
}

// Parsed returns what parse makes of a text; expected says what that is, with
// an example.
func Parsed[T any](v Value, expected string, parse func(string) (T, error)) T {
	var zero T
	if !v.is(scalar, expected) {
		return zero
	}
	t, err := parse(v.node.text)
	if err != nil {
		v.Reject(quote(v.node.text), expected)
		return zero
	}
	return t
}
