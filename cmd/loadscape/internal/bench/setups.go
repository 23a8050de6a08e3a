package bench

import (
	"fmt"
	"math"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/tone"
)

// setups decodes the section of setups.
func (d *decoder) setups(v document.Value) {
	for _, e := range entries(v) {
		d.checkName(e)
		if it, ok := d.items[e.Name]; ok {
			e.Key.Reject(fmt.Sprintf("the name %q again", e.Name), "another name: it is one of the "+it.section)
		}
		if d.bench.Setups = append(d.bench.Setups, d.setup(e)...); len(d.bench.Setups) > MaxSetups {
			e.Key.Reject("one setup too many, steps written out", fmt.Sprintf("at most %d", MaxSetups))
			return
		}
	}
}

// setup decodes a setup: one for each step of its attenuator.
func (d *decoder) setup(e document.Entry) []chain.Setup {
	f := e.Value.Fields()
	link, steps := d.link(f)
	again := f.Optional("reamp")
	var second chain.Link
	if again.Exists() {
		second = d.reamp(e.Name, again)
	}
	var setups []chain.Setup
	for _, s := range steps {
		link.Attenuator = s.port
		setup := chain.Setup{Name: e.Name, Links: []chain.Link{link}}
		if s.name != "" {
			setup.Name += " at " + s.name
		}
		if again.Exists() {
			setup.Links = append(setup.Links, second)
		}
		setups = append(setups, setup)
	}
	return setups
}

// reamp decodes the second amplifier and what it drives. It runs at rated
// drive, at a gain from it, or at a drop below the reference.
func (d *decoder) reamp(setup string, v document.Value) chain.Link {
	f := v.Fields()
	link, steps := d.link(f)
	if len(steps) > 1 {
		f.Optional("attenuator").Reject("an attenuator with steps", "step: to choose one of them")
	}
	link.Attenuator = steps[0].port
	if fall := f.Optional("drop"); fall.Exists() {
		f.Exclude("beside drop", "gain")
		d.drops = append(d.drops, drop{setup, fall.Quantity(quantity.Level, quantity.NonNegative), fall})
	}
	link.Gain = f.Optional("gain").Quantity(quantity.Level, quantity.Between(-200, 100))
	return link
}

// drop is a level below the reference at which a setup's re-amp is to run.
type drop struct {
	setup string
	db    float64
	at    document.Value
}

// settleDrops finds the gain that brings each re-amp to its drop: the level is
// K-weighted over the listening band, in volts at the load.
func (d *decoder) settleDrops() {
	for _, want := range d.drops {
		level, err := d.levelOf(d.bench.Reference)
		if err != nil {
			want.at.Reject("a drop from a reference that cannot be computed ("+err.Error()+")", "a reference that can")
			continue
		}
		for i := range d.bench.Setups {
			s := &d.bench.Setups[i]
			if s.Name != want.setup && !strings.HasPrefix(s.Name, want.setup+" at ") {
				continue
			}
			if s.Name == d.bench.Reference {
				want.at.Reject("a drop in the reference itself", "gain")
				break
			}
			now, err := d.levelOf(s.Name)
			if err != nil {
				want.at.Reject("a setup that cannot be computed ("+err.Error()+")", "one that can")
				break
			}
			s.Links[len(s.Links)-1].Gain += level - want.db - now
		}
	}
}

// levelOf returns the level in dB at the load of a setup.
func (d *decoder) levelOf(name string) (float64, error) {
	s, err := d.bench.Setup(name)
	if err != nil {
		return 0, err
	}
	hz, err := d.bench.Sweep.Frequencies()
	if err != nil {
		return 0, err
	}
	r, err := s.Run(hz)
	if err != nil {
		return 0, err
	}
	return tone.Level(hz, r.Last().Terminal, d.bench.Band)
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
