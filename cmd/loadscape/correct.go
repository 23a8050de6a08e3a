package main

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/chain"
	"loadscape/network/equalizer"
	"loadscape/plot"
)

const figureCorrection = "correction"

const (
	inaudible = 0.2 // dB, from lowest to highest: less is not worth another band
	headroom  = 1.2 // a band may go that much further than the deviation
)

// equalizing is what is asked of the bands, as written.
type equalizing struct {
	bands               int
	sampleRate, maxGain string
}

// corrected is a setup with the bands that undo its deviation.
type corrected struct {
	*compared
	equalizer.Correction
	reference *chain.Result
	points    []correctedPoint // below half the sample rate
}

// correctedPoint is one frequency, with levels in dB.
type correctedPoint struct{ hz, deviation, correction float64 }

func (p correctedPoint) left() float64 { return p.deviation + p.correction }

func newCorrect() *cobra.Command {
	var a answer
	var e equalizing
	cmd := &cobra.Command{
		Use:   "correct BENCH SETUP",
		Short: "Equalizer bands that undo what a setup does to the tone",
		Long: `correct fits a few equalizer bands to the deviation of a setup from the reference,
so that within the listening band as little of it is left as they can do. Each band
is printed as kind, frequency, gain and Q, and as a section of second order for the
sample rate: (b0 + b1/z + b2/z²)/(1 + a1/z + a2/z²). The sections follow each other;
the level goes with them, once. What they do outside the listening band is not looked
at: see the figure. No band is spent on what nobody hears, less than 0.2 dB from
lowest to highest, and none goes much further than the deviation itself.

A band with A = 10^(gain/40), s in units of its angular frequency, is
  peak        (s² + s·A/Q + 1) / (s² + s/(A·Q) + 1)
  low shelf   A·(s² + s·√A/Q + A) / (A·s² + s·√A/Q + 1)
  high shelf  A·(A·s² + s·√A/Q + 1) / (s² + s·√A/Q + A)
made digital by the bilinear transform with its frequency prewarped (Oppenheim and
Schafer, Discrete-Time Signal Processing; Zölzer, Digital Audio Signal Processing;
Orfanidis, Introduction to Signal Processing). A shelf has half its gain at its
frequency, a peak at the edges of its bandwidth, frequency/Q.`,
		Example: `  loadscape correct bench.yaml dummy --bands 3 --figure correction.svg
  loadscape correct bench.yaml dummy --sample-rate "96 kHz" --format json`,
		Args: cobra.ExactArgs(2),
	}
	a.bind(cmd, figureCorrection)
	f := cmd.Flags()
	f.IntVar(&e.bands, "bands", 4, "most bands, 1 to 16")
	f.StringVar(&e.sampleRate, "sample-rate", "48 kHz", "`FREQUENCY` at which the sections run, over twice the end of the listening band")
	f.StringVar(&e.maxGain, "max-gain", "12 dB", "most boost or cut `LEVEL` of a band, up to 100 dB")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runCorrect(cmd, &a, e, args[0], args[1]) }
	return cmd
}

func runCorrect(cmd *cobra.Command, a *answer, e equalizing, file, setup string) error {
	options, err := e.options()
	if err != nil {
		return err
	}
	b, err := a.open(cmd, file)
	if err != nil {
		return err
	}
	if options.Range = b.Band; options.SampleRate <= 2*b.Band.To {
		return fmt.Errorf("--sample-rate %s: expected more than twice %s, the end of the listening band", e.sampleRate, hertzText(b.Band.To))
	}
	c, err := correct(b, setup, options)
	if err != nil {
		return err
	}
	return a.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeCorrectTable(w, b, c, options) },
		formatCSV:   func(w io.Writer) error { return writeCorrectCSV(w, c) },
		formatJSON:  func(w io.Writer) error { return writeCorrectJSON(w, b, c) },
	}, func() (*plot.Figure, error) { return drawCorrect(b, c), nil })
}

// options reads what is asked of the bands.
func (e equalizing) options() (o equalizer.Options, err error) {
	const most = 16
	if e.bands < 1 || e.bands > most {
		return o, fmt.Errorf("--bands %d: expected 1 to %d", e.bands, most)
	}
	o.Bands, o.Threshold = e.bands, inaudible
	if o.SampleRate, err = frequency(e.sampleRate); err != nil {
		return o, fmt.Errorf("--sample-rate: %w", err)
	}
	text := e.maxGain
	if db, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(db, 'g', -1, 64) + " dB"
	}
	if o.MaxGain, err = quantity.Parse(text, quantity.Level, quantity.Bounds{Max: 100, Open: true}); err != nil {
		return o, fmt.Errorf("--max-gain: %w", err)
	}
	return o, nil
}

// correct fits bands to the deviation of a setup.
func correct(b *bench.Bench, setup string, options equalizer.Options) (*corrected, error) {
	if setup == b.Reference {
		return nil, fmt.Errorf("%s is the reference itself: expected a setup that deviates from it", setup)
	}
	all, ref, err := compareAll(io.Discard, b, []string{setup})
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s lets nothing through to correct", setup)
	}
	if len(all) != 1 {
		return nil, fmt.Errorf("%s is %d setups: expected one of them, such as %q", setup, len(all), all[0].Setup.Name)
	}
	c := &corrected{compared: all[0], reference: ref}
	options.MaxGain = min(options.MaxGain, max(headroom*c.span(), options.Threshold))
	if c.Correction, err = equalizer.Fit(c.Hz, c.tone.Deviation, options); err != nil {
		return nil, err
	}
	for i, hz := range c.Hz {
		if hz < options.SampleRate/2 {
			c.points = append(c.points, correctedPoint{hz, c.tone.Deviation[i], c.DB(hz)})
		}
	}
	return c, nil
}

// span returns the deviation's highest value in the listening band less its
// lowest. Bands that go much further only work against each other.
func (c *corrected) span() float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i, hz := range c.Hz {
		if c.tone.Band.Contains(hz) {
			low, high = min(low, c.tone.Deviation[i]), max(high, c.tone.Deviation[i])
		}
	}
	return high - low
}

// worst returns what is left where most is, within the listening band.
func (c *corrected) worst() point {
	var worst point
	for _, p := range c.points {
		if c.tone.Band.Contains(p.hz) && math.Abs(p.left()) > math.Abs(worst.value) {
			worst = point{p.left(), p.hz}
		}
	}
	return worst
}

// most returns the highest gain of the whole correction.
func (c *corrected) most() point {
	most := point{math.Inf(-1), 0}
	for _, p := range c.points {
		if p.correction > most.value {
			most = point{p.correction, p.hz}
		}
	}
	return most
}

func (c *corrected) trace(name string, value func(correctedPoint) float64) plot.Trace {
	t := plot.Trace{Name: name}
	for _, p := range c.points {
		t.Hz, t.Y = append(t.Hz, p.hz), append(t.Y, value(p))
	}
	return t
}

func drawCorrect(b *bench.Bench, c *corrected) *plot.Figure {
	band := plot.Interval{From: b.Band.From, To: b.Band.To, Name: "listening band"}
	return plot.Deviation(b.Title, c.reference.Setup.Name, []plot.Trace{
		c.trace(c.Setup.Name, func(p correctedPoint) float64 { return p.deviation }),
		c.trace("correction", func(p correctedPoint) float64 { return p.correction }),
		c.trace("what is left", correctedPoint.left),
	}, band)
}

func writeCorrectCSV(w io.Writer, c *corrected) error {
	t := newCSV(w, "setup", "frequency_hz", "deviation_db", "correction_db", "left_db")
	for _, p := range c.points {
		t.row(c.Setup.Name, p.hz, p.deviation, p.correction, p.left())
	}
	return t.end()
}

func writeCorrectJSON(w io.Writer, b *bench.Bench, c *corrected) error {
	type coefficients struct {
		B0 float64 `json:"b0"`
		B1 float64 `json:"b1"`
		B2 float64 `json:"b2"`
		A1 float64 `json:"a1"`
		A2 float64 `json:"a2"`
	}
	type band struct {
		Kind         string       `json:"kind"`
		Hz           float64      `json:"frequency_hz"`
		Gain         float64      `json:"gain_db"`
		Q            float64      `json:"q"`
		Coefficients coefficients `json:"coefficients"`
	}
	worst := c.worst()
	answer := struct {
		Setup      string     `json:"setup"`
		Reference  string     `json:"reference"`
		Band       [2]float64 `json:"listening_band_hz"`
		SampleRate float64    `json:"sample_rate_hz"`
		Level      float64    `json:"level_db"`
		Bands      []band     `json:"bands"`
		Before     float64    `json:"rms_before_db"`
		After      float64    `json:"rms_after_db"`
		Largest    float64    `json:"largest_left_db"`
		LargestHz  float64    `json:"largest_left_hz"`
	}{c.Setup.Name, c.reference.Setup.Name, [2]float64{b.Band.From, b.Band.To}, c.SampleRate, c.Level,
		[]band{}, c.Before, c.After, worst.value, worst.hz}
	for _, x := range c.Bands {
		answer.Bands = append(answer.Bands, band{x.Kind.String(), x.Hz, x.Gain, x.Q, coefficients(x.Coefficients(c.SampleRate))})
	}
	return writeJSON(w, answer)
}

func writeCorrectTable(w io.Writer, b *bench.Bench, c *corrected, options equalizer.Options) error {
	t := newTable(w)
	t.title(b.Title)
	t.say("%s corrected towards %s between %s and %s, both equally loud: %d of at most %d bands.",
		c.Setup.Name, c.reference.Setup.Name, hertzText(b.Band.From), hertzText(b.Band.To), len(c.Bands), options.Bands)
	if len(c.Bands) < options.Bands {
		t.say("What is left is not worth another band.")
	}
	if len(c.Bands) > 0 {
		c.writeBands(t)
		c.writeSections(t)
	}
	worst := c.worst()
	t.say("\nRMS deviation: %.2f dB before, %.2f dB after; most that is left: %s at %s.", c.Before, c.After, signed(worst.value), hertzText(worst.hz))
	t.say(`
This is for the signal after the amplifier, as recorded or monitored; before a stage
that is overdriven, bands change the overdrive too. A boost of 3 dB takes twice the
power of amplifier and loudspeaker. Loud sound harms hearing.
Whether a setup is safe is another question: loadscape check.`)
	return t.end()
}

func (c *corrected) writeBands(t *table) {
	t.say("")
	t.row("", "band", "frequency", "gain", "Q")
	for i, x := range c.Bands {
		t.row(strconv.Itoa(i+1), x.Kind.String(), fmt.Sprintf("%.1f Hz", x.Hz), fmt.Sprintf("%+.2f dB", x.Gain), fmt.Sprintf("%.3f", x.Q))
	}
	t.row("", "level", "", fmt.Sprintf("%+.2f dB", c.Level))
	t.end()
	most := c.most()
	t.say("Highest gain of the whole: %s at %s.", signed(most.value), hertzText(most.hz))
}

func (c *corrected) writeSections(t *table) {
	t.say("\nSections of second order at %s, a0 = 1; the level is a factor of %.6f.",
		quantity.Format(c.SampleRate, quantity.Frequency, 6), math.Pow(10, c.Level/20))
	t.row("", "b0", "b1", "b2", "a1", "a2")
	for i, x := range c.Bands {
		k := x.Coefficients(c.SampleRate)
		row := []string{strconv.Itoa(i + 1)}
		for _, v := range []float64{k.B0, k.B1, k.B2, k.A1, k.A2} {
			row = append(row, fmt.Sprintf("%+.12f", v))
		}
		t.row(row...)
	}
	t.end()
}
