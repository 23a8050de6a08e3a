package measured

import (
	"cmp"
	"fmt"
	"math/cmplx"
	"slices"
	"strings"
)

// Limits of what is taken for a measured impedance. Values outside them are
// errors of units or of the measurement, and inside them nothing overflows.
const (
	MinHz  = 1e-6
	MaxHz  = 1e12
	MinOhm = 1e-15
	MaxOhm = 1e15
)

// sameHz is the ratio up to which two frequencies count as one.
const sameHz = 1 + 1e-9

// Limits of a file.
const (
	MaxBytes = 64 << 20
	MaxRows  = 1 << 20
)

// A Table is an impedance at distinct, ascending frequencies.
type Table struct {
	Name string
	Hz   []float64
	Z    []complex128 // ohm

	// Coherence of the measurement at each row, 0 to 1; nil: not known.
	Coherence []float64

	// PhaseDerived tells that the phase was not measured but computed from
	// the magnitude with MinimumPhase.
	PhaseDerived bool

	// Warnings tell what was settled or is doubtful, in the order of the file.
	Warnings []Warning
}

// A Warning is something that the user of a table should know.
type Warning struct {
	Line int // of the file; 0: the whole
	Says string
}

// String returns the warning with its line.
func (w Warning) String() string {
	if w.Line == 0 {
		return w.Says
	}
	return fmt.Sprintf("line %d: %s", w.Line, w.Says)
}

// A SyntaxError tells where a file is malformed and what was expected there.
type SyntaxError struct {
	File         string
	Line, Column int // from 1; the column counts characters
	Says         string
}

// Error returns "file:line:column: what is wrong".
func (e *SyntaxError) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Says)
}

// A Point is an impedance at a frequency.
type Point struct {
	Hz float64
	Z  complex128
}

// Check returns what makes t unfit for use as a curve, or nil.
func (t *Table) Check() error {
	switch {
	case len(t.Hz) != len(t.Z) || t.Coherence != nil && len(t.Coherence) != len(t.Hz):
		return fmt.Errorf("measured: columns of different lengths")
	case len(t.Hz) < 2:
		return fmt.Errorf("measured: %d rows: expected at least two frequencies", len(t.Hz))
	}
	for i, hz := range t.Hz {
		if err := checkPoint(hz, t.Z[i]); err != nil {
			return fmt.Errorf("measured: row %d: %w", i+1, err)
		}
		if i > 0 && hz <= t.Hz[i-1]*sameHz {
			return fmt.Errorf("measured: row %d: %g Hz after %g Hz: expected ascending frequencies", i+1, hz, t.Hz[i-1])
		}
	}
	return nil
}

// Active returns the points at which the impedance has a negative real part:
// no passive device has one. Points at right angles within rounding count as
// passive. A table without such points is passive between its rows too, see
// [Curve].
func (t *Table) Active() []Point {
	const rounding = 1e-12
	var active []Point
	for i, z := range t.Z {
		if real(z) < -rounding*cmplx.Abs(z) {
			active = append(active, Point{t.Hz[i], z})
		}
	}
	return active
}

func checkPoint(hz float64, z complex128) error {
	if !(hz >= MinHz && hz <= MaxHz) {
		return fmt.Errorf("frequency %g Hz: expected a number from %g to %g", hz, float64(MinHz), float64(MaxHz))
	}
	if m := cmplx.Abs(z); !(m >= MinOhm && m <= MaxOhm) {
		return fmt.Errorf("impedance of %g ohm: expected a magnitude from %g to %g", m, float64(MinOhm), float64(MaxOhm))
	}
	return nil
}

// row is a row of a file. Without a measured phase z is real.
type row struct {
	line      int
	hz        float64
	z         complex128
	coherence float64
}

// settle brings the rows of a file into the form of a table: sorted, those of
// one frequency averaged, with a phase. The columns of t are built here.
func (t *Table) settle(rows []row) error {
	t.sort(rows)
	t.merge(rows)
	if !t.PhaseDerived {
		return nil
	}
	magnitude := make([]float64, len(t.Z))
	for i, z := range t.Z {
		magnitude[i] = real(z)
	}
	phase, err := MinimumPhase(t.Hz, magnitude)
	if err != nil {
		return err
	}
	for i, m := range magnitude {
		t.Z[i] = cmplx.Rect(m, phase[i])
	}
	t.warn(0, "no phase given: computed from the magnitude as that of a passive device, doubtful within an octave of either end")
	return nil
}

// finish returns the table of a file's rows, of which the last is on line.
func finish(t *Table, rows []row, file string, line int) (*Table, error) {
	err := t.settle(rows)
	if err == nil {
		err = t.Check()
	}
	if err != nil {
		return nil, &SyntaxError{file, line, 1, strings.TrimPrefix(err.Error(), "measured: ")}
	}
	return t, nil
}

func (t *Table) sort(rows []row) {
	byHz := func(a, b row) int { return cmp.Compare(a.hz, b.hz) }
	if slices.IsSortedFunc(rows, byHz) {
		return
	}
	descending := func(a, b row) int { return byHz(b, a) }
	if slices.IsSortedFunc(rows, descending) {
		t.warn(rows[0].line, "frequencies descend: rows reversed")
	} else {
		for i := 1; i < len(rows); i++ {
			if rows[i].hz < rows[i-1].hz {
				t.warn(rows[i].line, "%g Hz after %g Hz: rows sorted by frequency", rows[i].hz, rows[i-1].hz)
				break
			}
		}
	}
	slices.SortStableFunc(rows, byHz)
}

// merge appends the rows to t, the mean of those of one frequency as one.
func (t *Table) merge(rows []row) {
	for i := 0; i < len(rows); {
		sum, end := rows[i], i+1
		for ; end < len(rows) && rows[end].hz <= rows[i].hz*sameHz; end++ {
			sum.z += rows[end].z
			sum.coherence = min(sum.coherence, rows[end].coherence)
		}
		if n := end - i; n > 1 {
			t.warn(rows[i+1].line, "%g Hz stands on %d lines, first on line %d: their mean is used", rows[i].hz, n, rows[i].line)
			sum.z /= complex(float64(n), 0)
		}
		t.Hz = append(t.Hz, sum.hz)
		t.Z = append(t.Z, sum.z)
		if t.Coherence != nil {
			t.Coherence = append(t.Coherence, sum.coherence)
		}
		i = end
	}
}

// maxWarnings bounds the warnings of one table, so that a file in which every
// line has the same fault stays readable.
const maxWarnings = 20

func (t *Table) warn(line int, format string, args ...any) {
	switch n := len(t.Warnings); {
	case n < maxWarnings:
		t.Warnings = append(t.Warnings, Warning{line, fmt.Sprintf(format, args...)})
	case n == maxWarnings:
		t.Warnings = append(t.Warnings, Warning{0, "more of the same follow"})
	}
}
