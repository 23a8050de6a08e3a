package design

import (
	"cmp"
	"math"
	"slices"
)

// prefer returns f with preferred values where the options ask for them, never
// worse than f with each value rounded to the nearest.
func (f fitted) prefer(o Options) fitted {
	free := make([]bool, len(f.x))
	some := false
	for i, k := range f.kinds {
		free[i] = o.series(k) == nil
		some = some || !free[i]
	}
	if !some {
		return f
	}
	s := shopper{f.model, o, free, make([]float64, f.size())}
	best := s.exchange(s.round(f))
	for _, c := range s.chosen(f) {
		if c = s.exchange(c); c.score < best.score {
			best = c
		}
	}
	return best
}

// shopper looks for preferred values.
type shopper struct {
	*model
	options Options
	free    []bool // those that any value will do for
	r       []float64
}

// round returns f with each value rounded by itself and the free ones fitted.
func (s shopper) round(f fitted) fitted {
	f.x = slices.Clone(f.x)
	for i := range f.x {
		if !s.free[i] {
			f.x[i] = math.Log(s.options.series(s.kinds[i]).Nearest(math.Exp(f.x[i])))
		}
	}
	f.score = s.fit(f.x, s.free, 50)
	return f
}

// chosen returns sets of preferred values, chosen one after another while
// those not chosen yet are fitted anew.
func (s shopper) chosen(f fitted) []fitted {
	const width = 4
	sets := []fitted{f}
	free := slices.Repeat([]bool{true}, len(f.x))
	for _, kind := range []Kind{Capacitor, Inductor, Resistor} {
		for i, k := range s.kinds {
			if k != kind || s.free[i] {
				continue
			}
			free[i] = false
			var next []fitted
			for _, set := range sets {
				for _, v := range s.near(i, set.x[i], 2) {
					x := slices.Clone(set.x)
					x[i] = v
					next = append(next, fitted{s.model, x, s.fit(x, free, 6)})
				}
			}
			slices.SortStableFunc(next, func(a, b fitted) int { return cmp.Compare(a.score, b.score) })
			sets = next[:min(width, len(next))]
		}
	}
	for i := range sets {
		sets[i].score = s.fit(sets[i].x, s.free, 50)
	}
	return sets
}

// near returns the logarithms of the n values of the series on either side of
// x, x itself if it is one.
func (s shopper) near(i int, x float64, n int) []float64 {
	series := s.options.series(s.kinds[i])
	var found []float64
	add := func(v float64) {
		if l := math.Log(v); l >= s.lower[i] && l <= s.upper[i] && !slices.Contains(found, l) {
			found = append(found, l)
		}
	}
	const past = 1e-6
	down, up := math.Exp(x), math.Exp(x)
	for range n {
		b, a := series.Below(down), series.Above(up)
		add(b)
		add(a)
		down, up = b*(1-past), a*(1+past)
	}
	return found
}

// exchange changes preferred values singly and in pairs by a step of their
// series for as long as that brings something.
func (s shopper) exchange(f fitted) fitted {
	f.x = slices.Clone(f.x)
	for improved := true; improved; {
		improved = false
		for i := range f.x {
			for j := i; j < len(f.x); j++ {
				if !s.free[i] && !s.free[j] && s.exchangePair(&f, i, j) {
					improved = true
				}
			}
		}
		before := f.score
		if f.score = s.fit(f.x, s.free, 20); f.score < before*(1-1e-6) {
			improved = true
		}
	}
	return f
}

// exchangePair takes the best of the neighbours of the values i and j, which
// may be one.
func (s shopper) exchangePair(f *fitted, i, j int) bool {
	x := slices.Clone(f.x)
	improved := false
	others := []float64{f.x[j]}
	if i != j {
		others = s.near(j, f.x[j], 2)
	}
	for _, a := range s.near(i, f.x[i], 2) {
		for _, b := range others {
			x[j] = b
			x[i] = a
			if score := s.score(x, s.r); score < f.score*(1-1e-9) {
				f.x, f.score, improved = slices.Clone(x), score, true
			}
		}
	}
	return improved
}
