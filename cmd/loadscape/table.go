package main

import (
	"fmt"
	"io"
	"math/cmplx"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/measured"
	"loadscape/plot"
)

// tableAnswer is an answer that is a table of impedances, which may be written
// as a Touchstone file too.
type tableAnswer struct {
	answer
	name       string
	touchstone measured.TouchstoneOptions
	resistance string // of reference, as written
}

const formatTouchstone = "touchstone"

// asTouchstone is a file's name that asks for Touchstone.
var asTouchstone = regexp.MustCompile(`(?i)\.(s1p|ts)$`)

func (a *tableAnswer) bind(cmd *cobra.Command) {
	a.bindForm(cmd, figureImpedance, figureReactance)
	f := cmd.Flags()
	f.Lookup("format").Usage = "form of the answer: table, csv, json or touchstone (default table, or as FILE of --output ends)"
	f.StringVar(&a.name, "name", "", "`NAME` of the curve (default that in the file, or the file's own)")
	f.StringVar(&a.touchstone.Version, "touchstone-version", "", "1.1 or 2.0 (default 1.1 for .s1p, 2.0 for .ts)")
	f.StringVar(&a.touchstone.Parameter, "touchstone-parameter", "Z", "what Touchstone holds: S, Y or Z")
	f.StringVar(&a.touchstone.Format, "touchstone-format", "RI", "numbers of Touchstone: RI (real and imaginary), MA (magnitude and angle) or DB (decibels and angle)")
	f.StringVar(&a.touchstone.Unit, "touchstone-unit", "Hz", "frequencies of Touchstone in Hz, kHz, MHz or GHz")
	f.StringVar(&a.resistance, "touchstone-resistance", "50 ohm", "reference `RESISTANCE` of Touchstone")
}

// check settles the form of the answer before any work is done.
func (a *tableAnswer) check() (err error) {
	if a.touchstone.Reference, err = quantity.Parse(a.resistance, quantity.Resistance, quantity.Positive); err != nil {
		return fmt.Errorf("--touchstone-resistance: %w", err)
	}
	if a.touchstone.Version == "" && strings.EqualFold(filepath.Ext(a.output), ".ts") {
		a.touchstone.Version = "2.0"
	}
	probe := &measured.Table{Hz: []float64{1, 2}, Z: []complex128{1, 1}}
	if err := measured.WriteTouchstone(io.Discard, probe, a.touchstone); err != nil {
		return err
	}
	if a.format == formatTouchstone || a.format == "" && asTouchstone.MatchString(a.output) {
		a.format = formatTable // which the other commands know
		defer func() { a.format = formatTouchstone }()
	}
	return a.answer.check()
}

// give writes the table, which table renders for the eye, and the figure.
func (a *tableAnswer) give(cmd *cobra.Command, t *measured.Table, table func(io.Writer) error) error {
	if a.name != "" {
		t.Name = a.name
	}
	if a.format != formatTable || a.output != "" { // else the answer tells them
		note(cmd, t)
	}
	if a.format == formatTouchstone && t.Coherence != nil {
		fmt.Fprintln(cmd.ErrOrStderr(), "note: a Touchstone file has no place for the coherence: it is left out")
	}
	return a.answer.give(cmd, map[string]func(io.Writer) error{
		formatTable:      table,
		formatCSV:        func(w io.Writer) error { return measured.WriteCSV(w, t) },
		formatJSON:       func(w io.Writer) error { return writeTableJSON(w, t) },
		formatTouchstone: func(w io.Writer) error { return measured.WriteTouchstone(w, t, a.touchstone) },
	}, func() (*plot.Figure, error) { return drawTable(a.figureType, t) })
}

// tableSource is how a table is read.
type tableSource struct{ measured.Options }

func (s *tableSource) bind(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&s.Header, "header", "", "what the `COLUMNS` hold, as \"kHz, resistance, reactance\" (default as the file says)")
	f.StringVar(&s.Curve, "curve", "", "`NAME` of the curve, of a file with several")
}

// read reads the table of a file; "-" is standard input. A table without a
// name gets that of the file.
func (s *tableSource) read(cmd *cobra.Command, file string) (*measured.Table, error) {
	in, name := cmd.InOrStdin(), "measured"
	if file == "-" {
		file = "standard input"
	} else {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in, name = f, stem(file)
	}
	t, err := measured.Read(in, file, s.Options)
	if err == nil && t.Name == "" {
		t.Name = name
	}
	return t, err
}

// stem returns the name of a file without directory and extension.
func stem(file string) string {
	base := filepath.Base(file)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// note tells on standard error what is doubtful in a table.
func note(cmd *cobra.Command, t *measured.Table) {
	for _, w := range tableWarnings(t) {
		fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
	}
}

// tableWarnings returns the warnings of a table, and whether it is that of a
// passive device.
func tableWarnings(t *measured.Table) []measured.Warning {
	all := slices.Clone(t.Warnings)
	if active := t.Active(); len(active) > 0 {
		first, last := active[0].Hz, active[len(active)-1].Hz
		where := fmt.Sprintf("at %d frequencies from %.4g to %.4g Hz", len(active), first, last)
		if len(active) == 1 {
			where = fmt.Sprintf("at %.4g Hz", first)
		}
		all = append(all, measured.Warning{Says: "negative resistance " + where + ": no passive device has one; see the wiring and the calibration of the measurement"})
	}
	return all
}

func newTableCommand() *cobra.Command {
	var a tableAnswer
	var s tableSource
	cmd := &cobra.Command{
		Use:   "table FILE",
		Short: "Read a measured impedance in any form, and write it in another",
		Long: `table reads a measured impedance: text in columns, separated by commas, semicolons,
tabs or blanks, with a decimal point or comma and any usual header, or a Touchstone
one-port. It says what it settled and what is doubtful, and writes the table as CSV,
JSON or Touchstone. A missing phase is computed from the magnitude.

FILE may be - for standard input.`,
		Example: "  loadscape table cabinet.txt -o cabinet.csv\n  loadscape table cabinet.txt -o cabinet.s1p --figure cabinet.svg",
		Args:    cobra.ExactArgs(1),
	}
	a.bind(cmd)
	s.bind(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := a.check(); err != nil {
			return err
		}
		t, err := s.read(cmd, args[0])
		if err != nil {
			return err
		}
		return a.give(cmd, t, func(w io.Writer) error { return writeTable(w, t).end() })
	}
	return cmd
}

// drawTable draws a table, with its coherence below if it is known.
func drawTable(kind string, t *measured.Table) (*plot.Figure, error) {
	f, err := drawCurves(kind, "", []impedanceCurve{{t.Name, t.Hz, t.Z}})
	if err != nil || kind != figureImpedance {
		return f, err
	}
	if t.PhaseDerived {
		f.Notes = append(f.Notes, "The phase was not measured: it is computed from the magnitude.")
	}
	if t.Coherence != nil {
		f.Panels = append(f.Panels, plot.Panel{
			X: plot.Frequency(), Y: plot.Axis{Label: "Coherence", Min: 0, Max: 1.1, Step: 0.5}, Height: 1.8,
			Items: []plot.Item{plot.Line{Name: "coherence", X: t.Hz, Y: t.Coherence}},
		})
	}
	return f, nil
}

// writeTable writes a table for the eye: its range, its extremes and the rows
// near some frequencies.
func writeTable(w io.Writer, t *measured.Table) *table {
	out := newTable(w)
	out.title(t.Name)
	low, high := extremes(t.Hz, t.Z)
	last := len(t.Hz) - 1
	out.row("frequencies", fmt.Sprintf("%d, from %s to %s", last+1, hertzText(t.Hz[0]), hertzText(t.Hz[last])))
	out.row("lowest", ohmsAt(low))
	out.row("highest", ohmsAt(high))
	out.row("phase", phaseRange(t.Z)+derived(t))
	if t.Coherence != nil {
		worst := slices.Min(t.Coherence)
		out.row("coherence", fmt.Sprintf("%.3f or better, lowest at %s", worst, hertzText(t.Hz[slices.Index(t.Coherence, worst)])))
	}
	out.end()
	out.say("")
	head := []string{"Hz", "ohm", "phase", "resistance", "reactance"}
	if t.Coherence != nil {
		head = append(head, "coherence")
	}
	out.row(head...)
	for _, i := range nearest(t.Hz, tableFrequencies) {
		z := t.Z[i]
		row := []string{fmt.Sprintf("%.5g", t.Hz[i]), fmt.Sprintf("%.4g", cmplx.Abs(z)), fmt.Sprintf("%.1f°", degrees(z)), fmt.Sprintf("%.4g", real(z)), fmt.Sprintf("%.4g", imag(z))}
		if t.Coherence != nil {
			row = append(row, fmt.Sprintf("%.4f", t.Coherence[i]))
		}
		out.row(row...)
	}
	out.end()
	for i, w := range tableWarnings(t) {
		if i == 0 {
			out.say("")
		}
		out.paragraph("  note: ", w.String())
	}
	return out
}

func derived(t *measured.Table) string {
	if t.PhaseDerived {
		return ", computed from the magnitude"
	}
	return ""
}

// nearest returns the indices of the frequencies nearest to those wanted that
// lie in their range.
func nearest(hz, wanted []float64) []int {
	var found []int
	for _, f := range wanted {
		if f < hz[0]*(1-1e-9) || f > hz[len(hz)-1]*(1+1e-9) {
			continue
		}
		i, exact := slices.BinarySearch(hz, f)
		if !exact && i > 0 && (i == len(hz) || f/hz[i-1] < hz[i]/f) {
			i--
		}
		if len(found) == 0 || found[len(found)-1] != i {
			found = append(found, i)
		}
	}
	return found
}

func writeTableJSON(w io.Writer, t *measured.Table) error {
	type point struct {
		Hz         float64  `json:"frequency_hz"`
		Magnitude  float64  `json:"magnitude_ohm"`
		Phase      float64  `json:"phase_deg"`
		Resistance float64  `json:"resistance_ohm"`
		Reactance  float64  `json:"reactance_ohm"`
		Coherence  *float64 `json:"coherence,omitempty"`
	}
	type warning struct {
		Line int    `json:"line,omitempty"`
		Says string `json:"says"`
	}
	all := struct {
		Name         string    `json:"name"`
		PhaseDerived bool      `json:"phase_derived"`
		Points       []point   `json:"points"`
		Warnings     []warning `json:"warnings"`
	}{Name: t.Name, PhaseDerived: t.PhaseDerived, Points: []point{}, Warnings: []warning{}}
	for i, z := range t.Z {
		p := point{t.Hz[i], cmplx.Abs(z), degrees(z), real(z), imag(z), nil}
		if t.Coherence != nil {
			p.Coherence = &t.Coherence[i]
		}
		all.Points = append(all.Points, p)
	}
	for _, w := range tableWarnings(t) {
		all.Warnings = append(all.Warnings, warning{w.Line, w.Says})
	}
	return writeJSON(w, all)
}
