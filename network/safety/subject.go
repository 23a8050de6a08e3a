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
	prefix string // tells links apart in what is said
	hz     []float64
	seen   []complex128
	out    *stage.Output
	load   network.OnePort
	direct bool // nothing but cable lies between tap and load
	parts  []PartLoad
	lowest extreme // of |Z| at the tap
	most   extreme
}

// extreme is a value and where it was found.
type extreme struct{ value, hz float64 }

func newSubject(r *chain.Result, i int) *subject {
	link := r.Links[i]
	s := &subject{out: link.Output, load: r.Setup.Links[i].Load, direct: r.Setup.Links[i].Attenuator == nil, lowest: extreme{value: math.Inf(1)}}
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
	for _, p := range link.Parts {
		s.parts = append(s.parts, newPartLoad(p, s.hz, from))
	}
	return s
}

// PartLoad is what the hardest steady tone between 20 Hz and 20 kHz asks of a
// part.
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

func newPartLoad(u chain.PartUse, hz []float64, from int) PartLoad {
	p := PartLoad{Name: u.Name, Rating: u.Rating}
	for k, f := range hz {
		if v := u.Power[from+k]; v > p.Power {
			p.Power, p.PowerHz = v, f
		}
		if v := u.Current[from+k]; v > p.Current {
			p.Current, p.CurrentHz = v, f
		}
		if v := u.Voltage[from+k]; v > p.Voltage {
			p.Voltage, p.VoltageHz = v, f
		}
	}
	p.Overdriven = Overdrive * p.Power
	return p
}

// dissipates reports whether the part takes a share of the power that is
// worth a rating.
func (p PartLoad) dissipates(rated float64) bool { return p.Power > rated/100 }

// RatedImpedance returns the impedance in ohms by which a curve with the
// lowest magnitude low would be rated: the largest power of two of which the
// curve keeps 80 % (IEC 60268-5).
func RatedImpedance(low float64) float64 {
	const rounding = 1e-9
	return math.Exp2(math.Floor(math.Log2(low/0.8) + rounding))
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
			if w := math.Log2(s.hz[k-1] / s.hz[start]); w >= octaves {
				octaves, from, to = w, s.hz[start], s.hz[k-1]
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
