package thielesmall

import (
	"math"
	"math/cmplx"
	"testing"

	"loadscape/network"
)

func sweep(b *testing.B) []float64 {
	hz, err := network.Sweep{}.Frequencies()
	if err != nil {
		b.Fatal(err)
	}
	return hz
}

func perFrequency(b *testing.B, points int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*points), "ns/frequency")
}

var benchmarked = map[string]Driver{
	"resistance": {Name: "d", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4},
	"inductance": {Name: "d", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4, VoiceCoil: Inductance{0.6e-3}},
	"power_law":  {Name: "d", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4, VoiceCoil: PowerLaw{0.03, 0.66}},
	"full":       full,
}

// A driver in free air through the compiled solver. Compare with
// BenchmarkClosedFormula of the same name.
func BenchmarkCompiledSweep(b *testing.B) {
	for name, d := range benchmarked {
		b.Run(name, func(b *testing.B) {
			hz := sweep(b)
			c := network.NewCircuit()
			in := c.Node("in")
			d.Lay(c, "d", in, network.Ground)
			plan, err := c.Compile(in, network.Ground)
			if err != nil {
				b.Fatal(err)
			}
			s, z := plan.NewSolver(), make([]complex128, len(hz))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Impedance(z, hz); err != nil {
					b.Fatal(err)
				}
			}
			perFrequency(b, len(hz))
		})
	}
}

// The hand-written formula for the same driver, with its parameters worked out
// beforehand.
func BenchmarkClosedFormula(b *testing.B) {
	for name, d := range benchmarked {
		b.Run(name, func(b *testing.B) {
			hz := sweep(b)
			z := make([]complex128, len(hz))
			f := newFormula(d)
			for b.Loop() {
				for i, x := range hz {
					z[i] = f.impedance(2 * math.Pi * x)
				}
			}
			perFrequency(b, len(hz))
		})
	}
}

// formula is Z = Zb + Bl²/Zm by hand, as fast as it is plain.
type formula struct {
	re, bl2         float64
	mms, rms, cms   float64
	ws, creep       float64
	le, leb, rss    float64
	k, n            float64
	unit            complex128
	law, iron, slow bool
}

func newFormula(d Driver) formula {
	m := d.Mechanics()
	f := formula{re: d.CoilResistance(), bl2: m.Bl * m.Bl, mms: m.Mms, rms: m.Rms, cms: m.Cms, ws: d.omega()}
	switch v := d.VoiceCoil.(type) {
	case Inductance:
		f.leb = v.Le
	case PowerLaw:
		f.law, f.k, f.n, f.unit = true, v.K, v.N, cmplx.Rect(v.K, math.Pi/2*v.N)
	case SemiInductance:
		f.iron, f.leb, f.le, f.rss, f.k = true, v.Leb, v.Le, v.Rss, v.Ke/math.Sqrt2
	}
	if s, ok := d.Suspension.(Creep); ok {
		f.slow, f.creep = true, s.Lambda
	}
	return f
}

func (f formula) impedance(w float64) complex128 {
	zm := complex(f.rms, w*f.mms-1/(w*f.cms))
	if f.slow {
		c := complex(f.cms*(1-f.creep*math.Log10(w/f.ws)), -f.cms*f.creep*math.Pi/2/math.Ln10)
		zm = complex(f.rms, w*f.mms) + 1/(complex(0, w)*c)
	}
	z := complex(f.re, w*f.leb) + complex(f.bl2, 0)/zm
	if f.law {
		z += f.unit * complex(math.Pow(w, f.n), 0)
	}
	if f.iron {
		s := f.k * math.Sqrt(w)
		z += 1 / (1/complex(s, s) + complex(1/f.rss, -1/(w*f.le)))
	}
	return z
}

// The formula that the solver is timed against is right.
func TestFormulaOfTheBenchmark(t *testing.T) {
	for name, d := range benchmarked {
		f := newFormula(d)
		for i, z := range impedance(t, d, limitHz[:]...) {
			if want := f.impedance(2 * math.Pi * limitHz[i]); cmplx.Abs(z-want) > 1e-12*cmplx.Abs(want) {
				t.Errorf("%s at %g Hz: %v, formula %v", name, limitHz[i], z, want)
			}
		}
	}
}

// A cabinet's whole curve from its description: validate, lay, compile, sweep.
func BenchmarkCabinetCurve(b *testing.B) {
	hz := sweep(b)
	wiring := times(full, 4, InSeriesParallel)
	for _, e := range []Enclosure{Closed{0.11, 1.1, 10, 0}, Vented{Volume: 0.11, Tuning: 60}, OpenBack{Volume: 0.068, Opening: 0.09, Thickness: 0.015}} {
		b.Run(e.Label(), func(b *testing.B) {
			for b.Loop() {
				if _, err := network.Impedance(inBox(e, wiring), hz); err != nil {
					b.Fatal(err)
				}
			}
			perFrequency(b, len(hz))
		})
	}
}
