package identify

import (
	"math"
	"slices"

	"loadscape/thielesmall"
)

// semiInductance is the semi-inductance with those of its other parts that it
// has.
type semiInductance struct{ leb, le, rss bool }

func (semiInductance) label() string { return "semi_inductance" }

func (b semiInductance) parameters(s scale) []parameter {
	p := []parameter{factor(s, "ke", "ohm s^0.5", 0.5, 0.5)}
	if b.leb {
		p = append(p, henry(s, "leb"))
	}
	if b.le {
		p = append(p, henry(s, "le"))
	}
	if b.rss {
		p = append(p, ohm(s, "rss"))
	}
	return p
}

func (b semiInductance) without() []coil {
	var all []coil
	for _, leb := range []bool{false, b.leb} {
		for _, le := range []bool{false, b.le} {
			for _, rss := range []bool{false, b.rss} {
				c := semiInductance{leb, le, rss}
				if c != b && !slices.Contains(all, coil(c)) {
					all = append(all, c)
				}
			}
		}
	}
	return all
}

// starts puts the corner of Le against Ke below that of Ke against Rss, at
// different places of the curve, or beyond.
func (b semiInductance) starts(p powerLaw) []values {
	var all []values
	for _, at := range [][3]float64{{0, 1, 0.5}, {0.4, 1.2, 0.3}, {-0.3, 0.7, 0.8}, {0.2, 0.6, 0.8}} {
		ke := p.magnitude(p.middle()) / math.Pow(p.middle(), 0.5)
		all = append(all, values{
			"ke":  ke,
			"le":  ke / math.Sqrt(p.between(at[0])),
			"rss": ke * math.Sqrt(p.between(at[1])),
			"leb": at[2] * p.inductance(p.w1),
		})
	}
	return all
}

func (b semiInductance) voiceCoil(v values) thielesmall.VoiceCoil {
	m := thielesmall.SemiInductance{Ke: v["ke"]}
	if b.leb {
		m.Leb = v["leb"]
	}
	if b.le {
		m.Le = v["le"]
	}
	if b.rss {
		m.Rss = v["rss"]
	}
	return m
}

func (b semiInductance) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	// The derivatives in the order of the parameters; column of none: spare.
	column := func() (float64, []complex128) {
		value := v[0]
		v = v[1:]
		if dz == nil {
			return value, nil
		}
		d := dz[0]
		dz = dz[1:]
		return value, d
	}
	ke, dke := column()
	var free, gl, gr float64
	var dleb, dle, drss []complex128
	if b.leb {
		free, dleb = column()
	}
	if b.le {
		gl, dle = column()
		gl = 1 / gl
	}
	if b.rss {
		gr, drss = column()
		gr = 1 / gr
	}
	half := complex(math.Sqrt2/2/ke, -math.Sqrt2/2/ke) // 1/(Ke·√j)
	for i, w := range g.w {
		jwl := complex(0, w*free)
		ye := half * complex(1/math.Sqrt(w), 0)
		yl, yr := complex(0, -gl/w), complex(gr, 0)
		inner := reciprocal(ye + yl + yr)
		z[i] += jwl + inner
		if dke == nil {
			continue
		}
		square := inner * inner
		dke[i] = square * ye
		if dleb != nil {
			dleb[i] = jwl
		}
		if dle != nil {
			dle[i] = square * yl
		}
		if drss != nil {
			drss[i] = square * yr
		}
	}
}
