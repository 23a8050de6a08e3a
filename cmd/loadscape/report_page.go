package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	page "loadscape/cmd/loadscape/internal/report"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/design"
	"loadscape/network/safety"
	"loadscape/plot"
)

// files returns the files of the report.
func (r *built) files() ([]writtenFile, error) {
	d, err := r.document()
	if err != nil {
		return nil, err
	}
	var html, markdown, parts bytes.Buffer
	if err := d.HTML(&html); err != nil {
		return nil, err
	}
	if err := d.Markdown(&markdown); err != nil {
		return nil, err
	}
	if err := r.writeParts(&parts); err != nil {
		return nil, err
	}
	files := []writtenFile{{"bench.yaml", r.source}, {"index.html", html.Bytes()}, {"parts.csv", parts.Bytes()}, {"report.md", markdown.Bytes()}}
	for _, f := range d.Figures() {
		files = append(files, writtenFile{f.File, f.SVG})
	}
	return files, nil
}

func (r *built) document() (*page.Document, error) {
	title := r.name
	if r.bench.Title != "" {
		title = r.bench.Title
	}
	d := &page.Document{Title: title, Summary: r.summary(), Cautions: strings.Split(safety.Cautions, "\n")}
	for _, section := range []func() (page.Section, error){
		r.asked, r.drawn, r.listed, r.wound, r.impedance, r.toned, r.spreading, r.safe, r.noted, r.benchFile,
	} {
		s, err := section()
		if err != nil {
			return nil, err
		}
		if len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	return d, nil
}

func text(format string, args ...any) page.Block {
	return page.Block{Text: fmt.Sprintf(format, args...)}
}

// figureBlock encodes a picture.
func figureBlock(file, caption string, encode func(*bytes.Buffer) error) (page.Block, error) {
	var svg bytes.Buffer
	err := encode(&svg)
	return page.Block{Figure: &page.Figure{File: file, SVG: svg.Bytes(), Caption: caption}}, err
}

func (r *built) summary() string {
	says := fmt.Sprintf("%s, a load of %d parts", r.name, len(r.parts))
	if len(r.parts) == 1 {
		says = r.name + ", a load of one part"
	}
	if r.target != nil {
		says += " that stands in for " + r.target.name
	}
	says += ". Setup " + r.setup.Name + " is judged: "
	return says + map[safety.Verdict]string{safety.OK: "ok by what the bench states.", safety.Caution: "take caution.", safety.Danger: "DANGER."}[r.checked.report.Verdict]
}

func (r *built) asked() (page.Section, error) {
	low, high := extremes(r.curve.hz, r.curve.z)
	items := []page.Item{
		{Text: "Driven by " + r.describe() + "."},
		{Text: fmt.Sprintf("What counts lies between %s and %s.", hertzText(r.bench.Band.From), hertzText(r.bench.Band.To))},
		{Text: printed.Replace(fmt.Sprintf("The load has %s at the lowest and %s at the highest.", ohmsAt(low), ohmsAt(high)))},
	}
	if r.target != nil {
		rms, _ := offset(r.curve, *r.target, r.bench.Band)
		items = append(items, page.Item{Text: fmt.Sprintf("Its impedance is to follow %s: it is off by %.2g %% (RMS of the difference over the target).", r.target.name, 100*rms)})
	}
	if r.tone != nil {
		items = append(items, page.Item{Text: fmt.Sprintf("In tone, equally loud, it is off %s by %.2f dB (RMS); the largest deviation is %s.", r.against, r.tone.RMS, largest(r.tone))})
	}
	return page.Section{Heading: "What was asked", Blocks: []page.Block{{List: items}}}, nil
}

func (r *built) drawn() (page.Section, error) {
	s := plot.Schematic{Title: "Schematic of " + r.name}
	parts := r.parts
	s.Circuit = r.schematic()
	r.parts = parts
	b, err := figureBlock("schematic.svg", "Schematic of "+r.name+", symbols of IEC 60617. The amplifier goes between the two terminals.",
		func(w *bytes.Buffer) error { return s.Encode(w, plot.SVG) })
	return page.Section{Heading: "Schematic", Blocks: []page.Block{b}}, err
}

func (r *built) listed() (page.Section, error) {
	t := &page.Table{Head: []string{"Part", "Value", "Tolerance", "Rating", "Power, rated", "Power, overdriven", "Current", "Peak voltage", "Judged"}}
	for _, p := range r.parts {
		tolerance := "not stated"
		if p.rating.Tolerance > 0 {
			tolerance = plusMinus(p.rating.Tolerance)
		}
		value := p.valueText()
		if p.loss > 0 {
			value += ", " + shown(p.loss, quantity.Resistance, 3) + " in series"
		}
		if p.between != "" {
			value += ", from " + p.between
		}
		hardest := watts(p.use.Power)
		if p.use.Power >= 1e-3 {
			hardest += " at " + hertzText(p.use.PowerHz)
		} else {
			hardest = "none"
		}
		over := "none"
		if p.use.Overdriven >= 1e-3 {
			over = watts(p.use.Overdriven)
		}
		t.Rows = append(t.Rows, []string{p.mark, value, tolerance, p.ratingText(), hardest, over,
			fmt.Sprintf("%.2g A", math.Sqrt(safety.Overdrive)*p.use.Current), fmt.Sprintf("%.3g V", math.Sqrt2*math.Sqrt(safety.Overdrive)*p.use.Voltage), p.use.Verdict.String()})
	}
	return page.Section{Heading: "Parts", Blocks: []page.Block{
		{Table: t},
		text("Powers are those of a steady tone between 20 Hz and 20 kHz, at the frequency that is hardest on the part; current (RMS) and peak voltage are those with the amplifier overdriven, which can bring twice its rated power."),
		text("Heat in all: %s by a steady tone at %s at rated power, up to %s overdriven. It must leave the case: mount resistors on metal or in moving air, and keep coils and capacitors away from them.",
			watts(r.heat.value), hertzText(r.heat.hz), watts(safety.Overdrive*r.heat.value)),
	}}, nil
}

func (r *built) wound() (page.Section, error) {
	t := &page.Table{Head: []string{"Coil", "Inductance", "Resistance", "Wire", "Turns", "Layers", "Former", "Outside", "Length of wire", "Copper"}}
	for _, p := range r.parts {
		c := p.coil
		if c == nil {
			continue
		}
		t.Rows = append(t.Rows, []string{p.mark, shown(c.Inductance, quantity.Inductance, 4), shown(c.Resistance, quantity.Resistance, 3),
			fmt.Sprintf("%.3g mm (%v), %v", 1e3*c.Wire.Diameter, p.gauge, c.Wire.Enamel), fmt.Sprintf("%d, %d a layer", c.Turns, c.TurnsPerLayer), fmt.Sprint(c.Layers),
			fmt.Sprintf("%.1f mm across, %.1f mm long", 2e3*c.InnerRadius, 1e3*c.Length), fmt.Sprintf("%.1f mm", 2e3*(c.InnerRadius+c.Depth)),
			fmt.Sprintf("%.1f m", c.WireLength), quantity.Format(c.Mass, quantity.Mass, 3)})
	}
	if len(t.Rows) == 0 {
		return page.Section{}, nil
	}
	return page.Section{Heading: "Coils to wind", Blocks: []page.Block{
		text("One coil without a core for each inductor, in the Brooks shape (J. Res. NBS 7 (1931) 289), wound turn beside turn of enamelled copper wire: the thinnest gauge that keeps the resistance stated for it, or %v where none is stated.", design.DefaultGauge),
		{Table: t},
		text("Resistance is that of direct current at 20 °C. Keep coils three of their radii apart or at right angles, and iron away: what they induce in each other is left out."),
	}}, nil
}

func (r *built) toned() (page.Section, error) {
	s := page.Section{Heading: "Tone"}
	if r.tone == nil {
		s.Blocks = append(s.Blocks, text("There is neither a target nor a reference to compare the tone with."))
		return s, nil
	}
	b, err := figureBlock("tone.svg", fmt.Sprintf("What is left of the difference in tone between %s and %s, both equally loud.", r.name, r.against),
		func(w *bytes.Buffer) error { return r.toneFigure().Encode(w, plot.SVG) })
	var found []page.Item
	for _, f := range r.tone.Features {
		found = append(found, page.Item{Text: f.String()})
	}
	s.Blocks = append(s.Blocks, b, text("Off by %.2f dB (RMS on the ear's scale of frequency); the largest deviation is %s.", r.tone.RMS, largest(r.tone)))
	if len(found) > 0 {
		s.Blocks = append(s.Blocks, page.Block{List: found})
	}
	return s, err
}

// marks writes the marks of the parts for their paths.
func (r *built) marks() *strings.Replacer {
	parts := slices.Clone(r.parts)
	slices.SortStableFunc(parts, func(a, b builtPart) int { return len(b.name) - len(a.name) })
	var pairs []string
	for _, p := range parts {
		if strings.Contains(p.name, "/") {
			pairs = append(pairs, printed.Replace(p.name), p.mark)
		}
	}
	return strings.NewReplacer(pairs...)
}

func (r *built) safe() (page.Section, error) {
	short := r.marks()
	var items []page.Item
	for _, f := range gravest(r.checked.report.Findings) {
		items = append(items, page.Item{Verdict: f.Verdict.String(), Text: f.Rule + ": " + short.Replace(printed.Replace(f.Says)) + ".", Source: f.Source})
	}
	return page.Section{Heading: "Is it safe", Blocks: []page.Block{
		text("Setup %s is judged by what the bench states: %s. The cautions at the top of this page come first.", r.setup.Name, strings.ToUpper(r.checked.report.Verdict.String())),
		{List: items},
	}}, nil
}

func (r *built) noted() (page.Section, error) {
	var items []page.Item
	for _, n := range r.notes {
		items = append(items, page.Item{Text: n})
	}
	if len(items) == 0 {
		return page.Section{}, nil
	}
	return page.Section{Heading: "Notes", Blocks: []page.Block{{List: items}}}, nil
}

func (r *built) benchFile() (page.Section, error) {
	return page.Section{Heading: "The bench file", Blocks: []page.Block{
		text("All of this was computed from the bench file below by loadscape report."),
		{Code: string(r.source)},
	}}, nil
}
