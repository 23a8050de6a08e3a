package main

import (
	"fmt"
	"math"
	"strings"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/thielesmall/identify"
)

// Where a value comes from.
const (
	fromFit        = "fit"
	fromSecond     = "second curve"
	fromThreePoint = "three points"
)

// identifiedValue is one value of the answer.
type identifiedValue struct {
	source, name, unit string
	identify.Estimate
	remark string // in place of the standard error
}

// unitDimensions are the units of values that are written with a prefix.
var unitDimensions = map[string]quantity.Dimension{
	"": quantity.Number, "ohm": quantity.Resistance, "Hz": quantity.Frequency, "H": quantity.Inductance,
	"m3": quantity.Volume, "kg": quantity.Mass, "m/N": quantity.Compliance, "N s/m": quantity.MechanicalResistance, "T m": quantity.ForceFactor,
}

// text returns the value and its standard error, both in one unit.
func (v identifiedValue) text() (value, uncertainty string) {
	d, ok := unitDimensions[v.unit]
	if !ok {
		return fmt.Sprintf("%.5g %s", v.Value, v.unit), fmt.Sprintf("%.2g %s", v.Error, v.unit)
	}
	value = quantity.Format(v.Value, d, 5)
	return value, likewise(v.Error, value, d)
}

// likewise returns x to two digits in the unit in which a text is written.
func likewise(x float64, text string, d quantity.Dimension) string {
	_, unit, _ := strings.Cut(text, " ")
	one, err := quantity.Parse(strings.TrimSpace("1 "+unit), d)
	if err != nil {
		return quantity.Format(x, d, 2)
	}
	return strings.TrimSpace(fmt.Sprintf("%.2g %s", x/one, unit))
}

// values returns the values of the fit and of the second curve in the order in
// which they are read.
func (r *identified) values() []identifiedValue {
	own := map[string]identify.Parameter{}
	for _, p := range r.Parameters {
		own[p.Name] = p
	}
	var all []identifiedValue
	add := func(source, name, unit string, e identify.Estimate) {
		v := identifiedValue{source: source, name: name, unit: unit, Estimate: e}
		if own[name].Pinned {
			v.remark = "at the end of its range"
		} else if e.Error == 0 {
			v.remark = "held"
		}
		delete(own, name)
		all = append(all, v)
	}
	add(fromFit, "re", "ohm", r.Re)
	for i, s := range r.Resonances {
		n := r.suffix(i)
		add(fromFit, "fs"+n, "Hz", s.Hz)
		add(fromFit, "qms"+n, "", s.Qms)
		add(fromFit, "qes"+n, "", s.Qes)
		add(fromFit, "qts"+n, "", s.Qts)
		add(fromFit, "res"+n, "ohm", s.Res)
	}
	for _, p := range r.Parameters {
		if _, left := own[p.Name]; left {
			add(fromFit, p.Name, p.Unit, p.Estimate)
		}
	}
	if m := r.mechanics; m != nil {
		for _, v := range []identifiedValue{
			{name: "mms", unit: "kg", Estimate: m.Mms}, {name: "cms", unit: "m/N", Estimate: m.Cms}, {name: "rms", unit: "N s/m", Estimate: m.Rms},
			{name: "bl", unit: "T m", Estimate: m.Bl}, {name: "vas", unit: "m3", Estimate: m.Vas},
		} {
			if v.Value != 0 { // the rest needs an area
				add(fromSecond, v.name, v.unit, v.Estimate)
			}
		}
	}
	return all
}

// suffix tells several resonances apart.
func (r *identified) suffix(i int) string {
	if len(r.Resonances) == 1 {
		return ""
	}
	return fmt.Sprintf("-%d", i+1)
}

// threePoint returns the classical values by the names of those of the fit
// beside which they stand: of the resonance nearest to the peak.
func (r *identified) threePoint() []identifiedValue {
	p := r.ThreePoint
	if p == nil {
		return nil
	}
	at := 0
	for i, s := range r.Resonances {
		if math.Abs(math.Log(s.Hz.Value/p.Fs)) < math.Abs(math.Log(r.Resonances[at].Hz.Value/p.Fs)) {
			at = i
		}
	}
	n := r.suffix(at)
	var all []identifiedValue
	for _, v := range []struct {
		name, unit string
		value      float64
	}{{"fs" + n, "Hz", p.Fs}, {"qms" + n, "", p.Qms}, {"qes" + n, "", p.Qes}, {"qts" + n, "", p.Qts}} {
		all = append(all, identifiedValue{source: fromThreePoint, name: v.name, unit: v.unit, Estimate: identify.Estimate{Value: v.value}})
	}
	return all
}
