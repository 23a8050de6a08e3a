package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/coil"
	"loadscape/network/design"
	"loadscape/network/safety"
	"loadscape/network/wire"
	"loadscape/plot"
)

// builtPart is a part of the load.
type builtPart struct {
	mark      string // R1, L1, C1; Z1 for what is none of these
	kind      plot.SymbolKind
	name      string // its path
	what      string // its kind in words
	between   string // of a mesh, the nodes of its ends
	value     float64
	dimension quantity.Dimension
	unit      string  // of value, for a table of numbers
	loss      float64 // ohm in series
	rating    network.Rating
	use       safety.PartLoad
	coil      *coil.Coil // for an inductor
	gauge     wire.AWG
	paths     *[]string
}

// listParts numbers the parts of the load and finds what they bear: a run of
// the setup tells under which names they are laid.
func (r *built) listParts() error {
	r.parts = nil
	r.schematic()
	if _, err := r.with(r.circuit).Run([]float64{1000}); err != nil {
		if _, hard := soft(err); hard != nil {
			return hard
		}
	}
	uses := map[string]safety.PartLoad{}
	links := []string{"first", "second"}
	for _, u := range r.report.Parts {
		which, path, both := strings.Cut(u.Name, " amplifier: ")
		switch {
		case !both:
			path = u.Name
		case which != links[min(r.link, 1)]:
			continue // what another amplifier's load bears
		}
		const rounding = 1e-9 // W
		if u.Power < rounding {
			u.Power, u.Overdriven, u.PowerHz = 0, 0, 0
		}
		uses[path] = u
	}
	for i := range r.parts {
		p := &r.parts[i]
		for _, path := range *p.paths { // of several copies, the one that bears most
			u, ok := uses[path]
			harder := u.Verdict > p.use.Verdict || u.Verdict == p.use.Verdict && u.Power >= p.use.Power
			if ok && (p.name == "" || harder) {
				p.name, p.use = path, u
			}
		}
		if p.name == "" {
			p.use.Verdict = safety.Caution // nothing tells what it bears
		}
		if p.name == "" && len(*p.paths) > 0 {
			p.name = (*p.paths)[0]
		}
		if p.kind == plot.InductorSymbol {
			r.wind(p)
		}
	}
	r.sumHeat()
	return nil
}

// sumHeat finds the sine that heats the load most.
func (r *built) sumHeat() {
	total := make([]float64, len(r.result.Hz))
	for _, u := range r.result.Links[r.link].Parts {
		if slices.ContainsFunc(r.parts, func(p builtPart) bool { return p.name == u.Name }) {
			for k, watt := range u.Power {
				total[k] += watt
			}
		}
	}
	for k, watt := range total {
		if f := r.result.Hz[k]; watt > r.heat.value && f >= safety.Lowest && f <= safety.Highest {
			r.heat = point{watt, f}
		}
	}
}

// schematic numbers the parts in the order in which they are drawn.
func (r *built) schematic() plot.Circuit {
	r.parts = nil
	return r.symbolOf(r.circuit)
}

func (r *built) symbolOf(p network.OnePort) plot.Circuit {
	switch p := p.(type) {
	case network.Named:
		return r.symbolOf(p.OnePort)
	case network.Series:
		var s plot.SeriesCircuit
		for _, m := range p {
			s = append(s, r.symbolOf(m))
		}
		return s
	case network.Parallel:
		var s plot.ParallelCircuit
		for _, m := range p {
			s = append(s, r.symbolOf(m))
		}
		return s
	case network.Mesh:
		first := len(r.parts)
		for _, m := range p.Parts {
			from := len(r.parts)
			r.symbolOf(m.OnePort)
			for i := from; i < len(r.parts); i++ {
				r.parts[i].between = fmt.Sprintf("%s to %s", m.From, m.To)
			}
		}
		return plot.Symbol{Kind: plot.ImpedanceSymbol, Lines: []string{"circuit", r.parts[first].mark + " to " + r.parts[len(r.parts)-1].mark, "as in the list"}}
	}
	q := partOf(p)
	q.mark += fmt.Sprint(1 + len(slices.Collect(r.ofKind(q.kind))))
	r.parts = append(r.parts, q)
	return plot.Symbol{Kind: q.kind, Lines: q.lines()}
}

// ofKind yields the parts of a kind so far.
func (r *built) ofKind(k plot.SymbolKind) func(func(builtPart) bool) {
	return func(yield func(builtPart) bool) {
		for _, p := range r.parts {
			if p.kind == k && !yield(p) {
				return
			}
		}
	}
}

func partOf(p network.OnePort) builtPart {
	q := builtPart{mark: "Z", kind: plot.ImpedanceSymbol, what: p.Label(), paths: new([]string)}
	if l, ok := p.(laid); ok {
		p, q.paths = l.OnePort, l.paths
	}
	switch p := p.(type) {
	case network.Resistor:
		q.mark, q.kind, q.value, q.dimension, q.unit, q.rating = "R", plot.ResistorSymbol, p.Ohms, quantity.Resistance, "ohm", p.Rating
	case network.Inductor:
		q.mark, q.kind, q.value, q.dimension, q.unit, q.rating, q.loss = "L", plot.InductorSymbol, p.Henries, quantity.Inductance, "H", p.Rating, p.DCR
	case network.Capacitor:
		q.mark, q.kind, q.value, q.dimension, q.unit, q.rating, q.loss = "C", plot.CapacitorSymbol, p.Farads, quantity.Capacitance, "F", p.Rating, p.ESR
	case network.Single:
		q.rating = p.Rating
	}
	return q
}

// printed writes units as they are printed.
var printed = strings.NewReplacer("ohm", "Ω", "uF", "µF", "uH", "µH", "um", "µm")

func shown(v float64, d quantity.Dimension, digits int) string {
	return printed.Replace(quantity.Format(v, d, digits))
}

func (p builtPart) valueText() string {
	if p.kind == plot.ImpedanceSymbol {
		return p.what
	}
	return shown(p.value, p.dimension, 4)
}

// stated returns the rating by which the part is to be bought.
func (p builtPart) stated() (value float64, unit string) {
	switch r := p.rating; {
	case r.Power > 0:
		return r.Power, "W"
	case r.Current > 0:
		return r.Current, "A"
	case r.Voltage > 0:
		return r.Voltage, "V"
	}
	return 0, ""
}

func (p builtPart) ratingText() string {
	v, unit := p.stated()
	if v == 0 {
		return "not stated"
	}
	text := fmt.Sprintf("%.4g %s", v, unit)
	if p.rating.FreeAir {
		text += " in free air"
	}
	return text
}

func (p builtPart) lines() []string {
	lines := []string{p.mark, p.valueText()}
	if v, unit := p.stated(); v > 0 {
		lines = append(lines, fmt.Sprintf("%.4g %s", v, unit))
	}
	return lines
}

// thickest is the thickest wire that a coil is wound of by hand.
const thickest = wire.AWG(8)

// wind designs an air-core coil in the Brooks shape of the thinnest wire that
// keeps the stated resistance, or of the usual wire if none is stated.
func (r *built) wind(p *builtPart) {
	const near = 1.02
	p.gauge = design.DefaultGauge
	of := func(g wire.AWG) wire.Wire { return wire.Wire{Diameter: g.Diameter(), Enamel: wire.Grade2} }
	if p.loss > 0 {
		for p.gauge = wire.Thinnest; p.gauge > thickest && design.WindingResistance(p.value, of(p.gauge)) > near*p.loss; p.gauge-- {
		}
	}
	c, err := coil.Design(coil.Spec{Inductance: p.value, Wire: of(p.gauge)})
	if err != nil {
		r.notes = append(r.notes, fmt.Sprintf("%s: no coil without a core: %v", p.mark, err))
		return
	}
	p.coil = &c
	if p.loss == 0 {
		r.notes = append(r.notes, fmt.Sprintf("%s: no resistance is stated, and so none is reckoned with; the coil to wind has %s: state it as dcr", p.mark, shown(c.Resistance, quantity.Resistance, 3)))
	}
	if p.loss > 0 && c.Resistance > near*p.loss {
		r.notes = append(r.notes, fmt.Sprintf("%s: a coil without a core of %v wire has %s, more than the %s stated", p.mark, p.gauge, shown(c.Resistance, quantity.Resistance, 3), shown(p.loss, quantity.Resistance, 3)))
	}
	const dense = 4 // A/mm²
	if amps := math.Sqrt(safety.Overdrive) * p.use.Current / (1e6 * c.Wire.Area()); amps > dense {
		r.notes = append(r.notes, fmt.Sprintf("%s: %.2g A/mm² with the amplifier overdriven: expected at most %d A/mm² in a coil of many layers (common practice, no source); take thicker wire or keep it cool", p.mark, amps, dense))
	}
	for _, w := range c.Warnings {
		r.notes = append(r.notes, p.mark+": "+w)
	}
}

// writeParts writes the parts list as CSV, a part a row.
func (r *built) writeParts(w io.Writer) error {
	t := newCSV(w, "mark", "part", "kind", "between", "value", "unit", "series_resistance_ohm", "tolerance", "rating", "rating_unit", "verdict",
		"rated_power_w", "overdriven_power_w", "hardest_hz", "overdriven_current_a", "overdriven_peak_voltage_v",
		"wire_mm", "turns", "turns_per_layer", "layers", "former_diameter_mm", "former_length_mm", "outer_diameter_mm", "wire_m", "copper_kg", "coil_resistance_ohm")
	for _, p := range r.parts {
		rating, unit := p.stated()
		cells := []string{p.mark, cell(p.name), cell(p.what), cell(p.between), some(p.value), p.unit, some(p.loss), some(p.rating.Tolerance), some(rating), unit, p.use.Verdict.String(),
			number(p.use.Power), number(p.use.Overdriven), number(p.use.PowerHz),
			number(math.Sqrt(safety.Overdrive) * p.use.Current), number(math.Sqrt2 * math.Sqrt(safety.Overdrive) * p.use.Voltage)}
		if c := p.coil; c != nil {
			for _, x := range []float64{1e3 * c.Wire.Diameter, float64(c.Turns), float64(c.TurnsPerLayer), float64(c.Layers), 2e3 * c.InnerRadius, 1e3 * c.Length,
				2e3 * (c.InnerRadius + c.Depth), c.WireLength, c.Mass, c.Resistance} {
				cells = append(cells, number(x))
			}
		} else {
			cells = append(cells, make([]string, 10)...)
		}
		t.cells(cells...)
	}
	return t.end()
}

// some returns a number, or nothing for zero: not stated.
func some(x float64) string {
	if x == 0 {
		return ""
	}
	return number(x)
}

// cell returns a text that no spreadsheet takes for a formula.
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
