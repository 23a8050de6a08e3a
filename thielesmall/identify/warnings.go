package identify

import (
	"fmt"
	"math"

	"loadscape/network/measured"
)

// A WarningKind tells what a [Warning] is about.
type WarningKind uint8

// The kinds of warning.
const (
	Misfit       WarningKind = iota + 1 // the model does not follow the curve
	Undetermined                        // the curve does not tell a value
	Correlated                          // it does not tell two of them apart
	Range                               // it does not go far enough
	Doubtful                            // the measurement itself
	Differing                           // two methods disagree
)

// String returns the kind in lower case.
func (k WarningKind) String() string {
	names := [...]string{Misfit: "misfit", Undetermined: "undetermined", Correlated: "correlated", Range: "range", Doubtful: "doubtful", Differing: "differing"}
	if int(k) < len(names) && k > 0 {
		return names[k]
	}
	return fmt.Sprintf("WarningKind(%d)", uint8(k))
}

// A Warning tells of a usable but doubtful result.
type Warning struct {
	Kind WarningKind
	Of   string // the parameter, or empty
	Says string
}

// String returns what the warning says.
func (w Warning) String() string { return w.Says }

type warnings []Warning

func (w *warnings) add(kind WarningKind, of, format string, args ...any) {
	*w = append(*w, Warning{kind, of, fmt.Sprintf(format, args...)})
}

func (s *search) warnings(t *measured.Table, r *Result, c *covariance) []Warning {
	var w warnings
	w.measurement(t)
	w.coverage(s)
	if !s.best.Converged {
		w.add(Misfit, "", "the fit did not settle in %d iterations", s.best.Iterations)
	}
	w.residual(r.Residual, c.lag)
	for _, p := range r.Parameters {
		if p.Pinned {
			w.add(Undetermined, p.Name, "%s is at the end of its range, %.3g %s: the curve does not determine it", p.Name, p.Value, p.Unit)
		} else if p.Error > 0.5*math.Abs(p.Value) {
			w.add(Undetermined, p.Name, "%s is known to no better than %.0f %%", p.Name, 100*p.Error/math.Abs(p.Value))
		}
	}
	for _, k := range r.Correlations {
		w.add(Correlated, k.A, "%s and %s can hardly be told apart (correlation %.3f)", k.A, k.B, k.Value)
	}
	w.threePoint(r)
	return w
}

// residual tells what the model cannot follow from noise: that differs from row
// to row.
func (w *warnings) residual(r Residual, lag float64) {
	const akin = 0.5
	switch {
	case lag > akin && r.RMS > 0.02:
		w.add(Misfit, "", "the model is off by %.1f %% RMS, most at %.4g Hz: try more resonances or another voice coil", 100*r.RMS, r.WorstHz)
	case r.RMS > 0.05:
		w.add(Doubtful, "", "the measurement has noise of %.1f %% RMS, most at %.4g Hz", 100*r.RMS, r.WorstHz)
	}
	if lag > akin && r.RMS > 1e-6 {
		w.add(Misfit, "", "the residual is not noise but what the model cannot follow (neighbouring rows correlate by %.2f): standard errors are too small", lag)
	}
}

func (w *warnings) measurement(t *measured.Table) {
	if a := t.Active(); len(a) > 0 {
		w.add(Doubtful, "", "the resistance is negative at %d frequencies, first at %.4g Hz: no loudspeaker has that, see the wiring and the reference resistor", len(a), a[0].Hz)
	}
	if t.PhaseDerived {
		w.add(Doubtful, "", "the phase was not measured: the magnitude alone was fitted")
	}
}

// coverage warns of a curve that ends near a resonance, or before the voice
// coil shows.
func (w *warnings) coverage(s *search) {
	first, last := s.grid.hz[s.peaks[0].at], s.grid.hz[s.peaks[len(s.peaks)-1].at]
	from, to := s.grid.hz[0], s.grid.hz[len(s.grid.hz)-1]
	if from > first/2 {
		w.add(Range, "", "the curve begins at %.4g Hz: measure from under half of the resonance at %.4g Hz to know re, Q and creep well", from, first)
	}
	if to < 20*last {
		w.add(Range, "", "the curve ends at %.4g Hz: measure up to 20 times the resonance at %.4g Hz to know the voice coil well", to, last)
	}
}

// threePoint compares the two methods where both apply.
func (w *warnings) threePoint(r *Result) {
	p := r.ThreePoint
	switch {
	case p == nil:
		w.add(Range, "", "the curve does not fall to re·√r0 on both sides of its peak: no three-point values")
	case len(r.Resonances) == 1 && math.Abs(p.Qts/r.Resonances[0].Qts.Value-1) > 0.1:
		w.add(Differing, "qts", "three points of the curve give qts %.3f, the fit gives %.3f", p.Qts, r.Resonances[0].Qts.Value)
	}
}
