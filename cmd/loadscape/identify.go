package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/measured"
	"loadscape/plot"
	"loadscape/thielesmall"
	"loadscape/thielesmall/identify"
)

// identifying is what the flags of identify say.
type identifying struct {
	answer
	tableSource
	name      string
	second    tableSource
	other     string // file of the second curve
	mass, box string
	sd        string

	criterion, creep, skew string
	re, from, to           string
	magnitudeNoise         string
	phaseNoise             float64 // degrees
	options                identify.Options

	kilograms, cubicMetres, squareMetres float64
}

// identified is what was found.
type identified struct {
	*identify.Result
	name      string
	file      string
	beside    string // the file as the answer, which is a bench file, names it
	table     *measured.Table
	criterion identify.Criterion
	mechanics *identify.Mechanics // nil: there is no second curve
	how       string              // what the second curve was measured with
	notes     []string            // on the second curve
}

const (
	figureFit   = "fit"
	formatBench = "bench"
)

func newIdentify() *cobra.Command {
	var d identifying
	cmd := &cobra.Command{
		Use:   "identify TABLE",
		Short: "Parameters of a loudspeaker from its measured impedance",
		Long: `identify fits the model of a loudspeaker to a measured impedance: resistance, resonance
and its quality factors, voice coil, creep of the suspension, for a cabinet with several
resonances each of them. Every voice-coil model is tried, and the one chosen that the
criterion prefers. Each value comes with its standard error, and beside it what the
classical three points of the curve give.

A second curve of the same driver, with a mass on the cone (--added-mass) or in a closed
box (--test-box), gives moving mass, compliance, force factor and, with --sd, Vas.

The answer ends with a piece of a bench file; -o FILE.yaml writes that piece alone.
TABLE is anything that "loadscape table" reads, or - for standard input.`,
		Example: `  loadscape identify free.csv --figure fit.svg
  loadscape identify free.csv --added-mass "30 g" --second mass.csv --sd "522 cm2" -o driver.yaml`,
		Args: cobra.ExactArgs(1),
	}
	d.bind(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runIdentify(cmd, &d, args[0]) }
	return cmd
}

func (d *identifying) bind(cmd *cobra.Command) {
	d.bindForm(cmd, figureFit)
	d.tableSource.bind(cmd)
	f, o := cmd.Flags(), &d.options
	f.Lookup("format").Usage = "form of the answer: table, csv, json or bench (default table, or as FILE of --output ends)"
	f.StringVar(&d.name, "name", "", "`NAME` of the driver or cabinet (default that of the curve)")
	f.StringVar(&d.other, "second", "", "second curve of the driver, a `TABLE`")
	f.StringVar(&d.second.Header, "second-header", "", "what the `COLUMNS` of the second table hold")
	f.StringVar(&d.second.Curve, "second-curve", "", "`NAME` of the second curve in its file")
	f.StringVar(&d.mass, "added-mass", "", "the `MASS` on the cone in the second curve, as \"30 g\"")
	f.StringVar(&d.box, "test-box", "", "the `VOLUME` of the box of the second curve, as \"40 L\"")
	f.StringVar(&d.sd, "sd", "", "effective `AREA` of the cone, as \"522 cm2\"")
	f.StringVar(&o.VoiceCoil, "voice-coil", "", "the only `MODEL` to try: none, inductance, ladder, power_law, split_power_law or semi_inductance")
	f.IntVar(&o.Rungs, "rungs", 0, "`RUNGS` of the ladder, 1 to 4 (default 1, or 2 where the criterion is for it)")
	f.StringVar(&d.criterion, "criterion", "bic", "`CRITERION` between models: bic or aicc")
	f.StringVar(&d.creep, "creep", "judge", "`WHETHER` the suspension creeps: judge, never or always")
	f.IntVar(&o.Resonances, "resonances", 0, "`NUMBER` of resonances, 1 to 6 (default the peaks that the curve shows)")
	f.StringVar(&d.skew, "skew", "judge", "`WHETHER` resonances of one cabinet are skewed: judge, never or always")
	f.IntVar(&o.Bumps, "bumps", 0, "largest `NUMBER` of small bumps above the resonances, up to 6 (default 2; -1: none)")
	f.StringVar(&d.re, "re", "", "`RESISTANCE` of the coil measured with direct current, held in the fit")
	f.StringVar(&d.from, "from", "", "lowest `FREQUENCY` to fit (default that of the table)")
	f.StringVar(&d.to, "to", "", "highest `FREQUENCY` to fit (default that of the table)")
	f.StringVar(&d.magnitudeNoise, "magnitude-noise", "", "expected noise of the magnitude, a `RATIO` (default 1 %)")
	f.Float64Var(&d.phaseNoise, "phase-noise", 0, "expected noise of the phase in `DEGREES` (default 1)")
	f.BoolVar(&o.Noise.Known, "noise-known", false, "take standard errors from the expected noise, not from the residual")
}

func runIdentify(cmd *cobra.Command, d *identifying, file string) error {
	if err := d.check(); err != nil {
		return err
	}
	r, err := d.fit(cmd, file)
	if err != nil {
		return err
	}
	if d.format != formatTable || d.output != "" { // else the answer tells them
		for _, w := range r.warnings() {
			fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
		}
	}
	return d.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeIdentified(w, r) },
		formatCSV:   func(w io.Writer) error { return writeIdentifiedCSV(w, r) },
		formatJSON:  func(w io.Writer) error { return writeIdentifiedJSON(w, r) },
		formatBench: func(w io.Writer) error { return writeFragment(w, r) },
	}, func() (*plot.Figure, error) { return drawIdentified(r) })
}

// check reads the flags, before any file is read.
func (d *identifying) check() error {
	if err := named(d.name); err != nil {
		return err
	}
	if err := d.checkForm(); err != nil {
		return err
	}
	o := &d.options
	whether := []choice[identify.Choice]{{"judge", identify.Judge}, {"never", identify.Never}, {"always", identify.Always}}
	switch {
	case d.mass != "" && d.box != "":
		return fmt.Errorf("--added-mass and --test-box: expected one of them")
	case (d.mass != "" || d.box != "") != (d.other != ""):
		return fmt.Errorf("--second and --added-mass or --test-box belong together: expected the second curve, and what it was measured with")
	case d.phaseNoise < 0 || d.phaseNoise > 90:
		return fmt.Errorf("--phase-noise %g: expected degrees from 0 to 90", d.phaseNoise)
	}
	o.Noise.Phase = d.phaseNoise * math.Pi / 180
	return cmp.Or(
		choose("--criterion", d.criterion, &o.Criterion, choice[identify.Criterion]{"bic", identify.BIC}, choice[identify.Criterion]{"aicc", identify.AICc}),
		choose("--creep", d.creep, &o.Creep, whether...),
		choose("--skew", d.skew, &o.Skew, whether...),
		setQuantity("--re", d.re, quantity.Resistance, &o.Re),
		setQuantity("--magnitude-noise", d.magnitudeNoise, quantity.Ratio, &o.Noise.Magnitude),
		setQuantity("--added-mass", d.mass, quantity.Mass, &d.kilograms),
		setQuantity("--test-box", d.box, quantity.Volume, &d.cubicMetres),
		setQuantity("--sd", d.sd, quantity.Area, &d.squareMetres),
		setFrequency("--from", d.from, &o.From),
		setFrequency("--to", d.to, &o.To))
}

// checkForm is answer.check with the form of a bench file.
func (d *identifying) checkForm() error {
	ext := strings.ToLower(filepath.Ext(d.output))
	if d.format == formatBench || d.format == "" && (ext == ".yaml" || ext == ".yml") {
		d.format = formatTable // which the other commands know
		defer func() { d.format = formatBench }()
	}
	return d.answer.check()
}

func (d *identifying) fit(cmd *cobra.Command, file string) (*identified, error) {
	t, err := d.read(cmd, file)
	if err != nil {
		return nil, err
	}
	result, err := identify.Identify(t, d.options)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	r := &identified{Result: result, name: cmp.Or(d.name, t.Name), file: file, beside: file, table: t, criterion: d.options.Criterion}
	if file == "-" {
		r.file, r.beside = "standard input", r.name+".csv"
	} else if relative, err := filepath.Rel(filepath.Dir(d.output), file); err == nil && d.output != "" {
		r.beside = relative
	}
	if d.other == "" {
		return r, nil
	}
	return r, d.compare(cmd, r)
}

// compare finds the mechanics from the second curve, to which the same model
// is fitted.
func (d *identifying) compare(cmd *cobra.Command, r *identified) error {
	t, err := d.second.read(cmd, d.other)
	if err != nil {
		return err
	}
	o := d.options
	o.VoiceCoil, o.Creep, o.Resonances, o.Re = "none", identify.Never, 1, 0
	if r.VoiceCoil != nil {
		o.VoiceCoil = r.VoiceCoil.Label()
	}
	if l, ok := r.VoiceCoil.(thielesmall.Ladder); ok {
		o.Rungs = len(l.Rungs)
	}
	if r.Creep != (identify.Estimate{}) {
		o.Creep = identify.Always
	}
	second, err := identify.Identify(t, o)
	if err != nil {
		return fmt.Errorf("%s: %w", d.other, err)
	}
	for _, w := range t.Warnings {
		r.notes = append(r.notes, fmt.Sprintf("%s: %v", d.other, w))
	}
	for _, w := range second.Warnings {
		if w.Kind == identify.Misfit || w.Kind == identify.Doubtful {
			r.notes = append(r.notes, fmt.Sprintf("%s: %v", d.other, w))
		}
	}
	if d.mass != "" {
		r.how = "with " + quantity.Format(d.kilograms, quantity.Mass, 4) + " on the cone"
		r.mechanics, err = identify.AddedMass(r.Result, second, d.kilograms, d.squareMetres)
	} else {
		r.how = "in a box of " + quantity.Format(d.cubicMetres, quantity.Volume, 4)
		r.mechanics, err = identify.TestBox(r.Result, second, d.cubicMetres, d.squareMetres)
	}
	return err
}
