package identify

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

	"loadscape/network/leastsquares"
)

// An attempt is a model and where its fit ended.
type attempt struct {
	shape  shape
	model  *model
	values values
	leastsquares.Minimum
	criterion float64
}

// A shape says what a model is made of.
type shape struct {
	coil       coil
	resonances resonances
	bumps      int
}

// arrange returns the values with like parts in order.
func (s shape) arrange(v values) values {
	v = resonances{count: s.bumps, bumps: true}.arrange(s.resonances.arrange(v))
	if l, ok := s.coil.(ladder); ok {
		v = l.arrange(v)
	}
	return v
}

// A search looks for the best model of a curve.
type search struct {
	opts   Options
	grid   *grid
	coarse *grid
	scale  scale
	peaks  []peak

	rough    powerLaw
	attempts []*attempt // one for each voice coil
	best     *attempt
}

func newSearch(g *grid, opts Options) *search {
	return &search{opts: opts, grid: g, coarse: g.thinned(100), scale: g.scale()}
}

// run is the recipe: what the curve looks like, every voice coil, the skews and
// bumps that are left over, every voice coil again with them, and what of the
// model is not needed.
func (s *search) run() error {
	start, err := s.start()
	if err != nil {
		return err
	}
	creep := s.opts.Creep != Never
	res := resonances{count: s.count(), creep: creep}
	for _, c := range coils(s.opts) {
		s.attempts = append(s.attempts, s.coil(shape{c, res, 0}, start.with(values{"creep": 0.05})))
	}
	s.choose()
	if math.IsInf(s.best.criterion, 1) {
		return fmt.Errorf("identify: %d rows: expected more for the %d parameters of the model", len(s.grid.hz), len(s.best.model.parameters))
	}
	if skewed, bumped := s.addSkew(), s.addBumps(); skewed || bumped {
		s.again()
	}
	for i, a := range s.attempts {
		if s.hopeful(a) {
			s.attempts[i] = s.simplify(s.reduce(a))
		}
	}
	s.choose()
	return nil
}

// hopeful reports whether a simpler one of a model may be the best: if the
// criterion is not far from it, or the fit still on its way to an exact curve.
func (s *search) hopeful(a *attempt) bool {
	const far, exact = 40, 1e-5
	rms, _ := a.residual()
	return a.criterion < s.best.criterion+far || rms < exact
}

func (s *search) count() int { return max(len(s.peaks), s.opts.Resonances) }

// start fits a power law to the thinned curve, started from its geometry.
// Resonances that are asked for but make no peak are sought in the residual.
func (s *search) start() (values, error) {
	v, p, peaks, err := s.grid.geometry(s.opts)
	if err != nil {
		return nil, err
	}
	s.peaks, s.rough = peaks, p
	for n := len(peaks); ; n++ {
		sh := shape{coil: powerLawCoil{}, resonances: resonances{count: n}}
		a := s.fit(s.coarse, sh, rename(v, s.count(), n), brief)
		v = rename(a.values, n, s.count())
		if n == s.count() {
			s.rough.k, s.rough.n = max(v["k"], 1e-12), v["n"]
			return v, nil
		}
		a.model.impedance(a.X, false)
		low, high := s.grid.hz[peaks[0].at], s.grid.hz[peaks[len(peaks)-1].at]
		add, found := s.coarse.strongest(a.model.z, low/4, 4*high)
		if !found {
			add = section{hz: 1.2 * high, q: 4, r: 0.1 * v["re"]}
		}
		names := resonances{count: s.count()}.names(n)
		v[names[0]], v[names[1]], v[names[2]] = add.hz, add.q, add.r
	}
}

// rename returns values of so many resonances under the names they have among
// others.
func rename(v values, from, to int) values {
	renamed := v.with()
	for i := range min(from, to) {
		old, now := resonances{count: from}.names(i), resonances{count: to}.names(i)
		for j := range old {
			renamed[now[j]] = v[old[j]]
		}
	}
	return renamed
}

// coil fits a shape from each of the starts of its coil to the thinned curve,
// and from the best of those to all of it.
func (s *search) coil(sh shape, v values) *attempt {
	var best *attempt
	for _, start := range sh.coil.starts(s.rough) {
		a := s.fit(s.coarse, sh, v.with(start), brief)
		if best == nil || a.Cost < best.Cost {
			best = a
		}
	}
	return s.fit(s.grid, sh, best.values, fair)
}

// Efforts of a fit: to find a start, to compare models, and to be right.
var (
	brief  = leastsquares.Settings{Iterations: 25, Gain: 1e-3, Longest: longest}
	fair   = leastsquares.Settings{Iterations: 60, Gain: 1e-6, Longest: longest}
	utmost = leastsquares.Settings{Iterations: 600, Gain: 1e-14, Longest: longest}
)

const longest = 2 // in logarithms: a factor of seven

// fit fits a shape to a grid from the values. One with more parameters than
// there are residuals is left as it is, infinitely bad.
func (s *search) fit(g *grid, sh shape, v values, effort leastsquares.Settings) *attempt {
	m := newModel(g, s.scale,
		resistance{s.opts.Re}, sh.coil, sh.resonances, resonances{count: sh.bumps, bumps: true})
	a := &attempt{shape: sh, model: m, criterion: math.Inf(1)}
	a.X, a.Cost = m.start(v), math.Inf(1)
	if rows, columns := m.size(); rows > columns {
		low, high := m.bounds()
		p := leastsquares.Problem{Size: rows, Residuals: m.residuals, Jacobian: m.jacobian, Lower: low, Upper: high}
		a.Minimum = leastsquares.Minimize(p, a.X, effort)
		a.criterion = s.criterion(a)
	}
	a.values = m.values(a.X)
	return a
}

// criterion returns Schwarz's or Akaike's criterion of a fit. If the noise is
// not known, its size is one parameter more. Deviations below 1e-9 count as
// none: there all models are equal but for their size.
func (s *search) criterion(a *attempt) float64 {
	rows, columns := a.model.size()
	n, k := float64(rows), float64(columns)
	misfit := a.Cost
	if !s.opts.Noise.Known {
		const exact = 1e-9
		floor := n * exact * exact / (s.opts.Noise.Magnitude * s.opts.Noise.Magnitude)
		misfit = n * math.Log((a.Cost+floor)/n)
		k++
	}
	if s.opts.Criterion == AICc {
		if n <= k+1 {
			return math.Inf(1)
		}
		return misfit + 2*k + 2*k*(k+1)/(n-k-1)
	}
	return misfit + k*math.Log(n)
}

func (s *search) choose() {
	s.best = nil
	for _, a := range s.attempts {
		if s.best == nil || a.criterion < s.best.criterion {
			s.best = a
		}
	}
}

// again fits every voice coil with the bumps that the best one has.
func (s *search) again() {
	for i, a := range s.attempts {
		if a.shape.coil == s.best.shape.coil {
			s.attempts[i] = s.best
			continue
		}
		sh := a.shape
		sh.bumps, sh.resonances = s.best.shape.bumps, s.best.shape.resonances
		s.attempts[i] = s.fit(s.grid, sh, s.best.values.with(a.values), fair)
	}
}

// finish puts like parts in order and returns the covariance.
func (s *search) finish() *covariance {
	a := s.fit(s.grid, s.best.shape, s.best.values, utmost)
	a.values = a.shape.arrange(a.values)
	a.X = a.model.start(a.values)
	s.best = a
	return newCovariance(a, s.opts.Noise)
}

// residual returns the relative deviations of the complex impedance.
func (a *attempt) residual() (rms float64, deviations []float64) {
	a.model.impedance(a.X, false)
	for i, z := range a.model.z {
		deviations = append(deviations, math.Sqrt(norm(z-a.model.grid.z[i])/norm(a.model.grid.z[i])))
	}
	return floats.Norm(deviations, 2) / math.Sqrt(float64(len(deviations))), deviations
}
