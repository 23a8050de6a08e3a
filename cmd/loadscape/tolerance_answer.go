package main

import (
	"fmt"
	"io"
	"strings"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network/tolerance"
)

func writeToleranceCSV(w io.Writer, r *tolerated) error {
	t := newCSV(w, "name", "frequency_hz", "nominal_ohm",
		"p5_ohm", "p25_ohm", "p50_ohm", "p75_ohm", "p95_ohm", "p5_db", "p25_db", "p50_db", "p75_db", "p95_db", "spread_db")
	z, d := r.Impedance, r.Deviation
	for i, f := range r.Hz {
		t.row(r.name, f, r.Nominal[i], z.P5[i], z.P25[i], z.P50[i], z.P75[i], z.P95[i],
			d.P5[i], d.P25[i], d.P50[i], d.P75[i], d.P95[i], r.Spread[i])
	}
	return t.end()
}

func writeToleranceJSON(w io.Writer, r *tolerated) error {
	type bands struct {
		P5  []float64 `json:"p5"`
		P25 []float64 `json:"p25"`
		P50 []float64 `json:"p50"`
		P75 []float64 `json:"p75"`
		P95 []float64 `json:"p95"`
	}
	type summary struct {
		P50 float64 `json:"p50"`
		P75 float64 `json:"p75"`
		P95 float64 `json:"p95"`
	}
	type within struct {
		Limit    float64    `json:"limit_db"`
		Builds   int        `json:"builds"`
		Share    float64    `json:"share"`
		Interval [2]float64 `json:"interval_95"`
	}
	type build struct {
		Number    int                `json:"number,omitempty"`
		Largest   float64            `json:"largest_db"`
		LargestHz float64            `json:"largest_hz"`
		RMS       float64            `json:"rms_db"`
		Parts     map[string]float64 `json:"parts"`
	}
	type part struct {
		Name      string    `json:"name"`
		Tolerance float64   `json:"tolerance"`
		Largest   float64   `json:"largest_db"`
		LargestHz float64   `json:"largest_hz"`
		RMS       float64   `json:"rms_db"`
		Share     float64   `json:"share"`
		Curve     []float64 `json:"curve_db"`
	}
	answer := struct {
		Name         string     `json:"name"`
		Builds       int        `json:"builds"`
		Seed         uint64     `json:"seed"`
		Distribution string     `json:"distribution"`
		Sigmas       float64    `json:"sigmas,omitempty"`
		JudgedBy     string     `json:"judged_by"`
		DeviationOf  string     `json:"deviation_of"`
		Band         [2]float64 `json:"listening_band_hz"`
		Largest      summary    `json:"largest_db"`
		RMS          summary    `json:"rms_db"`
		Within       *within    `json:"within,omitempty"`
		Worst        build      `json:"worst_build"`
		Corner       build      `json:"worst_corner"`
		AllCorners   bool       `json:"all_corners"`
		Parts        []part     `json:"parts"`
		Exact        []string   `json:"exact_parts"`
		Hz           []float64  `json:"frequency_hz"`
		Nominal      []float64  `json:"nominal_ohm"`
		Impedance    bands      `json:"impedance_ohm"`
		Deviation    bands      `json:"deviation_db"`
		Spread       []float64  `json:"spread_db"`
	}{
		Name: r.name, Builds: r.Options.Builds, Seed: r.Options.Seed, Distribution: r.Options.Distribution.String(),
		JudgedBy: strings.ToLower(r.Options.Criterion.String()), DeviationOf: "impedance",
		Band: [2]float64{r.Options.Band.From, r.Options.Band.To}, Largest: summary(r.Largest), RMS: summary(r.RMS),
		AllCorners: r.AllCorners, Exact: append([]string{}, r.Fixed...),
		Hz: r.Hz, Nominal: r.Nominal, Impedance: bands(r.Impedance), Deviation: bands(r.Deviation), Spread: r.Spread,
	}
	if r.setup {
		answer.DeviationOf = "tone"
	}
	if r.Options.Distribution == tolerance.Normal {
		answer.Sigmas = r.Options.Sigmas
	}
	if r.Options.Limit > 0 {
		answer.Within = &within{r.Options.Limit, r.Within.Builds, r.Within.Share, [2]float64{r.Within.Low, r.Within.High}}
	}
	for _, p := range r.Parts {
		answer.Parts = append(answer.Parts, part{p.Name, p.Tolerance, p.Largest, p.LargestHz, p.RMS, p.Share, p.Curve})
	}
	of := func(b tolerance.Build) build {
		parts := map[string]float64{}
		for i, p := range r.Parts {
			parts[p.Name] = b.Factors[i]
		}
		return build{b.Number, b.Largest, b.LargestHz, b.RMS, parts}
	}
	answer.Worst, answer.Corner = of(r.Worst), of(r.Corner)
	return writeJSON(w, answer)
}

func writeToleranceTable(w io.Writer, b *bench.Bench, r *tolerated) error {
	t := newTable(w)
	t.title(b.Title)
	law := "any value within its tolerance as likely"
	if r.Options.Distribution == tolerance.Normal {
		law = fmt.Sprintf("normal, its tolerance %g standard deviations and none beyond", r.Options.Sigmas)
	}
	t.say("%s: %d builds, each part by itself, %s; seed %d.", r.name, r.Options.Builds, law, r.Options.Seed)
	equally := ""
	if r.setup {
		equally = ", equally loud"
	}
	t.say("%s%s; between %s and %s:\n", r.deviationOf(), equally, hertzText(r.Options.Band.From), hertzText(r.Options.Band.To))
	t.row("", "half stay within", "three quarters", "95 %", "worst build", "worst corner")
	t.row("largest deviation", db(r.Largest.P50), db(r.Largest.P75), db(r.Largest.P95), largestText(r.Worst), largestText(r.Corner))
	t.row("RMS deviation", db(r.RMS.P50), db(r.RMS.P75), db(r.RMS.P95), db(r.Worst.RMS), db(r.Corner.RMS))
	t.end()
	t.say("")
	r.sayWithin(t)
	r.sayWorst(t)
	t.say("\nThe parts that matter most, each alone at the end of its tolerance, to first order;\nshare is that of the mean square:")
	t.row("", "tolerance", "RMS", "largest", "share")
	for _, p := range r.Parts {
		t.row(p.Name, plusMinus(p.Tolerance), db(p.RMS), fmt.Sprintf("%s at %s", db(max(p.Largest, -p.Largest)), hertzText(p.LargestHz)), fmt.Sprintf("%.1f %%", 100*p.Share))
	}
	t.end()
	if len(r.Fixed) > 0 {
		t.say("\nTaken as exact, for want of a stated tolerance:")
		t.paragraph("  ", strings.Join(r.Fixed, ", ")+".")
	}
	r.writeBands(t)
	t.say("")
	t.paragraph("", "Parts of one batch tend to be off the same way: then look at the worst corner. "+
		"Whether a setup is safe is another question: loadscape check. Never run a valve amplifier without a load.")
	return t.end()
}

func (r *tolerated) sayWithin(t *table) {
	if r.Options.Limit == 0 {
		return
	}
	what := "a largest deviation"
	if r.Options.Criterion == tolerance.RMS {
		what = "an RMS deviation"
	}
	t.paragraph("", fmt.Sprintf("%.4g %% of the builds (%d) have %s within %g dB; of all builds there could be, %.4g %% to %.4g %% (95 %% confidence).",
		100*r.Within.Share, r.Within.Builds, what, r.Options.Limit, 100*r.Within.Low, 100*r.Within.High))
}

func (r *tolerated) sayWorst(t *table) {
	t.paragraph("", fmt.Sprintf("Worst build, number %d by its %s deviation: %s.", r.Worst.Number, r.Options.Criterion, r.buildText(r.Worst)))
	how := "of all corners"
	if !r.AllCorners {
		how = "of those that are worst to first order at some frequency"
	}
	t.paragraph("", fmt.Sprintf("Worst corner, %s: %s.", how, r.buildText(r.Corner)))
}

// buildText lists the parts of a build, what matters most first.
func (r *tolerated) buildText(b tolerance.Build) string {
	var parts []string
	for i, p := range r.Parts {
		if i == drawnParts {
			parts = append(parts, "and so on")
			break
		}
		parts = append(parts, fmt.Sprintf("%s %+.1f%%", p.Name, 100*(b.Factors[i]-1)))
	}
	return strings.Join(parts, ", ")
}

// writeBands writes the bands at a few frequencies.
func (r *tolerated) writeBands(t *table) {
	t.say("\nMagnitude in ohm: nominal, median, half and nine tenths of the builds%s",
		map[bool]string{true: "; tone in dB likewise"}[r.setup])
	head := []string{"Hz", "nominal", "median", "half", "nine tenths"}
	if r.setup {
		head = append(head, "median", "half", "nine tenths")
	}
	t.row(head...)
	z, d := r.Impedance, r.Deviation
	for _, f := range tableFrequencies {
		if f < r.Hz[0] || f > r.Hz[len(r.Hz)-1] {
			continue
		}
		i := indexAt(r.Hz, f)
		row := []string{fmt.Sprintf("%g", f), fmt.Sprintf("%.4g", r.Nominal[i]), fmt.Sprintf("%.4g", z.P50[i]),
			fmt.Sprintf("%.4g to %.4g", z.P25[i], z.P75[i]), fmt.Sprintf("%.4g to %.4g", z.P5[i], z.P95[i])}
		if r.setup {
			row = append(row, hundredths(d.P50[i]), hundredths(d.P25[i])+" to "+hundredths(d.P75[i]), hundredths(d.P5[i])+" to "+hundredths(d.P95[i]))
		}
		t.row(row...)
	}
	t.end()
}

func db(x float64) string { return fmt.Sprintf("%.2f dB", x) }

// hundredths returns a level with its sign, "+0.00" if it is less than half a
// hundredth.
func hundredths(x float64) string {
	if s := fmt.Sprintf("%+.2f", x); s != "-0.00" {
		return s
	}
	return "+0.00"
}

func largestText(b tolerance.Build) string {
	return fmt.Sprintf("%s dB at %s", hundredths(b.Largest), hertzText(b.LargestHz))
}

// plusMinus returns a tolerance as it is stated: "±5 %".
func plusMinus(x float64) string { return fmt.Sprintf("±%.4g %%", 100*x) }
