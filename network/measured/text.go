package measured

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
)

// textReader reads a table of text in columns.
type textReader struct {
	file string
	opts Options
	notation
	columns []column
	names   []string // of curves, in the order of the file
	table   Table
	rows    []row

	disagree int // the first line where both forms of the impedance differ
}

func readText(text, file string, opts Options) (*Table, error) {
	r := &textReader{file: file, opts: opts}
	lines := splitLines(text)
	start := slices.IndexFunc(lines, func(l line) bool { return !l.comment && isData(l.text) })
	if start < 0 {
		return nil, r.fail(line{n: strings.Count(text, "\n") + 1}, field{column: 1}, "no line of numbers: expected columns of frequency and impedance")
	}
	r.notation = findNotation(lines[start:])
	if err := r.header(lines[:start], lines[start]); err != nil {
		return nil, err
	}
	for _, l := range lines[start:] {
		if l.comment {
			continue
		}
		if err := r.row(l); err != nil {
			return nil, err
		}
	}
	return r.finish(lines[len(lines)-1])
}

func (r *textReader) fail(l line, f field, format string, args ...any) error {
	return &SyntaxError{r.file, l.n, l.indent + f.column, fmt.Sprintf(format, args...)}
}

// header finds what the columns hold: what the options say, what the last
// line of text says that can be understood, or the usual order.
func (r *textReader) header(before []line, data line) error {
	n := len(r.separator.split(data.text))
	if r.opts.Header != "" {
		l := line{n: data.n, text: r.opts.Header}
		columns, ok := parseHeader(l, ',', n)
		if !ok {
			return r.fail(data, field{column: 1}, "%d columns do not answer to the header %q", n, r.opts.Header)
		}
		return r.setColumns(l, columns)
	}
	for i := len(before) - 1; i >= 0; i-- {
		l := before[i]
		columns, ok := parseHeader(l, r.separator, n)
		if i > 0 && ok {
			if names, isHeader := parseHeader(before[i-1], r.separator, n); isHeader {
				if both, isUnits := withUnits(names, columns); isUnits {
					columns, i = both, i-1
				}
			}
		}
		switch {
		case ok && !l.comment || ok && !has(columns, unknown):
			r.skipped(before[:i])
			return r.setColumns(l, columns)
		case !l.comment:
			return r.fail(l, field{column: 1}, "%q: expected numbers, a comment, or a header of %d columns such as frequency (Hz), magnitude (ohm), phase (deg) or resistance (ohm), reactance (ohm)", l.text, n)
		}
	}
	return r.usualColumns(data, n)
}

// skipped warns of text above the header that is not marked as a comment.
func (r *textReader) skipped(lines []line) {
	for _, l := range lines {
		if !l.comment {
			r.table.warn(l.n, "%q skipped: it stands above the header", l.text)
		}
	}
}

func (r *textReader) setColumns(l line, columns []column) error {
	if at, err := checkHeader(columns); err != nil {
		return r.fail(l, at, "%v", err)
	}
	r.columns = columns
	for _, c := range columns {
		if c.quantity == unknown {
			r.table.warn(l.n, "column %q is not read", c.text)
		}
	}
	r.table.PhaseDerived = !has(columns, phase) && !has(columns, resistance)
	if has(columns, coherence) {
		r.table.Coherence = []float64{}
	}
	return nil
}

func (r *textReader) usualColumns(data line, n int) error {
	if n < 2 || n > 3 {
		return r.fail(data, field{column: 1}, "%d columns without a header: expected frequency, magnitude and perhaps phase, separated by commas, semicolons, tabs or blanks", n)
	}
	r.columns = []column{{quantity: frequency}, {quantity: magnitude}, {quantity: phase}}[:n]
	r.table.PhaseDerived = n == 2
	says := "no header: columns taken as frequency in Hz, magnitude in ohm"
	if n == 3 {
		says += ", phase in degrees"
	}
	r.table.warn(data.n, "%s", says)
	return nil
}

// row reads a row of numbers.
func (r *textReader) row(l line) error {
	fields := r.separator.split(l.text)
	if len(fields) != len(r.columns) {
		return r.fail(l, field{column: 1}, "%d columns: expected %d, as in the lines above", len(fields), len(r.columns))
	}
	var v [coherence + 1]float64
	for i, c := range r.columns {
		switch c.quantity {
		case unknown:
			continue
		case curveName:
			if !r.wanted(fields[i].text) {
				return nil
			}
			continue
		}
		x, err := r.number(fields[i])
		if err != nil {
			return r.fail(l, fields[i], "%v", err)
		}
		v[c.quantity] = x * c.factor()
	}
	if v[frequency] == 0 {
		r.table.warn(l.n, "row at 0 Hz skipped: it has no place on a logarithmic axis")
		return nil
	}
	if len(r.rows) == MaxRows {
		return r.fail(l, field{column: 1}, "more than %d rows", MaxRows)
	}
	return r.append(l, fields, v)
}

// append checks the values of a row and appends it.
func (r *textReader) append(l line, fields []field, v [coherence + 1]float64) error {
	at := func(q quantity) field {
		return fields[max(0, slices.IndexFunc(r.columns, func(c column) bool { return c.quantity == q }))]
	}
	if v[magnitude] < 0 {
		return r.fail(l, at(magnitude), "magnitude of %g ohm: expected a positive number", v[magnitude])
	}
	if !(v[coherence] >= 0 && v[coherence] <= 1) {
		return r.fail(l, at(coherence), "coherence of %g: expected a number from 0 to 1", v[coherence])
	}
	z, kind := cmplx.Rect(v[magnitude], v[phase]), magnitude
	if has(r.columns, resistance) {
		z, kind = complex(v[resistance], v[reactance]), resistance
		if has(r.columns, magnitude) && r.disagree == 0 && math.Abs(cmplx.Abs(z)-v[magnitude]) > 0.01*v[magnitude] {
			r.disagree = l.n
			r.table.warn(l.n, "magnitude of %g ohm beside resistance and reactance of %.4g ohm: the latter are used", v[magnitude], cmplx.Abs(z))
		}
	}
	if err := checkPoint(v[frequency], z); err != nil {
		if v[frequency] >= MinHz && v[frequency] <= MaxHz {
			return r.fail(l, at(kind), "%v", err)
		}
		return r.fail(l, at(frequency), "%v", err)
	}
	r.rows = append(r.rows, row{l.n, v[frequency], z, v[coherence]})
	return nil
}

// wanted notes the name of a row's curve and tells whether it is to be read.
func (r *textReader) wanted(name string) bool {
	if !slices.Contains(r.names, name) && len(r.names) < maxNames {
		r.names = append(r.names, name)
	}
	return r.opts.Curve == "" && name == r.names[0] || name == r.opts.Curve
}

// maxNames bounds the names that are kept for a message.
const maxNames = 50

func (r *textReader) finish(last line) (*Table, error) {
	names := strings.Join(r.names, ", ")
	switch {
	case r.opts.Curve == "" && len(r.names) > 1:
		return nil, r.fail(last, field{column: 1}, "several curves (%s): expected the name of one to be chosen", names)
	case r.opts.Curve != "" && !has(r.columns, curveName):
		return nil, r.fail(last, field{column: 1}, "no column of names: expected one to find the curve %q", r.opts.Curve)
	case r.opts.Curve != "" && !slices.Contains(r.names, r.opts.Curve):
		return nil, r.fail(last, field{column: 1}, "no curve %q: expected one of %s", r.opts.Curve, names)
	case len(r.rows) < 2:
		return nil, r.fail(last, field{column: 1}, "%d rows: expected at least two frequencies", len(r.rows))
	}
	r.table.Name = r.opts.Curve
	if len(r.names) == 1 {
		r.table.Name = r.names[0]
	}
	return finish(&r.table, r.rows, r.file, last.n)
}
