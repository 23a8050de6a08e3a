package main

import (
	"fmt"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network/tolerance"
	"loadscape/plot"
)

// drawnParts is the number of parts in a figure; those that matter less are
// left out.
const drawnParts = 6

func drawTolerance(kind string, b *bench.Bench, r *tolerated) *plot.Figure {
	band := plot.Interval{Name: "listening band", From: b.Band.From, To: b.Band.To}
	title := b.Title + ": " + r.name
	if kind == figureParts {
		return drawParts(title+", a part at a time", r, band)
	}
	bands, y := r.Deviation, r.deviationAxis()
	t := plot.Tolerance{}
	if kind == figureImpedance {
		bands, y = r.Impedance, plot.Axis{Label: "Magnitude", Unit: "Ω", Holds: []float64{0}}
		t.Target, t.TargetName = r.Nominal, "nominal build"
	} else if r.Options.Limit > 0 && r.Options.Criterion == tolerance.Largest {
		t.LimitLow, t.LimitHigh = make([]float64, len(r.Hz)), make([]float64, len(r.Hz))
		for i := range r.Hz {
			t.LimitLow[i], t.LimitHigh[i] = -r.Options.Limit, r.Options.Limit
		}
	}
	t.Hz, t.Median = r.Hz, bands.P50
	t.InnerLow, t.InnerHigh, t.InnerName = bands.P25, bands.P75, "half of the builds"
	t.OuterLow, t.OuterHigh, t.OuterName = bands.P5, bands.P95, "nine tenths of the builds"
	return t.Figure(fmt.Sprintf("%s, %d builds", title, r.Options.Builds), y, band)
}

// drawParts draws what each of the parts that matter most does by itself.
func drawParts(title string, r *tolerated, band plot.Interval) *plot.Figure {
	items := []plot.Item{band, plot.Rule{Y: 0}}
	for _, p := range r.Parts[:min(drawnParts, len(r.Parts))] {
		items = append(items, plot.Line{Name: fmt.Sprintf("%s at +%.4g %%", p.Name, 100*p.Tolerance), X: r.Hz, Y: p.Curve})
	}
	return &plot.Figure{Title: title, Panels: []plot.Panel{{X: plot.Frequency(), Y: r.deviationAxis(), Height: 8, Items: items}}}
}

// deviationAxis shows a decibel either way, and a limit with room beyond.
func (r *tolerated) deviationAxis() plot.Axis {
	most := max(1, 1.2*r.Options.Limit)
	return plot.Axis{Label: r.deviationOf(), Unit: "dB", Holds: []float64{-most, most}}
}

// deviationOf says what deviates.
func (r *tolerated) deviationOf() string {
	if r.setup {
		return "Tone against the nominal build"
	}
	return "Impedance against the nominal build"
}
