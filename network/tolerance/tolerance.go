package tolerance

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"loadscape/network"
	"loadscape/network/chain"
)

// Result is how the builds of a load spread.
type Result struct {
	Hz        []float64
	Options   Options   // with their defaults set
	Nominal   []float64 // ohm, magnitude of the impedance of the nominal build; of a setup that seen at the tap
	Impedance Bands     // ohm, magnitude
	Deviation Bands     // dB
	Spread    []float64 // dB, standard deviation of the deviation

	Largest Summary // dB, magnitude of each build's largest deviation in the band
	RMS     Summary // dB
	// Of builds within the limit; all if there is none.
	Within Share

	Worst  Build // of the run
	Corner Build // of the corners of the tolerance box
	// AllCorners reports whether Corner is the worst of all corners, and not
	// only of those at which the first order is worst at some frequency.
	AllCorners bool

	Parts    []Sensitivity // those that vary, what matters most first
	Fixed    []string      // electrical parts that state no tolerance and are taken as exact
	Warnings []string
}

// Bands are percentiles of builds at each frequency: the median, the middle
// half, and nine tenths.
type Bands struct{ P5, P25, P50, P75, P95 []float64 }

// Summary is percentiles of one number of each build.
type Summary struct{ P50, P75, P95 float64 }

// A Build is a build by its parts.
type Build struct {
	Number    int       // of the run, from 1; 0 for a corner
	Factors   []float64 // part over nominal value, in the order of [Result.Parts]
	Deviation []float64 // dB at each frequency
	Largest   float64   // dB, with its sign
	LargestHz float64   // Hz
	RMS       float64   // dB
}

// Load computes the builds of a load at the rising frequencies hz. Errors are
// those of the options, the band, the circuit and the solver, that no part
// states a tolerance, and the context's cause.
func Load(ctx context.Context, p network.OnePort, hz []float64, o Options) (*Result, error) {
	o, err := o.defaults()
	if err != nil {
		return nil, err
	}
	m, err := loadModel(p, hz, o)
	if err != nil {
		return nil, err
	}
	return m.run(ctx, nil)
}

// Setup computes the builds of all that lies between a setup's amplifiers and
// what is listened to. Errors are those of [Load] and of the setup.
func Setup(ctx context.Context, s chain.Setup, hz []float64, o Options) (*Result, error) {
	o, err := o.defaults()
	if err != nil {
		return nil, err
	}
	m, warnings, err := setupModel(s, hz, o)
	if err != nil {
		return nil, err
	}
	return m.run(ctx, warnings)
}

// run draws, counts and judges.
func (m *model) run(ctx context.Context, warnings []string) (*Result, error) {
	r := &Result{Hz: m.hz, Options: m.Options, Fixed: m.fixed, Warnings: warnings}
	for _, name := range m.hidden {
		r.Warnings = append(r.Warnings, fmt.Sprintf("tolerance: %s is taken as exact: it stands inside a one-port of which only the whole is known", name))
	}
	for _, z := range m.nominal {
		r.Nominal = append(r.Nominal, math.Sqrt(z))
	}
	t := newTally(m)
	if err := m.each(ctx, m.Builds, m.Progress, t.count); err != nil {
		return nil, err
	}
	t.report(r)
	curves, err := m.sensitivities(ctx)
	if err != nil {
		return nil, err
	}
	w := m.newWorker()
	w.sampler.draw(w.factors, m.parts, t.worst)
	if r.Worst, err = w.describe(); err != nil {
		return nil, err
	}
	r.Worst.Number = t.worst + 1
	if r.Corner, r.AllCorners, err = m.corner(ctx, curves); err != nil {
		return nil, err
	}
	r.rank(m, curves)
	return r, nil
}

// describe computes the build of the worker's factors and returns it.
func (w *worker) describe() (Build, error) {
	_, err := w.build()
	return Build{
		Factors: slices.Clone(w.factors), Deviation: slices.Clone(w.deviation),
		Largest: w.largest, LargestHz: w.hz[w.largestAt], RMS: w.rms,
	}, err
}

// A tally counts builds.
type tally struct {
	Options
	magnitude    []histogram // at each frequency
	deviation    []histogram // nil for a load, whose deviation is its magnitude
	largest, rms histogram
	within, near atomic.Int64

	lock   sync.Mutex
	worst  int // number of the worst build, the first of equals
	judged float64
}

func newTally(m *model) *tally {
	t := &tally{Options: m.Options, magnitude: make([]histogram, len(m.hz)), judged: -1}
	if m.level != nil {
		t.deviation = make([]histogram, len(m.hz))
	}
	return t
}

// count computes build i and counts it.
func (t *tally) count(w *worker, i int) error {
	w.sampler.draw(w.factors, w.parts, i)
	near, err := w.build()
	if err != nil {
		return err
	}
	if near {
		t.near.Add(1)
	}
	for k, x := range w.magnitude {
		t.magnitude[k].add(x)
	}
	for k := range t.deviation {
		t.deviation[k].add(w.deviation[k])
	}
	t.largest.add(math.Abs(w.largest))
	t.rms.add(w.rms)
	judged := w.judged()
	if t.Limit == 0 || judged <= t.Limit {
		t.within.Add(1)
	}
	t.lock.Lock()
	defer t.lock.Unlock()
	if judged > t.judged || judged == t.judged && i < t.worst {
		t.judged, t.worst = judged, i
	}
	return nil
}
