package bench

import (
	"errors"
	"fmt"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/pad"
	"loadscape/network/preferred"
)

// An attenuator is a two-port, or several between which a switch chooses.
type attenuator struct {
	steps []step
}

// step is one position of an attenuator. An attenuator without a switch has a
// single step without a name.
type step struct {
	name  string // "12 dB"
	db    float64
	port  network.TwoPort
	parts int
}

// named returns a with the two-ports of its steps under a name.
func (a attenuator) named(name string) attenuator {
	for i, s := range a.steps {
		a.steps[i].port = network.NamedTwoPort{Name: name, TwoPort: s.port}
	}
	return a
}

func single(p network.TwoPort) attenuator { return attenuator{[]step{{port: p}}} }

// attenuator decodes an entry of attenuators, or one written out in a setup.
func (d *decoder) attenuator(v document.Value) attenuator {
	before := d.parts
	d.parts = 0
	a, _ := document.Pick(v, d.attenuatorKinds()...)
	for i := range a.steps {
		if a.steps[i].parts == 0 {
			a.steps[i].parts = max(1, d.parts)
		}
		d.tryOutTwoPort(v, a.steps[i].port)
	}
	d.parts = before
	return a
}

// tryOutTwoPort lays a two-port into a circuit of its own, so that what only
// the circuit can tell is reported at its place.
func (d *decoder) tryOutTwoPort(v document.Value, p network.TwoPort) {
	_, err := network.Impedance(network.Terminated{Through: p, Load: network.Resistor{Ohms: 8}}, []float64{d.bench.Sweep.From})
	var near *network.Condition
	if err != nil && !errors.As(err, &near) {
		v.Reject("an attenuator that cannot be computed ("+strings.TrimPrefix(strings.ReplaceAll(err.Error(), "\n", "; "), "network: ")+")", "one that can")
	}
}

// attenuatorKinds are what an attenuator may be.
func (d *decoder) attenuatorKinds() []document.Kind[attenuator] {
	kinds := []document.Kind[attenuator]{
		{Key: "minimum_loss_pad", Decode: d.minimumLossPad},
		{Key: "series_arm", Decode: func(v document.Value, _ *document.Fields) attenuator {
			return d.arm(v, func(p network.OnePort) network.TwoPort { return network.SeriesArm{OnePort: p} })
		}},
		{Key: "shunt_arm", Decode: func(v document.Value, _ *document.Fields) attenuator {
			return d.arm(v, func(p network.OnePort) network.TwoPort { return network.ShuntArm{OnePort: p} })
		}},
		{Key: "tapped_winding", Decode: d.tappedWinding},
		{Key: "circuit", Decode: d.circuitTwoPort},
		{Key: "cascade", Decode: d.cascade},
	}
	for _, p := range []struct {
		key  string
		form pad.Form
	}{{"l_pad", pad.L}, {"t_pad", pad.T}, {"pi_pad", pad.Pi}, {"bridged_t_pad", pad.BridgedT}} {
		kinds = append(kinds, document.Kind[attenuator]{Key: p.key, Decode: func(v document.Value, _ *document.Fields) attenuator {
			return d.pad(v, p.form)
		}})
	}
	return kinds
}

// pad decodes a pad that is given by its attenuation, or by those of its steps.
func (d *decoder) pad(v document.Value, form pad.Form) (a attenuator) {
	f := v.Fields()
	spec := pad.Spec{Form: form, Impedance: f.Required("impedance").Quantity(quantity.Resistance, quantity.Positive)}
	spec.Load = f.Optional("load").Quantity(quantity.Resistance, quantity.Positive)
	finish := d.padFinish(f, spec)
	for _, db := range steps(f) {
		spec.Attenuation = db.value
		p, err := pad.Design(spec)
		if db.value == 0 || spec.Impedance == 0 {
			continue // reported above
		}
		if err != nil {
			var least *pad.AttenuationError
			if errors.As(err, &least) {
				db.at.Reject(fmt.Sprintf("%g dB", db.value), fmt.Sprintf("more than the %.4g dB that a %v loses at the least", least.Minimum, form))
			} else {
				v.Reject("a pad that cannot be made ("+err.Error()+")", "one that can")
			}
			continue
		}
		name := ""
		if f.Optional("steps").Exists() {
			name = fmt.Sprintf("%g dB", db.value)
		}
		a.steps = append(a.steps, step{name: name, db: db.value, port: finish(p)})
	}
	return a
}

func (d *decoder) minimumLossPad(v document.Value, _ *document.Fields) attenuator {
	f := v.Fields()
	spec := pad.Spec{
		Form:      pad.MinimumLoss,
		Impedance: f.Required("impedance").Quantity(quantity.Resistance, quantity.Positive),
		Load:      f.Required("load").Quantity(quantity.Resistance, quantity.Positive),
	}
	finish := d.padFinish(f, spec)
	if spec.Impedance == 0 || spec.Load == 0 {
		return attenuator{}
	}
	p, err := pad.Design(spec)
	if err != nil {
		v.Reject("a pad that cannot be made ("+err.Error()+")", "one that can")
		return attenuator{}
	}
	return single(finish(p))
}

// setting is an attenuation and where it is written.
type setting struct {
	value float64
	at    document.Value
}

// steps decodes the attenuation of a pad, or the rising ones of its steps.
func steps(f *document.Fields) []setting {
	list := f.Optional("steps")
	if !list.Exists() {
		at := f.Required("attenuation")
		return []setting{{at.Quantity(quantity.Level, quantity.Positive), at}}
	}
	f.Exclude("beside steps", "attenuation")
	var all []setting
	for _, at := range list.List() {
		s := setting{at.Quantity(quantity.Level, quantity.Positive), at}
		if n := len(all); n > 0 && s.value > 0 && s.value <= all[n-1].value {
			at.Reject(fmt.Sprintf("%g dB after %g dB", s.value, all[n-1].value), "steps in rising order")
		}
		all = append(all, s)
	}
	return all
}

// padFinish decodes what the resistors of a pad are made of, and returns how a
// pad becomes a two-port: with preferred values and ratings.
func (d *decoder) padFinish(f *document.Fields, spec pad.Spec) func(pad.Pad) network.TwoPort {
	var series preferred.Series
	if v := f.Optional("preferred"); v.Exists() {
		series = document.Parsed(v, "a series of IEC 60063 such as E12", preferred.ParseSeries)
	}
	heatSink := false
	if v := f.Optional("heat_sink"); v.Exists() {
		heatSink = v.Bool()
	}
	ratings, spread := f.Optional("power_rating"), tolerance(f)
	return func(p pad.Pad) network.TwoPort {
		if series != 0 {
			p = d.snap(p, series, spec)
		}
		ratingOf := powerRatings(ratings, p)
		d.parts += len(p.Resistors)
		nodes := []string{"common", "in", "out", "middle"}
		m := network.MeshTwoPort{In: "in", Out: "out", Common: "common"}
		for _, r := range p.Resistors {
			m.Parts = append(m.Parts, network.MeshPart{
				OnePort: network.Named{Name: r.Name, OnePort: network.Resistor{
					Ohms:   r.Ohms,
					Rating: network.Rating{Power: ratingOf(r.Name), FreeAir: !heatSink, Tolerance: spread},
				}},
				From: nodes[r.From], To: nodes[r.To],
			})
		}
		return network.NamedTwoPort{Name: "pad", TwoPort: m}
	}
}

// powerRatings decodes one rating for all resistors of a pad, or one for each
// by its name.
func powerRatings(v document.Value, p pad.Pad) func(name string) float64 {
	if _, isWord := v.Word(); isWord || !v.Exists() {
		all := v.Quantity(quantity.Power, quantity.Positive)
		return func(string) float64 { return all }
	}
	f := v.Fields()
	by := map[string]float64{}
	for _, r := range p.Resistors {
		by[r.Name] = f.Optional(r.Name).Quantity(quantity.Power, quantity.Positive)
	}
	return func(name string) float64 { return by[name] }
}

// snap takes preferred values and notes the error that they bring.
func (d *decoder) snap(p pad.Pad, series preferred.Series, spec pad.Spec) pad.Pad {
	load := spec.Load
	if load == 0 {
		load = spec.Impedance
	}
	s, err := p.Snap(series, spec.Impedance, load)
	if err != nil {
		return p
	}
	d.bench.Warnings = append(d.bench.Warnings, fmt.Sprintf("%v in %v values:%s; that is off by %+.2f dB and, at the input, by %+.2f ohm",
		p.Form, series, resistors(s.Pad), s.Attenuation, s.Input))
	return s.Pad
}

func resistors(p pad.Pad) string {
	text := ""
	for _, r := range p.Resistors {
		text += " " + r.Name + " " + quantity.Format(r.Ohms, quantity.Resistance, 4)
	}
	return text
}

func (d *decoder) arm(v document.Value, as func(network.OnePort) network.TwoPort) attenuator {
	p := d.expression(v)
	if p == nil {
		return attenuator{}
	}
	return single(as(p))
}

// tappedWinding decodes an autotransformer: its whole winding is at the input,
// the output at a tap.
func (d *decoder) tappedWinding(v document.Value, _ *document.Fields) (a attenuator) {
	f := v.Fields()
	magnetizing := f.Optional("magnetizing_inductance").Quantity(quantity.Inductance, quantity.Positive)
	leakage := f.Optional("leakage_inductance").Quantity(quantity.Inductance, quantity.NonNegative)
	resistance := f.Optional("winding_resistance").Quantity(quantity.Resistance, quantity.NonNegative)
	rating := network.Rating{
		Power:   f.Optional("power_rating").Quantity(quantity.Power, quantity.Positive),
		Current: f.Optional("current_rating").Quantity(quantity.Current, quantity.Positive),
	}
	for _, db := range steps(f) {
		if db.value == 0 {
			continue // reported above
		}
		d.parts += 3
		name := ""
		if f.Optional("steps").Exists() {
			name = fmt.Sprintf("%g dB", db.value)
		}
		a.steps = append(a.steps, step{name: name, db: db.value, port: network.TappedWinding{
			Ratio:                 network.DecibelRatio(db.value),
			MagnetizingInductance: magnetizing,
			LeakageInductance:     leakage,
			Resistance:            resistance,
			Rating:                rating,
		}})
	}
	return a
}

// circuitTwoPort decodes a free circuit with an input and an output.
func (d *decoder) circuitTwoPort(v document.Value, _ *document.Fields) attenuator {
	f := v.Fields()
	m := network.MeshTwoPort{
		In:     f.Default("in", "in").Text(),
		Out:    f.Default("out", "out").Text(),
		Common: f.Default("common", "common").Text(),
	}
	var ok bool
	if m.Parts, ok = d.meshParts(f.Required("parts")); !ok {
		return attenuator{}
	}
	return single(network.NamedTwoPort{Name: "circuit", TwoPort: m})
}

// cascade decodes two-ports one behind the other. One of them may have steps.
func (d *decoder) cascade(v document.Value, _ *document.Fields) attenuator {
	all := single(network.Cascade{})
	for _, m := range v.List() {
		next := d.attenuatorNamed(m)
		if len(next.steps) > 1 && len(all.steps) > 1 {
			m.Reject("a second attenuator with steps", "one with steps in a cascade")
			continue
		}
		if all = all.then(next); len(all.steps) > 0 && all.steps[0].parts > MaxParts {
			m.Reject("a cascade of too many parts, names written out", fmt.Sprintf("at most %d", MaxParts))
			return attenuator{}
		}
	}
	return all
}

// then returns a with b behind it.
func (a attenuator) then(b attenuator) (both attenuator) {
	for _, first := range a.steps {
		for _, second := range b.steps {
			both.steps = append(both.steps, step{
				name:  first.name + second.name,
				db:    first.db + second.db,
				port:  append(append(network.Cascade{}, first.port.(network.Cascade)...), second.port),
				parts: first.parts + second.parts,
			})
		}
	}
	return both
}

// attenuatorNamed decodes the name of an attenuator or one written out.
func (d *decoder) attenuatorNamed(v document.Value) attenuator {
	if _, isWord := v.Word(); !isWord {
		return d.attenuator(v)
	}
	known := make([]string, 0, len(d.attenuators))
	for name := range d.attenuators {
		known = append(known, name)
	}
	name, ok := v.Name("the name of an attenuator", sorted(known))
	if !ok {
		return attenuator{}
	}
	return d.attenuators[name]
}
