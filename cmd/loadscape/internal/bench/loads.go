package bench

import (
	"slices"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
)

// load decodes an entry of loads.
func (d *decoder) load(e document.Entry) network.Named {
	if _, isWord := e.Value.Word(); isWord {
		return network.Named{OnePort: d.expression(e.Value)}
	}
	var rated float64
	kinds := d.partKinds()
	for i, k := range kinds {
		kinds[i].Decode = func(v document.Value, f *document.Fields) network.OnePort {
			rated = f.Optional("rated_impedance").Quantity(quantity.Resistance, quantity.Positive)
			return k.Decode(v, f)
		}
	}
	p, _ := document.Pick(e.Value, kinds...)
	return network.Named{RatedImpedance: rated, OnePort: p}
}

// expression decodes a load expression: the name of a driver, cabinet or load,
// or a mapping that holds one kind of part. It returns nil after a mistake.
func (d *decoder) expression(v document.Value) network.OnePort {
	if _, isWord := v.Word(); isWord {
		name, ok := v.Name("the name of a driver, cabinet or load", d.names("drivers", "cabinets", "loads"))
		if !ok {
			return nil
		}
		if n := d.resolve(name, v); n.OnePort != nil {
			return n
		}
		return nil // a circle, which is reported
	}
	p, ok := document.Pick(v, d.partKinds()...)
	if !ok {
		return nil
	}
	return p
}

// partKinds are the parts that a load expression may be.
func (d *decoder) partKinds() []document.Kind[network.OnePort] {
	return []document.Kind[network.OnePort]{
		{Key: "resistor", Decode: d.resistor},
		{Key: "inductor", Decode: d.inductor},
		{Key: "capacitor", Decode: d.capacitor},
		{Key: "power_law", Decode: d.powerLaw},
		{Key: "measured", Decode: d.measured},
		{Key: "series", Decode: func(v document.Value, _ *document.Fields) network.OnePort {
			return allOf(d.members(v), func(m []network.OnePort) network.OnePort { return network.Series(m) })
		}},
		{Key: "parallel", Decode: func(v document.Value, _ *document.Fields) network.OnePort {
			return allOf(d.members(v), func(m []network.OnePort) network.OnePort { return network.Parallel(m) })
		}},
		{Key: "circuit", Decode: d.circuit},
	}
}

func (d *decoder) members(v document.Value) []network.OnePort {
	var members []network.OnePort
	for _, m := range v.List() {
		members = append(members, d.expression(m))
	}
	return members
}

// allOf makes a container of the members, nil if one of them is missing
// because of a mistake.
func allOf(members []network.OnePort, contain func([]network.OnePort) network.OnePort) network.OnePort {
	if len(members) == 0 || slices.Contains(members, nil) {
		return nil
	}
	return contain(members)
}

func (d *decoder) resistor(v document.Value, f *document.Fields) network.OnePort {
	d.parts++
	r := network.Resistor{
		Ohms: v.Quantity(quantity.Resistance, quantity.Positive),
		Rating: network.Rating{
			Power:     f.Optional("power_rating").Quantity(quantity.Power, quantity.Positive),
			Tolerance: tolerance(f),
			FreeAir:   true,
		},
	}
	if s := f.Optional("heat_sink"); s.Exists() {
		r.Rating.FreeAir = !s.Bool()
	}
	return whole[network.OnePort](r, r.Ohms)
}

func (d *decoder) inductor(v document.Value, f *document.Fields) network.OnePort {
	d.parts++
	l := network.Inductor{
		Henries:  v.Quantity(quantity.Inductance, quantity.Positive),
		DCR:      f.Optional("dcr").Quantity(quantity.Resistance, quantity.NonNegative),
		CoreLoss: f.Optional("core_loss").Quantity(quantity.Resistance, quantity.Positive),
		Rating: network.Rating{
			Current:   f.Optional("current_rating").Quantity(quantity.Current, quantity.Positive),
			Tolerance: tolerance(f),
		},
	}
	return whole[network.OnePort](l, l.Henries)
}

func (d *decoder) capacitor(v document.Value, f *document.Fields) network.OnePort {
	d.parts++
	c := network.Capacitor{
		Farads: v.Quantity(quantity.Capacitance, quantity.Positive),
		ESR:    f.Optional("esr").Quantity(quantity.Resistance, quantity.NonNegative),
		Rating: network.Rating{
			Voltage:   f.Optional("voltage_rating").Quantity(quantity.Voltage, quantity.Positive),
			Tolerance: tolerance(f),
		},
	}
	return whole[network.OnePort](c, c.Farads)
}

func (d *decoder) powerLaw(v document.Value, _ *document.Fields) network.OnePort {
	d.parts++
	f := v.Fields()
	p := network.PowerLaw{
		K: f.Required("k").Quantity(quantity.Number, quantity.Positive),
		N: f.Required("n").Quantity(quantity.Number, quantity.Between(-1, 1)),
	}
	return whole[network.OnePort](network.Single{Kind: "power_law", Element: p}, p.K)
}

func tolerance(f *document.Fields) float64 {
	return f.Optional("tolerance").Quantity(quantity.Ratio, quantity.Between(0, 0.9))
}

// circuit decodes a free circuit between two of its nodes.
func (d *decoder) circuit(v document.Value, _ *document.Fields) network.OnePort {
	f := v.Fields()
	between := f.Required("between").List()
	if len(between) != 2 {
		if len(between) > 0 {
			f.Optional("between").Reject("a list of another length", "the two nodes between which the circuit is seen")
		}
		f.Optional("parts")
		return nil
	}
	m := network.Mesh{Between: [2]string{between[0].Text(), between[1].Text()}}
	if m.Between[0] == m.Between[1] {
		f.Optional("between").Reject("the same node twice", "two different nodes")
		f.Optional("parts")
		return nil
	}
	var ok bool
	if m.Parts, ok = d.meshParts(f.Required("parts")); !ok {
		return nil
	}
	return m
}

// meshParts decodes the parts of a free circuit.
func (d *decoder) meshParts(v document.Value) (parts []network.MeshPart, ok bool) {
	ok = true
	for _, p := range v.List() {
		f := p.Fields()
		part := network.MeshPart{From: node(f.Required("from")), To: node(f.Required("to")), OnePort: d.expression(p)}
		if part.From == part.To && part.From != "" {
			f.Optional("to").Reject("the node "+part.To+" at both ends", "two different nodes")
			ok = false
		}
		ok = ok && part.OnePort != nil && part.From != "" && part.To != ""
		parts = append(parts, part)
	}
	return parts, ok && len(parts) > 0
}

// node decodes the name of a node.
func node(v document.Value) string {
	if !v.Exists() {
		v.Reject("nothing", "the name of a node")
		return ""
	}
	return v.Text()
}

func sorted(names []string) []string {
	slices.Sort(names)
	return names
}
