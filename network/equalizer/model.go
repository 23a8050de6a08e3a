package equalizer

import (
	"cmp"
	"math"
	"slices"
)

// A model is a set of bands with its level, in the form that is refined. Its
// shelves are high ones until they are named.
type model struct {
	kinds []Kind
	x     []float64 // level; then ln Hz, gain in dB and ln Q of each band
	cost  float64   // weighted mean square of what is left, dB²
}

func (m model) band(i int) Band {
	x := m.x[1+3*i:]
	return Band{m.kinds[i], math.Exp(x[0]), x[1], math.Exp(x[2])}
}

func (m model) with(b Band) model {
	return model{
		kinds: append(slices.Clone(m.kinds), b.Kind),
		x:     append(slices.Clone(m.x), math.Log(b.Hz), b.Gain, math.Log(b.Q)),
	}
}

func (m model) without(i int) model {
	return model{
		kinds: slices.Delete(slices.Clone(m.kinds), i, i+1),
		x:     slices.Delete(slices.Clone(m.x), 1+3*i, 4+3*i),
	}
}

func (m model) count(kind Kind) int {
	n := 0
	for _, k := range m.kinds {
		if k == kind {
			n++
		}
	}
	return n
}

// named returns the bands in order of frequency and settles which shelves are
// low ones: of two the lower, of one whichever needs less level. It returns the
// level that goes with them.
func (m model) named() (bands []Band, level float64) {
	bands, level = make([]Band, len(m.kinds)), m.x[0]
	for i := range bands {
		bands[i] = m.band(i)
	}
	slices.SortFunc(bands, func(a, b Band) int { return cmp.Compare(a.Hz, b.Hz) })
	if i := slices.IndexFunc(bands, func(b Band) bool { return b.Kind == HighShelf }); i >= 0 {
		b := &bands[i]
		if m.count(HighShelf) == 2 || math.Abs(level+b.Gain) < math.Abs(level) {
			b.Kind, b.Gain, level = LowShelf, -b.Gain, level+b.Gain
		}
	}
	return bands, level
}

// A limit for bands that are still being chosen, and for those that stay.
var (
	rough = limit{evaluations: 25, decrease: 0.01}
	fine  = limit{evaluations: 400, decrease: 1e-9}
)

// refine moves the parameters of m to a minimum nearby.
func (f *Fitter) refine(m model, until limit) model {
	o, n := f.options, len(f.points)
	lower, upper := []float64{math.Inf(-1)}, []float64{math.Inf(1)}
	for _, kind := range m.kinds {
		minQ, maxQ := o.MinQ, o.MaxQ
		if kind != Peak {
			minQ, maxQ = minShelfQ, maxShelfQ
		}
		lower = append(lower, math.Log(o.Range.From), -o.MaxGain, math.Log(minQ))
		upper = append(upper, math.Log(o.Range.To), o.MaxGain, math.Log(maxQ))
	}
	m.x = slices.Clone(m.x)
	m.cost = f.solver.minimize(func(x, r, jac []float64) { f.residuals(m.kinds, x, r, jac) }, m.x, lower, upper, n, until)
	return m
}

// residuals fills r with the weighted differences between the bands and the
// target, and jac with their derivatives.
func (f *Fitter) residuals(kinds []Kind, x, r, jac []float64) {
	n := len(f.points)
	for j, p := range f.points {
		r[j], jac[j] = 1, p.root
	}
	for i, kind := range kinds {
		x, jac := x[1+3*i:], jac[(1+3*i)*n:]
		hz := math.Exp(x[0])
		shape := newCurve(kind, x[1], math.Exp(x[2]))
		warped, shift := warp(hz, f.options.SampleRate), warpSlope(hz, f.options.SampleRate)
		for j, p := range f.points {
			ratio := p.warped / warped
			power, d := shape.at(ratio * ratio)
			r[j] *= power // one logarithm for all bands
			jac[j] = -p.root * d.ratio * shift
			jac[n+j] = p.root * d.gain
			jac[2*n+j] = p.root * d.q
		}
	}
	for j, p := range f.points {
		r[j] = p.root * (x[0] + bel*math.Log(r[j]) - f.target[j])
	}
}

// warpSlope returns the derivative of ln warp(hz) by ln hz.
func warpSlope(hz, rate float64) float64 {
	angle := 2 * math.Pi * hz / rate
	if angle == 0 {
		return 1
	}
	return angle / math.Sin(angle)
}
