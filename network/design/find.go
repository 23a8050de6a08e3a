package design

import (
	"fmt"
	"math"
	"slices"

	"loadscape/network"
	"loadscape/network/coil"
)

// A Result is a load that was found, and what else could have been.
type Result struct {
	Front  []Design // best fit of any values for each number of parts, where one more brings anything
	Chosen int      // index in Front of what Design comes from
	Design Design   // with preferred values and the coils as wound
	Parts  []Part   // in the order of the values, a shunt last
	Heat   Heat
	// Rounded is the design with its values rounded one by one in place of
	// being chosen together, for comparison.
	Rounded  Design
	Warnings []string
}

// Find designs a load for the target. The number of parts is the least with
// which both limits are kept, also by preferred values; if none keeps them, the
// least that comes within 5 % of the best score.
func Find(t *Target, o Options) (*Result, error) {
	o = o.Defaults()
	if err := o.check(); err != nil {
		return nil, err
	}
	p, err := newProblem(t, o.Limits)
	if err != nil {
		return nil, err
	}
	front := p.front(o)
	r := &Result{}
	for _, f := range front {
		d, err := f.design(f.x)
		if err != nil {
			return nil, err
		}
		r.Front = append(r.Front, d)
	}
	if err := r.choose(front, o); err != nil {
		return nil, err
	}
	if err := r.rate(t, o); err != nil {
		return nil, err
	}
	r.doubt(o)
	return r, nil
}

// OnePort returns the designed load with the suggested ratings.
func (r *Result) OnePort() network.OnePort {
	ratings := make([]network.Rating, len(r.Parts))
	for i, p := range r.Parts {
		ratings[i] = p.Suggested
	}
	return r.Design.Topology.onePort(r.Design.Values, r.Design.DCR, ratings)
}

// OnePort returns the design as parts without ratings.
func (d Design) OnePort() network.OnePort { return d.Topology.onePort(d.Values, d.DCR, nil) }

// choose builds designs out of the front until one will do. If none does, it
// takes the one of fewest parts that comes near the best.
func (r *Result) choose(front []fitted, o Options) error {
	from, to := r.candidates(o)
	var all []built
	var trouble error
	best := math.Inf(1)
	for i := from; i <= to; i++ {
		b, err := front[i].build(o)
		if err != nil { // coils that cannot be wound; a larger network may have others
			trouble = err
			continue
		}
		b.index = i
		all = append(all, b)
		best = math.Min(best, b.design.Score)
		if b.design.Error.Within(o.Limits) {
			break
		}
	}
	if len(all) == 0 {
		return trouble
	}
	taken := all[len(all)-1]
	if !taken.design.Error.Within(o.Limits) {
		taken = all[slices.IndexFunc(all, func(b built) bool { return b.design.Score <= near*best })]
	}
	r.Chosen, r.Design, r.Rounded, r.Parts = taken.index, taken.design, taken.rounded, taken.parts
	return nil
}

// near is the ratio of scores that are hardly worth another part.
const near = 1.05

// candidates returns the range of the front that is worth building.
func (r *Result) candidates(o Options) (from, to int) {
	last := len(r.Front) - 1
	if o.Parts > 0 {
		for i, d := range r.Front {
			if d.Topology.Parts() <= o.Parts {
				from = i
			}
		}
		return from, from
	}
	if i := slices.IndexFunc(r.Front, func(d Design) bool { return d.Error.Within(o.Limits) }); i >= 0 {
		return i, last
	}
	for i, d := range r.Front {
		if d.Score <= near*r.Front[last].Score {
			return i, i
		}
	}
	return last, last
}

// built is a network that can be bought and wound.
type built struct {
	index           int // in the front
	design, rounded Design
	parts           []Part
}

// build chooses preferred values and winds the coils, and puts the resistance
// of these back into the circuit until it no longer changes.
func (f fitted) build(o Options) (built, error) {
	const rounds, unchanged = 6, 1e-3
	m := f.problem.model(f.topology, o)
	var b built
	for range rounds {
		x := slices.Clone(f.x)
		continuous := fitted{m, x, m.fit(x, nil, 100)}
		chosen := continuous.prefer(o)
		rounded := continuous.rounded(o)
		var err error
		if b.rounded, err = m.design(rounded.x); err != nil {
			return b, err
		}
		if b.parts, err = m.wind(chosen.x, o); err != nil {
			return b, err
		}
		change := m.putBack(b.parts, chosen.x)
		if b.design, err = m.realised(b.parts); err != nil {
			return b, err
		}
		if change < unchanged {
			break
		}
	}
	return b, nil
}

// rounded returns f with the values rounded one by one.
func (f fitted) rounded(o Options) fitted {
	s := shopper{model: f.model, options: o, free: make([]bool, len(f.x))}
	for i, k := range f.kinds {
		s.free[i] = o.series(k) == nil
	}
	return s.round(f)
}

// wind returns the parts of values x, the inductors as coils.
func (m *model) wind(x []float64, o Options) ([]Part, error) {
	names := m.topology.names()
	var parts []Part
	for i, k := range m.kinds {
		p := Part{Name: names[i], Kind: k, Value: math.Exp(x[i])}
		if s := o.series(k); s != nil {
			p.Value = s.Nearest(p.Value) // the decimal that the logarithm stands for
		}
		if k == Inductor {
			c, err := coil.Design(coil.Spec{Inductance: p.Value, Wire: o.Wire})
			if err != nil {
				return nil, fmt.Errorf("design: %s: %w", p.Name, err)
			}
			p.Coil, p.DCR = &c, c.Resistance
			if o.series(k) == nil {
				p.Value = c.Inductance
			}
		}
		parts = append(parts, p)
	}
	if m.topology.Shunt > 0 {
		parts = append(parts, Part{Name: names[len(names)-1], Kind: Resistor, Value: m.topology.Shunt})
	}
	return parts, nil
}

// putBack makes the model's windings those of the coils, and returns the
// largest relative change.
func (m *model) putBack(parts []Part, x []float64) float64 {
	m.set(x)
	change := 0.0
	for i, k := range m.kinds {
		if k == Inductor {
			ratio := parts[i].DCR / m.dcr[i]
			m.excess[i] *= ratio
			change = math.Max(change, math.Abs(ratio-1))
		}
	}
	return change
}

// realised returns the design of the parts as they are.
func (m *model) realised(parts []Part) (Design, error) {
	var values, dcr []float64
	for _, p := range parts[:len(m.kinds)] {
		values, dcr = append(values, p.Value), append(dcr, p.DCR)
	}
	return m.problem.design(m.topology, values, dcr)
}

// doubt tells what about the result may surprise its builder.
func (r *Result) doubt(o Options) {
	say := func(format string, args ...any) { r.Warnings = append(r.Warnings, fmt.Sprintf(format, args...)) }
	if e := r.Design.Error; !e.Within(o.Limits) {
		say("off by %.2g %% of impedance and %.2g dB of tone (RMS): the limits are %.2g %% and %.2g dB; allow more parts, finer series or thicker wire",
			100*e.Impedance, e.Tone, 100*o.Limits.Impedance, o.Limits.Tone)
	}
	if o.Parts > 0 && r.Design.Topology.Parts() != o.Parts {
		say("%d parts were asked for, but %d do as well", o.Parts, r.Design.Topology.Parts())
	}
	for _, p := range r.Parts {
		if p.Coil == nil {
			continue
		}
		for _, w := range p.Coil.Warnings {
			say("%s: %s", p.Name, w)
		}
		if density := p.Overdriven.Current / p.Coil.Wire.Area(); density > mostDensity {
			say("%s: %.2g A/mm² of current with the amplifier overdriven: expected at most %g A/mm² in a coil of many layers (common practice, no source); take thicker wire",
				p.Name, density*1e-6, mostDensity*1e-6)
		}
	}
}
