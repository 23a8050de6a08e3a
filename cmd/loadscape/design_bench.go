package main

import (
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"

	"loadscape/network/design"
)

// partNode returns a part as a bench file holds it.
func partNode(p design.Part) *yaml.Node {
	v, d, _ := ratingOf(p)
	rating := map[design.Kind]string{design.Resistor: "power_rating", design.Inductor: "current_rating", design.Capacitor: "voltage_rating"}[p.Kind]
	return flow(mapOf(p.Kind.String(), amount(p.Value, dimensionOf(p.Kind)), "dcr", ohms(p.DCR), rating, amount(v, d)))
}

// writeDesignedBench writes the load as a piece of a bench file.
func writeDesignedBench(w io.Writer, r *designed) error {
	chain := listOf(partNode(r.Parts[0]))
	rest := r.Parts[1:]
	take := func(n int) {
		group := listOf()
		for _, p := range rest[:n] {
			group.Content = append(group.Content, partNode(p))
		}
		rest = rest[n:]
		chain.Content = append(chain.Content, mapOf("parallel", group))
	}
	top := r.Design.Topology
	for range top.Sections {
		take(3)
	}
	for range top.Tanks + top.Rungs {
		take(2)
	}
	if top.Inductor {
		chain.Content = append(chain.Content, partNode(rest[0]))
		rest = rest[1:]
	}
	load := mapOf("rated_impedance", ohms(r.rated), "series", chain)
	if top.Shunt > 0 {
		load = mapOf("rated_impedance", ohms(r.rated), "parallel", listOf(mapOf("series", chain), partNode(rest[0])))
	}
	root := mapOf("loads", mapOf(r.name, load))
	root.HeadComment = fmt.Sprintf("# a load like %s: off by %s of impedance and %.2f dB of tone (RMS)\n# least ratings for %s",
		printable(r.curves[0].name), share(r.Design.Error.Impedance), r.Design.Error.Tone, oneLine(r.amplifier))
	e := yaml.NewEncoder(w)
	e.SetIndent(2)
	if err := e.Encode(root); err != nil {
		return err
	}
	return e.Close()
}

// oneLine returns a text without control characters, fit for a comment.
func oneLine(s string) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || c == 0x85 || c == 0x2028 || c == 0x2029 {
			return ' '
		}
		return c
	}, s)
}
