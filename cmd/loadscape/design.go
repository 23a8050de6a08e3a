package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/design"
	"loadscape/network/hearing"
	"loadscape/network/preferred"
	"loadscape/network/wire"
	"loadscape/plot"
)

// designing is what the flags of design say.
type designing struct {
	answer
	target, name     string
	amplifier        string
	tapText, power   string
	scale            float64
	shunt, series    string
	wire             string
	low, high        string
	offImpedance     string // limits
	offTone          string
	options          design.Options
	tap, ratedPower  float64
	bandFrom, bandTo float64
}

// designed is a load that was found for a target.
type designed struct {
	*design.Result
	options   design.Options
	title     string
	target    string
	name      string
	scale     float64
	rated     float64 // ohm, of the load
	amplifier string  // what it was designed for, in words
	band      hearing.Band
	curves    []impedanceCurve // over the sweep, the target's and the load's
}

const (
	figureFront  = "front"
	nominal      = "nominal"
	nominalPower = 50 // W
)

func newDesign() *cobra.Command {
	var d designing
	cmd := &cobra.Command{
		Use:   "design BENCH --target NAME",
		Short: "A load of parts that behaves like a cabinet",
		Long: `design finds a load of resistors, coils and capacitors whose impedance follows that of
a cabinet, driver, load or measured table on the bench. What counts is the error of
impedance and the deviation of tone with an amplifier, over the listening band: it
takes the fewest parts that keep the limits of both. Then it chooses preferred values
together, winds the coils, puts their resistance back into the circuit, and
tells what every part must bear.

The answer ends with a piece of a bench file; -o FILE.yaml writes that piece alone.

What is built from it carries the full power of an amplifier. The makers' ratings, local
codes and a qualified technician come before this program.`,
		Example: `  loadscape design bench.yaml --target ash-412 --amplifier cab-alone --figure design.svg
  loadscape design bench.yaml --target ash-412 --series resistor=E24,capacitor=E6 -o load.yaml
  loadscape design bench.yaml --target ash-412 --figure front.svg --figure-type front`,
		Args: cobra.ExactArgs(1),
	}
	d.bind(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runDesign(cmd, &d, args[0]) }
	return cmd
}

func (d *designing) bind(cmd *cobra.Command) {
	d.bindForm(cmd, figureImpedance, figureFront)
	f, o := cmd.Flags(), &d.options
	f.Lookup("format").Usage = "form of the answer: table, csv, json or bench (default table, or as FILE of --output ends)"
	f.StringVar(&d.target, "target", "", "`NAME` of the cabinet, driver, load or measured table to follow")
	f.StringVar(&d.name, "name", "", "`NAME` of the load (default that of the target with -load)")
	f.StringVar(&d.amplifier, "amplifier", nominal, "amplifier that the load is for, by its `NAME` or that of a setup; nominal: one with the load's rated impedance as its source impedance")
	f.StringVar(&d.tapText, "tap", "", "tap's `IMPEDANCE` (default that of the setup, times the scale for a valve stage)")
	f.StringVar(&d.power, "power", "", "amplifier's rated `POWER` (default that of the setup; 50 W if nominal)")
	f.Float64Var(&d.scale, "scale", 1, "`FACTOR` of the impedance: 0.5 makes an 8 ohm load like a 16 ohm cabinet")
	f.StringVar(&d.shunt, "shunt", "", "`RESISTANCE` of a resistor across the load, one of the parts (default none)")
	f.IntVar(&o.MaxParts, "max-parts", 10, "largest `NUMBER` of parts, 1 to 16")
	f.IntVar(&o.Parts, "parts", 0, "`NUMBER` of parts to take (default the fewest that keep the limits)")
	f.StringVar(&d.series, "series", "E12", "preferred `VALUES` of IEC 60063 for resistors and capacitors, E3 to E192, any, or stock for what the bench lists; or by kind, as \"resistor=E24,capacitor=E6,inductor=any\"; coils are wound to any value unless told")
	f.StringVar(&d.wire, "wire", design.DefaultGauge.String(), "`SIZE` of the coils' wire, as \"16 AWG\" or \"1.2 mm\"")
	f.StringVar(&d.offImpedance, "impedance-limit", "5 %", "RMS error of impedance that is allowed, a `RATIO`")
	f.StringVar(&d.offTone, "tone-limit", "0.5 dB", "RMS deviation of tone that is allowed, a `LEVEL`")
	f.StringVar(&d.low, "from", "", "lowest `FREQUENCY` that counts (default that of the listening band)")
	f.StringVar(&d.high, "to", "", "highest `FREQUENCY` that counts (default that of the listening band)")
	cobra.CheckErr(cmd.MarkFlagRequired("target"))
}

func runDesign(cmd *cobra.Command, d *designing, file string) error {
	if err := d.check(); err != nil {
		return err
	}
	b, err := readBench(cmd.InOrStdin(), file)
	if err != nil {
		return err
	}
	for _, w := range b.Warnings {
		fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
	}
	if err := d.takeStock(b); err != nil {
		return err
	}
	r, err := d.find(b)
	if err != nil {
		return err
	}
	if d.format != formatTable || d.output != "" { // else the answer tells them
		for _, w := range r.Warnings {
			fmt.Fprintln(cmd.ErrOrStderr(), "note:", w)
		}
	}
	return d.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeDesigned(w, r) },
		formatCSV:   func(w io.Writer) error { return writeDesignedCSV(w, r) },
		formatJSON:  func(w io.Writer) error { return writeDesignedJSON(w, r) },
		formatBench: func(w io.Writer) error { return writeDesignedBench(w, r) },
	}, func() (*plot.Figure, error) { return drawDesigned(d.figureType, r) })
}

// check reads the flags, before any file is read.
func (d *designing) check() error {
	ext := strings.ToLower(filepath.Ext(d.output))
	if d.format == formatBench || d.format == "" && (ext == ".yaml" || ext == ".yml") {
		d.format = formatTable // which the other commands know
		defer func() { d.format = formatBench }()
	}
	if d.options.MaxParts == 0 {
		return fmt.Errorf("--max-parts 0: expected 1 to 16")
	}
	o := &d.options
	return cmp.Or(
		named(d.name),
		d.answer.check(),
		setQuantity("--tap", d.tapText, quantity.Resistance, &d.tap),
		setQuantity("--power", d.power, quantity.Power, &d.ratedPower),
		setQuantity("--shunt", d.shunt, quantity.Resistance, &o.Shunt),
		setQuantity("--impedance-limit", d.offImpedance, quantity.Ratio, &o.Limits.Impedance),
		setQuantity("--tone-limit", d.offTone, quantity.Level, &o.Limits.Tone),
		setFrequency("--from", d.low, &d.bandFrom),
		setFrequency("--to", d.high, &d.bandTo),
		d.readSeries(),
		d.readWire())
}

// readSeries reads --series: one series, or a list by kind.
func (d *designing) readSeries() error {
	o := &d.options
	if !strings.Contains(d.series, "=") {
		s, err := seriesOf(d.series)
		o.Resistors, o.Capacitors = s, s
		if d.series == stock {
			o.Inductors = s
		}
		return err
	}
	o.Resistors, o.Capacitors = preferred.E12, preferred.E12
	for item := range strings.SplitSeq(d.series, ",") {
		kind, name, _ := strings.Cut(item, "=")
		var set *preferred.Values
		err := choose("--series", strings.TrimSpace(kind), &set,
			choice[*preferred.Values]{"resistor", &o.Resistors},
			choice[*preferred.Values]{"inductor", &o.Inductors},
			choice[*preferred.Values]{"capacitor", &o.Capacitors})
		if err != nil {
			return err
		}
		if *set, err = seriesOf(name); err != nil {
			return err
		}
	}
	return nil
}

// stock stands for the values that the bench lists.
const stock = "stock"

// inStock is what takes the place of the bench's list until it is read.
var inStock = preferred.List{}

// seriesOf reads the name of a series; any stands for none.
func seriesOf(name string) (preferred.Values, error) {
	switch strings.TrimSpace(name) {
	case "any":
		return nil, nil
	case stock:
		return inStock, nil
	}
	s, err := preferred.ParseSeries(name)
	if err != nil {
		return nil, fmt.Errorf("--series %s: expected any, stock, E3, E6, E12, E24, E48, E96 or E192", name)
	}
	return s, nil
}

// takeStock puts the lists of the bench where --series asks for them.
func (d *designing) takeStock(b *bench.Bench) error {
	o := &d.options
	for _, kind := range []struct {
		name string
		have preferred.List
		set  *preferred.Values
	}{{"resistors", b.Stock.Resistors, &o.Resistors}, {"inductors", b.Stock.Inductors, &o.Inductors}, {"capacitors", b.Stock.Capacitors, &o.Capacitors}} {
		list, asked := (*kind.set).(preferred.List)
		switch {
		case !asked || len(list) > 0:
		case len(kind.have) > 0:
			*kind.set = kind.have
		case kind.name == "inductors" && d.series == stock:
			*kind.set = nil // wound to any value
		default:
			return fmt.Errorf("--series %s: the bench has no stock of %s: expected {%s: [...]} under stock", d.series, kind.name, kind.name)
		}
	}
	return nil
}

func (d *designing) readWire() error {
	w := wire.Wire{Enamel: wire.Grade2}
	if g, err := wire.ParseAWG(d.wire); err == nil {
		w.Diameter = g.Diameter()
	} else if err := setQuantity("--wire", d.wire, quantity.Length, &w.Diameter); err != nil || d.wire == "" {
		return fmt.Errorf("--wire %q: expected a gauge such as 16 AWG or a diameter such as 1.2 mm", d.wire)
	}
	d.options.Wire = w
	return nil
}

// find designs the load.
func (d *designing) find(b *bench.Bench) (*designed, error) {
	p, err := b.OnePort(d.target)
	if err != nil {
		return nil, fmt.Errorf("--target: %w", err)
	}
	if !(d.scale >= 0.01 && d.scale <= 100) {
		return nil, fmt.Errorf("--scale %g: expected a number from 0.01 to 100", d.scale)
	}
	hz, err := hertz(b)
	if err != nil {
		return nil, err
	}
	z, err := network.Impedance(p, hz)
	if z == nil {
		return nil, fmt.Errorf("--target %s: %w", d.target, err)
	}
	r := &designed{
		options: d.options, title: b.Title, target: d.target, scale: d.scale, rated: d.scale * ratedImpedance(p, hz, z),
		name: cmp.Or(d.name, d.target+"-load"),
		band: hearing.Band{From: cmp.Or(d.bandFrom, b.Band.From), To: cmp.Or(d.bandTo, b.Band.To)},
	}
	out, err := d.source(b, r)
	if err != nil {
		return nil, err
	}
	target, err := design.NewTarget(p, d.scale, out, r.band)
	if err != nil {
		return nil, fmt.Errorf("--target %s: %w", d.target, err)
	}
	if r.Result, err = design.Find(target, d.options); err != nil {
		return nil, err
	}
	return r, r.draw(hz, z)
}

// draw keeps the curves of target and load over the sweep.
func (r *designed) draw(hz []float64, z []complex128) error {
	target := impedanceCurve{r.target, hz, make([]complex128, len(z))}
	if r.scale != 1 {
		target.name = fmt.Sprintf("%g × %s", r.scale, r.target)
	}
	for i := range z {
		target.z[i] = complex(r.scale, 0) * z[i]
	}
	load, err := network.Impedance(r.OnePort(), hz)
	if _, hard := soft(err); hard != nil {
		return hard
	}
	r.curves = []impedanceCurve{target, {r.name, hz, load}}
	if low, _ := extremes(hz, load); low.value < lowestShare*r.rated*(1-1e-9) {
		r.Warnings = append(r.Warnings, fmt.Sprintf("the load falls to %s, under 80 %% of the %.3g ohm for which it is rated (IEC 60268-5)", ohmsAt(low), r.rated))
	}
	return nil
}

func drawDesigned(kind string, r *designed) (*plot.Figure, error) {
	if kind == figureImpedance {
		return drawCurves(kind, r.title, r.curves)
	}
	var trades []plot.Trade
	for _, d := range r.Front {
		trades = append(trades, plot.Trade{Parts: d.Topology.Parts(), Deviation: d.Score, Label: fmt.Sprintf("%.2g dB, %s", d.Error.Tone, share(d.Error.Impedance))})
	}
	y := plot.Axis{Label: "Off the target, 1 at the limits", Scale: plot.Linear}
	return plot.Front("Loads like "+r.target+": what each part brings", y, trades, r.Chosen), nil
}

// named reports a --name that a bench file could not hold.
func named(name string) error {
	if err := bench.CheckName(name); err != nil {
		return fmt.Errorf("--name: %w", err)
	}
	return nil
}
