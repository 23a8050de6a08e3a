package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/chain"
)

// setups decodes the section of setups.
func (d *decoder) setups(v document.Value) {
	for _, e := range entries(v) {
		d.checkName(e)
		if it, ok := d.items[e.Name]; ok {
			e.Key.Reject(fmt.Sprintf("the name %q again", e.Name), "another name: it is one of the "+it.section)
		}
		before := len(d.bench.Setups)
		if d.bench.Setups = append(d.bench.Setups, d.setup(e)...); len(d.bench.Setups) > MaxSetups {
			e.Key.Reject("one setup too many, steps written out", fmt.Sprintf("at most %d", MaxSetups))
			return
		}
		for i, s := range d.bench.Setups {
			if i < before && slices.ContainsFunc(d.bench.Setups[before:], func(t chain.Setup) bool { return t.Name == s.Name }) {
				e.Key.Reject(fmt.Sprintf("a setup called %q twice, steps written out", s.Name), "another name")
			}
		}
	}
}

// setup decodes a setup: one for each step of its attenuator.
func (d *decoder) setup(e document.Entry) []chain.Setup {
	f := e.Value.Fields()
	link, steps := d.link(f)
	again := f.Optional("reamp")
	var second chain.Link
	var drop document.Value
	if again.Exists() {
		second, drop = d.reamp(again)
	}
	db := drop.Quantity(quantity.Level, quantity.NonNegative)
	var setups []chain.Setup
	for _, s := range steps {
		link.Attenuator = s.port
		setup := chain.Setup{Name: e.Name, Links: []chain.Link{link}}
		if len(steps) > 1 {
			setup.Name += " at " + s.name
		}
		if again.Exists() {
			setup.Links = append(setup.Links, second)
		}
		if drop.Exists() {
			d.bench.drops[setup.Name] = db
			d.dropAt[setup.Name] = drop
		}
		d.bench.families[setup.Name] = e.Name
		setups = append(setups, setup)
	}
	return setups
}

// reamp decodes the second amplifier and what it drives. It runs at rated
// drive, at a gain from it, or at a drop below the reference.
func (d *decoder) reamp(v document.Value) (link chain.Link, drop document.Value) {
	f := v.Fields()
	link, steps := d.link(f)
	if len(steps) > 1 {
		f.Optional("attenuator").Reject("an attenuator with steps", "step: to choose one of them")
	}
	link.Attenuator = steps[0].port
	drop = f.Optional("drop")
	gain := f.Optional("gain")
	if drop.Exists() && gain.Exists() {
		f.Exclude("beside drop", "gain")
		return link, document.Value{}
	}
	link.Gain = gain.Quantity(quantity.Level, quantity.Between(-200, 100))
	return link, drop
}

// link decodes the keys by which an amplifier is joined to its load, but for
// the attenuator, of which it returns the steps.
func (d *decoder) link(f *document.Fields) (l chain.Link, steps []step) {
	known := make([]string, 0, len(d.amplifiers))
	for name := range d.amplifiers {
		known = append(known, name)
	}
	name, ok := f.Required("amplifier").Name("the name of an amplifier", sorted(known))
	l.Stage = d.amplifiers[name]
	tap := f.Optional("tap")
	l.Tap = tap.Quantity(quantity.Resistance, quantity.Positive)
	if ok && l.Stage.Validate() == nil {
		if _, err := l.Stage.At(l.Tap); err != nil {
			reject(f.Value(), err)
		}
	}
	if v := f.Optional("cable"); v.Exists() {
		l.Before = append(l.Before, d.cableOf(v))
	}
	if v := f.Optional("load_cable"); v.Exists() {
		l.After = append(l.After, d.cableOf(v))
	}
	l.Load = d.loadOf(f.Required("load"))
	return l, d.stepsOf(f)
}

// stepsOf returns the steps of a setup's attenuator, the chosen one if it
// names one. Without an attenuator there is one step without a two-port.
func (d *decoder) stepsOf(f *document.Fields) []step {
	none := []step{{}}
	v, chosen := f.Optional("attenuator"), f.Optional("step")
	if !v.Exists() {
		f.Exclude("without an attenuator", "step")
		return none
	}
	a := d.attenuatorNamed(v)
	if len(a.steps) == 0 {
		return none // a mistake, which is recorded
	}
	if !chosen.Exists() {
		return a.steps
	}
	want := chosen.Quantity(quantity.Level, quantity.Positive)
	var names []string
	for _, s := range a.steps {
		if s.name != "" && math.Abs(s.db-want) < 1e-9 {
			return []step{s}
		}
		names = append(names, s.name)
	}
	if want != 0 {
		chosen.Reject(fmt.Sprintf("a step of %g dB", want), "one of the attenuator's: "+strings.Join(names, ", "))
	}
	return none
}

// cableOf decodes the name of a cable or a cable itself.
func (d *decoder) cableOf(v document.Value) network.TwoPort {
	if _, isWord := v.Word(); !isWord {
		return network.NamedTwoPort{Name: "cable", TwoPort: d.cable(v)}
	}
	known := make([]string, 0, len(d.cables))
	for name := range d.cables {
		known = append(known, name)
	}
	name, ok := v.Name("the name of a cable", sorted(known))
	if !ok {
		return network.Cascade{}
	}
	return d.cables[name]
}

// loadOf decodes the load of a setup.
func (d *decoder) loadOf(v document.Value) network.OnePort {
	if !v.Exists() {
		v.Reject("nothing", "the name of a driver, cabinet or load, or one written out as {resistor: 8 ohm}")
		return network.Resistor{Ohms: 1}
	}
	d.parts = 0
	p := d.expression(v)
	if d.parts > MaxParts {
		v.Reject(fmt.Sprintf("%d parts, references written out", d.parts), fmt.Sprintf("at most %d", MaxParts))
		p = nil
	}
	if p == nil {
		return network.Resistor{Ohms: 1} // the mistake is recorded
	}
	return p
}
