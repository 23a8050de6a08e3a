package main

import (
	"fmt"
	"io"
	"math"

	"gopkg.in/yaml.v3"

	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/thielesmall"
	"loadscape/thielesmall/identify"
)

// writeFragment writes what was identified as a piece of a bench file: a
// driver where the curve is that of one driver, else a load. The load is made
// of parts where parts can do what the model does; otherwise it is the measured
// curve itself, extended with the model.
func writeFragment(w io.Writer, r *identified) error {
	section, value := "loads", r.load()
	if len(r.Resonances) == 1 {
		section, value = "drivers", r.driver()
	}
	item := mapOf(r.name, value)
	root := mapOf(section, item)
	root.HeadComment = fmt.Sprintf("# identified from %s: off by %s RMS", printable(r.file), percent(r.Residual.RMS))
	if len(r.Bumps) > 0 && section == "drivers" {
		root.HeadComment += fmt.Sprintf(", of which the driver lacks %d small bumps", len(r.Bumps))
	}
	e := yaml.NewEncoder(w)
	e.SetIndent(2)
	if err := e.Encode(root); err != nil {
		return err
	}
	return e.Close()
}

// driver returns an entry of drivers.
func (r *identified) driver() *yaml.Node {
	s := r.Resonances[0]
	n := mapOf()
	put := func(key string, d quantity.Dimension, e identify.Estimate) {
		if e.Value == 0 {
			return
		}
		v := amount(e.Value, d)
		if e.Error > 0 {
			v.LineComment = "± " + likewise(e.Error, v.Value, d)
		}
		set(n, key, v)
	}
	put("re", quantity.Resistance, r.Re)
	put("fs", quantity.Frequency, s.Hz)
	put("qms", quantity.Number, s.Qms)
	put("qes", quantity.Number, s.Qes)
	if m := r.mechanics; m != nil {
		put("vas", quantity.Volume, m.Vas)
		put("sd", quantity.Area, identify.Estimate{Value: m.Sd})
		put("mms", quantity.Mass, m.Mms)
		put("bl", quantity.ForceFactor, m.Bl)
	}
	if r.VoiceCoil != nil {
		set(n, "voice_coil", flow(voiceCoilNode(r.VoiceCoil)))
	}
	if r.Creep.Value > 0 {
		set(n, "suspension", flow(mapOf("creep", plain(r.Creep.Value))))
	}
	return n
}

// voiceCoilNode returns a voice coil as voice_coil of a bench file holds it.
func voiceCoilNode(c thielesmall.VoiceCoil) *yaml.Node {
	switch c := c.(type) {
	case thielesmall.Inductance:
		return mapOf("inductance", henries(c.Le))
	case thielesmall.Ladder:
		rungs := listOf()
		for _, g := range c.Rungs {
			rungs.Content = append(rungs.Content, mapOf("l", henries(g.L), "r", ohms(g.R)))
		}
		return mapOf(c.Label(), mapOf("l1", henries(c.L1), "rungs", rungs))
	case thielesmall.PowerLaw:
		return mapOf(c.Label(), mapOf("k", plain(c.K), "n", plain(c.N)))
	case thielesmall.SplitPowerLaw:
		return mapOf(c.Label(), mapOf("kr", plain(c.Kr), "xr", plain(c.Xr), "ki", plain(c.Ki), "xi", plain(c.Xi)))
	case thielesmall.SemiInductance:
		return mapOf(c.Label(), mapOf("leb", henries(c.Leb), "le", henries(c.Le), "ke", plain(c.Ke), "rss", ohms(c.Rss)))
	}
	panic(fmt.Sprintf("loadscape: voice coil %T has no place in a bench file", c))
}

// load returns an entry of loads.
func (r *identified) load() *yaml.Node {
	coil, ok := voiceCoilParts(r.VoiceCoil)
	if !ok || r.Creep.Value != 0 || r.skewed() {
		n := mapOf("measured", word(r.beside), "extend", word("model"))
		n.HeadComment = "# no parts do what this model does; --skew never --creep never ask for one that parts can do"
		return n
	}
	parts := listOf(flow(mapOf("resistor", ohms(r.Re.Value))))
	for _, p := range coil {
		parts.Content = append(parts.Content, flow(p))
	}
	for _, s := range r.Resonances {
		parts.Content = append(parts.Content, flow(resonator(s.Hz.Value, s.Qms.Value, s.Res.Value)))
	}
	for _, b := range r.Bumps {
		parts.Content = append(parts.Content, flow(resonator(b.Hz.Value, b.Q.Value, b.R.Value)))
	}
	return mapOf("series", parts)
}

func (r *identified) skewed() bool {
	for _, s := range r.Resonances {
		if s.Skew != 0 {
			return true
		}
	}
	return false
}

// resonator returns the parts of a parallel section: L = R/(ω0·Q) and
// C = Q/(ω0·R).
func resonator(hz, q, r float64) *yaml.Node {
	w := 2 * math.Pi * hz
	return mapOf("parallel", listOf(
		mapOf("resistor", ohms(r)),
		mapOf("inductor", henries(r/(w*q))),
		mapOf("capacitor", amount(q/(w*r), quantity.Capacitance))))
}

// voiceCoilParts returns a voice coil as parts in series, if there are such
// parts.
func voiceCoilParts(c thielesmall.VoiceCoil) (parts []*yaml.Node, ok bool) {
	inductor := func(l float64) *yaml.Node { return mapOf("inductor", henries(l)) }
	resistor := func(r float64) *yaml.Node { return mapOf("resistor", ohms(r)) }
	switch c := c.(type) {
	case nil:
		return nil, true
	case thielesmall.Inductance:
		return []*yaml.Node{inductor(c.Le)}, true
	case thielesmall.Ladder:
		if c.L1 > 0 {
			parts = append(parts, inductor(c.L1))
		}
		for _, g := range c.Rungs {
			parts = append(parts, mapOf("parallel", listOf(inductor(g.L), resistor(g.R))))
		}
		return parts, true
	case thielesmall.PowerLaw:
		return []*yaml.Node{voiceCoilNode(c)}, true
	case thielesmall.SemiInductance:
		if c.Leb > 0 {
			parts = append(parts, inductor(c.Leb))
		}
		group := listOf(mapOf("power_law", mapOf("k", plain(c.Ke), "n", plain(0.5))))
		if c.Le > 0 {
			group.Content = append(group.Content, inductor(c.Le))
		}
		if c.Rss > 0 {
			group.Content = append(group.Content, resistor(c.Rss))
		}
		return append(parts, mapOf("parallel", group)), true
	}
	return nil, false
}

// word returns a text, in quotes where YAML needs them.
func word(s string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(s)
	return n
}

// plain returns a plain number.
func plain(x float64) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Value: quantity.Format(x, quantity.Number, 6)}
}

// amount returns a quantity, nil if it is zero and thereby absent. No quantity
// needs quotes.
func amount(x float64, d quantity.Dimension) *yaml.Node {
	if x == 0 {
		return nil
	}
	return &yaml.Node{Kind: yaml.ScalarNode, Value: quantity.Format(x, d, 6)}
}

func henries(l float64) *yaml.Node { return amount(l, quantity.Inductance) }
func ohms(r float64) *yaml.Node    { return amount(r, quantity.Resistance) }

// mapOf returns a mapping of keys and values in turn, without those that are
// nil.
func mapOf(pairs ...any) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	for i := 0; i < len(pairs); i += 2 {
		if v := pairs[i+1].(*yaml.Node); v != nil {
			set(n, pairs[i].(string), v)
		}
	}
	return n
}

func set(n *yaml.Node, key string, value *yaml.Node) {
	n.Content = append(n.Content, word(key), value)
}

func listOf(items ...*yaml.Node) *yaml.Node {
	return &yaml.Node{Kind: yaml.SequenceNode, Content: items}
}

// flow has a mapping written on one line.
func flow(n *yaml.Node) *yaml.Node {
	n.Style = yaml.FlowStyle
	return n
}

// printable returns a text fit for a comment: on one line.
func printable(s string) string { return fmt.Sprintf("%.80q", s) }
