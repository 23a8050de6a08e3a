package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/tolerance"
	"loadscape/plot"
)

// tolerating is what tolerance is asked for.
type tolerating struct {
	answer
	distribution, judge, limit string
	options                    tolerance.Options
}

// tolerated is what was found.
type tolerated struct {
	*tolerance.Result
	name  string
	setup bool // the deviation is one of tone, not of impedance
}

const figureParts = "parts"

func newTolerance() *cobra.Command {
	var d tolerating
	cmd := &cobra.Command{
		Use:   "tolerance BENCH NAME",
		Short: "How far builds of a load or setup spread with the tolerances of their parts",
		Long: `tolerance builds a load, or all that stands between a setup's amplifiers and the
listener, thousands of times over, each part off by chance within the tolerance that
the bench states for it. It gives the median, the middle half and nine tenths of the
builds: their impedance and, for a setup, their tone against the nominal build, both
equally loud; the share of builds within a limit; the worst build and the worst
corner, each part at one end of its tolerance; and the parts that matter most.

The same seed gives the same answer on any machine with the same arithmetic, however
many cores it has.`,
		Example: `  loadscape tolerance bench.yaml shaped-8 --limit "1 dB"
  loadscape tolerance bench.yaml shaped-alone --distribution normal --figure spread.svg`,
		Args: cobra.ExactArgs(2),
	}
	d.bind(cmd, figureDeviation, figureImpedance, figureParts)
	f, o := cmd.Flags(), &d.options
	f.IntVar(&o.Builds, "builds", 10_000, "`NUMBER` of builds")
	f.Uint64Var(&o.Seed, "seed", 1, "`NUMBER` that the chance starts from")
	f.StringVar(&d.distribution, "distribution", "uniform", "`LAW` of chance: uniform within the tolerance, or normal and cut off there")
	f.Float64Var(&o.Sigmas, "sigmas", 3, "standard deviations in a tolerance, of a normal distribution, 1 to 6")
	f.StringVar(&d.limit, "limit", "", "count the builds that deviate no more than `LEVEL`, as \"1 dB\"")
	f.StringVar(&d.judge, "judge-by", "largest", "`DEVIATION` that is held against the limit and finds the worst: largest, or rms over the band")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runTolerance(cmd, &d, args[0], args[1]) }
	return cmd
}

func runTolerance(cmd *cobra.Command, d *tolerating, file, name string) error {
	if err := d.settle(); err != nil {
		return err
	}
	b, err := d.open(cmd, file)
	if err != nil {
		return err
	}
	d.options.Band = b.Band
	r, err := tolerate(cmd, b, name, d.options)
	if err != nil {
		return err
	}
	for _, w := range r.Warnings {
		fmt.Fprintf(cmd.ErrOrStderr(), "note: %s: %s\n", name, w)
	}
	return d.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeToleranceTable(w, b, r) },
		formatCSV:   func(w io.Writer) error { return writeToleranceCSV(w, r) },
		formatJSON:  func(w io.Writer) error { return writeToleranceJSON(w, r) },
	}, func() (*plot.Figure, error) { return drawTolerance(d.figureType, b, r), nil })
}

// settle reads the flags that the library takes as values.
func (d *tolerating) settle() error {
	if d.options.Builds < 1 {
		return fmt.Errorf("--builds %d: expected 1 to %d", d.options.Builds, tolerance.MaxBuilds)
	}
	if s := d.options.Sigmas; !(s >= 1 && s <= 6) {
		return fmt.Errorf("--sigmas %g: expected 1 to 6", s)
	}
	if err := choose("--distribution", d.distribution, &d.options.Distribution,
		choice[tolerance.Distribution]{"uniform", tolerance.Uniform},
		choice[tolerance.Distribution]{"normal", tolerance.Normal}); err != nil {
		return err
	}
	if err := choose("--judge-by", d.judge, &d.options.Criterion,
		choice[tolerance.Criterion]{"largest", tolerance.Largest},
		choice[tolerance.Criterion]{"rms", tolerance.RMS}); err != nil {
		return err
	}
	return setQuantity("--limit", d.limit, quantity.Level, &d.options.Limit)
}

// tolerate runs the builds of what is named, until the user interrupts.
func tolerate(cmd *cobra.Command, b *bench.Bench, name string, o tolerance.Options) (*tolerated, error) {
	hz, err := hertz(b)
	if err != nil {
		return nil, err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	bar := newProgress(cmd.ErrOrStderr(), o.Builds)
	o.Progress = bar.show
	r := &tolerated{name: name}
	if setup, e := b.Setup(name); e == nil {
		r.setup = true
		r.Result, err = tolerance.Setup(ctx, setup, hz, o)
	} else {
		p, e := b.OnePort(name)
		if e != nil {
			return nil, e
		}
		r.Result, err = tolerance.Load(ctx, p, hz, o)
	}
	bar.clear()
	if errors.Is(err, context.Canceled) {
		return nil, errors.New("interrupted: nothing was written")
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return r, nil
}

// progress is a bar on a terminal, and nothing elsewhere.
type progress struct {
	w     io.Writer // nil: not a terminal
	total int
	shown int // hundredths
}

func newProgress(w io.Writer, total int) *progress {
	f, ok := w.(*os.File)
	if !ok {
		return &progress{}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &progress{}
	}
	return &progress{w: w, total: total}
}

func (p *progress) show(done int) {
	if p.w == nil || 100*done/p.total == p.shown {
		return
	}
	p.shown = 100 * done / p.total
	const width = 40
	full := width * done / p.total
	fmt.Fprintf(p.w, "\r%s%s %3d %% of %d builds", strings.Repeat("█", full), strings.Repeat("░", width-full), p.shown, p.total)
}

// clear takes the bar away.
func (p *progress) clear() {
	if p.w != nil && p.shown > 0 {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
