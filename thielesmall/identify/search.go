package identify

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// An attempt is a model and where its fit ended.
type attempt struct {
	shape  shape
	model  *model
	values values
	minimum
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
	if skewed, bumped := s.addSkew(), s.addBumps(); skewed || bumped {
		s.again()
	}
	for i, a := range s.attempts {
		s.attempts[i] = s.reduce(a)
	}
	s.choose()
	s.simplify()
	return nil
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
		// Until all are there, the missing ones are at the bounds of nothing.
		sh := shape{coil: powerLawCoil{}, resonances: resonances{count: n}}
		a := s.fit(s.coarse, sh, rename(v, s.count(), n), brief)
		v = rename(a.values, n, s.count())
		if n == s.count() {
			s.rough.k, s.rough.n = max(v["k"], 1e-12), v["n"]
			return v, nil
		}
		a.model.impedance(a.x, false)
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
		if best == nil || a.cost < best.cost {
			best = a
		}
	}
	return s.fit(s.grid, sh, best.values, fair)
}

// Efforts of a fit: to find a start, to compare models, and to be right.
var (
	brief  = effort{25, 1e-3}
	fair   = effort{60, 1e-6}
	utmost = effort{600, 1e-14}
)

func (s *search) fit(g *grid, sh shape, v values, e effort) *attempt {
	m := newModel(g, s.scale,
		resistance{s.opts.Re}, sh.coil, sh.resonances, resonances{count: sh.bumps, bumps: true})
	low, high := m.bounds()
	a := &attempt{shape: sh, model: m, minimum: minimise(m, m.start(v), low, high, e)}
	a.values = m.values(a.x)
	a.criterion = s.criterion(a)
	return a
}

// criterion returns Schwarz's or Akaike's criterion of a fit. If the noise is
// not known, its size is one parameter more. Deviations below 1e-9 count as
// none: there all models are equal but for their size.
func (s *search) criterion(a *attempt) float64 {
	rows, columns := a.model.size()
	n, k := float64(rows), float64(columns)
	misfit := a.cost
	if !s.opts.Noise.Known {
		const exact = 1e-9
		floor := n * exact * exact / (s.opts.Noise.Magnitude * s.opts.Noise.Magnitude)
		misfit = n * math.Log((a.cost+floor)/n)
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

// reduce leaves out parts of the coil for as long as the criterion is for it.
func (s *search) reduce(a *attempt) *attempt {
	for {
		best := a
		doubtful := s.doubtful(a)
		for _, c := range a.shape.coil.without() {
			if !subset(missing(a.shape.coil, c, s.scale), doubtful) {
				continue
			}
			sh := a.shape
			sh.coil = c
			if b := s.fit(s.grid, sh, a.values, fair); b.criterion <= best.criterion {
				best = b
			}
		}
		if best == a {
			return a
		}
		a = best
	}
}

// doubtful returns the names of the parameters that are at a bound, badly known
// or of little effect on the curve: only those are worth trying without.
func (s *search) doubtful(a *attempt) []string {
	const badly, little = 0.3, 0.02
	c := newCovariance(a, s.opts.Noise)
	var names []string
	for j, p := range a.model.parameters {
		if c.pinned[j] || c.deviation(j) > badly || c.effect[j]*s.opts.Noise.Magnitude < little {
			names = append(names, p.name)
		}
	}
	return names
}

// missing returns the names of the parameters of c that less has not.
func missing(c, less coil, sc scale) []string {
	var names []string
	kept := less.parameters(sc)
	for _, p := range c.parameters(sc) {
		if !slices.Contains(kept, p) {
			names = append(names, p.name)
		}
	}
	return names
}

func subset(names, of []string) bool {
	return !slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(of, n) })
}

func (s *search) choose() {
	s.best = nil
	for _, a := range s.attempts {
		if s.best == nil || a.criterion < s.best.criterion {
			s.best = a
		}
	}
}

// addSkew lets several resonances be skew, if they are more than that by
// chance: those of one cabinet are not ideal parallel sections.
func (s *search) addSkew() bool {
	a := s.best
	if a.shape.resonances.count == 1 || s.opts.Skew == Never {
		return false
	}
	sh := a.shape
	sh.resonances.skew = true
	start := values{}
	for i := range sh.resonances.count {
		start[skewName(i)] = 0
	}
	b := s.fit(s.grid, sh, a.values.with(start), fair)
	if s.opts.Skew == Judge && b.criterion > a.criterion-strong {
		return false
	}
	s.best = b
	return true
}

// strong evidence is a difference of ten of the criterion (Kass and Raftery,
// J. Am. Statist. Assoc. 90 (1995) 773).
const strong = 10

// addBumps adds to the best model what the residual shows above the
// resonances.
func (s *search) addBumps() bool {
	added := false
	for range s.opts.Bumps {
		a := s.best
		a.model.impedance(a.x, false)
		low := 2.5 * s.grid.hz[s.peaks[len(s.peaks)-1].at]
		bump, found := s.grid.strongest(a.model.z, low, math.Inf(1))
		if !found {
			break
		}
		sh := a.shape
		sh.bumps++
		names := resonances{count: sh.bumps, bumps: true}.names(sh.bumps - 1)
		b := s.fit(s.grid, sh, a.values.with(values{names[0]: bump.hz, names[1]: bump.q, names[2]: bump.r}), fair)
		if b.criterion > a.criterion-strong || !b.plausibleBump(names, low) {
			break
		}
		s.best, added = b, true
	}
	return added
}

// plausibleBump reports whether a bump is one: a resonance above the others,
// neither broad enough to stand for a voice coil nor a single row.
func (a *attempt) plausibleBump(names [3]string, low float64) bool {
	hz, q, r := a.values[names[0]], a.values[names[1]], a.values[names[2]]
	return hz > low && hz < a.model.grid.hz[len(a.model.grid.hz)-1] && q > 0.7 && q < 100 && r < 3*a.re()
}

func (a *attempt) re() float64 {
	if re, ok := a.values["re"]; ok {
		return re
	}
	return a.model.blocks[0].(resistance).held
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

// simplify takes away what the criterion was for on the way but is not in the
// end.
func (s *search) simplify() {
	for {
		from := s.best
		for _, simpler := range s.simpler(from) {
			if b := s.fit(s.grid, simpler.shape, simpler.values, fair); b.criterion <= s.best.criterion {
				s.best = b
			}
		}
		if s.best == from {
			return
		}
	}
}

// simpler returns shapes and values that lack one of the parts that are not
// certainly wanted.
func (s *search) simpler(a *attempt) []attempt {
	var all []attempt
	if a.shape.resonances.creep && s.opts.Creep == Judge {
		sh := a.shape
		sh.resonances.creep = false
		all = append(all, attempt{shape: sh, values: a.values})
	}
	if a.shape.resonances.skew && s.opts.Skew == Judge {
		sh := a.shape
		sh.resonances.skew = false
		all = append(all, attempt{shape: sh, values: a.values})
	}
	for i := range a.shape.bumps {
		sh := a.shape
		sh.bumps--
		v := a.values.with()
		bumps := resonances{count: a.shape.bumps, bumps: true}
		for j := i; j < sh.bumps; j++ {
			for n, name := range bumps.names(j) {
				v[name] = v[bumps.names(j + 1)[n]]
			}
		}
		all = append(all, attempt{shape: sh, values: v})
	}
	return all
}

// finish puts like parts in order and returns the covariance.
func (s *search) finish() *covariance {
	a := s.fit(s.grid, s.best.shape, s.best.values, utmost)
	a.values = a.shape.arrange(a.values)
	a.x = a.model.start(a.values)
	s.best = a
	return newCovariance(a, s.opts.Noise)
}

// deviation of the impedance: relative and complex.
func (a *attempt) residual() (rms float64, deviations []float64) {
	a.model.impedance(a.x, false)
	for i, z := range a.model.z {
		deviations = append(deviations, math.Sqrt(norm(z-a.model.grid.z[i])/norm(a.model.grid.z[i])))
	}
	return floats.Norm(deviations, 2) / math.Sqrt(float64(len(deviations))), deviations
}
