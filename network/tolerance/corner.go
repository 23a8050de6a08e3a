package tolerance

import (
	"context"
	"fmt"
	"slices"
	"sync"
)

// step is the relative change of a part by which its derivative is taken. The
// error of the central difference goes with its square; rounding stays under
// 1e-10 dB.
const step = 1e-4

// sensitivities returns, for each part, the first-order deviation in dB at
// each frequency when it is at the upper end of its tolerance.
func (m *model) sensitivities(ctx context.Context) ([][]float64, error) {
	curves := make([][]float64, len(m.parts))
	err := m.each(ctx, len(m.parts), nil, func(w *worker, i int) error {
		w.nominally()
		w.factors[i] = 1 + step
		if _, err := w.build(); err != nil {
			return err
		}
		curve := slices.Clone(w.deviation)
		w.factors[i] = 1 - step
		if _, err := w.build(); err != nil {
			return err
		}
		for k, d := range w.deviation {
			curve[k] = (curve[k] - d) / (2 * step) * m.parts[i].tolerance
		}
		curves[i] = curve
		return nil
	})
	return curves, err
}

// allCorners is the number of parts up to which every corner is built.
const allCorners = 10

// corner returns the worst corner of the tolerance box, and whether every
// corner was looked at.
func (m *model) corner(ctx context.Context, curves [][]float64) (worst Build, all bool, err error) {
	corners, all := m.corners(curves)
	var lock sync.Mutex
	at, most := 0, -1.0
	set := func(w *worker, i int) {
		for k, p := range m.parts {
			w.factors[k] = 1 - p.tolerance
			if corners[i][k] {
				w.factors[k] = 1 + p.tolerance
			}
		}
	}
	err = m.each(ctx, len(corners), nil, func(w *worker, i int) error {
		set(w, i)
		if _, err := w.build(); err != nil {
			return err
		}
		lock.Lock()
		defer lock.Unlock()
		if j := w.judged(); j > most || j == most && i < at {
			at, most = i, j
		}
		return nil
	})
	if err != nil {
		return Build{}, all, err
	}
	w := m.newWorker()
	set(w, at)
	worst, err = w.describe()
	return worst, all, err
}

// corners lists corners, true for the upper end of a part's tolerance: all of
// them, or of many parts those at which the first order is highest and lowest
// at some frequency, and those of all parts at one end.
func (m *model) corners(curves [][]float64) (list [][]bool, all bool) {
	n := len(m.parts)
	if n <= allCorners {
		for i := range 1 << n {
			corner := make([]bool, n)
			for k := range corner {
				corner[k] = i>>k&1 == 1
			}
			list = append(list, corner)
		}
		return list, true
	}
	low, high := make([]bool, n), slices.Repeat([]bool{true}, n) // a batch that is all off one way
	list = append(list, low, high)
	seen := map[string]bool{}
	for f := range m.hz {
		for _, up := range []bool{true, false} {
			corner := make([]bool, n)
			for k := range corner {
				corner[k] = (curves[k][f] > 0) == up
			}
			if key := fmt.Sprint(corner); m.inBand[f] && !seen[key] {
				seen[key] = true
				list = append(list, corner)
			}
		}
	}
	return list, false
}
