package equalizer

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"loadscape/network/hearing"
)

// A Correction is an equalizer that undoes a deviation.
type Correction struct {
	Bands      []Band  // in order of frequency
	Level      float64 // dB, the gain that goes with them
	SampleRate float64 // Hz, for which they were fitted
	Before     float64 // dB, RMS of the deviation in the range on the ERB-rate axis
	After      float64 // dB, the same of what is left
	Largest    float64 // dB, largest magnitude of what is left in the range
}

// DB returns the gain of the whole correction in dB at a frequency in hertz.
func (c Correction) DB(hz float64) float64 {
	db := c.Level
	for _, b := range c.Bands {
		db += b.DB(hz, c.SampleRate)
	}
	return db
}

// Fit returns the bands that undo a deviation in dB at rising frequencies in
// hertz. The deviation outside the range of the options is not looked at.
func Fit(hz, deviation []float64, options Options) (Correction, error) {
	f, err := NewFitter(hz, options)
	if err != nil {
		return Correction{}, err
	}
	return f.Fit(deviation)
}

// A Fitter fits equalizers on one frequency grid. It keeps its workspace
// between calls and must not be used by two goroutines at once.
type Fitter struct {
	options  Options
	size     int // of the caller's grid
	points   []point
	families []family
	solver   leastSquares
	coarse   *Fitter   // on fewer points, where bands are chosen
	target   []float64 // dB at each point
}

// A point is a frequency at which the fit looks.
type point struct {
	index  int     // in the caller's grid
	hz     float64 // of the caller
	warped float64 // Hz
	weight float64 // the sum over all points is 1
	root   float64 // of the weight
}

// NewFitter prepares fits at rising frequencies in hertz.
func NewFitter(hz []float64, options Options) (*Fitter, error) {
	options = options.Defaults()
	if err := options.check(); err != nil {
		return nil, err
	}
	weights, err := hearing.ERBWeights(nil, hz, options.Range)
	if err != nil {
		return nil, err
	}
	f := newFitter(options, weights, hz)
	f.coarse = f.thinned()
	f.coarse.families = f.coarse.dictionary()
	return f, nil
}

func newFitter(options Options, weights, hz []float64) *Fitter {
	f := &Fitter{options: options, size: len(hz)}
	for i, w := range weights {
		if w > 0 && hz[i] < options.SampleRate/2 {
			f.points = append(f.points, point{i, hz[i], warp(hz[i], options.SampleRate), w, math.Sqrt(w)})
		}
	}
	f.target = make([]float64, len(f.points))
	return f
}

// thinned returns a fitter on those points that are a twelfth of an octave
// apart, or half the width of the narrowest peak. A point that goes leaves its
// weight to the one before it.
func (f *Fitter) thinned() *Fitter {
	closest := math.Exp2(math.Min(1.0/12, Band{Q: f.options.MaxQ}.Octaves()/2))
	const rounding = 1e-9
	c := &Fitter{options: f.options, size: f.size}
	for _, p := range f.points {
		if n := len(c.points); n > 0 && p.hz < c.points[n-1].hz*closest*(1-rounding) {
			c.points[n-1].weight += p.weight
			continue
		}
		c.points = append(c.points, p)
	}
	for i := range c.points {
		c.points[i].root = math.Sqrt(c.points[i].weight)
	}
	c.target = make([]float64, len(c.points))
	return c
}

// Fit returns the bands that undo a deviation in dB at the frequencies of the
// fitter.
func (f *Fitter) Fit(deviation []float64) (Correction, error) {
	if len(deviation) != f.size {
		panic("equalizer: deviation and frequencies differ in length")
	}
	if err := f.undo(deviation); err != nil {
		return Correction{}, err
	}
	if err := f.coarse.undo(deviation); err != nil {
		return Correction{}, err
	}
	var before float64
	for j, p := range f.points {
		before += p.weight * f.target[j] * f.target[j]
	}
	m := f.prune(f.search())
	left := f.left(m)
	bands, level := m.named()
	return Correction{
		Bands:      bands,
		Level:      level,
		SampleRate: f.options.SampleRate,
		Before:     math.Sqrt(before),
		After:      math.Sqrt(m.cost),
		Largest:    math.Max(floats.Max(left), -floats.Min(left)),
	}, nil
}

// undo makes a deviation the target.
func (f *Fitter) undo(deviation []float64) error {
	for j, p := range f.points {
		d := deviation[p.index]
		if math.IsNaN(d) || math.IsInf(d, 0) {
			return fmt.Errorf("equalizer: deviation of %g dB at %g Hz: expected a finite number", d, p.hz)
		}
		f.target[j] = -d
	}
	return nil
}

// search returns the best set that is found.
func (f *Fitter) search() model {
	sets := f.coarse.build()
	for i, m := range sets {
		sets[i] = f.refine(m, fine)
	}
	sets = best(sets)
	var most model
	var tried [3]bool
	for i, m := range sets {
		shelves := m.count(HighShelf)
		if tried[shelves] {
			continue
		}
		tried[shelves] = true
		if m = f.exchange(m); i == 0 || m.cost < most.cost {
			most = m
		}
		if spread(f.left(most)) < f.options.Threshold {
			break
		}
	}
	return most
}

// build adds band after band until enough are there or nothing worth a band is
// left, and returns sets in order of cost. A first band that explains most may be the wrong one once the others
// have come, so the best few sets of each number of shelves are carried along.
func (f *Fitter) build() []model {
	sets := []model{f.refine(model{x: []float64{0}}, rough)}
	for range f.options.Bands {
		if spread(f.left(sets[0])) < f.options.Threshold {
			break
		}
		var next []model
		for _, m := range sets {
			next = append(next, f.extensions(m)...)
		}
		if next = best(next); len(next) == 0 || next[0].cost >= sets[0].cost {
			break
		}
		sets = next
	}
	return sets
}

// best returns the sets of least cost, three of each number of shelves and none
// that equals another, in order of cost.
func best(sets []model) []model {
	slices.SortFunc(sets, func(a, b model) int { return cmp.Compare(a.cost, b.cost) })
	var kept []model
	var shelves [3]int
	last := math.Inf(-1)
	for _, m := range sets {
		n := &shelves[m.count(HighShelf)]
		if *n == 3 || m.cost <= last*(1+1e-3) {
			continue
		}
		*n++
		last = m.cost
		kept = append(kept, m)
	}
	return kept
}

// exchange takes out each band in turn and looks for a better one: the first
// bands were chosen when the others were not there yet.
func (f *Fitter) exchange(m model) model {
	const rounds, worthwhile = 3, 0.98
	for range rounds {
		improved := false
		for i := 0; i < len(m.kinds) && spread(f.left(m)) >= f.options.Threshold; i++ {
			for _, other := range best(f.coarse.extensions(m.without(i))) {
				other = f.refine(other, fine)
				if other.cost < worthwhile*m.cost {
					m, improved = other, true
					break
				}
			}
		}
		if !improved {
			break
		}
	}
	return m
}

// prune takes out bands for as long as what is left stays below the threshold.
func (f *Fitter) prune(m model) model {
	for len(m.kinds) > 0 {
		least := 0
		for i := range m.kinds {
			if f.height(m, i) < f.height(m, least) {
				least = i
			}
		}
		fewer := f.refine(m.without(least), fine)
		if spread(f.left(fewer)) >= f.options.Threshold && f.height(m, least) >= f.options.Threshold {
			break
		}
		m = fewer
	}
	return m
}

// extensions returns m with one more band, in several ways.
func (f *Fitter) extensions(m model) []model {
	var more []model
	for _, b := range f.starts(f.left(m)) {
		if b.Kind == Peak || m.count(b.Kind) < 2 { // a shelf for either end
			more = append(more, f.refine(m.with(b), rough))
		}
	}
	return more
}

// left returns what m leaves of the target in dB at each point.
func (f *Fitter) left(m model) []float64 {
	left := slices.Clone(f.target)
	floats.AddConst(-m.x[0], left)
	for i := range m.kinds {
		f.draw(m.band(i), func(j int, db float64) { left[j] -= db })
	}
	return left
}

// height returns the difference in dB between the highest and the lowest value
// of a band at the points.
func (f *Fitter) height(m model, band int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	f.draw(m.band(band), func(_ int, db float64) { low, high = math.Min(low, db), math.Max(high, db) })
	return high - low
}

// draw calls set with the value of a band at each point.
func (f *Fitter) draw(b Band, set func(j int, db float64)) {
	shape, warped := newCurve(b.Kind, b.Gain, b.Q), warp(b.Hz, f.options.SampleRate)
	for j, p := range f.points {
		ratio := p.warped / warped
		power, _ := shape.at(ratio * ratio)
		set(j, bel*math.Log(power))
	}
}

func spread(values []float64) float64 { return floats.Max(values) - floats.Min(values) }
