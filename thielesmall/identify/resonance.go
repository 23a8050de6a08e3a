package identify

import (
	"fmt"
	"math"
)

// resonances is a sum of parallel sections.
type resonances struct {
	count int
	creep bool // one λ for all
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
	return p
}

func (b resonances) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	lambda := 0.0
	var creep []complex128
	if b.creep {
		lambda = v[3*b.count]
		if dz != nil {
			creep = dz[3*b.count]
			clear(creep)
		}
	}
	for k := range b.count {
		var d [][]complex128
		if dz != nil {
			d = dz[3*k : 3*k+3]
		}
		s := section{hz: v[3*k], q: v[3*k+1], r: v[3*k+2], lambda: lambda}
		s.add(g, z, d, creep)
	}
}

// arrange returns the values with the sections in the order of frequency.
func (b resonances) arrange(v values) values {
	sorted := v.with()
	for i := 1; i < b.count; i++ {
		for j := i; j > 0; j-- {
			upper, lower := b.names(j), b.names(j-1)
			if sorted[upper[0]] >= sorted[lower[0]] {
				break
			}
			for n := range upper {
				sorted[upper[n]], sorted[lower[n]] = sorted[lower[n]], sorted[upper[n]]
			}
		}
	}
	return sorted
}

// A section is the parallel resonance of the package comment.
type section struct{ hz, q, r, lambda float64 }

// add adds the section to z, sets the derivatives d by the logarithms of
// hz, q and r, and adds those by λ to creep; d and creep may be nil.
func (s section) add(g *grid, z []complex128, d [][]complex128, creep []complex128) {
	const quarter = math.Pi / 2 / math.Ln10 // log10 of j, without the j
	wk := 2 * math.Pi * s.hz
	lnwk := math.Log(wk)
	for i, w := range g.w {
		log := complex((g.lnw[i]-lnwk)/math.Ln10, quarter)
		mass := complex(0, s.q*w/wk)
		spring := complex(0, -s.q*wk/w) // Q·ωk/(jω·c)
		yield := complex(1, 0)          // 1/c
		if s.lambda != 0 {
			yield = reciprocal(1 - complex(s.lambda, 0)*log)
			spring *= yield
		}
		inverse := reciprocal(1 + mass + spring)
		zk := complex(s.r, 0) * inverse
		z[i] += zk
		if d == nil {
			continue
		}
		slope := -zk * inverse // of zk by its denominator
		d[0][i] = slope * (spring*(1-complex(s.lambda/math.Ln10, 0)*yield) - mass)
		d[1][i] = slope * (mass + spring)
		d[2][i] = zk
		if creep != nil {
			creep[i] += slope * spring * yield * log
		}
	}
}
