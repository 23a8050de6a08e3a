package main

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/tone"
)

// findings says in plain words what a setup does to the tone.
func findings(b *bench.Bench, c *compared, ref *chain.Result) []string {
	var says []string
	if c.attenuation != nil {
		says = append(says, c.attenuation.String())
	}
	for _, f := range c.tone.Features {
		line := f.String()
		if why := cause(f, c.Result, ref, b.Band); why != "" {
			line += ": " + why
		}
		says = append(says, line)
	}
	if len(c.tone.Features) == 0 {
		says = append(says, fmt.Sprintf("no hump, dip or shelf to speak of: it stays within %.1f dB", math.Abs(c.tone.Largest)))
	}
	says = append(says, mixedCurves(c.Result, b.Band)...)
	return append(says, earSays(b, c)...)
}

// swing is how the impedance of a load acts through a source impedance at one
// frequency.
type swing struct {
	name         string  // of the load
	load, source float64 // magnitudes, ohm
	lowest       float64 // magnitude of the load where it is lowest, ohm
	gain         float64 // dB above the mean over the sweep
	resonant     bool    // the magnitude of the load has a maximum close by
}

// swingAt returns the swing of the link of a setup that acts most.
func swingAt(r *chain.Result, hz float64) swing {
	var most swing
	for i := range r.Links {
		s := swingOf(&r.Links[i], r.Hz, hz)
		s.name = loadLabel(r.Setup.Links[i].Load)
		if i == 0 || math.Abs(s.gain) > math.Abs(most.gain) {
			most = s
		}
	}
	return most
}

func swingOf(link *chain.LinkResult, frequencies []float64, hz float64) swing {
	mean, at := 0.0, indexAt(frequencies, hz)
	gain := func(i int) float64 { return decibels(cmplx.Abs(link.Terminal[i] / link.EMF[i])) }
	for i := range frequencies {
		mean += gain(i) / float64(len(frequencies))
	}
	low, _ := extremes(frequencies, link.Load)
	return swing{
		load: cmplx.Abs(link.Load[at]), source: cmplx.Abs(link.Source[at]), lowest: low.value,
		gain: gain(at) - mean, resonant: peaksNear(frequencies, link.Load, hz),
	}
}

// peaksNear reports whether the magnitude of z has a maximum within a third of
// an octave of a frequency.
func peaksNear(hz []float64, z []complex128, f float64) bool {
	for i := 1; i+1 < len(hz); i++ {
		a, b, c := cmplx.Abs(z[i-1]), cmplx.Abs(z[i]), cmplx.Abs(z[i+1])
		if b > a && b >= c && math.Abs(math.Log2(hz[i]/f)) < 1.0/3 {
			return true
		}
	}
	return false
}

// cause says which of the two loads makes a feature, and how. It is silent
// where neither stands out.
func cause(f tone.Feature, r, ref *chain.Result, band hearing.Band) string {
	const worth = 0.3 // dB
	hz := f.Hz
	switch f.Kind { // a shelf is told by its far end
	case tone.LowShelf:
		hz = band.From
	case tone.HighShelf:
		hz = band.To
	}
	own, other := swingAt(r, hz), swingAt(ref, hz)
	switch {
	case max(math.Abs(own.gain), math.Abs(other.gain)) < worth:
		return ""
	case math.Abs(own.gain) >= math.Abs(other.gain):
		return fmt.Sprintf("%s, let through by a source impedance of %.2g ohm", own.what(hz), own.source)
	}
	return fmt.Sprintf("in %s %s is let through by a source impedance of %.2g ohm; here a source of %.2g ohm meets %.3g ohm",
		ref.Setup.Name, other.what(hz), other.source, own.source, own.load)
}

// what names the reason for which the impedance is what it is.
func (s swing) what(hz float64) string {
	const raised, voiceCoil = 1.4, 800
	switch {
	case s.load < raised*s.lowest:
		return fmt.Sprintf("the low impedance of %s (%.3g ohm)", s.name, s.load)
	case hz < voiceCoil && s.resonant:
		return fmt.Sprintf("the resonance of %s (%.3g ohm)", s.name, s.load)
	case hz < voiceCoil:
		return fmt.Sprintf("the raised impedance of %s (%.3g ohm) beside its resonance", s.name, s.load)
	}
	return fmt.Sprintf("the rise of %s towards high frequencies (%.3g ohm)", s.name, s.load)
}
