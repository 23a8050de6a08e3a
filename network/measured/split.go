package measured

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// line is a line of a text table without blanks around it and without the
// marks of a comment.
type line struct {
	n       int // from 1
	indent  int // characters left out before text
	text    string
	comment bool
}

// splitLines returns the lines of text that are not blank.
func splitLines(text string) []line {
	var lines []line
	n := 0
	for s := range strings.Lines(text) {
		n++
		l := line{n: n, text: strings.TrimLeftFunc(s, unicode.IsSpace)}
		if isComment(l.text) {
			l.comment = true
			l.text = strings.TrimLeft(l.text, "#;*/! \t")
		}
		l.indent = utf8.RuneCountInString(s[:len(s)-len(l.text)])
		if l.text = strings.TrimRight(l.text, " \n"); l.text != "" {
			lines = append(lines, l)
		}
	}
	return lines
}

func isComment(s string) bool {
	return s != "" && strings.ContainsRune("#;*!", rune(s[0])) || strings.HasPrefix(s, "//")
}

// field is a part of a line and the character, from 1, where it begins.
type field struct {
	text   string
	column int
}

// separator is the character between the fields of a line.
type separator byte

const (
	blanks     separator = ' ' // and tabs, any number of them
	wideBlanks separator = 0   // two or more, or a tab
)

// split returns the fields of s without blanks around them. Between double
// quotes separators are text, and two quotes are one (RFC 4180). A separator
// at the end of the line adds no field.
func (sep separator) split(s string) []field {
	var fields []field
	for i := sep.skip(s, 0); i < len(s); i = sep.skip(s, i) {
		f := field{column: utf8.RuneCountInString(s[:i]) + 1}
		if s[i] == '"' {
			f.text, i = unquote(s, i+1)
		}
		end := i
		for end < len(s) && !sep.at(s[end:]) {
			end++
		}
		f.text += strings.TrimSpace(s[i:end])
		fields = append(fields, f)
		i = min(end+1, len(s))
	}
	return fields
}

// at tells whether s begins with the separator.
func (sep separator) at(s string) bool {
	switch sep {
	case blanks:
		return s[0] == ' ' || s[0] == '\t'
	case wideBlanks:
		return s[0] == '\t' || strings.HasPrefix(s, "  ")
	}
	return s[0] == byte(sep)
}

// skip returns where the blanks end that stand in s at i and mean nothing.
func (sep separator) skip(s string, i int) int {
	for i < len(s) && (s[i] == ' ' || s[i] == '\t' && sep != '\t') {
		i++
	}
	return i
}

// unquote returns the quoted text that begins in s at i, and where it ends.
func unquote(s string, i int) (text string, end int) {
	var b strings.Builder
	for ; i < len(s); i++ {
		if s[i] == '"' {
			if i++; i == len(s) || s[i] != '"' {
				return b.String(), i
			}
		}
		b.WriteByte(s[i])
	}
	return b.String(), i
}

// notation is how the numbers of a table are written and separated.
type notation struct {
	separator    separator
	decimalComma bool
}

// findNotation returns the notation of lines of numbers. Commas are decimal
// ones if they stand beside another separator, or between digits in fields
// that blanks separate, and there are no points.
func findNotation(lines []line) notation {
	var bare, quoted [256]bool // the characters outside and inside of quotes
	decimals := true
	for _, l := range lines {
		if l.comment {
			continue
		}
		seen := &bare
		for i := range len(l.text) {
			switch c := l.text[i]; {
			case c != '"':
				seen[c] = true
			case seen == &bare:
				seen = &quoted
			default:
				seen = &bare
			}
		}
		decimals = decimals && hasDecimals(l.text)
	}
	n := notation{blanks, bare[','] && !bare['.'] || quoted[','] && !quoted['.']}
	switch {
	case bare[';']:
		n.separator = ';'
	case bare['\t']:
		n.separator = '\t'
	case bare[','] && (bare['.'] || !decimals):
		n = notation{',', quoted[','] && !quoted['.']}
	}
	return n
}

// hasDecimals tells whether blanks separate s into fields in which commas can
// only be decimal ones: one in a field, between digits.
func hasDecimals(s string) bool {
	fields := blanks.split(s)
	for _, f := range fields {
		before, after, found := strings.Cut(f.text, ",")
		if found && !(integer.MatchString(before) && fraction.MatchString(after)) {
			return false
		}
	}
	return len(fields) > 1
}

var (
	integer  = regexp.MustCompile(`^[-+]?[0-9]+$`)
	fraction = regexp.MustCompile(`^[0-9]+([eE][-+]?[0-9]+)?$`)
)

// number returns the number that f holds.
func (n notation) number(f field) (float64, error) {
	s := f.text
	if n.decimalComma {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	switch {
	case err != nil && !math.IsInf(v, 0):
		return 0, fmt.Errorf("%q: expected a number", f.text)
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, fmt.Errorf("%q: expected a finite number", f.text)
	}
	return v, nil
}

// isData tells whether s is a line of numbers: it begins with one, or holds
// two.
func isData(s string) bool {
	words := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(";\t \",", r) })
	numbers := 0
	for i, w := range words {
		if _, err := strconv.ParseFloat(w, 64); err == nil {
			if i == 0 {
				return true
			}
			numbers++
		}
	}
	return numbers >= 2
}
