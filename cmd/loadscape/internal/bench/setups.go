package bench

import (
	"fmt"

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
		d.bench.Setups = append(d.bench.Setups, d.setup(e))
	}
}

func (d *decoder) setup(e document.Entry) chain.Setup {
	f := e.Value.Fields()
	return chain.Setup{Name: e.Name, Links: []chain.Link{d.link(f)}}
}

// link decodes the keys by which an amplifier is joined to its load.
func (d *decoder) link(f *document.Fields) chain.Link {
	var l chain.Link
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
	l.Load = d.loadOf(f.Required("load"))
	return l
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
