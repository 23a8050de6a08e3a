package bench

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/hearing"
	"loadscape/network/preferred"
	"loadscape/network/stage"
	"loadscape/thielesmall"
)

// decoder holds what is known of a file while it is being decoded.
type decoder struct {
	bench      *Bench
	dir        string // where the files that the bench names are sought
	air        thielesmall.Air
	drivers    map[string]thielesmall.Driver
	items      map[string]*item // drivers, cabinets and loads: one name each
	cables     map[string]network.TwoPort
	amplifiers map[string]stage.Stage
	// Attenuators are decoded in the order of the file; a cascade may name
	// those before it.
	attenuators map[string]attenuator
	dropAt      map[string]document.Value // where each setup's drop stands
	chain       int                       // of references that the expression in hand stands on
	tried       int                       // parts of all items tried out
	parts       int                       // laid so far by the expression in hand
}

// item is a named thing that can stand as a load. It is decoded when it is
// first needed, so that references may go forwards.
type item struct {
	section string
	value   document.Value
	decode  func(*decoder, document.Entry) network.Named
	state   state
	port    network.Named
	parts   int
	chain   int  // of references down to parts
	faulty  bool // a mistake is reported, and port is a stand-in
}

type state int

const (
	untouched state = iota
	decoding
	decoded
)

// decode decodes a document. The sections may refer to each other in any order.
func decode(doc *document.Document, dir string) (*Bench, error) {
	d := &decoder{
		bench:      &Bench{loads: map[string]network.Named{}, drops: map[string]float64{}, families: map[string]string{}},
		dir:        dir,
		drivers:    map[string]thielesmall.Driver{},
		items:      map[string]*item{},
		cables:     map[string]network.TwoPort{},
		amplifiers: map[string]stage.Stage{},

		attenuators: map[string]attenuator{},
		dropAt:      map[string]document.Value{},
	}
	f := doc.Root().Fields()
	if v := f.Optional("title"); v.Exists() {
		d.bench.Title = v.Text()
	}
	d.sweep(f.Optional("sweep"))
	d.band(f.Optional("listening_band"))
	d.decodeAir(f.Optional("air"))
	d.declare("drivers", f.Optional("drivers"), (*decoder).driver)
	d.declare("cabinets", f.Optional("cabinets"), (*decoder).cabinet)
	d.declare("loads", f.Optional("loads"), (*decoder).load)
	d.decodeItems(f)
	for _, e := range entries(f.Optional("cables")) {
		d.checkName(e)
		d.cables[e.Name] = network.NamedTwoPort{Name: e.Name, TwoPort: d.cable(e.Value)}
	}
	for _, e := range entries(f.Optional("amplifiers")) {
		d.checkName(e)
		d.amplifiers[e.Name] = d.amplifier(e.Value)
	}
	for _, e := range entries(f.Optional("attenuators")) {
		d.checkName(e)
		d.attenuators[e.Name] = d.attenuator(e.Value).named(e.Name)
	}
	d.setups(f.Optional("setups"))
	d.reference(f.Optional("reference"))
	if drop, ok := d.dropAt[d.bench.Reference]; ok {
		drop.Reject("a drop in the reference itself", "gain")
	}
	d.stock(f.Optional("stock"))
	d.bench.ListeningLevel = f.Optional("listening_level").Quantity(quantity.Level, quantity.Positive)
	if err := doc.Err(); err != nil {
		return nil, err
	}
	d.bench.amplifiers = d.amplifiers
	d.bench.Warnings = unique(d.bench.Warnings)
	return d.bench, nil
}

// unique returns the texts without repetitions.
func unique(texts []string) []string {
	seen := map[string]bool{}
	return slices.DeleteFunc(texts, func(s string) bool {
		again := seen[s]
		seen[s] = true
		return again
	})
}

// entries returns the entries of a section, which may be missing.
func entries(v document.Value) []document.Entry {
	if !v.Exists() {
		return nil
	}
	return v.Entries()
}

// declare makes the names of a section known.
func (d *decoder) declare(section string, v document.Value, decode func(*decoder, document.Entry) network.Named) {
	for _, e := range entries(v) {
		d.checkName(e)
		if other, ok := d.items[e.Name]; ok {
			e.Key.Reject(fmt.Sprintf("the name %q again", e.Name), "another name: it is one of the "+other.section)
			continue
		}
		if len(d.items) == MaxNames {
			e.Key.Reject("one driver, cabinet or load too many", fmt.Sprintf("at most %d of them on a bench", MaxNames))
			return
		}
		d.items[e.Name] = &item{section: section, value: e.Value, decode: decode}
	}
}

// checkName refuses names that would be misread in the path of a part.
func (d *decoder) checkName(e document.Entry) {
	if !nameable(e.Name) {
		e.Key.Reject(fmt.Sprintf("the name %q", e.Name), wantName)
	}
}

// CheckName reports a name that a bench file could not hold.
func CheckName(name string) error {
	if !nameable(name) {
		return fmt.Errorf("the name %q: expected %s", name, wantName)
	}
	return nil
}

func nameable(name string) bool {
	return !strings.ContainsAny(name, "/\n\r\t") && len(name) <= maxName
}

const (
	maxName  = 60
	wantName = "a name without slashes and line breaks of at most 60 bytes"
)

// decodeItems decodes everything that was declared, in the order of the file.
func (d *decoder) decodeItems(f *document.Fields) {
	for _, section := range []struct {
		key   string
		names *[]string
	}{{"drivers", &d.bench.drivers}, {"cabinets", &d.bench.cabinets}, {"loads", &d.bench.others}} {
		for _, e := range entries(f.Optional(section.key)) {
			if it := d.items[e.Name]; it != nil && it.section == section.key {
				d.resolve(e.Name, e.Value)
				*section.names = append(*section.names, e.Name)
			}
		}
	}
	for name, it := range d.items {
		d.bench.loads[name] = it.port
	}
}

// resolve returns the item of the given name, decoding it if need be; at is
// where it is asked for.
func (d *decoder) resolve(name string, at document.Value) network.Named {
	it := d.items[name]
	switch it.state {
	case decoding:
		at.Reject(fmt.Sprintf("%q, which leads back to itself", name), "no circle of references")
	case untouched:
		it.state = decoding
		before, chain := d.parts, d.chain
		d.parts, d.chain = 0, 0
		it.port = it.decode(d, document.Entry{Name: name, Value: it.value})
		it.port.Name = name
		it.parts = d.parts
		it.chain = d.chain + 1
		d.parts, d.chain = before, chain
		it.state = decoded
		if it.chain > MaxReferences {
			it.value.Reject(fmt.Sprintf("a chain of more than %d references", MaxReferences), "a shorter one")
			it.port.OnePort, it.chain = nil, 1
		}
		if it.parts > MaxParts {
			it.value.Reject(fmt.Sprintf("%d parts, references written out", it.parts), fmt.Sprintf("at most %d", MaxParts))
			it.port.OnePort, it.parts = nil, 1
		}
		d.tryOut(it)
	}
	d.parts += it.parts
	d.chain = max(d.chain, it.chain)
	return it.port
}

// tryOut lays an item that could be decoded into a circuit of its own, so that
// what only the circuit can tell is reported at its place.
func (d *decoder) tryOut(it *item) {
	if d.tried += it.parts; d.tried > MaxPartsInAll && it.port.OnePort != nil {
		it.value.Reject("more parts than a bench may hold, references written out", fmt.Sprintf("at most %d in all", MaxPartsInAll))
		it.port.OnePort = nil
	}
	if it.port.OnePort == nil {
		it.faulty = true
	} else if _, err := network.Impedance(it.port, []float64{d.bench.Sweep.From}); err != nil {
		var near *network.Condition
		if it.faulty = !errors.As(err, &near); it.faulty {
			it.value.Reject("a circuit that cannot be computed ("+strings.ReplaceAll(err.Error(), "\n", "; ")+")", "one that can")
		}
	}
	if it.faulty {
		it.port.OnePort = network.Resistor{Ohms: 1}
	}
}

func (d *decoder) sweep(v document.Value) {
	s := &d.bench.Sweep
	if v.Exists() {
		f := v.Fields()
		s.From = f.Optional("from").Quantity(quantity.Frequency, Audible)
		s.To = f.Optional("to").Quantity(quantity.Frequency, Audible)
		if p := f.Optional("per_octave"); p.Exists() {
			s.PerOctave = p.Integer(1, MaxPerOctave)
		}
	}
	*s = s.Defaults()
	if _, err := s.Frequencies(); err != nil {
		v.Reject(fmt.Sprintf("%d points per octave from %g Hz to %g Hz", s.PerOctave, s.From, s.To),
			fmt.Sprintf("from not above to, and at most %d points", network.MaxSweepPoints))
	}
}

// Audible is the range of frequencies that a sweep may cover, with ample room.
var Audible = quantity.Between(0.01, 1e6)

// MaxPerOctave is the largest number of points per octave of a sweep.
const MaxPerOctave = 10_000

func (d *decoder) band(v document.Value) {
	b := &d.bench.Band
	if v.Exists() {
		f := v.Fields()
		*b = hearing.Band{
			From: f.Optional("from").Quantity(quantity.Frequency, quantity.Between(1, 24e3)),
			To:   f.Optional("to").Quantity(quantity.Frequency, quantity.Between(1, 24e3)),
		}
	}
	*b = b.Defaults()
	if b.From >= b.To {
		v.Reject(fmt.Sprintf("from %g Hz to %g Hz", b.From, b.To), "from below to")
	}
}

func (d *decoder) decodeAir(v document.Value) {
	if !v.Exists() {
		return
	}
	f := v.Fields()
	if t := f.Optional("temperature"); t.Exists() {
		d.air.Temperature = thielesmall.Celsius(t.Quantity(quantity.Temperature, quantity.Between(-60, 100)))
	}
	d.air.Pressure = f.Optional("pressure").Quantity(quantity.Pressure, quantity.Between(10e3, 200e3))
}

// stock decodes the values of the parts that are at hand.
func (d *decoder) stock(v document.Value) {
	if !v.Exists() {
		return
	}
	f := v.Fields()
	for _, kind := range []struct {
		key       string
		dimension quantity.Dimension
		list      *preferred.List
	}{
		{"resistors", quantity.Resistance, &d.bench.Stock.Resistors},
		{"inductors", quantity.Inductance, &d.bench.Stock.Inductors},
		{"capacitors", quantity.Capacitance, &d.bench.Stock.Capacitors},
	} {
		at := f.Optional(kind.key)
		if !at.Exists() {
			continue
		}
		values := at.Quantities(kind.dimension, quantity.Between(preferred.Min, preferred.Max))
		if list, err := preferred.NewList(slices.DeleteFunc(values, func(x float64) bool { return x == 0 })...); err == nil {
			*kind.list = list
		}
	}
}

func (d *decoder) reference(v document.Value) {
	names := d.bench.setupNames()
	if v.Exists() {
		if word, _ := v.Word(); len(d.bench.family(word)) > 0 {
			d.bench.Reference = d.bench.family(word)[0].Name
			return
		}
		d.bench.Reference, _ = v.Name("the name of a setup", names)
	} else if len(names) > 0 {
		d.bench.Reference = names[0]
	}
}

// reject reports what a package that computes finds wrong with v. Errors that
// name a field are reported at that field.
func reject(v document.Value, err error) {
	if err == nil {
		return
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			reject(v, e)
		}
		return
	}
	var st *stage.FieldError
	var ts *thielesmall.FieldError
	switch {
	case errors.As(err, &st):
		rejectField(v, st.Field, st.Is, st.Want)
	case errors.As(err, &ts):
		rejectField(v, ts.Field, ts.Is, ts.Want)
	default:
		v.Reject("a value that cannot be used ("+err.Error()+")", "one that can")
	}
}

// rejectField rejects the value at a path of keys below v. Steps that the file
// does not have are named in what was found.
func rejectField(v document.Value, path, is, want string) {
	for path != "" {
		key, rest, _ := strings.Cut(path, ".")
		next := v.Find(key)
		if next == v {
			is = path + " " + is
			break
		}
		v, path = next, rest
	}
	v.Reject(is, want)
}

// whole returns t, or nothing if a value that it needs is zero because of a
// mistake.
func whole[T any](t T, needs ...float64) T {
	if slices.Contains(needs, 0) {
		var none T
		return none
	}
	return t
}

// wrong reports whether a value is there and was read as zero, which none of
// those asked here can be, because of a mistake.
func wrong(v document.Value, read float64) bool { return v.Exists() && read == 0 }
