package design

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"loadscape/network/rational"
)

// fitted is a network with its parameters.
type fitted struct {
	*model
	x     []float64
	score float64
}

// exact is a score with which no further part can bring anything.
const exact = 1e-6

// front returns the networks up to the allowed number of parts that are better
// than every smaller one, in order of parts.
func (p *problem) front(o Options) []fitted {
	g := grower{p, o, map[Topology]fitted{}, p.resonances()}
	g.known[Topology{Shunt: o.Shunt}] = g.resistor()
	best := []fitted{g.known[Topology{Shunt: o.Shunt}]}
	for parts := best[0].topology.Parts() + 1; parts <= o.MaxParts; parts++ {
		if best[len(best)-1].score < exact {
			break
		}
		winner := fitted{score: math.Inf(1)}
		for _, t := range topologies(parts, o.Shunt) {
			f := g.grow(t)
			g.known[t] = f
			if f.score < winner.score {
				winner = f
			}
		}
		if winner.score < best[len(best)-1].score*(1-1e-6) {
			best = append(best, winner)
		}
	}
	return best
}

// mostResonances is the largest number of sections and tanks.
const mostResonances = 3

// topologies returns those with so many parts.
func topologies(parts int, shunt float64) []Topology {
	var all []Topology
	for sections := range parts {
		for tanks := range parts {
			for rungs := range parts {
				for _, inductor := range []bool{false, true} {
					if t := (Topology{sections, tanks, rungs, inductor, shunt}); t.Parts() == parts && sections+tanks <= mostResonances {
						all = append(all, t)
					}
				}
			}
		}
	}
	return all
}

// grower grows networks out of smaller ones.
type grower struct {
	*problem
	options    Options
	known      map[Topology]fitted
	resonances []rational.Section
}

// resistor returns the network of the series resistor alone.
func (g *grower) resistor() fitted {
	least := math.Inf(1)
	for _, z := range g.Z {
		least = math.Min(least, cmplx.Abs(z))
	}
	m := g.model(Topology{Shunt: g.options.Shunt}, g.options)
	f := fitted{model: m, x: []float64{math.Log(least)}}
	f.score = m.fit(f.x, nil, 50)
	return f
}

// grow returns the best fit found for t, out of networks with one group less.
func (g *grower) grow(t Topology) fitted {
	const rough, fine, kept = 8, 200, 2
	m := g.model(t, g.options)
	var starts []fitted
	for _, x := range g.starts(t) {
		for i := range x {
			x[i] = math.Max(m.lower[i], math.Min(m.upper[i], x[i]))
		}
		starts = append(starts, fitted{m, x, m.fit(x, nil, rough)})
	}
	slices.SortStableFunc(starts, func(a, b fitted) int { return cmp.Compare(a.score, b.score) })
	best := fitted{score: math.Inf(1)}
	for _, f := range starts[:min(kept, len(starts))] {
		if f.score = m.fit(f.x, nil, fine); f.score < best.score {
			best = f
		}
	}
	return best
}

// starts returns parameters for t, each a known smaller network and a new group.
func (g *grower) starts(t Topology) [][]float64 {
	var all [][]float64
	sections := 1 + 3*t.Sections
	tanks := sections + 2*t.Tanks
	smaller := func(change func(*Topology)) (fitted, bool) {
		s := t
		change(&s)
		f, ok := g.known[s]
		return f, ok
	}
	if f, ok := smaller(func(s *Topology) { s.Sections-- }); ok {
		for _, group := range g.sections(f) {
			all = append(all, slices.Insert(slices.Clone(f.x), sections-3, group...))
		}
	}
	if f, ok := smaller(func(s *Topology) { s.Tanks-- }); ok {
		for _, group := range g.sections(f) {
			all = append(all, slices.Insert(slices.Clone(f.x), tanks-2, group[1:]...))
		}
	}
	if f, ok := smaller(func(s *Topology) { s.Rungs-- }); ok {
		for _, group := range g.rungs(f) {
			all = append(all, slices.Insert(slices.Clone(f.x), tanks+2*(t.Rungs-1), group...))
		}
	}
	if t.Inductor {
		if f, ok := smaller(func(s *Topology) { s.Inductor = false }); ok {
			top := len(g.w) - 1
			l := math.Max(1e-6, imag(g.missing(f)[top])/g.w[top])
			all = append(all, append(slices.Clone(f.x), math.Log(l)), append(slices.Clone(f.x), math.Log(l/5)))
		}
	}
	return all
}

// missing returns what f lacks of the target.
func (g *grower) missing(f fitted) []complex128 {
	f.set(f.x)
	z := make([]complex128, len(g.w))
	for i, w := range g.w {
		z[i] = g.Z[i] - f.topology.impedance(w, f.values, f.dcr)
	}
	return z
}

// spread returns indices of frequencies across the band, and that at which
// most is missing.
func spread(missing []complex128, n int) []int {
	last, most := len(missing)-1, 0
	var at []int
	for i := range n {
		at = append(at, i*last/(n-1))
	}
	for i := range missing {
		if cmplx.Abs(missing[i]) > cmplx.Abs(missing[most]) {
			most = i
		}
	}
	return append(at, most)
}

// sections returns parameters of a section to add to f: where vector fitting
// sees a resonance, and across the band.
func (g *grower) sections(f fitted) [][]float64 {
	var groups [][]float64
	add := func(w, q, r float64) {
		groups = append(groups, []float64{math.Log(r), math.Log(r / (w * q)), math.Log(q / (w * r))})
	}
	for _, s := range g.resonances {
		add(2*math.Pi*s.Hz, s.Q, s.R)
	}
	missing := g.missing(f)
	for _, i := range spread(missing, 7) {
		r := math.Max(cmplx.Abs(missing[i]), 0.05*cmplx.Abs(g.Z[i]))
		add(g.w[i], 1, r)
		add(g.w[i], 4, r)
	}
	return groups
}

// rungs returns parameters of a rung to add to f.
func (g *grower) rungs(f fitted) [][]float64 {
	var groups [][]float64
	missing := g.missing(f)
	for _, i := range spread(missing, 6) {
		r := math.Max(cmplx.Abs(missing[i]), 0.1*cmplx.Abs(g.Z[i]))
		groups = append(groups, []float64{math.Log(r / g.w[i]), math.Log(r)})
	}
	return groups
}

// resonances returns the resonances of the target that vector fitting sees and
// parts can have.
func (p *problem) resonances() []rational.Section {
	weights := make([]float64, len(p.Z))
	for i, z := range p.Z {
		weights[i] = 1 / cmplx.Abs(z)
	}
	var found []rational.Section
	for _, order := range []int{4, 6} {
		r, err := rational.Fit(p.w, p.Z, rational.Options{Order: order, Weights: weights, Proportional: true})
		if err != nil {
			continue // a start less; the band is searched anyway
		}
		for _, s := range r.Sections() {
			if s.R > 0 && s.Q > 0.3 && s.Hz > p.Hz[0]/4 && s.Hz < p.Hz[len(p.Hz)-1]*2 {
				found = append(found, s)
			}
		}
	}
	return found
}
