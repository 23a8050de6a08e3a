package main

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/tone"
)

// findings says in plain words what a setup does to the tone.
func findings(c compared, ref *chain.Result) []string {
	var says []string
	for _, f := range c.tone.Features {
		line := f.String()
		if why := cause(f, c.Result, ref); why != "" {
			line += ": " + why
		}
		says = append(says, line)
	}
	if len(says) == 0 {
		says = append(says, fmt.Sprintf("no hump, dip or shelf to speak of: it stays within %.1f dB", math.Abs(c.tone.Largest)))
	}
	return says
}

// swing is how a load's impedance acts through the source impedance at one
// frequency.
type swing struct {
	load, source float64 // magnitudes, ohm
	lowest       float64 // magnitude of the load where it is lowest, ohm
	gain         float64 // dB above the mean over the sweep
}

func swingAt(r *chain.Result, hz float64) swing {
	link := r.Last()
	mean, best := 0.0, 0
	gain := func(i int) float64 { return decibels(cmplx.Abs(link.Terminal[i] / link.EMF[i])) }
	for i, f := range r.Hz {
		mean += gain(i) / float64(len(r.Hz))
		if math.Abs(math.Log(f/hz)) < math.Abs(math.Log(r.Hz[best]/hz)) {
			best = i
		}
	}
	low, _ := extremes(r.Hz, link.Seen)
	return swing{cmplx.Abs(link.Seen[best]), cmplx.Abs(link.Source[best]), low.value, gain(best) - mean}
}

// cause says which of the two loads makes a feature, and how. It is silent
// where neither stands out.
func cause(f tone.Feature, r, ref *chain.Result) string {
	const worth = 0.3 // dB
	own, other := swingAt(r, f.Hz), swingAt(ref, f.Hz)
	switch {
	case max(math.Abs(own.gain), math.Abs(other.gain)) < worth:
		return ""
	case math.Abs(own.gain) >= math.Abs(other.gain):
		return fmt.Sprintf("%s, let through by a source impedance of %.2g ohm", own.what(r, f.Hz), own.source)
	}
	return fmt.Sprintf("in %s %s is let through by a source impedance of %.2g ohm; here a source of %.2g ohm meets %.3g ohm",
		ref.Setup.Name, other.what(ref, f.Hz), other.source, own.source, own.load)
}

// what names the reason for which the impedance is what it is.
func (s swing) what(r *chain.Result, hz float64) string {
	const raised, voiceCoil = 1.4, 800
	load := loadName(r)
	switch {
	case s.load < raised*s.lowest:
		return fmt.Sprintf("the low impedance of %s (%.3g ohm)", load, s.load)
	case hz < voiceCoil:
		return fmt.Sprintf("the resonance of %s (%.3g ohm)", load, s.load)
	}
	return fmt.Sprintf("the rise of %s towards high frequencies (%.3g ohm)", load, s.load)
}

// loadName returns the name of the load that is listened to, as far as it has
// one.
func loadName(r *chain.Result) string {
	load := r.Setup.Links[len(r.Setup.Links)-1].Load
	if n, ok := load.(network.Named); ok {
		return n.Name
	}
	return "the load"
}
