package main

import (
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network/design"
	"loadscape/network/safety"
)

func writeDesigned(w io.Writer, r *designed) error {
	t := newTable(w)
	t.title(r.title)
	e := r.Design.Error
	t.paragraph("", fmt.Sprintf("A load like %s, for %s. It is rated %.3g ohm.", r.curves[0].name, r.amplifier, r.rated))
	t.paragraph("", fmt.Sprintf("%d parts: %s. From %s to %s it is off by %s of impedance (RMS; %s at most, at %s) and by %.2f dB of tone (RMS; %s at most, at %s).",
		r.Design.Topology.Parts(), r.Design.Topology, hertzText(r.band.From), hertzText(r.band.To),
		percent(e.Impedance), percent(e.Largest), hertzText(e.LargestHz), e.Tone, signed(e.LargestTone), hertzText(e.LargestToneHz)))
	writeFrontTable(t, r)
	writePartsTable(t, r)
	writeCoilsTable(t, r)
	t.say("\nHeat in all: %s by the worst sine at rated power, %s overdriven, %s by pink noise.", watts(r.Heat.Rated), watts(r.Heat.Overdriven), watts(r.Heat.Noise))
	t.paragraph("", "That heat must leave the case: mount resistors on metal or in moving air, and keep coils and capacitors away from them.")
	for _, k := range rules(r) {
		t.paragraph("  - ", k)
	}
	for _, warning := range r.Warnings {
		t.paragraph("note: ", warning)
	}
	t.say("\nFor a bench file:")
	var fragment strings.Builder
	if err := writeDesignedBench(&fragment, r); err != nil {
		return err
	}
	t.print(fragment.String())
	t.say("\n%s", safety.Cautions)
	return t.end()
}

// writeFrontTable tells what each part brings.
func writeFrontTable(t *table, r *designed) {
	t.say("\nWhat each part brings, with any values")
	t.row("parts", "network", "impedance", "tone", "of the limits", "better by")
	for i, d := range r.Front {
		better := ""
		if i > 0 {
			better = fmt.Sprintf("%.0f %%", 100*(1-d.Score/r.Front[i-1].Score))
		}
		if i == r.Chosen {
			better += "  taken"
		}
		t.row(fmt.Sprint(d.Topology.Parts()), d.Topology.String(), percent(d.Error.Impedance),
			fmt.Sprintf("%.2f dB", d.Error.Tone), fmt.Sprintf("%.2f", d.Score), better)
	}
	t.end()
	t.say("With preferred values and the coils as wound it comes to %.2f of the limits, with values rounded one by one to %.2f.", r.Design.Score, r.Rounded.Score)
}

// writePartsTable tells what to buy and what it must bear.
func writePartsTable(t *table, r *designed) {
	t.say("\nParts, and the most that a sine from 20 Hz to 20 kHz asks of them")
	t.row("part", "value", "rating", "rated", "overdriven", "pink noise", "current", "voltage")
	for _, p := range r.Parts {
		rated, overdriven, noise := "-", "-", "-" // a capacitor without losses takes no power
		if p.Kind != design.Capacitor {
			rated, noise = watts(p.Rated.Power), watts(p.Noise.Power)
			overdriven = watts(p.Overdriven.Power) + " at " + hertzText(p.Rated.PowerHz)
		}
		t.row(p.Name, valueText(p), ratingText(p), rated, overdriven, noise,
			effective(p.Overdriven.Current, p.Overdriven.PeakCurrent, quantity.Current),
			effective(p.Overdriven.Voltage, p.Overdriven.PeakVoltage, quantity.Voltage))
	}
	t.end()
	t.say("Currents and voltages are those of the overdriven amplifier. Ratings are the least to buy.")
}

// effective returns an RMS value and the peak.
func effective(rms, peak float64, d quantity.Dimension) string {
	return quantity.Format(rms, d, 2) + ", peak " + quantity.Format(peak, d, 2)
}

func writeCoilsTable(t *table, r *designed) {
	found := false
	for _, p := range r.Parts {
		c := p.Coil
		if c == nil {
			continue
		}
		if !found {
			t.say("\nCoils without a core, all of copper wire of %.3g mm, %v", 1e3*c.Wire.Diameter, c.Wire.Enamel)
			t.row("coil", "inductance", "resistance", "turns", "layers", "former", "outside", "wire", "copper")
		}
		found = true
		t.row(p.Name, quantity.Format(c.Inductance, quantity.Inductance, 4), quantity.Format(c.Resistance, quantity.Resistance, 3),
			fmt.Sprintf("%d, %d a layer", c.Turns, c.TurnsPerLayer), fmt.Sprint(c.Layers),
			fmt.Sprintf("%.1f mm across, %.1f mm long", 2e3*c.InnerRadius, 1e3*c.Length),
			fmt.Sprintf("%.1f mm", 2e3*(c.InnerRadius+c.Depth)), fmt.Sprintf("%.1f m", c.WireLength), quantity.Format(c.Mass, quantity.Mass, 3))
	}
	t.end()
	if found {
		t.say("Keep coils three of their radii apart or at right angles: what they induce in each other is left out.")
	}
}

// rules returns the rules behind the ratings, each once.
func rules(r *designed) []string {
	var all []string
	seen := map[design.Kind]bool{}
	for _, p := range r.Parts {
		if !seen[p.Kind] {
			seen[p.Kind] = true
			all = append(all, fmt.Sprintf("rating of every %v: %s", p.Kind, p.Rule))
		}
	}
	return all
}

func valueText(p design.Part) string {
	return quantity.Format(p.Value, dimensionOf(p.Kind), 4)
}

func dimensionOf(k design.Kind) quantity.Dimension {
	return [...]quantity.Dimension{
		design.Resistor: quantity.Resistance, design.Inductor: quantity.Inductance, design.Capacitor: quantity.Capacitance,
	}[k]
}

// ratingOf returns the suggested rating, its dimension and its unit.
func ratingOf(p design.Part) (value float64, d quantity.Dimension, unit string) {
	switch p.Kind {
	case design.Inductor:
		return p.Suggested.Current, quantity.Current, "A"
	case design.Capacitor:
		return p.Suggested.Voltage, quantity.Voltage, "V"
	}
	return p.Suggested.Power, quantity.Power, "W"
}

func ratingText(p design.Part) string {
	v, d, _ := ratingOf(p)
	return quantity.Format(v, d, 4)
}

// partNode returns a part as a bench file holds it.
func partNode(p design.Part) *yaml.Node {
	v, d, _ := ratingOf(p)
	rating := map[design.Kind]string{design.Resistor: "power_rating", design.Inductor: "current_rating", design.Capacitor: "voltage_rating"}[p.Kind]
	return flow(mapOf(p.Kind.String(), amount(p.Value, dimensionOf(p.Kind)), "dcr", ohms(p.DCR), rating, amount(v, d)))
}

// writeDesignedBench writes the load as a piece of a bench file.
func writeDesignedBench(w io.Writer, r *designed) error {
	chain := listOf(partNode(r.Parts[0]))
	rest := r.Parts[1:]
	take := func(n int) {
		group := listOf()
		for _, p := range rest[:n] {
			group.Content = append(group.Content, partNode(p))
		}
		rest = rest[n:]
		chain.Content = append(chain.Content, mapOf("parallel", group))
	}
	top := r.Design.Topology
	for range top.Sections {
		take(3)
	}
	for range top.Tanks + top.Rungs {
		take(2)
	}
	if top.Inductor {
		chain.Content = append(chain.Content, partNode(rest[0]))
		rest = rest[1:]
	}
	load := mapOf("rated_impedance", ohms(r.rated), "series", chain)
	if top.Shunt > 0 {
		load = mapOf("rated_impedance", ohms(r.rated), "parallel", listOf(mapOf("series", chain), partNode(rest[0])))
	}
	root := mapOf("loads", mapOf(r.name, load))
	root.HeadComment = fmt.Sprintf("# a load like %s: off by %s of impedance and %.2f dB of tone (RMS)\n# least ratings for %s",
		printable(r.curves[0].name), percent(r.Design.Error.Impedance), r.Design.Error.Tone, oneLine(r.amplifier))
	e := yaml.NewEncoder(w)
	e.SetIndent(2)
	if err := e.Encode(root); err != nil {
		return err
	}
	return e.Close()
}

// oneLine returns a text without control characters, fit for a comment.
func oneLine(s string) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || c == 0x85 || c == 0x2028 || c == 0x2029 {
			return ' '
		}
		return c
	}, s)
}

// useColumns are what a part bears, in the order of useValues.
var useColumns = []string{"power_w", "current_a", "peak_current_a", "voltage_v", "peak_voltage_v"}

func useValues(u design.Use) []float64 {
	return []float64{u.Power, u.Current, u.PeakCurrent, u.Voltage, u.PeakVoltage}
}

func writeDesignedCSV(w io.Writer, r *designed) error {
	columns := []string{"part", "kind", "value", "unit", "dcr_ohm", "suggested_rating", "rating_unit", "worst_hz"}
	for _, when := range []string{"rated", "overdriven", "noise"} {
		for _, c := range useColumns {
			columns = append(columns, when+"_"+c)
		}
	}
	columns = append(columns, "wire_mm", "turns", "turns_per_layer", "layers", "former_diameter_mm", "former_length_mm", "outer_diameter_mm", "wire_m", "copper_kg", "skin_depth_mm")
	t := newCSV(w, columns...)
	for _, p := range r.Parts {
		v, _, unit := ratingOf(p)
		cells := []string{p.Name, p.Kind.String(), number(p.Value), map[design.Kind]string{design.Resistor: "ohm", design.Inductor: "H", design.Capacitor: "F"}[p.Kind],
			number(p.DCR), number(v), unit, number(p.Rated.PowerHz)}
		for _, u := range []design.Use{p.Rated, p.Overdriven, p.Noise} {
			for _, x := range useValues(u) {
				cells = append(cells, number(x))
			}
		}
		if c := p.Coil; c != nil {
			for _, x := range []float64{1e3 * c.Wire.Diameter, float64(c.Turns), float64(c.TurnsPerLayer), float64(c.Layers), 2e3 * c.InnerRadius, 1e3 * c.Length,
				2e3 * (c.InnerRadius + c.Depth), c.WireLength, c.Mass, 1e3 * c.SkinDepth} {
				cells = append(cells, number(x))
			}
		} else {
			cells = append(cells, make([]string, 10)...)
		}
		t.cells(cells...)
	}
	return t.end()
}

type jsonUse struct {
	Power       float64 `json:"power_w"`
	Current     float64 `json:"current_a"`
	PeakCurrent float64 `json:"peak_current_a"`
	Voltage     float64 `json:"voltage_v"`
	PeakVoltage float64 `json:"peak_voltage_v"`
	WorstHz     float64 `json:"worst_hz,omitempty"`
}

func jsonUseOf(u design.Use) jsonUse {
	return jsonUse{u.Power, u.Current, u.PeakCurrent, u.Voltage, u.PeakVoltage, u.PowerHz}
}

type jsonCoil struct {
	Wire          float64 `json:"wire_m"`
	Enamel        string  `json:"enamel"`
	Turns         int     `json:"turns"`
	TurnsPerLayer int     `json:"turns_per_layer"`
	Layers        int     `json:"layers"`
	InnerRadius   float64 `json:"inner_radius_m"`
	Length        float64 `json:"length_m"`
	Depth         float64 `json:"depth_m"`
	WireLength    float64 `json:"wire_length_m"`
	Mass          float64 `json:"mass_kg"`
	Inductance    float64 `json:"inductance_h"`
	Resistance    float64 `json:"resistance_ohm"`
	SkinDepth     float64 `json:"skin_depth_m"`
}

type jsonPart struct {
	Name       string    `json:"name"`
	Kind       string    `json:"kind"`
	Value      float64   `json:"value"`
	DCR        float64   `json:"dcr_ohm"`
	Rated      jsonUse   `json:"rated"`
	Overdriven jsonUse   `json:"overdriven"`
	Noise      jsonUse   `json:"noise"`
	Rating     float64   `json:"suggested_rating"`
	Unit       string    `json:"rating_unit"`
	Rule       string    `json:"rule"`
	Coil       *jsonCoil `json:"coil,omitempty"`
}

func jsonPartOf(p design.Part) jsonPart {
	v, _, unit := ratingOf(p)
	j := jsonPart{p.Name, p.Kind.String(), p.Value, p.DCR, jsonUseOf(p.Rated), jsonUseOf(p.Overdriven), jsonUseOf(p.Noise), v, unit, p.Rule, nil}
	if c := p.Coil; c != nil {
		j.Coil = &jsonCoil{c.Wire.Diameter, c.Wire.Enamel.String(), c.Turns, c.TurnsPerLayer, c.Layers, c.InnerRadius, c.Length, c.Depth,
			c.WireLength, c.Mass, c.Inductance, c.Resistance, c.SkinDepth}
	}
	return j
}

func writeDesignedJSON(w io.Writer, r *designed) error {
	type trade struct {
		Parts     int     `json:"parts"`
		Network   string  `json:"network"`
		Impedance float64 `json:"impedance_error"`
		Tone      float64 `json:"tone_rms_db"`
		Score     float64 `json:"score"`
	}
	tradeOf := func(d design.Design) trade {
		return trade{d.Topology.Parts(), d.Topology.String(), d.Error.Impedance, d.Error.Tone, d.Score}
	}
	var fragment strings.Builder
	if err := writeDesignedBench(&fragment, r); err != nil {
		return err
	}
	all := struct {
		Target    string     `json:"target"`
		Name      string     `json:"name"`
		Amplifier string     `json:"amplifier"`
		Rated     float64    `json:"rated_impedance_ohm"`
		Band      [2]float64 `json:"listening_band_hz"`
		Design    trade      `json:"design"`
		Rounded   float64    `json:"score_of_rounded_values"`
		Front     []trade    `json:"front"`
		Parts     []jsonPart `json:"parts"`
		Heat      [3]float64 `json:"heat_rated_overdriven_noise_w"`
		Warnings  []string   `json:"warnings"`
		Cautions  []string   `json:"cautions"`
		Bench     string     `json:"bench"`
	}{
		Target: r.target, Name: r.name, Amplifier: r.amplifier, Rated: r.rated, Band: [2]float64{r.band.From, r.band.To},
		Design: tradeOf(r.Design), Rounded: r.Rounded.Score, Heat: [3]float64{r.Heat.Rated, r.Heat.Overdriven, r.Heat.Noise},
		Warnings: append([]string{}, r.Warnings...), Cautions: strings.Split(safety.Cautions, "\n"), Bench: fragment.String(),
	}
	for _, d := range r.Front {
		all.Front = append(all.Front, tradeOf(d))
	}
	for _, p := range r.Parts {
		all.Parts = append(all.Parts, jsonPartOf(p))
	}
	return writeJSON(w, all)
}
