package chain

import (
	"math"
	"math/cmplx"
	"slices"
)

// RunRefined computes the setup at the frequencies hz and at as many more as it
// takes to resolve every extremum of what the amplifiers see and of what the
// parts bear, of which hz shows at least a flank. The result's Hz holds them
// all.
func (s Setup) RunRefined(hz []float64) (*Result, error) {
	const (
		rounds = 14   // each halves the distance of the points
		most   = 20e3 // points
		change = 2e-3 // relative, of an extremum, that is not worth another round
	)
	r, err := s.Run(hz)
	if err != nil {
		return nil, err
	}
	for range rounds {
		more := r.unresolved(change)
		if len(more) == 0 || len(r.Hz)+len(more) > most {
			break
		}
		finer := slices.Concat(r.Hz, more)
		slices.Sort(finer)
		if r, err = s.Run(slices.Compact(finer)); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// unresolved returns frequencies halfway to the neighbours of every extremum
// that differs from one of them by more than a share.
func (r *Result) unresolved(share float64) []float64 {
	var more []float64
	add := func(y []float64) {
		for i := 1; i+1 < len(y); i++ {
			a, b, c := y[i-1], y[i], y[i+1]
			extreme := b > a && b >= c || b < a && b <= c
			if extreme && max(math.Abs(a-b), math.Abs(c-b)) > share*b {
				more = append(more, math.Sqrt(r.Hz[i-1]*r.Hz[i]), math.Sqrt(r.Hz[i]*r.Hz[i+1]))
			}
		}
	}
	for _, link := range r.Links {
		seen := make([]float64, len(link.Seen))
		for i, z := range link.Seen {
			seen[i] = cmplx.Abs(z)
		}
		add(seen)
		for _, p := range link.Parts {
			add(p.Power)
			add(p.Current)
			add(p.Voltage)
		}
	}
	return more
}
