package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/plot"
)

// answer is how a command's answer is asked for: the flags that the commands
// share.
type answer struct {
	format     string
	output     string
	figure     string
	figureType string
	from, to   string
	perOctave  int
	reference  string
	types      []string // of figures that the command draws, the default first
}

// unset is the value of a number that was not given.
const unset = -1 << 31

// The formats of an answer.
const (
	formatTable = "table"
	formatCSV   = "csv"
	formatJSON  = "json"
)

// bindForm adds the flags that say in which form the answer is wanted. The
// types are what --figure-type takes.
func (a *answer) bindForm(cmd *cobra.Command, types ...string) {
	a.types = types
	f := cmd.Flags()
	f.StringVar(&a.format, "format", "", "form of the answer: table, csv or json (default table, or as FILE of --output ends)")
	f.StringVarP(&a.output, "output", "o", "", "write the answer to `FILE` instead of standard output")
	f.StringVar(&a.figure, "figure", "", "draw a figure to `FILE`, which ends in .svg, .png or .pdf")
	f.StringVar(&a.figureType, "figure-type", types[0], "what the figure shows: "+strings.Join(types, " or "))
}

// bind adds the flags of an answer that comes from a bench.
func (a *answer) bind(cmd *cobra.Command, types ...string) {
	a.bindForm(cmd, types...)
	f := cmd.Flags()
	f.StringVar(&a.from, "from", "", "lowest `FREQUENCY` of the sweep, as \"20 Hz\" (default as in the bench file)")
	f.StringVar(&a.to, "to", "", "highest `FREQUENCY` of the sweep, as \"20 kHz\" (default as in the bench file)")
	f.IntVar(&a.perOctave, "per-octave", unset, "points per octave (default as in the bench file)")
	f.Lookup("per-octave").DefValue = "0" // keeps the help silent about it
	f.StringVar(&a.reference, "reference", "", "`SETUP` to compare with (default as in the bench file)")
}

// check settles the format and refuses what cannot be answered, before any
// work is done.
func (a *answer) check() error {
	if a.format == "" {
		a.format = formatTable
		switch strings.ToLower(filepath.Ext(a.output)) {
		case ".csv":
			a.format = formatCSV
		case ".json":
			a.format = formatJSON
		}
	}
	switch a.format {
	case formatTable, formatCSV, formatJSON:
	default:
		return fmt.Errorf("--format %s: expected table, csv or json", a.format)
	}
	if a.figure != "" {
		if _, err := plot.FormatOf(a.figure); err != nil {
			return fmt.Errorf("--figure: %w", err)
		}
		if filepath.Clean(a.figure) == filepath.Clean(a.output) {
			return fmt.Errorf("--figure %s: expected another file than that of --output", a.figure)
		}
	}
	for _, t := range a.types {
		if a.figureType == t {
			return nil
		}
	}
	return fmt.Errorf("--figure-type %s: expected %s", a.figureType, strings.Join(a.types, " or "))
}

// open reads the bench file and sets what the flags override.
func (a *answer) open(cmd *cobra.Command, file string) (*bench.Bench, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	b, err := readBench(cmd.InOrStdin(), file)
	if err != nil {
		return nil, err
	}
	for _, w := range b.Warnings {
		fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
	}
	if err := a.override(b); err != nil {
		return nil, err
	}
	return b, nil
}

func (a *answer) override(b *bench.Bench) error {
	for _, f := range []struct {
		flag, text string
		set        *float64
	}{{"--from", a.from, &b.Sweep.From}, {"--to", a.to, &b.Sweep.To}} {
		if f.text == "" {
			continue
		}
		hz, err := frequency(f.text, bench.Audible)
		if err != nil {
			return fmt.Errorf("%s: %w", f.flag, err)
		}
		*f.set = hz
	}
	if a.perOctave != unset {
		if a.perOctave < 1 || a.perOctave > bench.MaxPerOctave {
			return fmt.Errorf("--per-octave %d: expected a number from 1 to %d", a.perOctave, bench.MaxPerOctave)
		}
		b.Sweep.PerOctave = a.perOctave
	}
	if a.reference != "" {
		if _, err := b.Setup(a.reference); err != nil {
			return fmt.Errorf("--reference: %w", err)
		}
		b.Reference = a.reference
	}
	return nil
}

// frequency reads a frequency of a flag; a bare number is in hertz.
func frequency(text string, within ...quantity.Bounds) (float64, error) {
	if hz, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(hz, 'g', -1, 64) + " Hz"
	}
	return quantity.Parse(text, quantity.Frequency, within...)
}

// readBench reads a bench file; "-" is standard input.
func readBench(stdin io.Reader, file string) (*bench.Bench, error) {
	if file == "-" {
		data, err := io.ReadAll(io.LimitReader(stdin, bench.MaxSize+1))
		if err != nil {
			return nil, &fs.PathError{Op: "read", Path: "standard input", Err: err}
		}
		return bench.Read("standard input", data)
	}
	return bench.Open(file)
}

// give writes the answer that the given function renders in the chosen format,
// and the figure if one is asked for. The figure is drawn first: if it cannot
// be, no answer has been written yet.
func (a *answer) give(cmd *cobra.Command, render map[string]func(io.Writer) error, draw func() (*plot.Figure, error)) error {
	var text bytes.Buffer
	if err := render[a.format](&text); err != nil {
		return err
	}
	if a.figure != "" {
		if err := a.draw(draw); err != nil {
			return err
		}
	}
	if a.output == "" {
		_, err := text.WriteTo(cmd.OutOrStdout())
		return err
	}
	return writeFile(a.output, text.Bytes())
}

func (a *answer) draw(draw func() (*plot.Figure, error)) error {
	format, err := plot.FormatOf(a.figure)
	if err != nil {
		return err
	}
	f, err := draw()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := f.Encode(&out, format); err != nil {
		return err
	}
	return writeFile(a.figure, out.Bytes())
}

// writeFile writes a file completely or not at all; an existing file is
// replaced only by a complete one.
func writeFile(name string, data []byte) (err error) {
	mode := fs.FileMode(0o644)
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real // the file behind a link is replaced, not the link
	}
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			return writeThrough(name, data)
		}
		mode = info.Mode().Perm()
	}
	tmp, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return &fs.PathError{Op: "write", Path: name, Err: errors.Unwrap(err)}
	}
	defer func() {
		if err != nil {
			tmp.Close()
			os.Remove(tmp.Name())
			err = &fs.PathError{Op: "write", Path: name, Err: err}
		}
	}()
	if _, err := tmp.Write(data); err != nil {
		return err
	}
	if err := tmp.Chmod(mode); err != nil {
		return err
	}
	if err := tmp.Sync(); err != nil {
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), name)
}

// writeThrough writes to what is not a regular file, such as a pipe.
func writeThrough(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

// hertz returns the frequencies of the bench's sweep.
func hertz(b *bench.Bench) ([]float64, error) {
	hz, err := b.Sweep.Frequencies()
	if err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	return hz, b.Covers(hz)
}

// soft separates a warning about the solver's condition, which comes beside a
// usable answer, from an error.
func soft(err error) (warning string, hard error) {
	var near *network.Condition
	if errors.As(err, &near) {
		return near.Error(), nil
	}
	return "", err
}
