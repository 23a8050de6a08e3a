package identify

import (
	"fmt"
	"math"

	"loadscape/thielesmall"
)

// Mechanics are the parameters that one curve in free air cannot give. Their
// errors come from those of the two fits; mass, volume and area are taken for
// exact. Without an area, what an area is needed for is zero.
type Mechanics struct {
	Vas      Estimate // m³
	Mms      Estimate // kg
	Cms      Estimate // m/N
	Rms      Estimate // N·s/m
	Bl       Estimate // N/A
	Sd       float64  // m², as given
	Warnings []Warning
}

// AddedMass returns the mechanics of a driver from its curve in free air and
// that with a mass in kilograms fixed to the cone, by
//
//	Mms = m / ((fs/fs')² − 1)
//
// (Small 1972; IEC 60268-5). Creep is allowed for: (fs/fs')² is divided by the
// relative compliance at the lower resonance. The area sd, in m², gives Vas in
// default air; 0: not known.
func AddedMass(bare, loaded *Result, mass, sd float64) (*Mechanics, error) {
	if err := pair(bare, loaded, "mass", mass, sd); err != nil {
		return nil, err
	}
	f, fm := bare.Resonances[0].Hz.Value, loaded.Resonances[0].Hz.Value
	if fm >= f {
		return nil, fmt.Errorf("identify: resonance with the mass at %.4g Hz, without at %.4g Hz: expected a lower one with the mass", fm, f)
	}
	mms := func(u, v point) float64 {
		ratio := u.f / v.f
		return mass / (ratio*ratio/creeped(bare, v.f/u.f) - 1)
	}
	m := combine(bare, loaded, sd, func(u, v point) [5]float64 { return fromMass(u, mms(u, v), sd) })
	if !(m.Mms.Value > 0) {
		return nil, fmt.Errorf("identify: the mass of %.4g kg moves the resonance from %.4g to %.4g Hz only: expected a shift by 20 %%", mass, f, fm)
	}
	m.shift(f / fm)
	// With the same Bl, the electrical Q grows with the mass over the frequency.
	byQ := (loaded.Resonances[0].Qes.Value / fm) / (bare.Resonances[0].Qes.Value / f)
	m.compare("the ratio of the moving masses", 1+mass/m.Mms.Value, byQ*loaded.ratioRe(bare))
	return m, nil
}

// TestBox returns the mechanics of a driver from its curve in free air and
// that in a closed, empty, tight box of a volume in m³, by
//
//	Vas = Vb·((fct·Qect)/(fs·Qes) − 1)
//
// (Small 1972; IEC 60268-5), in which another air load on the cone cancels.
// The area sd, in m², gives the other values in default air; 0: not known.
func TestBox(free, boxed *Result, volume, sd float64) (*Mechanics, error) {
	if err := pair(free, boxed, "volume", volume, sd); err != nil {
		return nil, err
	}
	f, fc := free.Resonances[0].Hz.Value, boxed.Resonances[0].Hz.Value
	if fc <= f {
		return nil, fmt.Errorf("identify: resonance in the box at %.4g Hz, in free air at %.4g Hz: expected a higher one in the box", fc, f)
	}
	vas := func(u, v point) float64 {
		return volume * (v.f*v.qes()/(u.f*u.qes())*(u.re/v.re) - 1/creeped(free, v.f/u.f))
	}
	m := combine(free, boxed, sd, func(u, v point) [5]float64 { return fromVas(u, vas(u, v), sd) })
	if !(m.Vas.Value > 0) {
		return nil, fmt.Errorf("identify: the electrical Q of the resonance is %.4g in the box, %.4g in free air: expected a higher one in the box", boxed.Resonances[0].Qes.Value, free.Resonances[0].Qes.Value)
	}
	m.shift(fc / f)
	m.compare("Vas in litres", 1e3*m.Vas.Value, 1e3*volume*(fc*fc/(f*f)-1/creeped(free, fc/f)))
	return m, nil
}

// Apply sets what the mechanics tell of a driver.
func (m *Mechanics) Apply(d *thielesmall.Driver) {
	d.Sd, d.Vas = m.Sd, m.Vas.Value
	d.Sheet.Mms, d.Sheet.Cms, d.Sheet.Rms, d.Sheet.Bl = m.Mms.Value, m.Cms.Value, m.Rms.Value, m.Bl.Value
}

// pair reports what makes two curves unfit to be compared.
func pair(a, b *Result, name string, value, sd float64) error {
	for _, r := range []*Result{a, b} {
		if _, err := r.Driver(); err != nil {
			return err
		}
	}
	if !(value > 0) || math.IsInf(value, 0) {
		return fmt.Errorf("identify: %s of %g: expected a positive number", name, value)
	}
	if !(sd >= 0) || math.IsInf(sd, 0) {
		return fmt.Errorf("identify: area of %g m²: expected a positive number, or zero for none", sd)
	}
	return nil
}

// A point is what a curve tells of its resonance.
type point struct{ re, f, qms, res float64 }

func (p point) qes() float64 { return p.qms * p.re / p.res }

// creeped returns the compliance at a multiple of the resonance relative to
// that at it.
func creeped(r *Result, ratio float64) float64 { return 1 - r.Creep.Value*math.Log10(ratio) }

// ratioRe returns the resistance of other over that of r: a coil that has
// become warmer has a higher electrical Q.
func (r *Result) ratioRe(other *Result) float64 { return other.Re.Value / r.Re.Value }

// stiffness returns ρc² of default air.
func stiffness() float64 { return 1 / thielesmall.Air{}.Compliance(1) }

// fromMass returns Vas, Mms, Cms, Rms and Bl.
func fromMass(p point, mms, sd float64) [5]float64 {
	w := 2 * math.Pi * p.f
	cms := 1 / (w * w * mms)
	return [5]float64{cms * stiffness() * sd * sd, mms, cms, w * mms / p.qms, math.Sqrt(w * mms * p.re / p.qes())}
}

func fromVas(p point, vas, sd float64) [5]float64 {
	if sd == 0 {
		return [5]float64{vas}
	}
	w := 2 * math.Pi * p.f
	cms := vas / (stiffness() * sd * sd)
	return fromMass(p, 1/(w*w*cms), sd)
}

// combine evaluates a function of two curves and carries their covariances
// through its derivatives.
func combine(a, b *Result, sd float64, f func(u, v point) [5]float64) *Mechanics {
	at := func(which *Result, i int, h float64) [5]float64 {
		u, v := a.point(), b.point()
		if which == a {
			u = u.moved(i, h)
		} else {
			v = v.moved(i, h)
		}
		return f(u, v)
	}
	var variance [5]float64
	for _, r := range []*Result{a, b} {
		const h = 1e-5
		var slopes [4][5]float64
		for i := range slopes {
			up, down := at(r, i, h), at(r, i, -h)
			for k := range up {
				slopes[i][k] = (up[k] - down[k]) / (2 * h)
			}
		}
		for i := range slopes {
			for j := range slopes {
				for k := range variance {
					variance[k] += slopes[i][k] * slopes[j][k] * r.joint[i][j]
				}
			}
		}
	}
	value := f(a.point(), b.point())
	e := func(k int) Estimate { return Estimate{value[k], math.Sqrt(max(variance[k], 0))} }
	return &Mechanics{Vas: e(0), Mms: e(1), Cms: e(2), Rms: e(3), Bl: e(4), Sd: sd}
}

func (r *Result) point() point {
	p := r.Resonances[0]
	return point{r.Re.Value, p.Hz.Value, p.Qms.Value, p.Res.Value}
}

// moved returns p with the logarithm of one of its values changed.
func (p point) moved(i int, h float64) point {
	*[]*float64{&p.re, &p.f, &p.qms, &p.res}[i] *= math.Exp(h)
	return p
}

// shift warns of a resonance that has moved so little that every error counts
// many times, or so much that the driver is not the same any more.
func (m *Mechanics) shift(ratio float64) {
	w := warnings(m.Warnings)
	if ratio < 1.15 || ratio > 2 {
		w.add(Range, "", "the resonance moved by a factor of %.3f: expected from 1.15 to 2 for a good result", ratio)
	}
	m.Warnings = w
}

func (m *Mechanics) compare(what string, used, other float64) {
	w := warnings(m.Warnings)
	if math.Abs(other/used-1) > 0.1 {
		w.add(Differing, "", "%s is %.4g by the one and %.4g by the other of resonance and electrical Q: is the coil warmer, the box leaky, the mass loose?", what, used, other)
	}
	m.Warnings = w
}
