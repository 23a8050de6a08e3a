package tolerance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A Share is a part of the builds, and what it may be of all builds there
// could be: Wilson's interval, which holds the truth in 95 of 100 runs (Wilson,
// J. Am. Stat. Assoc. 22 (1927) 209).
type Share struct {
	Builds    int
	Share     float64
	Low, High float64
}

func shareOf(k, n int) Share {
	const z = 1.959964 // of a normal curve, 2.5 % lie above
	p, count := float64(k)/float64(n), float64(n)
	middle := (p + z*z/(2*count)) / (1 + z*z/count)
	half := z / (1 + z*z/count) * math.Sqrt(p*(1-p)/count+z*z/(4*count*count))
	return Share{k, p, max(middle-half, 0), min(middle+half, 1)}
}

// Sensitivity is what one part does to the deviation, to first order.
type Sensitivity struct {
	Name      string
	Tolerance float64
	Curve     []float64 // dB at each frequency for the part at the upper end of its tolerance
	Largest   float64   // dB, of largest magnitude in the band
	LargestHz float64   // Hz
	RMS       float64   // dB, over the band on the ERB-rate axis
	// Share is what the part has in the mean square of all deviations: of
	// independent parts of one distribution the squares of RMS add.
	Share float64
}

// report stores what the tally counted.
func (t *tally) report(r *Result) {
	n := t.Builds
	magnitude := bandsOf(t.magnitude, n)
	r.Impedance = magnitude.over(r.Nominal)
	deviation := t.deviation
	if r.Deviation = magnitude; deviation != nil {
		r.Deviation = bandsOf(deviation, n)
	} else {
		deviation = t.magnitude
	}
	for k := range deviation {
		r.Spread = append(r.Spread, deviation[k].deviation(n))
	}
	r.Largest, r.RMS = t.largest.summary(n), t.rms.summary(n)
	r.Within = shareOf(int(t.within.Load()), n)
	if near := t.near.Load(); near > 0 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("tolerance: %d builds of %d are nearly singular at some frequency", near, n))
	}
}

func (h *histogram) summary(n int) Summary {
	at := func(p float64) float64 { return max(h.quantile(p, n), 0) }
	return Summary{at(0.50), at(0.75), at(0.95)}
}

func bandsOf(h []histogram, n int) Bands {
	at := func(p float64) []float64 {
		out := make([]float64, len(h))
		for k := range h {
			out[k] = h[k].quantile(p, n)
		}
		return out
	}
	return Bands{at(0.05), at(0.25), at(0.50), at(0.75), at(0.95)}
}

// over returns bands in decibels as magnitudes, 0 dB being the nominal ones.
func (b Bands) over(nominal []float64) Bands {
	of := func(db []float64) []float64 {
		out := make([]float64, len(db))
		for k, x := range db {
			out[k] = nominal[k] * math.Pow(10, x/20)
		}
		return out
	}
	return Bands{of(b.P5), of(b.P25), of(b.P50), of(b.P75), of(b.P95)}
}

// rank stores the parts, what matters most first, and puts the factors of the
// builds in the same order.
func (r *Result) rank(m *model, curves [][]float64) {
	order := make([]int, len(m.parts))
	parts := make([]Sensitivity, len(m.parts))
	square := 0.0
	for i, p := range m.parts {
		s := Sensitivity{Name: p.name, Tolerance: p.tolerance, Curve: curves[i]}
		largest, at, rms := m.sum(curves[i])
		s.Largest, s.LargestHz, s.RMS = largest, m.hz[at], rms
		square += rms * rms
		order[i], parts[i] = i, s
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(parts[b].RMS, parts[a].RMS) })
	worst, corner := r.Worst.Factors, r.Corner.Factors
	r.Worst.Factors, r.Corner.Factors = nil, nil
	for _, i := range order {
		if square > 0 {
			parts[i].Share = parts[i].RMS * parts[i].RMS / square
		}
		r.Parts = append(r.Parts, parts[i])
		r.Worst.Factors = append(r.Worst.Factors, worst[i])
		r.Corner.Factors = append(r.Corner.Factors, corner[i])
	}
}
