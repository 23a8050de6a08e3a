package main

import (
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"slices"
	"strings"

	"loadscape/plot"
	"loadscape/thielesmall"
)

// warnings returns what is doubtful in the table, in the fit, in the second
// curve and in the mechanics.
func (r *identified) warnings() []string {
	var all []string
	for _, w := range r.table.Warnings {
		all = append(all, w.String())
	}
	for _, w := range r.Warnings {
		all = append(all, w.String())
	}
	all = append(all, r.notes...)
	if r.mechanics != nil {
		for _, w := range r.mechanics.Warnings {
			all = append(all, w.String())
		}
	}
	return all
}

const identifyCautions = `These are small-signal values of one loudspeaker, its coil as warm as it was when measured. What power
and excursion it bears its maker says.`

func writeIdentified(w io.Writer, r *identified) error {
	t := newTable(w)
	t.title(r.name)
	last := len(r.Hz) - 1
	t.say("%d frequencies from %s to %s, voice coil %s: off by %s RMS, at most by %s at %s\n", last+1, hertzText(r.Hz[0]), hertzText(r.Hz[last]),
		coilLabel(r.VoiceCoil), percent(r.Residual.RMS), percent(r.Residual.Worst), hertzText(r.Residual.WorstHz))
	classical := map[string]string{}
	for _, v := range r.threePoint() {
		classical[v.name], _ = v.text()
	}
	t.row("", "fit", "standard error", "", "three points")
	source := fromFit
	for _, v := range r.values() {
		if v.source != source {
			source = v.source
			t.end()
			t.say("\nFrom the second curve, %s", r.how)
		}
		value, uncertainty := v.text()
		relative := percent(v.Error / math.Abs(v.Value))
		if v.remark != "" {
			uncertainty, relative = v.remark, ""
		}
		t.row(v.name, value, uncertainty, relative, classical[v.name])
	}
	t.end()
	if len(r.Candidates) > 1 {
		t.say("\nModels tried: less by %v is better", r.criterion)
		t.row("voice coil", "parameters", "off by", r.criterion.String()+" above the best")
		for _, c := range r.Candidates {
			t.row(c.VoiceCoil, fmt.Sprint(c.Parameters), percent(c.RMS), fmt.Sprintf("%.1f", c.Criterion-r.Candidates[0].Criterion))
		}
		t.end()
	}
	t.say("")
	for _, text := range r.warnings() {
		t.paragraph("note: ", text)
	}
	t.say("%s\n\nFor a bench file:\n", identifyCautions)
	var fragment strings.Builder
	if err := writeFragment(&fragment, r); err != nil {
		return err
	}
	t.print(fragment.String())
	return t.end()
}

func coilLabel(c thielesmall.VoiceCoil) string {
	if c == nil {
		return "none"
	}
	return c.Label()
}

// percent returns a ratio to two digits.
func percent(x float64) string {
	if x < 1e-5 {
		return fmt.Sprintf("%.1g %%", 100*x)
	}
	return fmt.Sprintf("%.2g %%", 100*x)
}

func writeIdentifiedCSV(w io.Writer, r *identified) error {
	t := newCSV(w, "source", "parameter", "unit", "value", "standard_error")
	for _, v := range slices.Concat(r.values(), r.threePoint()) {
		uncertainty := ""
		if v.remark == "" && v.source != fromThreePoint {
			uncertainty = number(v.Error)
		}
		t.cells(v.source, v.name, v.unit, number(v.Value), uncertainty)
	}
	return t.end()
}

func writeIdentifiedJSON(w io.Writer, r *identified) error {
	type value struct {
		Source    string   `json:"source"`
		Parameter string   `json:"parameter"`
		Unit      string   `json:"unit"`
		Value     float64  `json:"value"`
		Error     *float64 `json:"standard_error"` // null: held, at the end of its range, or not known
	}
	type model struct {
		VoiceCoil  string  `json:"voice_coil"`
		Parameters int     `json:"parameters"`
		RMS        float64 `json:"rms"`
		Criterion  float64 `json:"criterion"`
	}
	type point struct {
		Hz        float64 `json:"frequency_hz"`
		Magnitude float64 `json:"fitted_ohm"`
		Phase     float64 `json:"fitted_deg"`
		Deviation float64 `json:"deviation"`
	}
	var fragment strings.Builder
	if err := writeFragment(&fragment, r); err != nil {
		return err
	}
	all := struct {
		Name      string   `json:"name"`
		VoiceCoil string   `json:"voice_coil"`
		Values    []value  `json:"values"`
		RMS       float64  `json:"rms"`
		Worst     float64  `json:"worst"`
		WorstHz   float64  `json:"worst_hz"`
		Criterion string   `json:"criterion"`
		Models    []model  `json:"models"`
		Points    []point  `json:"points"`
		Warnings  []string `json:"warnings"`
		Bench     string   `json:"bench"`
	}{
		Name: r.name, VoiceCoil: coilLabel(r.VoiceCoil), RMS: r.Residual.RMS, Worst: r.Residual.Worst, WorstHz: r.Residual.WorstHz,
		Criterion: r.criterion.String(), Models: []model{}, Warnings: append([]string{}, r.warnings()...), Bench: fragment.String(),
	}
	for _, v := range slices.Concat(r.values(), r.threePoint()) {
		j := value{v.source, v.name, v.unit, v.Value, nil}
		if v.remark == "" && v.source != fromThreePoint {
			j.Error = &v.Error
		}
		all.Values = append(all.Values, j)
	}
	for _, c := range r.Candidates {
		all.Models = append(all.Models, model{c.VoiceCoil, c.Parameters, c.RMS, c.Criterion})
	}
	for i, hz := range r.Hz {
		z := r.Impedance(2 * math.Pi * hz)
		all.Points = append(all.Points, point{hz, cmplx.Abs(z), degrees(z), r.Residual.Deviations[i]})
	}
	return writeJSON(w, all)
}

// drawIdentified draws the rows that were fitted, the fit and what is left.
func drawIdentified(r *identified) (*plot.Figure, error) {
	points, fit := plot.Curve{Name: "measured", Hz: r.Hz}, plot.Curve{Name: "fit", Hz: r.Hz}
	var coherence []float64
	for _, hz := range r.Hz {
		i, ok := slices.BinarySearch(r.table.Hz, hz)
		if !ok {
			return nil, fmt.Errorf("no row of the table at %g Hz", hz)
		}
		points.Z = append(points.Z, r.table.Z[i])
		fit.Z = append(fit.Z, r.Impedance(2*math.Pi*hz))
		if r.table.Coherence != nil {
			coherence = append(coherence, r.table.Coherence[i])
		}
	}
	return plot.Fit(r.name+": measured and fitted", points, fit, coherence)
}
