package main

import (
	"io"
	"strings"

	"loadscape/network/design"
	"loadscape/network/safety"
)

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
