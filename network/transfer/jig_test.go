package transfer

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
)

// section returns R ∥ L ∥ C of resonance hz, quality q and resistance r.
func section(s complex128, hz, q, r float64) complex128 {
	w0 := complex(2*math.Pi*hz, 0)
	b := s * w0 / complex(q, 0)
	return complex(r, 0) * b / (s*s + b + w0*w0)
}

// cabinet is an invented loudspeaker: resistance, resonance, voice coil.
func cabinet(s complex128) complex128 {
	return 6.5 + section(s, 78, 8, 60) + 0.05e-3*s + 1/(1/(0.8e-3*s)+1/(0.04*cmplx.Sqrt(s))+1.0/150)
}

// through returns x after a filter of the response h over s.
func through(x []float64, rate float64, h func(s complex128) complex128) []float64 {
	fft := fourier.NewFFT(len(x))
	c := fft.Coefficients(nil, x)
	for k := range c {
		if k == 0 {
			c[k] = 0
			continue
		}
		c[k] *= h(complex(0, 2*math.Pi*rate*float64(k)/float64(len(x)))) / complex(float64(len(x)), 0)
	}
	return fft.Sequence(nil, c)
}

// sweep returns an exponential sweep with silence before and after it.
func sweep(rate, seconds, from, to float64) []float64 {
	x := make([]float64, int(rate*(seconds+2)))
	n := int(rate * seconds)
	k := math.Log(to/from) / seconds
	for i := range n {
		t := float64(i) / rate
		fade := min(1, float64(i)/rate*20, float64(n-i)/rate*200)
		x[int(rate/2)+i] = fade * math.Sin(2*math.Pi*from/k*math.Expm1(k*t))
	}
	return x
}

func noise(rng *rand.Rand, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	return x
}

func TestX(t *testing.T) {
	const rate, resistor = 48000, 10
	rng := rand.New(rand.NewPCG(1, 2))
	for name, source := range map[string][]float64{
		"sweep": sweep(rate, 15, 15, 22e3),
		"noise": noise(rng, 60*rate),
	} {
		r := complex(resistor, 0)
		u := through(source, rate, func(s complex128) complex128 { return cabinet(s) / (cabinet(s) + r) })
		v := through(source, rate, func(s complex128) complex128 { return r / (cabinet(s) + r) })
		peak := 0.0
		for i := range u {
			peak = max(peak, math.Abs(u[i]), math.Abs(v[i]))
		}
		for i := range u {
			u[i] *= 0.9 / peak
			v[i] *= 0.9 / peak
			u[i] += 1e-3 * rng.NormFloat64()
			v[i] += 1e-3 * rng.NormFloat64()
		}
		for _, m := range []Method{CrossSpectra, Deconvolution} {
			table, err := Jig{Resistor: resistor, Options: Options{Method: m}}.Measure(&Recording{rate, [][]float64{u, v}})
			if err != nil {
				t.Fatal(err)
			}
			worst, at, co := 0.0, 0.0, 1.0
			for i, hz := range table.Hz {
				want := cabinet(complex(0, 2*math.Pi*hz))
				e := cmplx.Abs(table.Z[i]-want) / cmplx.Abs(want)
				if hz >= 30 && hz <= 15e3 && e > worst {
					worst, at = e, hz
				}
				if hz >= 30 && hz <= 15e3 {
					co = min(co, table.Coherence[i])
				}
			}
			t.Logf("%s %d: %.3f%% at %.1f, coherence %.5f %v", name, m, 100*worst, at, co, table.Warnings)
		}
	}
}
