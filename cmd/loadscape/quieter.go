package main

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network/chain"
	"loadscape/network/hearing"
)

// attenuation is what an attenuator does to the load that it feeds.
type attenuation struct {
	loss      []float64 // dB at each frequency: the load's voltage without it over that with it
	low, high point     // least and most loss in the listening band
	at1k      float64   // dB
	source    float64   // ohm, what the load looks back into at 1 kHz
	load      float64   // ohm, magnitude of the load at 1 kHz
}

// attenuationOf returns what the attenuators of a setup do, nil if it has none.
func attenuationOf(b *bench.Bench, r *chain.Result) (*attenuation, error) {
	bare := r.Setup
	bare.Links = append([]chain.Link(nil), r.Setup.Links...)
	found := false
	for i := range bare.Links {
		found = found || bare.Links[i].Attenuator != nil
		bare.Links[i].Attenuator = nil
	}
	if !found {
		return nil, nil
	}
	without, err := bare.Run(r.Hz)
	if err != nil {
		return nil, err
	}
	a := &attenuation{low: point{value: math.Inf(1)}, high: point{value: math.Inf(-1)}}
	for i, f := range r.Hz {
		loss := decibels(cmplx.Abs(without.Last().Terminal[i] / r.Last().Terminal[i]))
		a.loss = append(a.loss, loss)
		if !b.Band.Contains(f) {
			continue
		}
		if loss < a.low.value {
			a.low = point{loss, f}
		}
		if loss > a.high.value {
			a.high = point{loss, f}
		}
	}
	k := indexAt(r.Hz, 1000)
	a.at1k = a.loss[k]
	a.source = cmplx.Abs(r.Last().Source[k])
	a.load = cmplx.Abs(r.Last().Load[k])
	return a, nil
}

// String says what the attenuator does in plain words.
func (a *attenuation) String() string {
	const flat = 0.05 // dB
	s := fmt.Sprintf("the attenuator takes off %.1f dB at 1 kHz, into the real load from %.1f dB at %s to %.1f dB at %s",
		a.at1k, a.low.value, hertzText(a.low.hz), a.high.value, hertzText(a.high.hz))
	if a.high.value-a.low.value < flat {
		s = fmt.Sprintf("the attenuator takes off %.1f dB, the same at every frequency", a.at1k)
	}
	s += fmt.Sprintf("; the load looks back into %.2g ohm at 1 kHz", a.source)
	if a.source > 0 {
		s += fmt.Sprintf(" (a damping of %.2g against its %.3g ohm)", a.load/a.source, a.load)
	}
	return s
}

// indexAt returns the index of the frequency nearest to f.
func indexAt(hz []float64, f float64) int {
	best := 0
	for i := range hz {
		if math.Abs(math.Log(hz[i]/f)) < math.Abs(math.Log(hz[best]/f)) {
			best = i
		}
	}
	return best
}

// ear is what hearing asks for when a setup is quieter than the reference, and
// what the setup's deviation leaves of it.
type ear struct {
	from, to float64 // phon
	hz       []float64
	boost    []float64 // dB relative to 1 kHz, where the standard reaches
	left     []float64 // dB of it that the deviation does not bring
	rms      float64   // dB, of what is left, on the ERB-rate axis
	limit    string    // why some frequencies are left out, "" if none are
}

// leastDrop is the drop in dB below which the ear asks for nothing to speak of.
const leastDrop = 0.5

// earOf returns what the ear asks for, nil if the setup is not quieter or no
// listening level is stated. A level out of the standard's range is a
// [*hearing.RangeError].
func earOf(b *bench.Bench, c *compared) (*ear, error) {
	if b.ListeningLevel == 0 || c.drop < leastDrop {
		return nil, nil
	}
	e := &ear{from: b.ListeningLevel, to: b.ListeningLevel - c.drop}
	for i, f := range c.Hz {
		if !b.Band.Contains(f) {
			continue
		}
		boost, err := hearing.Boost(e.from, e.to, f)
		if err != nil {
			if len(e.hz) == 0 {
				return nil, err
			}
			e.limit = fmt.Sprintf("ISO 226 ends here at %s", hertzText(e.hz[len(e.hz)-1]))
			break
		}
		e.hz, e.boost, e.left = append(e.hz, f), append(e.boost, boost), append(e.left, boost-c.tone.Deviation[i])
	}
	// Both are relative to 1 kHz, as the standard states a boost.
	if k := indexAt(e.hz, 1000); len(e.hz) > 0 {
		shift := e.left[k]
		for i := range e.left {
			e.left[i] -= shift
		}
	}
	return e, e.sum()
}

func (e *ear) sum() error {
	weights, err := hearing.ERBWeights(nil, e.hz, hearing.Band{From: e.hz[0], To: e.hz[len(e.hz)-1]})
	if err != nil {
		return err
	}
	mean := 0.0
	for i, w := range weights {
		mean += w * e.left[i] * e.left[i]
	}
	e.rms = math.Sqrt(mean)
	return nil
}

// earSays tells what the ear asks for and what the features do about it.
func earSays(b *bench.Bench, c *compared) []string {
	e, err := earOf(b, c)
	var outside *hearing.RangeError
	switch {
	case errors.As(err, &outside):
		return []string{fmt.Sprintf("the ear: from %.0f to %.0f phon leaves the range of ISO 226 (20 to 90 phon, 80 above 4 kHz), so nothing is said of loudness", b.ListeningLevel, b.ListeningLevel-c.drop)}
	case err != nil:
		return []string{"the ear: " + err.Error()}
	case e == nil:
		return nil
	}
	text := fmt.Sprintf("the ear: %.1f dB down from %.0f phon it asks for", c.drop, e.from)
	var asked []string
	for _, f := range []float64{63, 125, 250, 4000, 8000} {
		if f >= e.hz[0] && f <= e.hz[len(e.hz)-1] {
			asked = append(asked, fmt.Sprintf("%s at %s", signed(e.boost[indexAt(e.hz, f)]), hertzText(f)))
		}
	}
	if len(asked) == 0 {
		return nil
	}
	text += " " + strings.Join(asked, ", ")
	text += fmt.Sprintf(" against 1 kHz; with this setup's own deviation %.1f dB (RMS) of that is left", e.rms)
	if e.limit != "" {
		text += "; " + e.limit
	}
	says := []string{text}
	for _, f := range c.tone.Features {
		if f.Hz < e.hz[0] || f.Hz > e.hz[len(e.hz)-1] {
			continue
		}
		if s := covers(f.Kind.String(), f.Height, f.Hz, e.boost[indexAt(e.hz, f.Hz)]); s != "" {
			says = append(says, s)
		}
	}
	return says
}

// covers says how a feature stands to what the ear asks for at its frequency.
func covers(kind string, height, hz, asked float64) string {
	const worth = 1.0 // dB
	if math.Abs(asked) < worth {
		return ""
	}
	what := fmt.Sprintf("the %s of %.1f dB at %s", kind, math.Abs(height), hertzText(hz))
	switch share := height / asked; {
	case share > 1:
		return fmt.Sprintf("%s goes %.1f dB beyond the %s that the ear asks for there", what, math.Abs(height-asked), signed(asked))
	case share > 0:
		return fmt.Sprintf("%s covers %.0f %% of the %s that the ear asks for there", what, 100*share, signed(asked))
	}
	return fmt.Sprintf("%s goes against the %s that the ear asks for there", what, signed(asked))
}
