package measured

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// touchstoneReader reads a one-port Touchstone file line by line.
type touchstoneReader struct {
	touchstone
	file      string
	n         int  // of the line
	options   bool // the option line was read
	keywords  []string
	expected  int // frequencies, by [Number of Frequencies]
	inData    bool
	inInfo    bool
	ended     bool
	reference bool // the argument of [Reference] is still to come
	table     Table
	rows      []row
}

func readTouchstone(text, file string) (*Table, error) {
	r := &touchstoneReader{file: file, touchstone: touchstone{unit: "GHZ", parameter: 'S', format: "MA", reference: 50}}
	for s := range strings.Lines(text) {
		r.n++
		s, _, _ = strings.Cut(s, "!")
		s = strings.TrimRightFunc(s, unicode.IsSpace)
		if s == "" {
			continue
		}
		if err := r.line(s); err != nil {
			return nil, err
		}
	}
	return r.finish()
}

func (r *touchstoneReader) fail(f field, format string, args ...any) error {
	return &SyntaxError{r.file, r.n, f.column, fmt.Sprintf(format, args...)}
}

// line reads a line that is not blank and of which a comment was cut off.
func (r *touchstoneReader) line(s string) error {
	fields := blanks.split(s)
	first := fields[0]
	switch {
	case strings.HasPrefix(first.text, "["):
		return r.keyword(s, first)
	case r.inInfo:
		return nil
	case r.ended:
		return r.fail(first, "%q after [End]: expected nothing more", first.text)
	case strings.HasPrefix(first.text, "#"):
		return r.optionLine(fields)
	case r.reference:
		return r.setReference(first)
	case !r.options:
		return r.fail(first, "%q: expected the option line, such as # Hz S MA R 50", first.text)
	case r.version2 && !r.inData:
		return r.fail(first, "%q: expected the keyword [Network Data] before the data", first.text)
	}
	return r.data(fields)
}

// optionLine reads "# unit parameter format R n", whose parts may stand in any
// order or be left out. Only the first such line counts.
func (r *touchstoneReader) optionLine(fields []field) error {
	if r.options {
		r.table.warn(r.n, "second option line skipped")
		return nil
	}
	r.options = true
	if fields[0].text == "#" {
		fields = fields[1:]
	} else {
		fields[0] = field{fields[0].text[1:], fields[0].column + 1}
	}
	for i := 0; i < len(fields); i++ {
		switch word := strings.ToUpper(fields[i].text); {
		case hertzOf[word] != 0:
			r.unit = word
		case word == "S" || word == "Y" || word == "Z":
			r.parameter = word[0]
		case word == "G" || word == "H":
			return r.fail(fields[i], "%s parameters: expected S, Y or Z of a one-port", word)
		case word == "MA" || word == "DB" || word == "RI":
			r.format = word
		case word == "R" && i+1 < len(fields):
			i++
			if err := r.setReference(fields[i]); err != nil {
				return err
			}
		default:
			return r.fail(fields[i], "%q: expected a frequency unit (Hz, kHz, MHz, GHz), a parameter (S, Y, Z), a format (MA, DB, RI) or R and a resistance", fields[i].text)
		}
	}
	return nil
}

func (r *touchstoneReader) setReference(f field) error {
	v, err := notation{}.number(f)
	if err != nil || !(v >= MinOhm && v <= MaxOhm) {
		return r.fail(f, "reference %q: expected a positive resistance in ohms", f.text)
	}
	r.touchstone.reference, r.reference = v, false
	return nil
}

// keyword reads a line that begins with a keyword in brackets.
func (r *touchstoneReader) keyword(s string, at field) error {
	name, argument, found := strings.Cut(s, "]")
	if !found {
		return r.fail(at, "%q: expected a keyword in brackets", at.text)
	}
	value := field{text: strings.TrimSpace(argument)}
	value.column = utf8.RuneCountInString(s) - utf8.RuneCountInString(value.text) + 1
	name = strings.ToLower(strings.Join(strings.Fields(strings.TrimLeft(name, " \t[")), " "))
	if err := r.order(name, at); err != nil {
		return err
	}
	r.keywords = append(r.keywords, name)
	switch name {
	case "version":
		if value.text != "2.0" {
			return r.fail(value, "version %q: expected 2.0, or no such keyword in a file of version 1", value.text)
		}
		r.version2 = true
	case "number of ports":
		if value.text != "1" {
			return r.fail(value, "%q ports: expected 1", value.text)
		}
	case "number of frequencies":
		n, err := strconv.Atoi(value.text)
		if err != nil || n < 1 {
			return r.fail(value, "%q: expected the number of frequencies", value.text)
		}
		r.expected = n
	case "reference":
		if r.reference = value.text == ""; !r.reference {
			return r.setReference(value)
		}
	case "begin information":
		r.inInfo = true
	case "end information":
		r.inInfo = false
	case "network data":
		return r.beginData(at)
	case "end":
		r.ended = true
	case "matrix format": // one number is any of them
	default:
		return r.fail(at, "keyword [%s]: expected those of a one-port of version 2.0", name)
	}
	return nil
}

// order checks that a keyword may stand where it does.
func (r *touchstoneReader) order(name string, at field) error {
	switch {
	case r.inInfo && name != "end information":
		return r.fail(at, "keyword [%s]: expected [End Information] first", name)
	case name == "version" && (len(r.keywords) > 0 || r.options):
		return r.fail(at, "keyword [Version]: expected it before everything else, once")
	case name != "version" && !r.version2:
		return r.fail(at, "keyword [%s]: expected [Version] 2.0 as the first of the file", name)
	case r.ended || r.inData && name != "end":
		return r.fail(at, "keyword [%s]: expected none after the data but [End]", name)
	case slices.Contains(r.keywords, name):
		return r.fail(at, "keyword [%s]: expected it once", name)
	}
	return nil
}

func (r *touchstoneReader) beginData(at field) error {
	for _, needed := range []string{"number of ports", "number of frequencies"} {
		if !slices.Contains(r.keywords, needed) {
			return r.fail(at, "keyword [network data]: expected [%s] before it", needed)
		}
	}
	switch {
	case !r.options:
		return r.fail(at, "keyword [network data]: expected the option line before it, such as # Hz Z RI")
	case r.reference:
		return r.fail(at, "keyword [network data]: expected the resistance of [Reference]")
	}
	r.inData = true
	return nil
}

// data reads a row: a frequency and a pair of numbers.
func (r *touchstoneReader) data(fields []field) error {
	if len(fields) != 3 {
		return r.fail(fields[min(3, len(fields)-1)], "%d numbers: expected three, a frequency and the pair of a one-port", len(fields))
	}
	var v [3]float64
	for i, f := range fields {
		var err error
		if v[i], err = (notation{}).number(f); err != nil {
			return r.fail(f, "%v", err)
		}
	}
	hz := v[0] * hertzOf[r.unit]
	if hz == 0 {
		r.table.warn(r.n, "row at 0 Hz skipped: it has no place on a logarithmic axis")
		r.expected = max(r.expected-1, 0)
		return nil
	}
	if (r.format == "MA" && v[1] < 0) || math.Abs(v[1]) > 1e30 || math.Abs(v[2]) > 1e30 {
		return r.fail(fields[1], "%s %s: expected a number that an impedance can have", fields[1].text, fields[2].text)
	}
	z, err := r.impedance(v[1], v[2])
	if err != nil {
		return r.fail(fields[1], "%v", err)
	}
	if err := checkPoint(hz, z); err != nil {
		return r.fail(fields[0], "%v", err)
	}
	if len(r.rows) == MaxRows {
		return r.fail(fields[0], "more than %d rows", MaxRows)
	}
	r.rows = append(r.rows, row{line: r.n, hz: hz, z: z})
	return nil
}

func (r *touchstoneReader) finish() (*Table, error) {
	at := field{column: 1}
	r.n = max(r.n, 1)
	switch {
	case r.inInfo:
		return nil, r.fail(at, "the file ends: expected [End Information]")
	case r.version2 && !r.ended:
		return nil, r.fail(at, "the file ends: expected [End]")
	case r.version2 && r.expected != len(r.rows):
		return nil, r.fail(at, "%d frequencies: expected %d, as [Number of Frequencies] says", len(r.rows), r.expected)
	case len(r.rows) < 2:
		return nil, r.fail(at, "%d rows: expected at least two frequencies", len(r.rows))
	}
	return finish(&r.table, r.rows, r.file, r.n)
}
