package bench

import (
	"fmt"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/thielesmall"
)

// cabinet decodes an entry of cabinets.
func (d *decoder) cabinet(e document.Entry) network.Named {
	f := e.Value.Fields()
	k := thielesmall.Cabinet{
		Name:           e.Name,
		RatedImpedance: f.Optional("rated_impedance").Quantity(quantity.Resistance, quantity.Positive),
		Wiring:         d.wiring(f),
		Enclosure:      thielesmall.FreeAir{},
		Air:            d.air,
	}
	if v := f.Required("enclosure"); v.Exists() {
		k.Enclosure, _ = document.Pick(v, enclosureKinds...)
	} else {
		v.Reject("nothing", "free_air, infinite_baffle, {closed: ...}, {vented: ...}, {open_back: ...} or {passive_radiator: ...}")
	}
	if k.Wiring == nil || k.Enclosure == nil {
		return network.Named{} // reported above
	}
	if n := len(k.Drivers()); n > thielesmall.MaxDrivers {
		f.Optional("wiring").Reject(fmt.Sprintf("%d drivers", n), fmt.Sprintf("at most %d", thielesmall.MaxDrivers))
		return network.Named{}
	}
	if err := k.Validate(); err != nil {
		reject(e.Value, err)
		return network.Named{}
	}
	for _, w := range k.Check() {
		if w.Kind != thielesmall.Contradiction { // those are the driver's own
			d.bench.Warnings = append(d.bench.Warnings, w.String())
		}
	}
	return network.Named{RatedImpedance: k.RatedImpedance, OnePort: k}
}

// wiring decodes how the drivers of a cabinet are joined: equal ones by a word
// and a count, or any expression.
func (d *decoder) wiring(f *document.Fields) network.OnePort {
	v := f.Optional("wiring")
	if _, isWord := v.Word(); v.Exists() && !isWord {
		f.Exclude("beside a wiring that names the drivers", "driver", "count")
		return d.driverExpression(v)
	}
	name, ok := f.Required("driver").Name("the name of a driver", d.names("drivers"))
	count := f.Default("count", "1").Integer(1, thielesmall.MaxDrivers)
	connection := thielesmall.InParallel
	if v.Exists() {
		connection = document.Enum(v,
			document.Choice[thielesmall.Connection]{Word: "parallel", Value: thielesmall.InParallel},
			document.Choice[thielesmall.Connection]{Word: "series", Value: thielesmall.InSeries},
			document.Choice[thielesmall.Connection]{Word: "series-parallel", Value: thielesmall.InSeriesParallel})
	} else if count > 1 {
		f.Required("wiring").Reject("nothing", "parallel, series, series-parallel or {parallel: [...]}")
	}
	if !ok || count == 0 {
		return nil
	}
	if d.resolve(name, f.Optional("driver")); d.items[name].faulty {
		return nil
	}
	d.parts += (count - 1) * laidByDriver
	wired, err := thielesmall.Wire(d.drivers[name], count, connection)
	if err != nil {
		f.Optional("count").Reject(fmt.Sprintf("%d drivers in %v", count, connection), "an even number from 4 up, or the wiring written out as {parallel: [...]}")
		return nil
	}
	return wired
}

// driverExpression decodes a series/parallel expression of drivers.
func (d *decoder) driverExpression(v document.Value) network.OnePort {
	if _, isWord := v.Word(); isWord {
		name, ok := v.Name("the name of a driver", d.names("drivers"))
		if !ok {
			return nil
		}
		if d.resolve(name, v); d.items[name].faulty {
			return nil
		}
		return d.drivers[name]
	}
	group := func(v document.Value, _ *document.Fields) []network.OnePort {
		var members []network.OnePort
		for _, m := range v.List() {
			members = append(members, d.driverExpression(m))
		}
		return members
	}
	p, _ := document.Pick(v,
		document.Kind[network.OnePort]{Key: "series", Decode: func(v document.Value, f *document.Fields) network.OnePort {
			return allOf(group(v, f), func(m []network.OnePort) network.OnePort { return network.Series(m) })
		}},
		document.Kind[network.OnePort]{Key: "parallel", Decode: func(v document.Value, f *document.Fields) network.OnePort {
			return allOf(group(v, f), func(m []network.OnePort) network.OnePort { return network.Parallel(m) })
		}})
	return p
}

// names returns the names in a section, in no order.
func (d *decoder) names(sections ...string) []string {
	var names []string
	for name, it := range d.items {
		for _, s := range sections {
			if it.section == s {
				names = append(names, name)
			}
		}
	}
	return sorted(names)
}

// enclosureKinds are what enclosure may hold.
var enclosureKinds = []document.Kind[thielesmall.Enclosure]{
	{Key: "free_air", Alone: true, Decode: func(document.Value, *document.Fields) thielesmall.Enclosure {
		return thielesmall.FreeAir{}
	}},
	{Key: "infinite_baffle", Alone: true, Decode: func(document.Value, *document.Fields) thielesmall.Enclosure {
		return thielesmall.InfiniteBaffle{}
	}},
	{Key: "closed", Decode: func(v document.Value, _ *document.Fields) thielesmall.Enclosure {
		f := v.Fields()
		c := thielesmall.Closed{
			Volume: volume(f), FillFactor: fill(f), LeakageQ: quality(f, "leakage_q"), AbsorptionQ: quality(f, "absorption_q"),
		}
		return whole[thielesmall.Enclosure](c, c.Volume)
	}},
	{Key: "vented", Decode: func(v document.Value, _ *document.Fields) thielesmall.Enclosure {
		f := v.Fields()
		e := thielesmall.Vented{
			Volume: volume(f), FillFactor: fill(f), LeakageQ: quality(f, "leakage_q"), AbsorptionQ: quality(f, "absorption_q"),
			PortQ: quality(f, "port_q"),
		}
		_, ok := document.OneOf(f,
			document.Kind[bool]{Key: "tuning", Decode: func(v document.Value, _ *document.Fields) bool {
				e.Tuning = v.Quantity(quantity.Frequency, quantity.Positive)
				return true
			}},
			document.Kind[bool]{Key: "port", Decode: func(v document.Value, _ *document.Fields) bool {
				e.Port = port(v)
				return true
			}})
		if !ok {
			return nil
		}
		return whole[thielesmall.Enclosure](e, e.Volume, e.Tuning+e.Port.Diameter+e.Port.Area)
	}},
	{Key: "open_back", Decode: func(v document.Value, _ *document.Fields) thielesmall.Enclosure {
		f := v.Fields()
		e := thielesmall.OpenBack{
			Volume: volume(f), LeakageQ: quality(f, "leakage_q"), AbsorptionQ: quality(f, "absorption_q"),
			Opening:   f.Required("opening").Quantity(quantity.Area, quantity.Positive),
			Thickness: f.Optional("thickness").Quantity(quantity.Length, quantity.NonNegative),
		}
		return whole[thielesmall.Enclosure](e, e.Volume, e.Opening)
	}},
	{Key: "passive_radiator", Decode: func(v document.Value, _ *document.Fields) thielesmall.Enclosure {
		f := v.Fields()
		e := thielesmall.PassiveRadiator{
			Volume: volume(f),
			Sd:     f.Required("sd").Quantity(quantity.Area, quantity.Positive),
			Mms:    f.Required("mms").Quantity(quantity.Mass, quantity.Positive),
			Cms:    f.Required("cms").Quantity(quantity.Compliance, quantity.Positive),
			Rms:    f.Optional("rms").Quantity(quantity.MechanicalResistance, quantity.NonNegative),
			Count:  f.Default("count", "1").Integer(1, thielesmall.MaxDrivers),
		}
		return whole[thielesmall.Enclosure](e, e.Volume, e.Sd, e.Mms, e.Cms)
	}},
}

func volume(f *document.Fields) float64 {
	return f.Required("volume").Quantity(quantity.Volume, quantity.Positive)
}

func fill(f *document.Fields) float64 {
	return f.Optional("fill_factor").Quantity(quantity.Number, quantity.Between(1, 1.4))
}

func quality(f *document.Fields, key string) float64 {
	return f.Optional(key).Quantity(quantity.Number, quantity.Positive)
}

func port(v document.Value) thielesmall.Port {
	f := v.Fields()
	p := thielesmall.Port{
		Length: f.Optional("length").Quantity(quantity.Length, quantity.NonNegative),
		Count:  f.Default("count", "1").Integer(1, thielesmall.MaxDrivers),
	}
	document.OneOf(f,
		document.Kind[bool]{Key: "diameter", Decode: func(v document.Value, _ *document.Fields) bool {
			p.Diameter = v.Quantity(quantity.Length, quantity.Positive)
			return true
		}},
		document.Kind[bool]{Key: "area", Decode: func(v document.Value, _ *document.Fields) bool {
			p.Area = v.Quantity(quantity.Area, quantity.Positive)
			return true
		}})
	return p
}
