package main

import (
	"bytes"
	"fmt"
	"math/cmplx"

	page "loadscape/cmd/loadscape/internal/report"

	"loadscape/network/tolerance"
	"loadscape/plot"
)

const (
	middleBuilds = "nine tenths of the builds"
	hue          = 0.22 // opacity of their band
	figureWidth  = 13   // cm: what a telephone shrinks can still be read
)

func (r *built) band() plot.Interval {
	return plot.Interval{Name: "listening band", From: r.bench.Band.From, To: r.bench.Band.To}
}

// impedance shows the curves of target, load, its builds and a measurement.
func (r *built) impedance() (page.Section, error) {
	caption := "Impedance of " + r.name
	if r.target != nil {
		caption += " against " + r.target.name
	}
	if r.spread != nil {
		caption += fmt.Sprintf("; the band holds nine tenths of %d builds", r.spread.Options.Builds)
	}
	if r.measured != nil {
		caption += "; measured as marked"
	}
	b, err := figureBlock("impedance.svg", caption+".", func(w *bytes.Buffer) error { return r.impedanceFigure().Encode(w, plot.SVG) })
	s := page.Section{Heading: "Impedance", Blocks: []page.Block{b}}
	if r.measured != nil {
		rms, n := offset(*r.measured, r.computed, r.bench.Band)
		if n == 0 {
			s.Blocks = append(s.Blocks, text("The measured table has no frequency in the listening band."))
		} else {
			s.Blocks = append(s.Blocks, text("At the %d frequencies measured in the listening band what was built is off the computed load by %.2g %% (RMS of the difference over the computed impedance).", n, 100*rms))
		}
	}
	return s, err
}

func (r *built) impedanceFigure() *plot.Figure {
	magnitude := plot.Panel{X: plot.Frequency(), Y: plot.Axis{Label: "Magnitude", Unit: "Ω", Holds: []float64{0}}}
	phase := plot.Panel{X: plot.Frequency(), Y: plot.Axis{Label: "Phase", Unit: "°", Step: 45, Holds: []float64{-90, 90}}, Height: 4}
	magnitude.Items = append(magnitude.Items, r.band())
	look := plot.Series(0)
	if r.spread != nil {
		magnitude.Items = append(magnitude.Items, plot.Band{Name: middleBuilds, X: r.spread.Hz, Low: r.spread.Impedance.P5, High: r.spread.Impedance.P95, Look: &look, Opacity: hue})
	}
	line := func(c impedanceCurve, l plot.Look) {
		size, angle := make([]float64, len(c.z)), make([]float64, len(c.z))
		for i, z := range c.z {
			size[i], angle[i] = cmplx.Abs(z), degrees(z)
		}
		magnitude.Items = append(magnitude.Items, plot.Line{Name: c.name, X: c.hz, Y: size, Look: &l})
		phase.Items = append(phase.Items, plot.Line{Name: c.name, X: c.hz, Y: angle, Look: &l})
	}
	line(r.curve, look)
	if r.target != nil {
		c := *r.target
		c.name += " (target)"
		line(c, plot.Series(1))
	}
	if r.measured != nil {
		line(*r.measured, plot.Series(2))
	}
	return &plot.Figure{Width: figureWidth, Panels: []plot.Panel{magnitude, phase}}
}

// toneFigure shows the deviation of the load, and of its builds about it.
func (r *built) toneFigure() *plot.Figure {
	f := plot.Deviation("", r.against, []plot.Trace{{Name: r.name, Hz: r.tone.Hz, Y: r.tone.Deviation}}, r.band())
	f.Width = figureWidth
	if r.toneBand == nil {
		return f
	}
	low, high := make([]float64, len(r.tone.Hz)), make([]float64, len(r.tone.Hz))
	for i, d := range r.tone.Deviation {
		low[i], high[i] = d+r.toneBand.Deviation.P5[i], d+r.toneBand.Deviation.P95[i]
	}
	look := plot.Series(0)
	p := &f.Panels[0]
	p.Items = append(p.Items, plot.Band{Name: middleBuilds, X: r.tone.Hz, Low: low, High: high, Look: &look, Opacity: hue})
	return f
}

// spreading tells how builds spread and which parts matter.
func (r *built) spreading() (page.Section, error) {
	s := page.Section{Heading: "How builds spread"}
	if r.spread == nil {
		s.Blocks = append(s.Blocks, text("No part of the load states a tolerance, so nothing can be said of the spread of builds."))
		return s, nil
	}
	t := &page.Table{Head: []string{"Largest deviation", "Half stay within", "95 % stay within", "Worst build", "Worst corner"}}
	for _, x := range []struct {
		name string
		of   *tolerance.Result
	}{{"Impedance", r.spread}, {"Tone", r.toneBand}} {
		t.Rows = append(t.Rows, []string{x.name, db(x.of.Largest.P50), db(x.of.Largest.P95), largestText(x.of.Worst), largestText(x.of.Corner)})
	}
	marks := map[string]string{}
	for _, p := range r.parts {
		marks[p.name] = p.mark
	}
	parts := &page.Table{Head: []string{"Part", "Tolerance", "Tone, RMS", "Tone, largest", "Share"}}
	for _, p := range r.toneBand.Parts {
		name := p.Name
		if m := marks[name]; m != "" {
			name = m
		}
		parts.Rows = append(parts.Rows, []string{name, plusMinus(p.Tolerance), db(p.RMS), fmt.Sprintf("%s at %s", db(max(p.Largest, -p.Largest)), hertzText(p.LargestHz)), fmt.Sprintf("%.1f %%", 100*p.Share)})
	}
	s.Blocks = append(s.Blocks,
		text("%d builds, each part by itself anywhere within its tolerance, seed %d, against the nominal build.", r.spread.Options.Builds, r.spread.Options.Seed),
		page.Block{Table: t},
		text("The parts that matter most, each alone at the end of its tolerance, to first order; share is that of the mean square:"),
		page.Block{Table: parts},
		text("Parts of one batch tend to be off the same way: then look at the worst corner."))
	return s, nil
}
