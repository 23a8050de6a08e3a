package main

import (
	"fmt"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/plot"
)

// drawLoss draws the loss of the attenuators into their real loads.
func drawLoss(b *bench.Bench, all []*compared, band plot.Interval) (*plot.Figure, error) {
	var traces []plot.Trace
	for _, c := range all {
		if c.attenuation != nil {
			traces = append(traces, plot.Trace{Name: c.Setup.Name, Hz: c.Hz, Y: c.attenuation.loss})
		}
	}
	if len(traces) == 0 {
		return nil, fmt.Errorf("--figure-type loss: none of the setups has an attenuator")
	}
	return plot.Steps(b.Title+": loss of the attenuator into its load", plot.Axis{Label: "Loss", Unit: "dB"}, traces, band), nil
}

// drawEar draws what the ear asks for at the level of each setup, over the
// deviation that the setup has.
func drawEar(b *bench.Bench, all []*compared, band plot.Interval) (*plot.Figure, error) {
	var boosts, deviations []plot.Trace
	for _, c := range all {
		e, err := earOf(b, c)
		if err != nil {
			return nil, fmt.Errorf("--figure-type ear: %s: %w", c.Setup.Name, err)
		}
		if e == nil {
			continue
		}
		boosts = append(boosts, plot.Trace{Name: "asked: " + c.Setup.Name, Hz: e.hz, Y: e.boost})
		deviations = append(deviations, plot.Trace{Name: c.Setup.Name, Hz: c.Hz, Y: c.tone.Deviation})
	}
	if len(boosts) == 0 {
		return nil, fmt.Errorf("--figure-type ear: expected a listening_level on the bench and a setup that is quieter than the reference")
	}
	return plot.Loudness(b.Title+": what the ear asks for", boosts, deviations, band), nil
}
