package identify

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Options guide [Identify].
type Options struct {
	// VoiceCoil is the label of the only voice-coil model to fit, as
	// "semi_inductance". Default: every model, and the best by Criterion.
	VoiceCoil string

	// Rungs of a ladder, 1 to 4. Default: 1, or 2 where Criterion is for it.
	Rungs int

	// Criterion chooses between models. Default: BIC.
	Criterion Criterion

	// Creep of the suspension. Default: Judge.
	Creep Choice

	// Resonances is the number of resonances, 1 to 6. Default: the peaks that
	// the curve shows.
	Resonances int

	// Skew of several resonances: those that drivers and ports of one cabinet
	// make together are not ideal parallel sections. Default: Judge.
	Skew Choice

	// Bumps is the largest number of small resonances above the others, up to
	// 6, that are added where Criterion is for it. Default: 2; negative: none.
	Bumps int

	// Re is the resistance in ohms measured with direct current, and held.
	// Default: fitted.
	Re float64

	// From and To limit the frequencies, in hertz, that are fitted. Default:
	// all rows.
	From, To float64

	// Noise expected in the measurement.
	Noise Noise
}

// Noise is the standard deviation of one row. Where a table tells the
// coherence, rows of low coherence are given more.
type Noise struct {
	Magnitude float64 // relative; default 0.01
	Phase     float64 // rad; default 1°

	// Known tells that these are facts, from which standard errors follow.
	// Default: only their ratio counts, their size is found from the residual.
	Known bool
}

// A Choice is whether a part of the model is wanted.
type Choice uint8

// The choices.
const (
	Judge  Choice = iota // keep it where the criterion is for it
	Never                // leave it out
	Always               // keep it
)

// A Criterion weighs the residual of a model against its number of
// parameters; less is better.
type Criterion uint8

// The criteria.
const (
	BIC  Criterion = iota // Schwarz 1978
	AICc                  // Akaike's, corrected by Hurvich and Tsai 1989
)

// String returns the name of the criterion.
func (c Criterion) String() string {
	if c == AICc {
		return "AICc"
	}
	return "BIC"
}

const (
	maxSections = 6
	maxRungs    = 4
)

// defaults returns the options with defaults filled in, or what is wrong.
func (o Options) defaults() (Options, error) {
	if o.VoiceCoil != "" && !slices.Contains(coilLabels, o.VoiceCoil) {
		return o, fmt.Errorf("identify: voice coil %q: expected one of %s", o.VoiceCoil, strings.Join(coilLabels, ", "))
	}
	for _, n := range []struct {
		name       string
		value, max int
	}{{"rungs", o.Rungs, maxRungs}, {"resonances", o.Resonances, maxSections}} {
		if n.value < 0 || n.value > n.max {
			return o, fmt.Errorf("identify: %d %s: expected from 1 to %d", n.value, n.name, n.max)
		}
	}
	if o.Bumps > maxSections {
		return o, fmt.Errorf("identify: %d bumps: expected at most %d", o.Bumps, maxSections)
	}
	if o.Criterion > AICc || max(o.Creep, o.Skew) > Always {
		return o, fmt.Errorf("identify: criterion %d, creep %d, skew %d: expected one of the constants", o.Criterion, o.Creep, o.Skew)
	}
	for _, v := range []struct {
		name  string
		value float64
	}{{"re", o.Re}, {"from", o.From}, {"to", o.To}, {"noise of the magnitude", o.Noise.Magnitude}, {"noise of the phase", o.Noise.Phase}} {
		if !(v.value >= 0) || math.IsInf(v.value, 0) {
			return o, fmt.Errorf("identify: %s of %g: expected a positive number", v.name, v.value)
		}
	}
	o.fill()
	return o, nil
}

func (o *Options) fill() {
	if o.Bumps == 0 {
		o.Bumps = 2
	}
	if o.To == 0 {
		o.To = math.Inf(1)
	}
	if o.Noise.Magnitude == 0 {
		o.Noise.Magnitude = 0.01
	}
	if o.Noise.Phase == 0 {
		o.Noise.Phase = math.Pi / 180
	}
}
