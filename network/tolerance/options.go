package tolerance

import (
	"fmt"
	"math"
	"math/rand/v2"

	"loadscape/network/hearing"
)

// A Distribution is the law by which parts scatter about their values.
type Distribution int

// The distributions. Both end at the tolerance: a part outside it would be
// rejected.
const (
	Uniform Distribution = iota // any value within the tolerance is as likely
	Normal                      // the tolerance is [Options.Sigmas] standard deviations, where the curve is cut off
)

// String returns "uniform" or "normal".
func (d Distribution) String() string {
	switch d {
	case Uniform:
		return "uniform"
	case Normal:
		return "normal"
	}
	return fmt.Sprintf("Distribution(%d)", int(d))
}

// A Criterion is the number by which a build is judged.
type Criterion int

// The criteria.
const (
	Largest Criterion = iota // largest magnitude of the deviation in the band
	RMS                      // of the deviation in the band on the ERB-rate axis
)

// String returns "largest" or "RMS".
func (c Criterion) String() string {
	switch c {
	case Largest:
		return "largest"
	case RMS:
		return "RMS"
	}
	return fmt.Sprintf("Criterion(%d)", int(c))
}

// Limits of a run.
const (
	MaxBuilds = 100_000_000
	MaxPoints = 5000 // frequencies
)

// Options says how builds are drawn and judged.
type Options struct {
	Builds       int          // 1 to MaxBuilds; default 10 000
	Seed         uint64       // the same seed gives the same builds
	Distribution Distribution // default Uniform
	Sigmas       float64      // of a normal distribution, 1 to 6; default 3
	Band         hearing.Band // where deviations count; default 60 Hz to 10 kHz
	Criterion    Criterion    // for the limit and the worst case; default Largest
	Limit        float64      // dB, above 0; default none
	// Progress is told how many builds are done, now and then, never by two
	// goroutines at once.
	Progress func(done int)
}

// defaults returns the options with their zero fields set, or what is wrong
// with them.
func (o Options) defaults() (Options, error) {
	if o.Builds == 0 {
		o.Builds = 10_000
	}
	if o.Sigmas == 0 {
		o.Sigmas = 3
	}
	o.Band = o.Band.Defaults()
	switch {
	case o.Builds < 1 || o.Builds > MaxBuilds:
		return o, fmt.Errorf("tolerance: %d builds: expected 1 to %d", o.Builds, MaxBuilds)
	case o.Distribution != Uniform && o.Distribution != Normal:
		return o, fmt.Errorf("tolerance: %v: expected uniform or normal", o.Distribution)
	case !(o.Sigmas >= 1 && o.Sigmas <= 6):
		return o, fmt.Errorf("tolerance: a tolerance of %g standard deviations: expected 1 to 6", o.Sigmas)
	case o.Criterion != Largest && o.Criterion != RMS:
		return o, fmt.Errorf("tolerance: %v: expected largest or RMS", o.Criterion)
	case !(o.Limit >= 0) || math.IsInf(o.Limit, 0):
		return o, fmt.Errorf("tolerance: limit of %g dB: expected a level above zero", o.Limit)
	}
	return o, nil
}

// A sampler draws the parts of builds.
type sampler struct {
	Options
	source *rand.PCG
	rng    *rand.Rand
}

func newSampler(o Options) *sampler {
	source := new(rand.PCG)
	return &sampler{o, source, rand.New(source)}
}

// draw stores in factors what the parts of a build have over their nominal
// values.
func (s *sampler) draw(factors []float64, parts []*part, build int) {
	// The odd multiplier, 2^64 over the golden ratio, moves neighbouring
	// builds far apart in the generator's period.
	s.source.Seed(s.Seed, uint64(build)*0x9e3779b97f4a7c15)
	for i, p := range parts {
		factors[i] = 1 + p.tolerance*s.position()
	}
}

// position returns where in its tolerance a part lies, from −1 to 1.
func (s *sampler) position() float64 {
	if s.Distribution == Uniform {
		return 2*s.rng.Float64() - 1
	}
	for {
		if x := s.rng.NormFloat64() / s.Sigmas; math.Abs(x) <= 1 {
			return x
		}
	}
}
