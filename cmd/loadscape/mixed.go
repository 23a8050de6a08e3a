package main

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/tone"
)

// contribution is what one impedance curve, through a source impedance, puts
// on the tone.
type contribution struct {
	name   string
	source float64 // ohm, at the frequency of the largest feature
	swing  float64 // dB from lowest to highest in the listening band
	tone   *tone.Comparison
}

// audibleSwing is the swing in dB below which a curve leaves no mark.
const audibleSwing = 1.0

// mixedCurves says so if more than one impedance curve shapes the tone of a
// setup: that of a load box and, behind a second amplifier, that of a cabinet;
// or those of a load and a cabinet side by side.
func mixedCurves(r *chain.Result, band hearing.Band) []string {
	var says []string
	var links []contribution
	for i, link := range r.Links {
		gain := make([]complex128, len(r.Hz))
		for k := range gain {
			gain[k] = link.Terminal[k] / link.EMF[k]
		}
		if c := contributes(loadLabel(r.Setup.Links[i].Load), r.Hz, gain, link.Source, band); c != nil {
			links = append(links, *c)
		}
	}
	if len(links) > 1 {
		says = append(says, "two curves are mixed, one behind the other: "+list(links))
	}
	for i := range r.Links {
		if across := acrossAmplifier(r, i, band); len(across) > 1 {
			says = append(says, "two curves are mixed, one across the amplifier: "+list(across))
		}
	}
	for i, link := range r.Links {
		if beside := sideBySide(r.Setup.Links[i].Load, r.Hz, link.Source, band); len(beside) > 1 {
			says = append(says, "two curves share one output: "+list(beside)+", each as if alone")
		}
	}
	return says
}

// acrossAmplifier returns what a reactive part of the attenuator of a link puts
// on the tone by loading the amplifier, and what the load behind it adds.
func acrossAmplifier(r *chain.Result, i int, band hearing.Band) []contribution {
	link, setup := r.Links[i], r.Setup.Links[i]
	if setup.Attenuator == nil {
		return nil
	}
	name := ""
	network.WalkTwoPort(setup.Attenuator, func(p network.OnePort) {
		if n, ok := p.(network.Named); ok && name == "" && reactive(n, r.Hz) {
			name = n.Name
		}
	})
	if name == "" {
		return nil
	}
	tap, behind := make([]complex128, len(r.Hz)), make([]complex128, len(r.Hz))
	source := make([]complex128, len(r.Hz))
	for k, f := range r.Hz {
		source[k] = link.Output.Impedance(2 * math.Pi * f)
		tap[k] = link.Seen[k] / (link.Seen[k] + source[k])
		behind[k] = link.Terminal[k] / link.EMF[k] / tap[k]
	}
	var all []contribution
	if c := contributes(name, r.Hz, tap, source, band); c != nil {
		all = append(all, *c)
	}
	if c := contributes(loadLabel(setup.Load), r.Hz, behind, link.Source, band); c != nil {
		all = append(all, *c)
	}
	return all
}

// reactive reports whether the magnitude of an impedance changes enough over
// frequency to leave a mark.
func reactive(p network.OnePort, hz []float64) bool {
	const enough = 1.25
	z, err := network.Impedance(p, hz)
	if _, hard := soft(err); hard != nil {
		return false
	}
	low, high := extremes(hz, z)
	return high.value > enough*low.value
}

// contributes returns what a gain against frequency puts on the tone, nil if
// that is little.
func contributes(name string, hz []float64, gain, source []complex128, band hearing.Band) *contribution {
	low, high := math.Inf(1), math.Inf(-1)
	for i, f := range hz {
		if band.Contains(f) {
			low, high = min(low, decibels(cmplx.Abs(gain[i]))), max(high, decibels(cmplx.Abs(gain[i])))
		}
	}
	if !(high-low >= audibleSwing) {
		return nil
	}
	flat := make([]complex128, len(hz))
	for i := range flat {
		flat[i] = 1
	}
	t, err := tone.Compare(hz, gain, flat, band)
	if err != nil {
		return nil
	}
	return &contribution{name, cmplx.Abs(source[indexAt(hz, t.LargestHz)]), high - low, t}
}

// sideBySide returns what each of several loads in parallel would put on the
// tone if it were alone.
func sideBySide(load network.OnePort, hz []float64, source []complex128, band hearing.Band) []contribution {
	if n, ok := load.(network.Named); ok {
		load = n.OnePort
	}
	members, ok := load.(network.Parallel)
	if !ok {
		return nil
	}
	var all []contribution
	for _, m := range members {
		z, err := network.Impedance(m, hz)
		if _, hard := soft(err); hard != nil {
			continue
		}
		gain := make([]complex128, len(hz))
		for i := range gain {
			gain[i] = z[i] / (z[i] + source[i])
		}
		if c := contributes(loadLabel(m), hz, gain, source, band); c != nil {
			all = append(all, *c)
		}
	}
	return all
}

func list(all []contribution) string {
	var parts []string
	for _, c := range all {
		text := fmt.Sprintf("%s through %.2g ohm swings by %.1f dB", c.name, c.source, c.swing)
		var features []string
		for _, f := range c.tone.Features {
			features = append(features, f.String())
		}
		if len(features) > 0 {
			text += " (" + strings.Join(features, "; ") + ")"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}

// loadLabel returns the name of a load as far as it has one.
func loadLabel(p network.OnePort) string {
	if n, ok := p.(network.Named); ok {
		return n.Name
	}
	return "the load"
}
