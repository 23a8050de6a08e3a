package identify

import (
	"math"
	"slices"
)

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
		a.model.impedance(a.X, false)
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

// simplify takes away what the criterion was for on the way but is not in the
// end.
func (s *search) simplify(a *attempt) *attempt {
	for {
		best := a
		for _, simpler := range s.simpler(a) {
			if b := s.fit(s.grid, simpler.shape, simpler.values, fair); b.criterion <= best.criterion {
				best = b
			}
		}
		if best == a {
			return a
		}
		a = best
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
