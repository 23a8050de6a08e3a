package main

import (
	"fmt"
	"slices"
	"strings"

	"loadscape/network"
	"loadscape/network/chain"
)

// A laid one-port is a part that notes the paths under which it is laid.
type laid struct {
	network.OnePort
	paths *[]string
}

func (l laid) Lay(c *network.Circuit, path string, a, b network.Node) {
	*l.paths = append(*l.paths, path)
	l.OnePort.Lay(c, path, a, b)
}

// rebuilt returns p with every one-port in it, from the outside in, replaced
// by what f returns, if f replaces it.
func rebuilt(p network.OnePort, f func(network.OnePort) (network.OnePort, bool)) network.OnePort {
	if q, ok := f(p); ok {
		return q
	}
	each := func(members []network.OnePort) []network.OnePort {
		members = slices.Clone(members)
		for i, m := range members {
			members[i] = rebuilt(m, f)
		}
		return members
	}
	switch p := p.(type) {
	case network.Named:
		p.OnePort = rebuilt(p.OnePort, f)
		return p
	case network.Series:
		return network.Series(each(p))
	case network.Parallel:
		return network.Parallel(each(p))
	case network.Mesh:
		p.Parts = slices.Clone(p.Parts)
		for i := range p.Parts {
			p.Parts[i].OnePort = rebuilt(p.Parts[i].OnePort, f)
		}
		return p
	}
	return p
}

// marked returns p with parts that note where they are laid.
func marked(p network.OnePort) network.OnePort {
	return rebuilt(p, func(p network.OnePort) (network.OnePort, bool) {
		switch p.(type) {
		case network.Named, network.Series, network.Parallel, network.Mesh:
			return nil, false
		}
		return laid{p, new([]string)}, true
	})
}

// buildable returns the load of a setup that has the given name or, without a
// name, is a load of parts alone, and the link in which it is.
func buildable(s chain.Setup, name string) (found string, link int, ok bool) {
	for i, l := range s.Links {
		network.Walk(l.Load, func(p network.OnePort) {
			n, named := p.(network.Named)
			if named && !ok && (n.Name == name || name == "" && ofParts(n)) {
				found, link, ok = n.Name, i, true
			}
		})
	}
	return found, link, ok
}

// ofParts tells whether a one-port is made of parts that can be bought.
func ofParts(p network.OnePort) bool {
	all := true
	network.Walk(p, func(p network.OnePort) {
		switch p.(type) {
		case network.Resistor, network.Inductor, network.Capacitor,
			network.Named, network.Series, network.Parallel, network.Mesh:
		default:
			all = false
		}
	})
	return all
}

// with returns the setup with p in place of the load.
func (r *built) with(p network.OnePort) chain.Setup {
	s := r.setup
	s.Links = slices.Clone(s.Links)
	s.Links[r.link].Load = rebuilt(s.Links[r.link].Load, func(q network.OnePort) (network.OnePort, bool) {
		n, ok := q.(network.Named)
		return p, ok && n.Name == r.name
	})
	return s
}

// describe tells what drives the load.
func (r *built) describe() string {
	out := r.result.Links[r.link].Output
	says := fmt.Sprintf("the %v amplifier of setup %s, %s at its %.3g ohm tap", out.Kind(), r.setup.Name, watts(out.RatedPower()), out.Tap())
	if d := out.DampingFactor(); d < 1e6 {
		says += fmt.Sprintf(" with a source impedance of %.3g ohm at 1 kHz", out.Tap()/d)
	}
	return strings.ReplaceAll(says, " ohm", " Ω")
}
