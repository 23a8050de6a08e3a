package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// resonances is a sum of parallel sections.
type resonances struct {
	count int
	creep bool // one λ for all
	skew  bool // of every one but the last, whose skew makes the sum zero at direct current
	bumps bool
}

// names returns the names of frequency, quality and resistance of section i.
func (b resonances) names(i int) [3]string {
	switch {
	case b.bumps:
		return [3]string{fmt.Sprintf("bump-%d/hz", i+1), fmt.Sprintf("bump-%d/q", i+1), fmt.Sprintf("bump-%d/r", i+1)}
	case b.count == 1:
		return [3]string{"fs", "qms", "res"}
	}
	return [3]string{fmt.Sprintf("fs-%d", i+1), fmt.Sprintf("qms-%d", i+1), fmt.Sprintf("res-%d", i+1)}
}

func (b resonances) parameters(s scale) []parameter {
	var p []parameter
	for i := range b.count {
		n := b.names(i)
		p = append(p,
			parameter{name: n[0], unit: "Hz", low: 0.1 * s.w0 / (2 * math.Pi), high: 3 * s.w1 / (2 * math.Pi)},
			parameter{name: n[1], low: 0.05, high: 500},
			parameter{name: n[2], unit: "ohm", low: 1e-6 * s.z0, high: 1e3 * s.z1})
	}
	if b.creep {
		p = append(p, parameter{name: "creep", low: 0, high: 0.5, linear: true})
	}
	if b.skew {
		for i := range b.count - 1 {
			p = append(p, parameter{name: skewName(i), low: -5, high: 5, linear: true})
		}
	}
	return p
}

func (b resonances) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	own := 3 * b.count
	lambda := 0.0
	var creep []complex128
	if b.creep {
		lambda = v[own]
		if dz != nil {
			creep = dz[own]
			clear(creep)
		}
		own++
	}
	for k := range b.count {
		var d [][]complex128
		if dz != nil {
			d = dz[3*k : 3*k+3]
		}
		s := b.section(v, k, lambda)
		s.add(g, z, d, creep)
	}
	if b.skew && dz != nil {
		b.skewSlopes(v, g, lambda, dz, dz[own:])
	}
}

// section returns section k of the values v. Without skews all are zero; with
// them, that of the last follows from Σ r·skew/q = 0, so that the resonances
// vanish at direct current as those of springs must.
func (b resonances) section(v []float64, k int, lambda float64) section {
	s := section{hz: v[3*k], q: v[3*k+1], r: v[3*k+2], lambda: lambda}
	if !b.skew {
		return s
	}
	skews := v[len(v)-(b.count-1):]
	if k < len(skews) {
		s.skew = skews[k]
		return s
	}
	for i, skew := range skews {
		s.skew -= v[3*i+2] * skew / v[3*i+1]
	}
	s.skew *= s.q / s.r
	return s
}

// skewSlopes sets the derivatives by the skews, and adds to those by q and r
// what they do through the last skew.
func (b resonances) skewSlopes(v []float64, g *grid, lambda float64, dz, skews [][]complex128) {
	last := b.count - 1
	end := b.section(v, last, lambda)
	unit := make([]complex128, len(g.w))
	end.slopeBySkew(g, unit)
	for i := range last {
		s := b.section(v, i, lambda)
		s.slopeBySkew(g, skews[i])
		share := -end.q / end.r * s.r / s.q // dskew of the last by that of this
		for n, u := range unit {
			skews[i][n] += complex(share, 0) * u
			dz[3*i+1][n] -= complex(share*s.skew, 0) * u
			dz[3*i+2][n] += complex(share*s.skew, 0) * u
		}
	}
	for n, u := range unit {
		dz[3*last+1][n] += complex(end.skew, 0) * u
		dz[3*last+2][n] -= complex(end.skew, 0) * u
	}
}

// arrange returns the values with the sections in the order of frequency.
func (b resonances) arrange(v values) values {
	sorted := v.with()
	sections := b.sections(v)
	slices.SortFunc(sections, func(a, b section) int { return cmp.Compare(a.hz, b.hz) })
	for i, s := range sections {
		n := b.names(i)
		sorted[n[0]], sorted[n[1]], sorted[n[2]] = s.hz, s.q, s.r
		if b.skew && i < b.count-1 {
			sorted[skewName(i)] = s.skew
		}
	}
	return sorted
}

// sections returns all sections of the values.
func (b resonances) sections(v values) []section {
	var x []float64
	for i := range b.count {
		n := b.names(i)
		x = append(x, v[n[0]], v[n[1]], v[n[2]])
	}
	if b.skew {
		for i := range b.count - 1 {
			x = append(x, v[skewName(i)])
		}
	}
	var all []section
	for k := range b.count {
		all = append(all, b.section(x, k, v["creep"]))
	}
	return all
}

func skewName(i int) string { return fmt.Sprintf("skew-%d", i+1) }

// A section is the parallel resonance of the package comment.
type section struct{ hz, q, r, lambda, skew float64 }

// denominator returns that of the section at row i and its terms.
func (s section) denominator(g *grid, i int, lnwk float64) (inverse, mass, spring, yield, log complex128) {
	const quarter = math.Pi / 2 / math.Ln10 // log10 of j, without the j
	u := g.w[i] / (2 * math.Pi * s.hz)
	mass = complex(0, s.q*u)
	spring = complex(0, -s.q/u) // Q·ωk/(jω·c)
	yield = 1                   // 1/c
	log = complex((g.lnw[i]-lnwk)/math.Ln10, quarter)
	if s.lambda != 0 {
		yield = reciprocal(1 - complex(s.lambda, 0)*log)
		spring *= yield
	}
	return reciprocal(1 + mass + spring), mass, spring, yield, log
}

// add adds the section to z, sets the derivatives d by the logarithms of
// hz, q and r, and adds those by λ to creep; d and creep may be nil.
func (s section) add(g *grid, z []complex128, d [][]complex128, creep []complex128) {
	wk := 2 * math.Pi * s.hz
	lnwk := math.Log(wk)
	for i, w := range g.w {
		inverse, mass, spring, yield, log := s.denominator(g, i, lnwk)
		tilt := complex(0, -s.r*s.skew*wk/w)
		zk := (complex(s.r, 0) + tilt) * inverse
		z[i] += zk
		if d == nil {
			continue
		}
		slope := -zk * inverse // of zk by its denominator
		d[0][i] = slope*(spring*(1-complex(s.lambda/math.Ln10, 0)*yield)-mass) + tilt*inverse
		d[1][i] = slope * (mass + spring)
		d[2][i] = zk
		if creep != nil {
			creep[i] += slope * spring * yield * log
		}
	}
}

// slopeBySkew sets d to the derivative of the section by its skew.
func (s section) slopeBySkew(g *grid, d []complex128) {
	wk := 2 * math.Pi * s.hz
	lnwk := math.Log(wk)
	for i, w := range g.w {
		inverse, _, _, _, _ := s.denominator(g, i, lnwk)
		d[i] = complex(0, -s.r*wk/w) * inverse
	}
}
