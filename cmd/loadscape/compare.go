package main

import (
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network/chain"
	"loadscape/network/safety"
	"loadscape/network/tone"
	"loadscape/plot"
)

const (
	figureDeviation = "deviation"
	figureSeen      = "seen"
	figureLoss      = "loss"
	figureEar       = "ear"
)

// compared is a setup held against the reference.
type compared struct {
	*chain.Result
	tone        *tone.Comparison
	report      *safety.Report
	drop        float64      // dB by which the load gets less voltage than in the reference
	attenuation *attenuation // nil without an attenuator
}

func (c *compared) match() safety.Verdict { return c.report.VerdictOf(safety.RuleMatch) }

func newCompare() *cobra.Command {
	var a answer
	var rank string
	cmd := &cobra.Command{
		Use:   "compare BENCH [SETUP...]",
		Short: "Every setup against the reference: impedance, match and tone",
		Long: `compare holds every setup, or those named, against the reference: the impedance
that the amplifier sees, its match to the tap, and what is left of the difference in
tone once both are equally loud. The closest comes first, or as --rank says. Of an
attenuator it tells the loss into the real load and what the speaker looks back
into; if the bench states a listening_level, also what the ear asks for (ISO 226).`,
		Example: "  loadscape compare bench.yaml --figure deviation.svg",
		Args:    cobra.MinimumNArgs(1),
	}
	a.bind(cmd, figureDeviation, figureSeen, figureLoss, figureEar)
	cmd.Flags().StringVar(&rank, "rank", "", "order by "+strings.Join(rankNames(), ", ")+" and say why (default transparency)")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runCompare(cmd, &a, rank, args[0], args[1:]) }
	return cmd
}

func runCompare(cmd *cobra.Command, a *answer, rank, file string, names []string) error {
	order, err := rankingOf(rank)
	if err != nil {
		return err
	}
	b, err := a.open(cmd, file)
	if err != nil {
		return err
	}
	all, ref, err := compareAll(cmd.ErrOrStderr(), b, names)
	if err != nil {
		return err
	}
	slices.SortStableFunc(all, order.compare)
	return a.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeCompareTable(w, b, all, ref, rank) },
		formatCSV:   func(w io.Writer) error { return writeCompareCSV(w, all) },
		formatJSON:  func(w io.Writer) error { return writeCompareJSON(w, b, all) },
	}, func() (*plot.Figure, error) { return drawCompare(a.figureType, b, all, ref) })
}

// compareAll returns the setups named, or all, and the reference.
func compareAll(notes io.Writer, b *bench.Bench, names []string) (all []*compared, ref *chain.Result, err error) {
	hz, err := hertz(b)
	if err != nil {
		return nil, nil, err
	}
	setups, err := b.SetupsNamed(names)
	if err != nil {
		return nil, nil, err
	}
	reference, err := b.ReferenceSetup()
	if err != nil {
		return nil, nil, err
	}
	if ref, err = reference.Run(hz); err != nil {
		return nil, nil, err
	}
	for _, s := range setups {
		r := ref
		if s.Name != reference.Name {
			if r, err = s.Run(hz); err != nil {
				return nil, nil, err
			}
		}
		c, err := compareOne(b, r, ref)
		if err != nil && s.Name == reference.Name {
			return nil, nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		if err != nil {
			fmt.Fprintf(notes, "note: %s is left out: %v\n", s.Name, err)
			continue
		}
		all = append(all, c)
	}
	return all, ref, nil
}

func compareOne(b *bench.Bench, r, ref *chain.Result) (*compared, error) {
	c := &compared{Result: r, report: safety.Check(r)}
	if hz, err := safetyFrequencies(b); err == nil {
		if fine, err := r.Setup.RunRefined(hz); err == nil {
			c.report = safety.Check(fine)
		}
	}
	var err error
	if c.tone, err = tone.Compare(r.Hz, r.Response, ref.Response, b.Band); err != nil {
		return nil, err
	}
	level, err := tone.Level(r.Hz, r.Last().Terminal, b.Band)
	if err != nil {
		return nil, err
	}
	reference, err := tone.Level(ref.Hz, ref.Last().Terminal, b.Band)
	if err != nil {
		return nil, err
	}
	c.drop = reference - level
	c.attenuation, err = attenuationOf(b, r)
	return c, err
}

func drawCompare(kind string, b *bench.Bench, all []*compared, ref *chain.Result) (*plot.Figure, error) {
	band := plot.Interval{Name: "listening band", From: b.Band.From, To: b.Band.To}
	switch kind {
	case figureLoss:
		return drawLoss(b, all, band)
	case figureEar:
		return drawEar(b, all, band)
	case figureSeen:
		var curves []plot.Curve
		for _, c := range all {
			curves = append(curves, plot.Curve{Name: c.Setup.Name, Hz: c.Hz, Z: c.Links[0].Seen})
		}
		return plot.Impedance(b.Title+": impedance seen", curves, plot.Linear)
	}
	var traces []plot.Trace
	for _, c := range all {
		if c.Setup.Name != ref.Setup.Name {
			traces = append(traces, plot.Trace{Name: c.Setup.Name, Hz: c.Hz, Y: c.tone.Deviation})
		}
	}
	if len(traces) == 0 {
		return nil, fmt.Errorf("--figure: nothing to draw: expected a setup other than the reference %s", ref.Setup.Name)
	}
	return plot.Deviation(b.Title, ref.Setup.Name, traces, band), nil
}

func writeCompareCSV(w io.Writer, all []*compared) error {
	t := newCSV(w, "setup", "frequency_hz", "seen_ohm", "seen_deg", "terminal_db", "deviation_db")
	for _, c := range all {
		for i, z := range c.Links[0].Seen {
			t.row(c.Setup.Name, c.Hz[i], cmplx.Abs(z), degrees(z), decibels(cmplx.Abs(c.Response[i])), c.tone.Deviation[i])
		}
	}
	return t.end()
}

func writeCompareJSON(w io.Writer, b *bench.Bench, all []*compared) error {
	type seen struct {
		Lowest    float64 `json:"lowest_ohm"`
		LowestHz  float64 `json:"lowest_hz"`
		Highest   float64 `json:"highest_ohm"`
		HighestHz float64 `json:"highest_hz"`
	}
	type match struct {
		Tap     float64 `json:"tap_ohm"`
		Verdict string  `json:"verdict"`
	}
	type feature struct {
		Kind    string  `json:"kind"`
		Hz      float64 `json:"frequency_hz"`
		Height  float64 `json:"height_db"`
		Octaves float64 `json:"width_octaves"`
	}
	type deviation struct {
		Offset    float64   `json:"level_offset_db"`
		RMS       float64   `json:"rms_db"`
		Largest   float64   `json:"largest_db"`
		LargestHz float64   `json:"largest_hz"`
		Features  []feature `json:"features"`
	}
	type loss struct {
		At1k    float64 `json:"loss_1khz_db"`
		Least   float64 `json:"least_db"`
		LeastHz float64 `json:"least_hz"`
		Most    float64 `json:"most_db"`
		MostHz  float64 `json:"most_hz"`
		Source  float64 `json:"source_1khz_ohm"`
		Load    float64 `json:"load_1khz_ohm"`
	}
	type asks struct {
		From float64   `json:"from_phon"`
		To   float64   `json:"to_phon"`
		Hz   []float64 `json:"frequency_hz"`
		Asks []float64 `json:"boost_db"`
		Left []float64 `json:"left_db"`
	}
	type setup struct {
		Name      string    `json:"name"`
		Seen      seen      `json:"seen"`
		Match     match     `json:"match"`
		Deviation deviation `json:"deviation"`
		// Beyond the contract: only where there is something to say.
		Drop        float64 `json:"level_drop_db"`
		Attenuation *loss   `json:"attenuation,omitempty"`
		Ear         *asks   `json:"ear,omitempty"`
	}
	answer := struct {
		Reference string     `json:"reference"`
		Band      [2]float64 `json:"listening_band_hz"`
		Setups    []setup    `json:"setups"`
		Cautions  string     `json:"cautions"`
	}{b.Reference, [2]float64{b.Band.From, b.Band.To}, []setup{}, safety.Cautions}
	for _, c := range all {
		low, high := extremes(c.Hz, c.Links[0].Seen)
		s := setup{
			Name:  c.Setup.Name,
			Seen:  seen{low.value, low.hz, high.value, high.hz},
			Match: match{c.Links[0].Output.Tap(), c.match().String()},
			Deviation: deviation{c.tone.Offset, c.tone.RMS, c.tone.Largest, c.tone.LargestHz,
				[]feature{}},
		}
		for _, f := range c.tone.Features {
			s.Deviation.Features = append(s.Deviation.Features, feature{f.Kind.String(), f.Hz, f.Height, f.Octaves})
		}
		s.Drop = c.drop
		if a := c.attenuation; a != nil {
			s.Attenuation = &loss{a.at1k, a.low.value, a.low.hz, a.high.value, a.high.hz, a.source, a.load}
		}
		if e, err := earOf(b, c); err == nil && e != nil {
			s.Ear = &asks{e.from, e.to, e.hz, e.boost, e.left}
		}
		answer.Setups = append(answer.Setups, s)
	}
	return writeJSON(w, answer)
}

func writeCompareTable(w io.Writer, b *bench.Bench, all []*compared, ref *chain.Result, rank string) error {
	t := newTable(w)
	t.title(b.Title)
	t.say("Reference: %s. Deviations are from it, both equally loud between %s and %s; the level is\nthat of the voltage at the load. Humps and dips are told against what lies beside them.\n",
		ref.Setup.Name, hertzText(b.Band.From), hertzText(b.Band.To))
	t.row("", "tap", "seen: lowest", "highest", "match", "safety", "level", "RMS dev.", "largest deviation")
	for _, c := range all {
		low, high := extremes(c.Hz, c.Links[0].Seen)
		row := []string{c.Setup.Name, fmt.Sprintf("%.3g ohm", c.Links[0].Output.Tap()), ohmsAt(low), ohmsAt(high), c.match().String(), c.report.Verdict.String()}
		if c.Setup.Name == ref.Setup.Name {
			row = append(row, "reference")
		} else {
			row = append(row, signed(-c.drop), fmt.Sprintf("%.2f dB", c.tone.RMS),
				largest(c.tone))
		}
		t.row(row...)
	}
	t.end()
	writeRanking(t, all, ref, rank)
	for _, c := range all {
		if c.Setup.Name == ref.Setup.Name {
			continue
		}
		t.say("\n%s, against %s:", c.Setup.Name, ref.Setup.Name)
		for _, says := range findings(b, c, ref) {
			t.paragraph("  - ", says)
		}
	}
	t.say("\nWhat is wrong with a setup that is not ok in safety, loadscape check tells. Never run a valve\namplifier without a load; the maker's ratings and a qualified technician come before this program.")
	return t.end()
}

// largest says where a setup deviates most.
func largest(t *tone.Comparison) string {
	const audible = 0.005 // dB, what would be printed as zero
	if math.Abs(t.Largest) < audible {
		return "none"
	}
	return fmt.Sprintf("%s at %s", signed(t.Largest), hertzText(t.LargestHz))
}

// signed returns a level with its sign: "+1.2 dB".
func signed(db float64) string {
	if s := fmt.Sprintf("%+.1f dB", db); s != "-0.0 dB" {
		return s
	}
	return "+0.0 dB"
}
