package thielesmall

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"loadscape/network"
)

// The slow, obvious reference: the impedance by closed formulas, written down
// from the papers and not from the circuit.

// refBlocked is Zb, each model by its formula with complex powers.
func refBlocked(d Driver, w float64) complex128 {
	s := complex(0, w)
	z := complex(d.Re*(1+0.00393*(d.CoilTemperature.Celsius()-20)), 0)
	switch v := d.VoiceCoil.(type) {
	case Inductance:
		z += s * complex(v.Le, 0)
	case Ladder:
		z += s * complex(v.L1, 0)
		for _, r := range v.Rungs {
			z += refParallel(s*complex(r.L, 0), complex(r.R, 0))
		}
	case PowerLaw:
		z += complex(v.K, 0) * cmplx.Pow(s, complex(v.N, 0))
	case SplitPowerLaw:
		z += complex(v.Kr*math.Pow(w, v.Xr), v.Ki*math.Pow(w, v.Xi))
	case SemiInductance:
		z += s * complex(v.Leb, 0)
		iron := complex(v.Ke, 0) * cmplx.Sqrt(s)
		if v.Le != 0 {
			iron = refParallel(iron, s*complex(v.Le, 0))
		}
		if v.Rss != 0 {
			iron = refParallel(iron, complex(v.Rss, 0))
		}
		z += iron
	}
	return z
}

func refParallel(a, b complex128) complex128 { return a * b / (a + b) }

// refMechanics returns Bl and Zm.
func refMechanics(d Driver, w float64) (bl float64, zm complex128) {
	ws := 2 * math.Pi * d.Fs
	cms := d.Vas / (1.4 * 101325 * d.Sd * d.Sd)
	mms := 1 / (ws * ws * cms)
	c := complex(cms, 0)
	if s, ok := d.Suspension.(Creep); ok {
		c *= 1 - complex(s.Lambda/math.Ln10, 0)*cmplx.Log(complex(0, w/ws))
	}
	s := complex(0, w)
	return math.Sqrt(ws * mms * d.Re / d.Qes), complex(ws*mms/d.Qms, 0) + s*complex(mms, 0) + 1/(s*c)
}

// refAcoustic is Za of an enclosure for drivers that share it.
func refAcoustic(e Enclosure, drivers []Driver, air Air, w float64) complex128 {
	s := complex(0, w)
	rho := air.Density()
	gammaP := rho * air.SoundSpeed() * air.SoundSpeed()
	volume := func(v, ql, qa, w0 float64) complex128 {
		cab := v / gammaP
		z := 1 / (s * complex(cab, 0))
		if qa != 0 {
			z += complex(1/(qa*w0*cab), 0)
		}
		if ql != 0 && !math.IsInf(ql, 1) {
			z = refParallel(z, complex(ql/(w0*cab), 0))
		}
		return z
	}
	switch e := e.(type) {
	case Closed:
		v := filled(e.Volume, e.FillFactor)
		d := drivers[0] // equal drivers
		w0 := 2 * math.Pi * d.Fs * math.Sqrt(1+d.Vas*float64(len(drivers))/v*gammaP/(1.4*101325))
		return volume(v, e.LeakageQ, e.AbsorptionQ, w0)
	case Vented:
		v := filled(e.Volume, e.FillFactor)
		cab := v / gammaP
		var mass float64
		if e.Tuning != 0 {
			mass = 1 / (math.Pow(2*math.Pi*e.Tuning, 2) * cab)
		} else {
			n := float64(max(1, e.Port.Count))
			area, a := e.Port.Area, math.Sqrt(e.Port.Area/math.Pi)
			if area == 0 {
				a = e.Port.Diameter / 2
				area = math.Pi * a * a
			}
			mass = rho * (e.Port.Length + (8/(3*math.Pi)+0.6133)*a) / (n * area)
		}
		wb := 1 / math.Sqrt(mass*cab)
		ql := e.LeakageQ
		if ql == 0 {
			ql = 7
		}
		port := s * complex(mass, 0)
		if e.PortQ != 0 {
			port += complex(wb*mass/e.PortQ, 0)
		}
		return refParallel(volume(v, ql, e.AbsorptionQ, wb), port)
	case OpenBack:
		a := math.Sqrt(e.Opening / math.Pi)
		x := 2 * w / air.SoundSpeed() * a
		zrad := complex(rho*air.SoundSpeed()/e.Opening, 0) * complex(refPistonResistance(x), 2*refStruve(x)/x)
		opening := s*complex(rho*(e.Thickness+8/(3*math.Pi)*a)/e.Opening, 0) + zrad
		w0 := math.Sqrt(gammaP * e.Opening / (rho * e.Volume * (e.Thickness + 2*8/(3*math.Pi)*a)))
		return refParallel(volume(e.Volume, e.LeakageQ, e.AbsorptionQ, w0), opening)
	case PassiveRadiator:
		zr := complex(e.Rms, 0) + s*complex(e.Mms, 0) + 1/(s*complex(e.Cms, 0))
		zr /= complex(e.Sd*e.Sd*float64(max(1, e.Count)), 0)
		return refParallel(volume(e.Volume, 0, 0, 1), zr)
	}
	return 0
}

// refStruve is H1 by its integral over a quarter circle (DLMF 11.5.1), and
// refPistonResistance R1 by that of J1 (DLMF 10.9.4), by a Gauss
// rule.
func refStruve(x float64) float64 { return refQuarter(math.Sin, x) }

func refQuarter(f func(float64) float64, x float64) float64 {
	integrand := func(t float64) float64 { return f(x*math.Cos(t)) * math.Pow(math.Sin(t), 2) }
	return 2 * x / math.Pi * quad.Fixed(integrand, 0, math.Pi/2, 60+int(x), quad.Legendre{}, 0)
}

// 1 − 2J1(x)/x = (8/π)·∫ sin²(½·x·cos t)·sin² t dt over the quarter circle,
// which does not cancel.
func refPistonResistance(x float64) float64 {
	return 4 / x * refQuarter(func(y float64) float64 { return math.Pow(math.Sin(y/2), 2) }, x)
}

// refEqual is the impedance of one of n equal drivers in an enclosure.
func refEqual(d Driver, n int, e Enclosure, air Air, w float64) complex128 {
	bl, zm := refMechanics(d, w)
	drivers := make([]Driver, n)
	for i := range drivers {
		drivers[i] = d
	}
	load := complex(float64(n)*d.Sd*d.Sd, 0) * refAcoustic(e, drivers, air, w)
	return refBlocked(d, w) + complex(bl*bl, 0)/(zm+load)
}

// logUniform draws from low to high.
func logUniform(r *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, r.Float64())
}

func maybe(r *rand.Rand, v float64) float64 {
	if r.IntN(3) == 0 {
		return 0
	}
	return v
}

func randomDriver(r *rand.Rand, model int) Driver {
	d := Driver{
		Name: "random",
		Re:   logUniform(r, 2, 16), Fs: logUniform(r, 20, 200),
		Qms: logUniform(r, 1, 20), Qes: logUniform(r, 0.2, 2),
		Vas: logUniform(r, 5e-3, 0.3), Sd: logUniform(r, 0.01, 0.12),
		CoilTemperature: Celsius(20 + 200*r.Float64()),
	}
	mh := func() float64 { return logUniform(r, 0.05e-3, 2e-3) }
	switch model {
	case 1:
		d.VoiceCoil = Inductance{mh()}
	case 2:
		l := Ladder{L1: maybe(r, mh())}
		for range 1 + r.IntN(4) {
			l.Rungs = append(l.Rungs, Rung{mh(), logUniform(r, 1, 50)})
		}
		d.VoiceCoil = l
	case 3:
		d.VoiceCoil = PowerLaw{logUniform(r, 0.005, 0.1), 0.5 + r.Float64()/2}
	case 4:
		d.VoiceCoil = SplitPowerLaw{maybe(r, logUniform(r, 1e-3, 0.1)), r.Float64(), logUniform(r, 1e-3, 0.1), r.Float64()}
	case 5:
		d.VoiceCoil = SemiInductance{maybe(r, mh()), maybe(r, mh()), logUniform(r, 0.01, 0.2), maybe(r, logUniform(r, 20, 500))}
	}
	switch r.IntN(3) {
	case 1:
		d.Suspension = Viscous{}
	case 2:
		d.Suspension = Creep{0.2 * r.Float64()}
	}
	return d
}

const voiceCoils = 6 // kinds that randomDriver makes, with none

func randomEnclosures(r *rand.Rand) []Enclosure {
	v := logUniform(r, 10e-3, 0.4)
	q := func() float64 { return maybe(r, logUniform(r, 3, 100)) }
	fill := maybe(r, 1+0.4*r.Float64())
	return []Enclosure{
		FreeAir{},
		InfiniteBaffle{},
		Closed{v, fill, q(), q()},
		Vented{Volume: v, Tuning: logUniform(r, 25, 120), FillFactor: fill, LeakageQ: q(), AbsorptionQ: q(), PortQ: q()},
		Vented{Volume: v, Port: Port{Diameter: logUniform(r, 0.03, 0.2), Length: maybe(r, logUniform(r, 0.01, 0.3)), Count: r.IntN(4)}, LeakageQ: q(), PortQ: q()},
		Vented{Volume: v, Port: Port{Area: logUniform(r, 1e-3, 0.05), Length: logUniform(r, 0.01, 0.3)}, LeakageQ: math.Inf(1)},
		OpenBack{v, logUniform(r, 0.005, 0.3), maybe(r, logUniform(r, 0.005, 0.03)), q(), q()},
		PassiveRadiator{v, logUniform(r, 0.01, 0.12), logUniform(r, 0.02, 0.3), logUniform(r, 1e-4, 2e-3), maybe(r, logUniform(r, 0.3, 5)), r.IntN(3)},
	}
}

func TestCircuitAgreesWithClosedFormulas(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	hz := []float64{5, 17, 40, 71, 103, 180, 450, 1300, 4e3, 1e4, 2e4}
	for range 30 {
		for model := range voiceCoils {
			d := randomDriver(r, model)
			air := Air{Temperature: Celsius(-10 + 50*r.Float64()), Pressure: 70e3 + 40e3*r.Float64()}
			for _, e := range randomEnclosures(r) {
				n := 1 + r.IntN(4)
				wiring, err := Wire(d, n, Connection(r.IntN(2)))
				if err != nil {
					t.Fatal(err)
				}
				scale := complex(float64(n), 0)
				if _, ok := wiring.(network.Parallel); ok {
					scale = 1 / scale
				}
				got, err := network.Impedance(Cabinet{Name: "c", Wiring: wiring, Enclosure: e, Air: air}, hz)
				if err != nil {
					t.Fatalf("%#v in %#v: %v", d, e, err)
				}
				for i, f := range hz {
					want := scale * refEqual(d, n, e, air, 2*math.Pi*f)
					if cmplx.Abs(got[i]-want) > 1e-10*cmplx.Abs(want) {
						t.Fatalf("%d of %#v in %#v at %g Hz: %v, formula gives %v", n, d, e, f, got[i], want)
					}
				}
			}
		}
	}
}
