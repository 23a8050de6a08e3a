package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A peak is a resonance as the curve shows it.
type peak struct {
	at         int     // row
	prominence float64 // of ln|Z| over the higher one of the valleys beside it
	capacitive bool    // after it
}

// peaks returns the resonances of the cone and the cabinet, in the order of
// frequency: maxima of |Z| that stand out of the noise, and after which the
// phase turns negative or which are near to the highest of those that do. The
// bumps of a break-up are neither.
func (g *grid) peaks() []peak {
	least := max(0.05, 8*g.roughness())
	var all []peak
	var highest float64
	for i := 1; i < len(g.lnz)-1; i++ {
		if g.lnz[i] < g.lnz[i-1] || g.lnz[i] <= g.lnz[i+1] {
			continue
		}
		left, right := g.valley(i, -1), g.valley(i, 1)
		p := peak{i, g.lnz[i] - max(g.lnz[left], g.lnz[right]), g.capacitive(i, right)}
		if p.prominence >= least {
			all = append(all, p)
		}
		if p.capacitive && p.prominence >= least {
			highest = g.w[i]
		}
	}
	const near = 4 // times the frequency
	return slices.DeleteFunc(all, func(p peak) bool { return !p.capacitive && g.w[p.at] > near*highest })
}

// valley returns the row of the least magnitude on the way from row i to
// where the curve is higher than there, or ends.
func (g *grid) valley(i, step int) int {
	least := i
	for j := i + step; j >= 0 && j < len(g.lnz) && g.lnz[j] <= g.lnz[i]; j += step {
		if g.lnz[j] < g.lnz[least] {
			least = j
		}
	}
	return least
}

func (g *grid) capacitive(from, to int) bool {
	return slices.ContainsFunc(g.z[from:to+1], func(z complex128) bool { return imag(z) < 0 })
}

// roughness returns the standard deviation of ln|Z| from a smooth curve: that
// of second differences, by their median, which peaks do not sway.
func (g *grid) roughness() float64 {
	var d []float64
	for i := 1; i < len(g.lnz)-1; i++ {
		d = append(d, math.Abs(g.lnz[i-1]-2*g.lnz[i]+g.lnz[i+1]))
	}
	slices.Sort(d)
	const normal = 0.6745 // median of |x| of a normal x
	return d[len(d)/2] / normal / math.Sqrt(6)
}

// geometry returns values to start from for a coil of a power law: peaks,
// widths, and the slope of the upper end.
func (g *grid) geometry(opts Options) (values, powerLaw, []peak, error) {
	peaks := g.peaks()
	if len(peaks) == 0 {
		return nil, powerLaw{}, nil, fmt.Errorf("identify: no resonance from %g to %g Hz: expected a peak of the magnitude with falling phase", g.hz[0], g.hz[len(g.hz)-1])
	}
	if n := opts.Resonances; n != 0 && len(peaks) > n {
		slices.SortFunc(peaks, func(a, b peak) int { return cmp.Compare(b.prominence, a.prominence) })
		peaks = peaks[:n]
		slices.SortFunc(peaks, func(a, b peak) int { return cmp.Compare(a.at, b.at) })
	}
	peaks = peaks[:min(len(peaks), maxSections)]
	re := opts.Re
	if re == 0 {
		re = math.Inf(1)
		for _, z := range g.z {
			re = min(re, real(z))
		}
		re = max(0.97*re, 0.1*g.scale().z0)
	}
	v := values{"re": re}
	rest := slices.Clone(g.z)
	for i, p := range peaks {
		s := section{hz: g.hz[p.at], q: g.quality(p.at, re), r: max(real(g.z[p.at])-re, 0.1*re)}
		n := resonances{count: max(len(peaks), opts.Resonances)}.names(i)
		v[n[0]], v[n[1]], v[n[2]] = s.hz, s.q, s.r
		z := make([]complex128, len(rest))
		s.add(g, z, nil, nil)
		for i := range rest {
			rest[i] -= z[i]
		}
	}
	p := g.slope(rest, re, peaks[len(peaks)-1].at)
	v["k"], v["n"] = p.k, p.n
	return v, p, peaks, nil
}

// quality returns the frequency of a peak over the width at which the real
// part without re has half its height, or twice the half width if the other
// side does not fall so far.
func (g *grid) quality(at int, re float64) float64 {
	half := (real(g.z[at]) + re) / 2
	side := func(step int) float64 {
		for j := at + step; j >= 0 && j < len(g.z); j += step {
			if real(g.z[j]) <= half {
				return math.Abs(g.hz[j] - g.hz[at])
			}
		}
		return math.Inf(1)
	}
	width := 2 * min(side(-1), side(1))
	return min(max(g.hz[at]/width, 0.3), 50)
}

// slope returns the power law through what is left of the impedance without
// resistance and resonances, in the upper half of what is above row last.
func (g *grid) slope(rest []complex128, re float64, last int) powerLaw {
	p := powerLaw{w0: min(3*g.w[last], 0.3*g.w[len(g.w)-1]), w1: g.w[len(g.w)-1]}
	var count, angle, height, lnw float64
	for i, z := range rest {
		if g.w[i] < p.middle() {
			continue
		}
		z -= complex(re, 0)
		z = complex(max(real(z), 0), max(imag(z), 1e-3*re))
		count++
		angle += math.Atan2(imag(z), real(z))
		height += 0.5 * math.Log(norm(z))
		lnw += g.lnw[i]
	}
	p.n = min(max(angle/count/(math.Pi/2), 0.55), 0.95)
	p.k = math.Exp((height - p.n*lnw) / count)
	return p
}

// strongest returns the section from low to high, in hertz, that explains most
// of the difference between the measured impedance and z: the least-squares
// resistance is found for a raster of frequencies and qualities.
func (g *grid) strongest(z []complex128, low, high float64) (best section, found bool) {
	unit, most := make([]complex128, len(z)), 0.0
	step := math.Pow(2, 1.0/8)
	for hz := max(low, g.hz[0]); hz < min(high, g.hz[len(g.hz)-1]); hz *= step {
		for _, q := range []float64{1.5, 4, 10} {
			clear(unit)
			section{hz: hz, q: q, r: 1}.add(g, unit, nil, nil)
			var along, power float64
			for i, u := range unit {
				weight := g.magnitude[i] * g.magnitude[i] / norm(g.z[i])
				d := g.z[i] - z[i]
				along += weight * (real(u)*real(d) + imag(u)*imag(d))
				power += weight * norm(u)
			}
			if gain := along * along / power; along > 0 && gain > most {
				best, most, found = section{hz: hz, q: q, r: along / power}, gain, true
			}
		}
	}
	return best, found
}
