package main

import (
	"cmp"
	"fmt"
	"math"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
	"loadscape/network/stage"
)

// lowestShare is how far a curve may fall under the rated impedance (IEC
// 60268-5).
const lowestShare = 0.8

// ratedImpedance returns the impedance that is stated for p, or the largest
// power of two by which its curve may be rated.
func ratedImpedance(p network.OnePort, hz []float64, z []complex128) float64 {
	if n, ok := p.(network.Named); ok && n.RatedImpedance > 0 {
		return n.RatedImpedance
	}
	low, _ := extremes(hz, z)
	const rounding = 1e-9
	return math.Exp2(math.Floor(math.Log2(low.value/lowestShare) + rounding))
}

// source returns the source that the load is for and says what it is.
func (d *designing) source(b *bench.Bench, r *designed) (*stage.Output, error) {
	if d.amplifier == nominal {
		tap := cmp.Or(d.tap, r.rated)
		s := stage.Stage{Kind: stage.Valve, RatedPower: cmp.Or(d.ratedPower, nominalPower), DefaultTap: tap, Source: stage.DampingFactor(1)}
		r.amplifier = fmt.Sprintf("a nominal amplifier of %s with a source impedance of %.3g ohm", watts(s.RatedPower), tap)
		return s.At(0)
	}
	s, tap, err := b.Amplifier(d.amplifier)
	if err != nil {
		return nil, fmt.Errorf("--amplifier: %w", err)
	}
	tap = cmp.Or(d.tap, tap)
	s.RatedPower = cmp.Or(d.ratedPower, s.RatedPower)
	if d.tap == 0 && s.Kind == stage.Valve && d.scale != 1 {
		out, err := s.At(tap)
		if err != nil {
			return nil, err
		}
		tap = d.scale * out.Tap()
	}
	out, err := s.At(tap)
	if err != nil {
		return nil, fmt.Errorf("--amplifier %s: %w (--tap chooses another)", d.amplifier, err)
	}
	r.amplifier = fmt.Sprintf("the %v amplifier %s, %s, at its %.3g ohm tap with a source impedance of %.3g ohm at 1 kHz",
		s.Kind, d.amplifier, watts(s.RatedPower), out.Tap(), out.Tap()/out.DampingFactor())
	if math.IsInf(out.DampingFactor(), 1) {
		r.amplifier = fmt.Sprintf("the %v amplifier %s, %s, which has no source impedance", s.Kind, d.amplifier, watts(s.RatedPower))
	}
	return out, nil
}
