package transfer

import (
	"fmt"
	"math/cmplx"

	"loadscape/network/measured"
)

// Sense tells where the channel that is not across the device is connected.
type Sense int

const (
	AcrossResistor Sense = iota // to the voltage across the series resistor
	BeforeResistor              // to the voltage before it: resistor and device
)

// A Jig is a device fed through a known resistor, recorded in two channels.
// Measurements for the calibration are recorded with the same gains.
//
// Channels that differ in gain or phase are corrected with Swapped or with
// Known. Swapped, a recording of the same device with the two channels
// exchanged at their inputs, gives the ratio of the gains. Known, a recording
// of a resistor of KnownOhms in place of the device, gives it too, if Resistor
// is exact; with both, the resistor of the jig is measured against the known
// one.
type Jig struct {
	Resistor float64 // in series with the device, ohm
	Device   int     // the channel across the device, 0 or 1
	Sense    Sense   // where the other one is; default AcrossResistor

	Swapped   *Recording
	Known     *Recording
	KnownOhms float64

	// PoorCoherence is the coherence under which a warning is given, 0 to 1;
	// default 0.95.
	PoorCoherence float64

	Options
}

// Measure returns the impedance of the device in a recording, with the
// coherence at every frequency.
func (j Jig) Measure(rec *Recording) (*measured.Table, error) {
	if j.PoorCoherence == 0 {
		j.PoorCoherence = 0.95
	}
	if err := j.check(rec); err != nil {
		return nil, err
	}
	t := &measured.Table{}
	r, err := j.ratio(t, rec, "")
	if err != nil {
		return nil, err
	}
	resistor, err := j.calibrate(t, r)
	if err != nil {
		return nil, err
	}
	t.Hz, t.Coherence = r.Hz, r.Coherence
	for i, h := range r.H {
		z := resistor[i] * h
		if j.Sense == BeforeResistor {
			z /= 1 - h
		}
		t.Z = append(t.Z, z)
	}
	if err := t.Check(); err != nil {
		return nil, fmt.Errorf("transfer: the channels give no impedance: %w", err)
	}
	if active := len(t.Active()); 2*active > len(t.Z) {
		warn(t, "resistance is negative at %d of %d frequencies: channels exchanged, one of opposite polarity, or not connected as stated", active, len(t.Z))
	}
	return t, nil
}

func (j Jig) check(rec *Recording) error {
	for _, other := range []*Recording{j.Swapped, j.Known} {
		if other != nil && other.Rate != rec.Rate {
			return fmt.Errorf("transfer: calibration at %g samples per second: expected %g, as in the measurement", other.Rate, rec.Rate)
		}
	}
	switch {
	case !(j.Resistor >= measured.MinOhm && j.Resistor <= measured.MaxOhm):
		return fmt.Errorf("transfer: series resistor of %g ohm: expected a positive resistance", j.Resistor)
	case j.Device != 0 && j.Device != 1:
		return fmt.Errorf("transfer: device on channel %d: expected 0 or 1", j.Device)
	case j.Sense != AcrossResistor && j.Sense != BeforeResistor:
		return fmt.Errorf("transfer: sense %d: expected across or before the resistor", j.Sense)
	case j.Known != nil && !(j.KnownOhms >= measured.MinOhm && j.KnownOhms <= measured.MaxOhm):
		return fmt.Errorf("transfer: known resistor of %g ohm: expected a positive resistance", j.KnownOhms)
	case !(j.PoorCoherence >= 0 && j.PoorCoherence <= 1):
		return fmt.Errorf("transfer: coherence of %g: expected a number from 0 to 1", j.PoorCoherence)
	}
	return nil
}

// calibrate corrects the ratio r and returns the series resistor.
func (j Jig) calibrate(t *measured.Table, r *Response) (resistor []complex128, err error) {
	var swapped, known *Response
	if j.Swapped != nil {
		if swapped, err = j.ratio(t, j.Swapped, "swapped channels: "); err != nil {
			return nil, err
		}
	}
	if j.Known != nil {
		if known, err = j.ratio(t, j.Known, "known resistor: "); err != nil {
			return nil, err
		}
	}
	resistor = make([]complex128, len(r.H))
	for i := range r.H {
		resistor[i] = complex(j.Resistor, 0)
		gain := complex128(1) // of the device's channel over the other's
		switch {
		case swapped != nil:
			gain = cmplx.Sqrt(r.H[i] * swapped.H[i]) // gH and g/H were seen
			if known != nil {
				resistor[i] = j.resistorFrom(known.H[i] / gain)
			}
		case known != nil:
			gain = known.H[i] / complex(j.knownRatio(), 0)
		}
		r.H[i] /= gain
	}
	return resistor, nil
}

// knownRatio returns the ratio of the channels that the known resistor gives.
func (j Jig) knownRatio() float64 {
	if j.Sense == BeforeResistor {
		return j.KnownOhms / (j.KnownOhms + j.Resistor)
	}
	return j.KnownOhms / j.Resistor
}

// resistorFrom returns the series resistor with which the known one gives the
// ratio h.
func (j Jig) resistorFrom(h complex128) complex128 {
	r := complex(j.KnownOhms, 0) / h
	if j.Sense == BeforeResistor {
		r -= complex(j.KnownOhms, 0)
	}
	return r
}

// ratio returns the ratio of the device's channel to the other one of a
// recording, and adds warnings to t, after what names the recording.
func (j Jig) ratio(t *measured.Table, rec *Recording, what string) (*Response, error) {
	if len(rec.Channels) != 2 {
		return nil, fmt.Errorf("transfer: %srecording of %d channels: expected two", what, len(rec.Channels))
	}
	if a, b := len(rec.Channels[0]), len(rec.Channels[1]); a != b {
		return nil, fmt.Errorf("transfer: %schannels of %d and %d samples: expected as many in both", what, a, b)
	}
	r, err := Estimate(rec.Channels[1-j.Device], rec.Channels[j.Device], rec.Rate, j.Options)
	if err != nil {
		return nil, fmt.Errorf("%s%w", what, err)
	}
	for c, x := range rec.Channels {
		if clips(x) {
			warn(t, "%schannel %d is driven to full scale: record it at a lower level", what, c+1)
		}
	}
	j.warnPoor(t, r, what)
	return r, nil
}

// warnPoor names the ranges of poor coherence; those less than a third of an
// octave apart count as one.
func (j Jig) warnPoor(t *measured.Table, r *Response, what string) {
	const gap = 1.26
	first, last, worst := -1, 0, 0
	tell := func() {
		if first >= 0 {
			warn(t, "%scoherence under %g from %.4g to %.4g Hz, %.2f at %.4g Hz: noise, distortion or too little signal",
				what, j.PoorCoherence, r.Hz[first], r.Hz[last], r.Coherence[worst], r.Hz[worst])
		}
	}
	for i, c := range r.Coherence {
		if c >= j.PoorCoherence {
			continue
		}
		if first < 0 || r.Hz[i] > gap*r.Hz[last] {
			tell()
			first, worst = i, i
		}
		last = i
		if c < r.Coherence[worst] {
			worst = i
		}
	}
	tell()
}

func warn(t *measured.Table, format string, args ...any) {
	t.Warnings = append(t.Warnings, measured.Warning{Says: fmt.Sprintf(format, args...)})
}
