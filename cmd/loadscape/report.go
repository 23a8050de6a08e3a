package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/safety"
	"loadscape/network/tolerance"
	"loadscape/network/tone"
	"loadscape/thielesmall"
)

// reporting is what report is asked for.
type reporting struct {
	load, target, setup string
	table               string // of a measurement
	dir                 string
	builds              tolerance.Options
}

// built is all that is told of a load that is built.
type built struct {
	bench  *bench.Bench
	source []byte // of the bench file

	name    string
	circuit network.OnePort // the load, whose parts note where they are laid
	setup   chain.Setup     // that the load is judged in
	link    int             // of the setup, in which the load is

	curve    impedanceCurve
	target   *impedanceCurve // nil: none
	measured *impedanceCurve // nil: none
	computed impedanceCurve  // the load at the frequencies measured, inside the sweep
	against  string          // what tone is compared with, "" if nothing is
	tone     *tone.Comparison
	spread   *tolerance.Result // of the load; nil: no part states a tolerance
	toneBand *tolerance.Result // of the setup, likewise

	checked
	parts []builtPart
	heat  point // W in all parts by the hardest sine at rated drive
	notes []string
}

func newReport() *cobra.Command {
	var d reporting
	cmd := &cobra.Command{
		Use:   "report BENCH -o DIR",
		Short: "The build log of a load: one page, with its figures and parts list",
		Long: `report writes up a load that is built of parts, into a directory: index.html, a page
that needs nothing else, for a screen, a telephone or paper; report.md, the same with
the figures beside it; parts.csv; and the bench file.

It tells what was asked, and shows the schematic, the parts with what they bear
and their ratings, a coil to wind for each inductor, impedance against the target and
a measurement, the spread of builds, the tone, and whether the setup is safe.

Without flags it takes the first setup whose load is all of parts, other than the reference,
and holds it against the reference's load.`,
		Example: `  loadscape report bench.yaml -o build-log
  loadscape report bench.yaml --load shaped-8 --target ash-412 --measured shaped-8.csv -o build-log`,
		Args: cobra.ExactArgs(1),
	}
	f := cmd.Flags()
	f.StringVar(&d.load, "load", "", "`NAME` of the load that is built (default that of the setup)")
	f.StringVar(&d.target, "target", "", "`NAME` of the cabinet, driver or load that it stands in for (default that of the reference)")
	f.StringVar(&d.setup, "setup", "", "`NAME` of the setup to judge it in (default the first that has the load)")
	f.StringVar(&d.table, "measured", "", "`TABLE` of the impedance that was measured of it")
	f.StringVarP(&d.dir, "output", "o", "", "write to the directory `DIR`")
	f.IntVar(&d.builds.Builds, "builds", 10_000, "`NUMBER` of builds for the spread")
	f.Uint64Var(&d.builds.Seed, "seed", 1, "`NUMBER` that the chance starts from")
	cobra.CheckErr(cmd.MarkFlagRequired("output"))
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runReport(cmd, &d, args[0]) }
	return cmd
}

func runReport(cmd *cobra.Command, d *reporting, file string) error {
	if d.dir == "" {
		return errors.New("--output: expected the name of a directory")
	}
	if d.builds.Builds < 1 || d.builds.Builds > tolerance.MaxBuilds {
		return fmt.Errorf("--builds %d: expected 1 to %d", d.builds.Builds, tolerance.MaxBuilds)
	}
	if info, err := os.Stat(d.dir); err == nil && !info.IsDir() {
		return &fs.PathError{Op: "write", Path: d.dir, Err: errors.New("expected a directory")}
	}
	r := &built{}
	if err := r.read(cmd, file); err != nil {
		return err
	}
	for _, step := range []func(*cobra.Command, *reporting) error{r.choose, r.curves, r.compare, r.judge, r.spreads} {
		if err := step(cmd, d); err != nil {
			return err
		}
	}
	files, err := r.files()
	if err != nil {
		return err
	}
	return writeDirectory(d.dir, files)
}

// read reads the bench and keeps its text.
func (r *built) read(cmd *cobra.Command, file string) (err error) {
	if file == "-" {
		if r.source, err = io.ReadAll(io.LimitReader(cmd.InOrStdin(), bench.MaxSize+1)); err != nil {
			return &fs.PathError{Op: "read", Path: "standard input", Err: err}
		}
	}
	if r.bench, err = readBench(bytes.NewReader(r.source), file); err != nil {
		return err
	}
	if file != "-" {
		if r.source, err = os.ReadFile(file); err != nil {
			return err
		}
	}
	for _, w := range r.bench.Warnings {
		fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
	}
	r.notes = append(r.notes, r.bench.Warnings...)
	return nil
}

// choose settles load, setup and target.
func (r *built) choose(_ *cobra.Command, d *reporting) error {
	var names []string
	if d.setup != "" {
		names = []string{d.setup}
	}
	setups, err := r.bench.SetupsNamed(names)
	if err != nil {
		return err
	}
	found := false
	for _, s := range setups {
		if name, link, ok := buildable(s, d.load); ok && (d.setup != "" || d.load != "" || s.Name != r.bench.Reference) {
			r.name, r.setup, r.link, found = name, s, link, true
			break
		}
	}
	if !found {
		return r.noLoad(d)
	}
	if d.target == "" && r.bench.Reference != r.setup.Name && r.bench.Reference != "" {
		reference, err := r.bench.ReferenceSetup()
		if err != nil {
			return err
		}
		if n, ok := reference.Links[len(reference.Links)-1].Load.(network.Named); ok && n.Name != r.name {
			d.target = n.Name
		}
	}
	p, err := r.bench.OnePort(r.name)
	if err != nil {
		return err
	}
	var whole string
	network.Walk(p, func(p network.OnePort) {
		switch p.(type) {
		case thielesmall.Driver, thielesmall.Cabinet:
			whole = p.Label()
		}
	})
	if whole != "" {
		return fmt.Errorf("--load %s: it holds %s, which is not built from parts: expected a load of resistors, inductors and capacitors", r.name, whole)
	}
	r.circuit = marked(p)
	return nil
}

// noLoad says why no load was found.
func (r *built) noLoad(d *reporting) error {
	switch {
	case d.load == "":
		return errors.New("no setup has a load that is all of resistors, inductors and capacitors: expected one, or --load NAME")
	case d.setup != "":
		return fmt.Errorf("--setup %s: its load is not %s: expected a setup that has it", d.setup, d.load)
	}
	if _, err := r.bench.OnePort(d.load); err != nil {
		return fmt.Errorf("--load: %w", err)
	}
	return fmt.Errorf("--load %s: no setup has it: expected one, since a load is judged with its amplifier", d.load)
}

// judge checks the setup and lists the parts with what they bear.
func (r *built) judge(*cobra.Command, *reporting) error {
	hz, err := safetyFrequencies(r.bench)
	if err != nil {
		return err
	}
	if r.result, err = r.setup.RunRefined(hz); err != nil {
		return err
	}
	r.report = safety.Check(r.result)
	return r.listParts()
}

// spreads runs the builds, if any part states a tolerance.
func (r *built) spreads(cmd *cobra.Command, d *reporting) error {
	varies := false
	for _, p := range r.parts {
		varies = varies || p.rating.Tolerance > 0
	}
	if !varies {
		return nil
	}
	o := d.builds
	o.Band = r.bench.Band
	load, err := tolerate(cmd, r.bench, r.name, o)
	if err != nil {
		return err
	}
	whole, err := tolerate(cmd, r.bench, r.setup.Name, o)
	if err != nil {
		return err
	}
	r.spread, r.toneBand = load.Result, whole.Result
	return nil
}
