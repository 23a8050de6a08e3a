package safety

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/stage"
)

// subject is one link of a setup over the audible range.
type subject struct {
	prefix string  // tells links apart in what is said
	first  bool    // driven by itself, not by a link before it
	gain   float64 // of the drive over the rated one, the most at any frequency
	hz     []float64
	seen   []complex128
	out    *stage.Output
	load   network.OnePort
	direct bool // nothing but cable lies between tap and load
	path   network.Cascade
	parts  []PartLoad
	lowest extreme // of |Z| at the tap
	most   extreme
}

// extreme is a value and where it was found.
type extreme struct{ value, hz float64 }

func newSubject(r *chain.Result, i int) *subject {
	link := r.Links[i]
	s := &subject{out: link.Output, load: r.Setup.Links[i].Load, direct: r.Setup.Links[i].Attenuator == nil, path: r.Setup.Links[i].Path(), first: i == 0, lowest: extreme{value: math.Inf(1)}}
	if len(r.Links) > 1 {
		s.prefix = []string{"first amplifier: ", "second amplifier: "}[min(i, 1)]
	}
	from, to := 0, 0
	for k, f := range r.Hz {
		if f < Lowest*(1-1e-9) {
			from = k + 1
		}
		if f <= Highest*(1+1e-9) {
			to = k + 1
		}
	}
	if from >= to {
		return s
	}
	s.hz, s.seen = r.Hz[from:to], link.Seen[from:to]
	for k, z := range s.seen {
		if a := cmplx.Abs(z); a < s.lowest.value {
			s.lowest = extreme{a, s.hz[k]}
		}
		if a := cmplx.Abs(z); a > s.most.value {
			s.most = extreme{a, s.hz[k]}
		}
	}
	drive := make([]float64, len(s.hz)) // over the link's own rated drive
	for k, f := range s.hz {
		drive[k] = cmplx.Abs(link.EMF[from+k]) / cmplx.Abs(link.Output.EMF(2*math.Pi*f))
		s.gain = max(s.gain, drive[k])
	}
	for _, p := range link.Parts {
		s.parts = append(s.parts, newPartLoad(p, s.hz, drive, from))
	}
	return s
}

// PartLoad is what the hardest steady tone between 20 Hz and 20 kHz asks of a
// part. A second amplifier is taken at its own rated drive: its gain is a knob.
type PartLoad struct {
	Name       string
	Verdict    Verdict
	Rating     network.Rating
	Power      float64 // W with the amplifier at rated drive
	Overdriven float64 // W with the amplifier overdriven
	PowerHz    float64 // the frequency at which that is so
	Current    float64 // A, RMS, at rated drive
	CurrentHz  float64
	Voltage    float64 // V, RMS, at rated drive
	VoltageHz  float64
}

func newPartLoad(u chain.PartUse, hz, drive []float64, from int) PartLoad {
	p := PartLoad{Name: u.Name, Rating: u.Rating}
	for k, f := range hz {
		if v := u.Power[from+k] / (drive[k] * drive[k]); v > p.Power {
			p.Power, p.PowerHz = v, f
		}
		if v := u.Current[from+k] / drive[k]; v > p.Current {
			p.Current, p.CurrentHz = v, f
		}
		if v := u.Voltage[from+k] / drive[k]; v > p.Voltage {
			p.Voltage, p.VoltageHz = v, f
		}
	}
	p.Overdriven = Overdrive * p.Power
	return p
}

// widest returns the widest run of frequencies, in octaves, for which is
// holds, and its ends.
func (s *subject) widest(is func(z complex128) bool) (octaves, from, to float64) {
	start := -1
	for k := 0; k <= len(s.hz); k++ {
		in := k < len(s.hz) && is(s.seen[k])
		if in && start < 0 {
			start = k
		}
		if !in && start >= 0 {
			// The run may begin and end anywhere up to the points beside it.
			lo, hi := s.hz[max(0, start-1)], s.hz[min(k, len(s.hz)-1)]
			if w := math.Log2(hi / lo); w >= octaves {
				octaves, from, to = w, lo, hi
			}
			start = -1
		}
	}
	return octaves, from, to
}

func hertz(f float64) string {
	if f >= 1000 {
		return fmt.Sprintf("%.3g kHz", f/1000)
	}
	return fmt.Sprintf("%.3g Hz", f)
}
