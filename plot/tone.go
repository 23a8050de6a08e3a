package plot

import (
	"image/color"
	"sort"
)

// decibels returns an axis on which less than 3 dB looks like little.
func decibels(label string) Axis {
	return Axis{Label: label, Unit: "dB", Holds: []float64{-3, 3}}
}

// banded returns the items of a panel with a marked interval and a rule at
// zero. An interval of no width is left out.
func banded(band Interval, items ...Item) []Item {
	var out []Item
	if band.From != band.To {
		out = append(out, band)
	}
	return append(append(out, Rule{Y: 0}), items...)
}

// Deviation draws the tone deviation in decibels of several setups from the
// reference, with the listening band marked.
func Deviation(title, reference string, setups []Trace, band Interval) *Figure {
	return &Figure{Title: title, Panels: []Panel{{
		X:      Frequency(),
		Y:      decibels("Deviation from " + reference),
		Height: 8,
		Items:  banded(band, lineItems(setups)...),
	}}}
}

// Loudness draws the boost in decibels that the ear asks for at lower levels
// and, if there are any, the tone deviations it may be compared with.
func Loudness(title string, boosts, deviations []Trace, band Interval) *Figure {
	items := lineItems(boosts)
	for i, d := range deviations {
		look := Series(len(boosts) + i)
		look.Width = 1
		line := d.line()
		line.Look = &look
		items = append(items, line)
	}
	return &Figure{Title: title, Panels: []Panel{{
		X:      Frequency(),
		Y:      decibels("Boost relative to 1 kHz"),
		Height: 8,
		Items:  banded(band, items...),
	}}}
}

// Steps draws one ordered family of curves, such as the steps of an
// attenuator: from dark to light, each with its name at its right end.
func Steps(title string, y Axis, steps []Trace, band Interval) *Figure {
	var items []Item
	tags := Tags{Lead: true}
	for i, s := range steps {
		look := Ramp(i, len(steps))
		line := s.line()
		line.Look = &look
		items = append(items, line)
		if n := len(s.Y); n > 0 {
			tags.Y = append(tags.Y, s.Y[n-1])
			tags.Text = append(tags.Text, s.Name)
			tags.Colors = append(tags.Colors, look.Color)
		}
	}
	items = append(items, tags)
	return &Figure{Title: title, Panels: []Panel{{
		X: Frequency(), Y: y, Height: 8, Items: banded(band, items...),
	}}}
}

// Tolerance is the spread of a quantity over many builds. Every slice that is
// given has a value for each frequency.
type Tolerance struct {
	Hz                   []float64
	Median               []float64
	InnerLow, InnerHigh  []float64 // such as the middle half of the builds
	OuterLow, OuterHigh  []float64 // such as nine tenths of them
	InnerName, OuterName string
	LimitLow, LimitHigh  []float64 // optional
	Target               []float64 // optional
	TargetName           string
}

// Figure draws the median within its bands, over limits and target.
func (t Tolerance) Figure(title string, y Axis, band Interval) *Figure {
	look := Series(0)
	limit := Look{Color: alarm, Width: 1, Dashes: []float64{5, 3}}
	target := Series(1)
	target.Dashes = []float64{2, 1.5}

	var items []Item
	if band.From != band.To {
		items = append(items, band)
	}
	items = append(items,
		Band{Name: t.OuterName, X: t.Hz, Low: t.OuterLow, High: t.OuterHigh, Look: &look, Opacity: 0.2},
		Band{Name: t.InnerName, X: t.Hz, Low: t.InnerLow, High: t.InnerHigh, Look: &look, Opacity: 0.45},
		Line{Name: "median", X: t.Hz, Y: t.Median, Look: &look, Plain: true})
	for _, l := range [][]float64{t.LimitLow, t.LimitHigh} {
		if l != nil {
			items = append(items, Line{Name: "limits", X: t.Hz, Y: l, Look: &limit, Plain: true})
		}
	}
	if t.Target != nil {
		items = append(items, Line{Name: t.TargetName, X: t.Hz, Y: t.Target, Look: &target, Plain: true})
	}
	return &Figure{Title: title, Panels: []Panel{{X: Frequency(), Y: y, Height: 8, Items: items}}}
}

// A Trade is one design: how many parts it takes and how far it is off.
type Trade struct {
	Parts     int
	Deviation float64
	Label     string // optional
}

// Front draws deviation against parts count, with the design of index chosen
// marked; an index out of range marks none.
func Front(title string, y Axis, designs []Trade, chosen int) *Figure {
	look, mark := Series(0), Look{Color: alarm, Marker: Ring}
	line := Line{Name: "best for each count", Look: &look, Plain: true}
	dots := Points{Name: line.Name, Look: &look}
	var pick []Item
	x := Axis{Label: "Parts", Step: 1}
	for i, d := range designs {
		n := float64(d.Parts)
		dots.X, dots.Y = append(dots.X, n), append(dots.Y, d.Deviation)
		x.Holds = append(x.Holds, n-1, n+1)
		if i == chosen {
			pick = append(pick, Points{Name: "chosen", X: []float64{n}, Y: []float64{d.Deviation}, Look: &mark, Size: 2.2})
		}
		if d.Label != "" {
			clr := color.Color(ink)
			if i == chosen {
				clr = alarm
			}
			pick = append(pick, Note{X: n, Y: d.Deviation, Text: d.Label, Color: clr, Optional: i != chosen})
		}
	}
	line.X, line.Y = append(line.X, dots.X...), append(line.Y, dots.Y...)
	sort.Sort(byX(line))
	y.Holds = append(y.Holds, 0)
	items := append([]Item{line}, pick...)
	return &Figure{Title: title, Panels: []Panel{{X: x, Y: y, Height: 7, Items: append(items, dots)}}}
}

// byX sorts the points of a line.
type byX Line

func (l byX) Len() int           { return len(l.X) }
func (l byX) Less(i, j int) bool { return l.X[i] < l.X[j] }
func (l byX) Swap(i, j int) {
	l.X[i], l.X[j] = l.X[j], l.X[i]
	l.Y[i], l.Y[j] = l.Y[j], l.Y[i]
}
