package identify

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"loadscape/network/measured"
	"loadscape/thielesmall"
)

// An Estimate is a value and its standard error.
type Estimate struct{ Value, Error float64 }

// A Parameter is an unknown of the fitted model.
type Parameter struct {
	// Name is "re", a key of the voice-coil model, "fs", "qms", "res", "creep";
	// "fs-1", "qms-1", "res-1", "skew-1" and so on of several resonances;
	// "bump-1/hz", "bump-1/q", "bump-1/r".
	Name string
	Unit string
	Estimate

	// Pinned tells that the value is at the end of its range, where the
	// curve does not determine it. It then has no error.
	Pinned bool
}

// A Resonance is a parallel section of the impedance with the parameters of a
// driver in free air that has it. For a cabinet they describe the curve, not
// a driver.
type Resonance struct {
	Hz, Qms, Qes, Qts, Res Estimate

	// Skew adds Res·skew·ωk/jω to the numerator of the section. Those of all
	// resonances cancel at direct current. Zero for a single one.
	Skew float64
}

// A Bump is a small resonance above the others, as of a cone that breaks up.
type Bump struct{ Hz, Q, R Estimate }

// A Residual is what a fit leaves. Deviations are those of the complex
// impedance, relative to the measured one.
type Residual struct {
	RMS, Worst float64
	WorstHz    float64
	Deviations []float64 // of every row fitted
}

// A Candidate is one of the voice-coil models that competed.
type Candidate struct {
	VoiceCoil  string // label
	Parameters int    // of the whole model
	RMS        float64
	Criterion  float64 // less is better
}

// A Correlation is one of two parameters that the curve does not tell apart
// well: a change of one is made up for by the other.
type Correlation struct {
	A, B  string
	Value float64
}

// A Result is the model that was found.
type Result struct {
	Re         Estimate
	Resonances []Resonance
	Bumps      []Bump
	VoiceCoil  thielesmall.VoiceCoil // nil: none
	Creep      Estimate              // zero: none

	Hz           []float64 // of the rows fitted
	Parameters   []Parameter
	Correlations []Correlation // those of 0.95 and more
	Residual     Residual
	Cost         float64     // the sum that was minimised
	Candidates   []Candidate // the best first
	ThreePoint   *ThreePoint // nil: see Warnings
	Warnings     []Warning

	model *model
	x     []float64
	joint [4][4]float64 // covariance of ln re, fs, qms, res of the first resonance
}

// Identify finds the parameters of the loudspeaker whose impedance is t.
func Identify(t *measured.Table, opts Options) (*Result, error) {
	opts, err := opts.defaults()
	if err != nil {
		return nil, err
	}
	g, err := newGrid(t, opts)
	if err != nil {
		return nil, err
	}
	s := newSearch(g, opts)
	if err := s.run(); err != nil {
		return nil, err
	}
	return s.result(t), nil
}

func (s *search) result(t *measured.Table) *Result {
	c := s.finish()
	a := s.best
	r := &Result{
		Hz:         s.grid.hz,
		VoiceCoil:  a.shape.coil.voiceCoil(a.values),
		Parameters: estimates(a, c),
		Cost:       a.Cost,
		model:      a.model,
		x:          a.X,
	}
	e := estimator{a, c}
	r.Re = e.power(map[string]float64{"re": 1})
	if s.opts.Re != 0 {
		r.Re = Estimate{Value: s.opts.Re}
	}
	for i, k := range a.shape.resonances.sections(a.values) {
		one := e.resonance(a.shape.resonances.names(i), r.Re.Value)
		one.Skew = k.skew
		r.Resonances = append(r.Resonances, one)
	}
	for i := range a.shape.bumps {
		n := resonances{count: a.shape.bumps, bumps: true}.names(i)
		r.Bumps = append(r.Bumps, Bump{e.of(n[0]), e.of(n[1]), e.of(n[2])})
	}
	if a.shape.resonances.creep {
		r.Creep = e.of("creep")
	}
	first := a.shape.resonances.names(0)
	r.joint = e.joint([4]string{"re", first[0], first[1], first[2]})
	r.Correlations = correlations(a, c)
	r.Residual = residual(a)
	r.Candidates = s.candidates()
	r.ThreePoint = threePoint(t, s.grid, s.peaks, r)
	r.Warnings = s.warnings(t, r, c)
	return r
}

// Impedance returns that of the model at ω in rad/s: what a measured curve can
// be extended with.
func (r *Result) Impedance(w float64) complex128 {
	m := r.model.on(&grid{w: []float64{w}, lnw: []float64{math.Log(w)}}, scale{})
	m.impedance(r.x, false)
	return m.z[0]
}

// Driver returns the driver in free air that has the curve. It is an error if
// the curve has several resonances. Bumps are left out.
func (r *Result) Driver() (thielesmall.Driver, error) {
	if n := len(r.Resonances); n != 1 {
		return thielesmall.Driver{}, fmt.Errorf("identify: %d resonances: expected the one of a single driver", n)
	}
	d := thielesmall.Driver{
		Re:        r.Re.Value,
		Fs:        r.Resonances[0].Hz.Value,
		Qms:       r.Resonances[0].Qms.Value,
		Qes:       r.Resonances[0].Qes.Value,
		VoiceCoil: r.VoiceCoil,
	}
	if r.Creep.Value != 0 {
		d.Suspension = thielesmall.Creep{Lambda: r.Creep.Value}
	}
	return d, nil
}

func residual(a *attempt) Residual {
	rms, deviations := a.residual()
	worst := floats.MaxIdx(deviations)
	return Residual{RMS: rms, Worst: deviations[worst], WorstHz: a.model.grid.hz[worst], Deviations: deviations}
}

func (s *search) candidates() []Candidate {
	var all []Candidate
	for _, a := range s.attempts {
		if a.shape.coil == s.best.shape.coil {
			a = s.best
		}
		if math.IsInf(a.criterion, 1) {
			continue // too few rows for it
		}
		rms, _ := a.residual()
		_, n := a.model.size()
		all = append(all, Candidate{a.shape.coil.label(), n, rms, a.criterion})
	}
	slices.SortStableFunc(all, func(a, b Candidate) int {
		if a.Criterion < b.Criterion {
			return -1
		}
		return 1
	})
	return all
}
