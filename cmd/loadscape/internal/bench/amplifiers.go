package bench

import (
	"slices"
	"strconv"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/stage"
	"loadscape/network/wire"
)

// amplifier decodes an entry of amplifiers.
func (d *decoder) amplifier(v document.Value) stage.Stage {
	f := v.Fields()
	s := stage.Stage{
		Kind: document.Enum(f.Required("stage"),
			document.Choice[stage.Kind]{Word: "valve", Value: stage.Valve},
			document.Choice[stage.Kind]{Word: "solid-state", Value: stage.SolidState}),
		RatedPower: f.Required("rated_power").Quantity(quantity.Power, quantity.Positive),
		DefaultTap: f.Optional("tap").Quantity(quantity.Resistance, quantity.Positive),
	}
	if taps := f.Optional("taps"); taps.Exists() {
		s.Taps = taps.Quantities(quantity.Resistance, quantity.Positive)
	} else if !f.Optional("tap").Exists() {
		f.Required("tap").Quantity(quantity.Resistance)
	}
	s.Source, _ = document.OneOf(f, sourceKinds...)
	s.Feedback = feedback(f.Optional("feedback"))
	tapped := len(s.Taps) > 0 && !slices.Contains(s.Taps, 0) || len(s.Taps) == 0 && s.DefaultTap > 0
	if s.Source != nil && s.Kind != 0 && s.RatedPower > 0 && tapped && !wrong(f.Optional("tap"), s.DefaultTap) {
		reject(v, s.Validate())
	}
	return s
}

// sourceKinds are the ways to give an amplifier's source impedance.
var sourceKinds = []document.Kind[stage.Source]{
	{Key: "output_impedance", Decode: func(v document.Value, _ *document.Fields) stage.Source {
		return stage.OutputImpedance(v.Quantity(quantity.Resistance, quantity.NonNegative))
	}},
	{Key: "damping_factor", Decode: func(v document.Value, _ *document.Fields) stage.Source {
		d := v.Quantity(quantity.Number, quantity.Positive)
		return whole[stage.Source](stage.DampingFactor(d), d)
	}},
	{Key: "two_load_test", Decode: twoLoadTest},
	{Key: "valves", Decode: valves},
}

func twoLoadTest(v document.Value, _ *document.Fields) stage.Source {
	f := v.Fields()
	var t stage.TwoLoadTest
	pair(f.Required("volts"), quantity.Voltage, "V", &t.Volts)
	pair(f.Required("ohms"), quantity.Resistance, "ohm", &t.Ohms)
	return whole[stage.Source](t, t.Volts[0], t.Volts[1], t.Ohms[0], t.Ohms[1])
}

// pair decodes a list of two quantities. Its key names the unit, which may be
// left out.
func pair(v document.Value, d quantity.Dimension, unit string, dst *[2]float64) {
	items := v.List()
	if len(items) != 2 {
		if len(items) > 0 {
			v.Reject("a list of "+strconv.Itoa(len(items)), "two values, one for each load")
		}
		return
	}
	for i, item := range items {
		word, _ := item.Word()
		if n, err := strconv.ParseFloat(word, 64); err == nil && n > 0 {
			if q, err := quantity.Parse(word+" "+unit, d); err == nil {
				dst[i] = q
				continue
			}
		}
		dst[i] = item.Quantity(d, quantity.Positive)
	}
}

func valves(v document.Value, f *document.Fields) stage.Source {
	s := stage.Valves{SourceResistance: v.Fields().Required("source_resistance").Quantity(quantity.Resistance, quantity.Positive)}
	t := f.Required("transformer")
	if !t.Exists() {
		t.Reject("nothing", "the output transformer of the valves: {primary_impedance: ...}")
		return nil
	}
	tf := t.Fields()
	s.Transformer = stage.Transformer{
		PrimaryImpedance:    tf.Required("primary_impedance").Quantity(quantity.Resistance, quantity.Positive),
		PrimaryInductance:   tf.Optional("primary_inductance").Quantity(quantity.Inductance, quantity.Positive),
		LeakageInductance:   tf.Optional("leakage_inductance").Quantity(quantity.Inductance, quantity.NonNegative),
		PrimaryResistance:   tf.Optional("primary_resistance").Quantity(quantity.Resistance, quantity.NonNegative),
		SecondaryResistance: tf.Optional("secondary_resistance").Quantity(quantity.Resistance, quantity.NonNegative),
	}
	return whole[stage.Source](s, s.SourceResistance, s.Transformer.PrimaryImpedance)
}

func feedback(v document.Value) (fb stage.Feedback) {
	if !v.Exists() {
		return fb
	}
	f := v.Fields()
	fb.Amount = f.Required("amount").Quantity(quantity.Level, quantity.Bounds{Min: 0, Max: 60, Open: true})
	fb.Presence = shelf(f.Optional("presence"))
	fb.Depth = shelf(f.Optional("depth"))
	return whole(fb, fb.Amount)
}

func shelf(v document.Value) (s stage.Shelf) {
	if !v.Exists() {
		return s
	}
	f := v.Fields()
	s = stage.Shelf{
		Turnover: f.Required("turnover").Quantity(quantity.Frequency, quantity.Positive),
		Release:  f.Required("release").Quantity(quantity.Level, quantity.Between(0, 60)),
	}
	return whole(s, s.Turnover)
}

// cable decodes an entry of cables.
func (d *decoder) cable(v document.Value) network.TwoPort {
	f := v.Fields()
	c := wire.Cable{
		Length:         f.Required("length").Quantity(quantity.Length, quantity.Positive),
		LoopInductance: wire.DefaultLoopInductance,
	}
	if l := f.Optional("loop_inductance"); l.Exists() {
		c.LoopInductance = l.Quantity(quantity.LoopInductance, quantity.NonNegative)
	}
	c.Area, _ = document.OneOf(f,
		document.Kind[float64]{Key: "gauge", Decode: func(v document.Value, _ *document.Fields) float64 {
			g := document.Parsed(v, "a wire gauge such as 16 AWG", wire.ParseAWG)
			return g.Area()
		}},
		document.Kind[float64]{Key: "area", Decode: func(v document.Value, _ *document.Fields) float64 {
			return v.Quantity(quantity.Area, quantity.Positive)
		}})
	if c.Length == 0 || c.Area == 0 {
		return network.Cascade{} // reported above
	}
	reject(v, c.Validate())
	if c.Inductance() == 0 {
		return network.SeriesArm{OnePort: network.Resistor{Ohms: c.Resistance(), Rating: network.Rating{By: network.Unrated}}}
	}
	return network.SeriesArm{OnePort: network.Inductor{Henries: c.Inductance(), DCR: c.Resistance(), Rating: network.Rating{By: network.Unrated}}}
}
