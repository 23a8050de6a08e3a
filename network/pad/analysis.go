package pad

import (
	"math"

	"loadscape/network/preferred"
)

// A Working is what a pad does between a source and a load resistance.
type Working struct {
	Attenuation float64   // dB, power that the source offers over power in the load
	Input       float64   // ohm, seen by the source
	Output      float64   // ohm, seen by the load
	Shares      []float64 // of the power into the pad, in each resistor in turn
	Load        float64   // share of that power in the load
}

// Between returns what p does between a source and a load resistance in ohms.
func (p Pad) Between(source, load float64) (Working, error) {
	if err := checkOhms(p.Form, "source", source); err != nil {
		return Working{}, err
	}
	if err := checkOhms(p.Form, "load", load); err != nil {
		return Working{}, err
	}
	d := p.delta()
	gl, gs := 1/load, 1/source
	in := d.in + chain(d.across, d.out+gl) // conductances
	out := d.out + chain(d.across, d.in+gs)
	v := [4]float64{In: 1, Out: d.across / (d.across + d.out + gl)}
	v[Middle] = p.middle(v)
	w := Working{Input: 1 / in, Output: 1 / out, Load: v[Out] * v[Out] * gl / in}
	for _, r := range p.Resistors {
		u := v[r.From] - v[r.To]
		w.Shares = append(w.Shares, u*u/r.Ohms/in)
	}
	// An EMF of 1+source·in brings 1 V to the input; it offers EMF²/(4·source).
	emf := 1 + source*in
	w.Attenuation = decibels(emf / (2 * v[Out] * math.Sqrt(source*gl)))
	return w, nil
}

// Image returns the image impedances in ohms, which match the pad at both ends
// at once, and its attenuation in dB between them.
func (p Pad) Image() (in, out, attenuation float64) {
	d := p.delta()
	openIn, openOut := d.in+chain(d.across, d.out), d.out+chain(d.across, d.in)
	shortIn, shortOut := d.in+d.across, d.out+d.across
	// tanh θ = √(Zshort/Zopen) and q = √(1 − tanh²θ), so e^θ = (1+tanh θ)/q.
	tanh := math.Sqrt(openIn / shortIn)
	q := d.across / math.Sqrt(shortIn*shortOut)
	return 1 / math.Sqrt(openIn*shortIn), 1 / math.Sqrt(openOut*shortOut), decibels((1 + tanh) / q)
}

// A delta is a pad reduced to three conductances in siemens.
type delta struct{ in, across, out float64 }

// delta removes the middle node of p by the star–mesh transformation.
func (p Pad) delta() delta {
	var g [4][4]float64 // sums of conductances between nodes
	var star float64
	for _, r := range p.Resistors {
		g[r.From][r.To] += 1 / r.Ohms
		g[r.To][r.From] += 1 / r.Ohms
		if r.From == Middle || r.To == Middle {
			star += 1 / r.Ohms
		}
	}
	between := func(a, b Node) float64 {
		if star == 0 {
			return g[a][b]
		}
		return g[a][b] + g[a][Middle]*g[Middle][b]/star
	}
	return delta{between(In, Common), between(In, Out), between(Out, Common)}
}

// middle returns the voltage of the middle node, 0 if p has none.
func (p Pad) middle(v [4]float64) float64 {
	var current, star float64
	for _, r := range p.Resistors {
		switch Middle {
		case r.From:
			current, star = current+v[r.To]/r.Ohms, star+1/r.Ohms
		case r.To:
			current, star = current+v[r.From]/r.Ohms, star+1/r.Ohms
		}
	}
	if star == 0 {
		return 0
	}
	return current / star
}

// chain returns the conductance of two conductances one after the other.
func chain(a, b float64) float64 { return a * b / (a + b) }

// A Snapped is a pad of preferred values and what they cost.
type Snapped struct {
	Pad
	Relative    []float64 // error of each resistor in turn, value/exact − 1
	Attenuation float64   // dB more than exact
	Input       float64   // ohm more than exact, seen by the source
	Output      float64   // ohm more than exact, seen by the load
}

// Snap returns p with each resistor at the nearest value of a series, and what
// that changes between a source and a load resistance in ohms.
func (p Pad) Snap(series preferred.Series, source, load float64) (Snapped, error) {
	exact, err := p.Between(source, load)
	if err != nil {
		return Snapped{}, err
	}
	s := Snapped{Pad: Pad{Form: p.Form}}
	for _, r := range p.Resistors {
		value, relative := series.Snap(r.Ohms)
		r.Ohms = value
		s.Resistors = append(s.Resistors, r)
		s.Relative = append(s.Relative, relative)
	}
	got, err := s.Between(source, load)
	if err != nil {
		return Snapped{}, err
	}
	s.Attenuation = got.Attenuation - exact.Attenuation
	s.Input = got.Input - exact.Input
	s.Output = got.Output - exact.Output
	return s, nil
}
