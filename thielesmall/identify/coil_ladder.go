package identify

import (
	"fmt"
	"math"

	"loadscape/thielesmall"
)

// ladder is an inductance, if it has the first, and shunted inductances.
type ladder struct {
	first bool
	rungs int
}

func (ladder) label() string { return "ladder" }

func rungNames(i int) (l, r string) {
	return fmt.Sprintf("rung-%d/l", i+1), fmt.Sprintf("rung-%d/r", i+1)
}

func (b ladder) parameters(s scale) []parameter {
	var p []parameter
	if b.first {
		p = append(p, henry(s, "l1"))
	}
	for i := range b.rungs {
		l, r := rungNames(i)
		p = append(p, henry(s, l), ohm(s, r))
	}
	return p
}

func (b ladder) without() []coil {
	if !b.first {
		return nil
	}
	return []coil{ladder{rungs: b.rungs}}
}

// starts spreads the corners of the rungs over the curve, and shares the
// inductance that is lost between the ends among them.
func (b ladder) starts(p powerLaw) []values {
	var all []values
	for _, at := range [][2]float64{{0.2, 0.8}, {0.5, 1}, {0, 0.5}} {
		v := values{"l1": 0.7 * p.inductance(p.w1)}
		lost := p.inductance(p.w0) / float64(b.rungs)
		for i := range b.rungs {
			part := (float64(i) + 0.5) / float64(b.rungs)
			corner := p.between(at[0] + (at[1]-at[0])*part)
			l, r := rungNames(i)
			v[l] = lost * math.Pow(0.5, float64(i))
			v[r] = v[l] * corner
		}
		all = append(all, v)
	}
	return all
}

// arrange returns the values with the rungs in the order of their corners R/L.
func (b ladder) arrange(v values) values {
	sorted := v.with()
	for i := 1; i < b.rungs; i++ {
		for j := i; j > 0; j-- {
			l, r := rungNames(j)
			ll, lr := rungNames(j - 1)
			if sorted[r]/sorted[l] >= sorted[lr]/sorted[ll] {
				break
			}
			sorted[l], sorted[ll] = sorted[ll], sorted[l]
			sorted[r], sorted[lr] = sorted[lr], sorted[r]
		}
	}
	return sorted
}

func (b ladder) voiceCoil(v values) thielesmall.VoiceCoil {
	m := thielesmall.Ladder{}
	if b.first {
		m.L1 = v["l1"]
	}
	for i := range b.rungs {
		l, r := rungNames(i)
		m.Rungs = append(m.Rungs, thielesmall.Rung{L: v[l], R: v[r]})
	}
	return m
}

func (b ladder) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	if b.first {
		addInductance(v[0], g, z, dz)
		v = v[1:]
		if dz != nil {
			dz = dz[1:]
		}
	}
	for k := range b.rungs {
		l, r := v[2*k], v[2*k+1]
		for i, w := range g.w {
			// Y = 1/jωL + 1/R
			yl, yr := complex(0, -1/(w*l)), complex(1/r, 0)
			zk := reciprocal(yl + yr)
			z[i] += zk
			if dz != nil {
				dz[2*k][i], dz[2*k+1][i] = zk*zk*yl, zk*zk*yr
			}
		}
	}
}
