package equalizer

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// A shape is a small band of 1 dB in the dictionary from which bands start.
type shape struct {
	band Band
	atom []float64 // weighted, less its mean; of length 1
	norm float64   // its length in dB before that
}

// A family is the shapes of one kind and width, at eight frequencies to the
// octave.
type family []shape

// dictionary returns the bands that a fit starts from, in widths a factor of
// two apart.
func (f *Fitter) dictionary() []family {
	o := f.options
	var families []family
	for q := o.MinQ; q <= o.MaxQ; q *= 2 {
		families = append(families, f.newFamily(Peak, q))
	}
	for q := maxShelfQ; q >= minShelfQ; q /= 2 {
		families = append(families, f.newFamily(HighShelf, q))
	}
	return families
}

func (f *Fitter) newFamily(kind Kind, q float64) family {
	var shapes family
	for hz := f.options.Range.From; hz <= f.options.Range.To; hz *= math.Exp2(1.0 / 8) {
		if s := f.newShape(Band{kind, hz, 1, q}); s.norm > 0 {
			shapes = append(shapes, s)
		}
	}
	return shapes
}

func (f *Fitter) newShape(b Band) shape {
	atom := make([]float64, len(f.points))
	var mean float64
	f.draw(b, func(j int, db float64) {
		atom[j] = db
		mean += f.points[j].weight * db
	})
	for j, p := range f.points {
		atom[j] = p.root * (atom[j] - mean)
	}
	norm := floats.Norm(atom, 2)
	if norm > 0 {
		floats.Scale(1/norm, atom)
	}
	return shape{b, atom, norm}
}

// starts returns bands from the dictionary with their gains: at each kind and
// width the best of every stretch of frequencies, if it explains a fair part of
// what is left in dB.
func (f *Fitter) starts(left []float64) []Band {
	const fair = 0.1
	weighted := make([]float64, len(left))
	for j, p := range f.points {
		weighted[j] = p.root * left[j]
	}
	var bands []Band
	for _, family := range f.families {
		before, here := 0.0, 0.0
		for i, s := range family {
			after := 0.0
			if i+1 < len(family) {
				_, after = f.project(family[i+1], weighted)
			}
			if i == 0 {
				_, here = f.project(s, weighted)
			}
			if here >= before && here > after && here > fair*floats.Dot(weighted, weighted) {
				b := s.band
				b.Gain, _ = f.project(s, weighted)
				bands = append(bands, b)
			}
			before, here = here, after
		}
	}
	return bands
}

// project returns the gain of a shape that explains most of the weighted
// residual within the bounds, and how much of its square that is.
func (f *Fitter) project(s shape, weighted []float64) (gain, explained float64) {
	projection := floats.Dot(s.atom, weighted)
	limit := f.options.MaxGain * s.norm
	reached := math.Min(math.Max(projection, -limit), limit)
	return reached / s.norm, reached * (2*projection - reached)
}
