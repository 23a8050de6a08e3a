package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/safety"
	"loadscape/plot"
)

const (
	figurePower = "power"
	figureClean = "clean"
)

// finest is the least number of points per octave at which safety is judged.
const finest = 48

// checked is a setup with what the rules say of it.
type checked struct {
	result *chain.Result
	report *safety.Report
}

func newCheck() *cobra.Command {
	var a answer
	cmd := &cobra.Command{
		Use:   "check BENCH [SETUP...]",
		Short: "Whether each setup is safe for the amplifier and the parts",
		Long: `check judges every setup, or those named: match to the tap, lowest impedance,
phase, open and short anywhere between 20 Hz and 20 kHz, clean power, and what
every part bears at rated and at overdriven power against its rating. Each finding
names its rule and where the rule comes from.

It exits with 1 if it finds a danger. The maker's ratings, local codes and a
qualified technician come before this program.`,
		Example: "  loadscape check bench.yaml both --figure power.svg",
		Args:    cobra.MinimumNArgs(1),
	}
	a.bind(cmd, figurePower, figureClean)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runCheck(cmd, &a, args[0], args[1:]) }
	return cmd
}

func runCheck(cmd *cobra.Command, a *answer, file string, names []string) error {
	b, err := a.open(cmd, file)
	if err != nil {
		return err
	}
	hz, err := safetyFrequencies(b)
	if err != nil {
		return err
	}
	setups, err := b.SetupsNamed(names)
	if err != nil {
		return err
	}
	var all []checked
	verdict := safety.OK
	for _, s := range setups {
		r, err := s.RunRefined(hz)
		if err != nil {
			return err
		}
		c := checked{r, safety.Check(r)}
		verdict = max(verdict, c.report.Verdict)
		all = append(all, c)
	}
	err = a.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeCheckTable(w, b.Title, all) },
		formatCSV:   func(w io.Writer) error { return writeCheckCSV(w, all) },
		formatJSON:  func(w io.Writer) error { return writeCheckJSON(w, all) },
	}, func() (*plot.Figure, error) { return drawCheck(a.figureType, all) })
	if a.format == formatCSV {
		fmt.Fprintln(cmd.ErrOrStderr(), safety.Cautions)
	}
	if err == nil && verdict == safety.Danger {
		return errDanger
	}
	return err
}

// safetyFrequencies returns the sweep at which safety is judged. It does not
// hang on how coarse or narrow somebody wants a curve, unless a measured load
// reaches no further.
func safetyFrequencies(b *bench.Bench) ([]float64, error) {
	whole := b.Sweep
	whole.From, whole.To = min(whole.From, safety.Lowest), max(whole.To, safety.Highest)
	whole.PerOctave = max(whole.PerOctave, finest)
	hz, err := whole.Frequencies()
	if err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	if last := hz[len(hz)-1]; last < safety.Highest {
		hz = append(hz, safety.Highest)
	}
	if b.Covers(hz) == nil {
		return hz, nil
	}
	whole.From, whole.To = b.Sweep.From, b.Sweep.To
	if hz, err = whole.Frequencies(); err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	return hz, b.Covers(hz)
}

// drawCheck draws the power in the parts of one setup, or the clean power into
// all of them.
func drawCheck(kind string, all []checked) (*plot.Figure, error) {
	if kind == figureClean {
		return drawClean(all), nil
	}
	if len(all) != 1 {
		return nil, fmt.Errorf("--figure: the power in the parts is drawn for one setup: name one of %s", strings.Join(checkedNames(all), ", "))
	}
	var parts []plot.PartPower
	for _, p := range powered(all[0].report.Parts) {
		if p.Verdict > safety.OK && p.Rating.Power > 0 == (p.Rating.Missing() != "") {
			p.Name += " (" + p.Verdict.String() + ")" // for a reason other than its power
		}
		parts = append(parts, plot.PartPower{Name: p.Name, Rated: p.Power, Overdriven: p.Overdriven, Rating: p.Rating.Power, Otherwise: otherwise(p)})
	}
	return plot.PowerShare("Power in the parts of "+all[0].report.Setup, parts), nil
}

func drawClean(all []checked) *plot.Figure {
	var traces []plot.Trace
	rated := 0.0
	for _, c := range all {
		link := c.result.Links[0]
		t := plot.Trace{Name: c.report.Setup, Hz: c.result.Hz}
		for _, z := range link.Seen {
			p, _ := link.Output.LargestCleanPower(z)
			t.Y = append(t.Y, p)
		}
		traces = append(traces, t)
		if p := link.Output.RatedPower(); len(traces) == 1 || rated == p {
			rated = p
		} else {
			rated = 0 // amplifiers of several powers share no line
		}
	}
	return plot.CleanPower("Largest clean power of the first amplifier", traces, rated)
}

func checkedNames(all []checked) []string {
	var names []string
	for _, c := range all {
		names = append(names, c.report.Setup)
	}
	return names
}

// powered returns the parts that take power worth a line, or that have a
// rating.
func powered(parts []safety.PartLoad) []safety.PartLoad {
	const worth = 1e-3 // W
	var shown []safety.PartLoad
	for _, p := range parts {
		if p.Power >= worth || p.Rating.Power > 0 || p.Verdict > safety.OK {
			shown = append(shown, p)
		}
	}
	return shown
}

func writeCheckTable(w io.Writer, title string, all []checked) error {
	t := newTable(w)
	t.title(title)
	for _, c := range all {
		t.say("%s: %s", c.report.Setup, strings.ToUpper(c.report.Verdict.String()))
		for _, f := range gathered(gravest(c.report.Findings)) {
			t.paragraph(fmt.Sprintf("  %-8s ", f.Verdict), fmt.Sprintf("%s: %s. [%s]", f.Rule, f.Says, f.Source))
		}
		if parts := powered(c.report.Parts); len(parts) > 0 {
			t.say("")
			t.row("  part", "rated drive", "overdriven", "rating", "hardest at", "")
			for _, p := range parts {
				t.row("  "+p.Name, watts(p.Power), watts(p.Overdriven), rating(p), hertzText(p.PowerHz), mark(p.Verdict))
			}
			t.end()
		}
		t.say("")
	}
	t.say("Part powers are those of a steady tone at the frequency that is hardest on each part.\n")
	t.say("%s", safety.Cautions)
	return t.end()
}

// gravest returns the findings, the gravest first.
func gravest(findings []safety.Finding) []safety.Finding {
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b safety.Finding) int { return int(b.Verdict) - int(a.Verdict) })
	return sorted
}

// gathered returns the findings with those of one rule that say ok of several
// parts made one: the table of parts has the numbers.
func gathered(findings []safety.Finding) []safety.Finding {
	count := map[string]int{}
	for _, f := range findings {
		if f.Verdict == safety.OK {
			count[f.Rule]++
		}
	}
	var out []safety.Finding
	said := map[string]bool{}
	for _, f := range findings {
		n := count[f.Rule]
		if f.Verdict == safety.OK && n > 1 && strings.HasSuffix(f.Rule, "rating") {
			if said[f.Rule] {
				continue
			}
			said[f.Rule] = true
			f.Says = fmt.Sprintf("%d parts stay within theirs with the amplifier overdriven", n)
		}
		out = append(out, f)
	}
	return out
}

// otherwise says what a part without a power rating goes by, "" if it should
// state one.
func otherwise(p safety.PartLoad) string {
	switch {
	case p.Rating.Power > 0 || p.Rating.Missing() != "":
		return ""
	case p.Rating.By == network.Unrated:
		return "a cable"
	}
	return "rated " + rating(p)
}

func rating(p safety.PartLoad) string {
	switch r := p.Rating; {
	case r.Power > 0:
		return watts(r.Power)
	case r.Current > 0:
		return fmt.Sprintf("%.3g A", r.Current)
	case r.Voltage > 0:
		return fmt.Sprintf("%.3g V", r.Voltage)
	case r.Missing() != "":
		return "unrated"
	}
	return "-"
}

func mark(v safety.Verdict) string {
	if v == safety.OK {
		return ""
	}
	return v.String()
}

func watts(p float64) string {
	if p < 0.0995 {
		return fmt.Sprintf("%.2g mW", 1000*p)
	}
	return fmt.Sprintf("%.3g W", p)
}

func writeCheckCSV(w io.Writer, all []checked) error {
	t := newCSV(w, "setup", "setup_verdict", "row", "name", "verdict", "says", "source", "power_w", "overdriven_w", "rating_w", "hardest_hz")
	for _, c := range all {
		verdict := c.report.Verdict.String()
		for _, f := range c.report.Findings {
			t.cells(c.report.Setup, verdict, "finding", f.Rule, f.Verdict.String(), f.Says, f.Source, "", "", "", "")
		}
		for _, p := range c.report.Parts {
			rating := ""
			if p.Rating.Power > 0 {
				rating = number(p.Rating.Power)
			}
			t.cells(c.report.Setup, verdict, "part", p.Name, p.Verdict.String(), "", "", number(p.Power), number(p.Overdriven), rating, number(p.PowerHz))
		}
	}
	return t.end()
}

func writeCheckJSON(w io.Writer, all []checked) error {
	type finding struct {
		Verdict string `json:"verdict"`
		Rule    string `json:"rule"`
		Says    string `json:"says"`
		Source  string `json:"source"`
	}
	type part struct {
		Name       string   `json:"name"`
		Power      float64  `json:"power_w"`
		Overdriven float64  `json:"overdriven_w"`
		Rating     *float64 `json:"rating_w"` // null: unrated
		Hz         float64  `json:"hardest_hz"`
		Verdict    string   `json:"verdict"`
	}
	type setup struct {
		Name     string    `json:"name"`
		Verdict  string    `json:"verdict"`
		Findings []finding `json:"findings"`
		Parts    []part    `json:"parts"`
	}
	answer := struct {
		Setups   []setup `json:"setups"`
		Cautions string  `json:"cautions"`
	}{Setups: []setup{}, Cautions: safety.Cautions}
	for _, c := range all {
		s := setup{Name: c.report.Setup, Verdict: c.report.Verdict.String(), Findings: []finding{}, Parts: []part{}}
		for _, f := range c.report.Findings {
			s.Findings = append(s.Findings, finding{f.Verdict.String(), f.Rule, f.Says, f.Source})
		}
		for _, p := range c.report.Parts {
			j := part{Name: p.Name, Power: p.Power, Overdriven: p.Overdriven, Hz: p.PowerHz, Verdict: p.Verdict.String()}
			if p.Rating.Power > 0 {
				j.Rating = &p.Rating.Power
			}
			s.Parts = append(s.Parts, j)
		}
		answer.Setups = append(answer.Setups, s)
	}
	return writeJSON(w, answer)
}
