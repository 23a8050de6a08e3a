package tolerance

import (
	"errors"
	"fmt"
	"math"

	"loadscape/network"
)

// A worker computes builds of a model, in one goroutine.
type worker struct {
	*model
	solvers []*network.Solver
	sampler *sampler
	factors []float64 // of each part
	z       []complex128
	last    []complex128 // impedance at the port of a link after the first
	h       []complex128

	magnitude []float64 // dB, impedance over that of the nominal build
	deviation []float64 // dB
	largest   float64   // dB, the deviation of largest magnitude in the band
	largestAt int
	rms       float64 // dB
}

func (m *model) newWorker() *worker {
	n := len(m.hz)
	w := &worker{
		model: m, sampler: newSampler(m.Options), factors: make([]float64, len(m.parts)),
		z: make([]complex128, n), magnitude: make([]float64, n),
	}
	w.deviation = w.magnitude
	if m.level != nil {
		w.last, w.h, w.deviation = make([]complex128, n), make([]complex128, n), make([]float64, n)
	}
	for _, l := range m.links {
		w.solvers = append(w.solvers, l.plan.NewSolver())
	}
	return w
}

// nominally sets every part to its nominal value.
func (w *worker) nominally() {
	for i := range w.factors {
		w.factors[i] = 1
	}
}

// build computes the build of the worker's factors. It reports whether the
// circuit was nearly singular.
func (w *worker) build() (near bool, err error) {
	if near, err = w.solve(); err != nil {
		return near, err
	}
	for i, z := range w.z {
		w.magnitude[i] = 10 * math.Log10(norm(z)/w.nominal[i])
	}
	if w.level != nil {
		w.matchLevels()
	}
	if err := w.checkFinite(); err != nil {
		return near, err
	}
	w.largest, w.largestAt, w.rms = w.sum(w.deviation)
	return near, nil
}

// solve computes impedance and response.
func (w *worker) solve() (near bool, err error) {
	for i, p := range w.parts {
		if err := w.solvers[p.link].SetBranch(p.branch, p.scaled(w.factors[i])); err != nil {
			return false, err
		}
	}
	for i := range w.h {
		w.h[i] = 1
	}
	for i := range w.links {
		err := w.follow(i)
		var soft *network.Condition
		if errors.As(err, &soft) {
			near, err = true, nil
		}
		if err != nil {
			return near, err
		}
	}
	return near, nil
}

// follow computes link i: the impedance at its port and, for a setup, the
// terminal voltage over the EMF.
func (w *worker) follow(i int) (err error) {
	l, s, z := w.links[i], w.solvers[i], w.z
	if i > 0 {
		z = w.last
	}
	terminal := z // voltage at the load for one ampere into the port
	if l.direct {
		var got []complex128
		if got, err = s.Impedance(z, w.hz); got == nil {
			return err
		}
	} else {
		var sol *network.Solution
		if sol, err = s.Solve(w.hz); sol == nil {
			return err
		}
		copy(z, sol.Impedance())
		terminal = sol.Voltage(l.load)
	}
	for k := range w.h {
		w.h[k] *= terminal[k] / (l.source[k] + z[k])
	}
	return err
}

// matchLevels sets the deviation of a tone, equally loud as the nominal one.
func (w *worker) matchLevels() {
	power := 0.0
	for i, h := range w.h {
		ratio := norm(h) / w.response[i]
		power += w.level[i] * ratio
		w.deviation[i] = 10 * math.Log10(ratio)
	}
	offset := 10 * math.Log10(power)
	for i := range w.deviation {
		w.deviation[i] -= offset
	}
}

// checkFinite reports a build that shorts or opens something altogether.
func (w *worker) checkFinite() error {
	for i, d := range w.deviation {
		if x := d + w.magnitude[i]; math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("tolerance: a build is off by %g dB at %.6g Hz: expected a finite impedance and response other than zero", d, w.hz[i])
		}
	}
	return nil
}

// sum sums a deviation up: the largest in the band with its sign, where that
// is, and the RMS.
func (m *model) sum(deviation []float64) (largest float64, at int, rms float64) {
	mean := 0.0
	for i, d := range deviation {
		mean += m.erb[i] * d * d
		if m.inBand[i] && math.Abs(d) > math.Abs(largest) {
			largest, at = d, i
		}
	}
	return largest, at, math.Sqrt(mean)
}

// judged returns the number by which the build is judged, in dB.
func (w *worker) judged() float64 {
	if w.Criterion == RMS {
		return w.rms
	}
	return math.Abs(w.largest)
}
