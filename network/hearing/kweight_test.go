package hearing

import (
	"math"
	"math/cmplx"
	"testing"
)

// ITU-R BS.1770-4, Tables 1 and 2; 997 Hz is the frequency of its calibration
// tone, whose gain the −0.691 dB of its equation 2 takes back. The other gains
// were computed from the tables by another program.
func TestKWeightPublished(t *testing.T) {
	for hz, want := range map[float64]float64{
		25: -10.3928, 63: -2.6639, 100: -1.1335, 997: 0.6910, 2000: 3.0713, 10000: 4.0419,
	} {
		if got := 10 * math.Log10(KWeight(hz)); math.Abs(got-want) > 0.00005 {
			t.Errorf("%g Hz: %.4f dB, want %.4f", hz, got, want)
		}
	}
}

// The transfer functions as the recommendation writes them.
func TestKWeightAgainstTransferFunction(t *testing.T) {
	for hz := 5.0; hz < 24e3; hz *= 1.07 {
		z := cmplx.Exp(complex(0, -2*math.Pi*hz/48e3))
		h := complex(1, 0)
		for _, s := range kSections {
			num := complex(s.b[0], 0) + z*(complex(s.b[1], 0)+z*complex(s.b[2], 0))
			den := complex(s.a[0], 0) + z*(complex(s.a[1], 0)+z*complex(s.a[2], 0))
			h *= num / den
		}
		want := real(h)*real(h) + imag(h)*imag(h)
		if got := KWeight(hz); math.Abs(got/want-1) > 1e-8 {
			t.Errorf("%g Hz: %g, want %g", hz, got, want)
		}
	}
}

// The filters run over a sine, sample by sample.
func TestKWeightInTime(t *testing.T) {
	const hz, samples = 160.0, 48000
	var in, out float64
	var states [2][2]float64
	for n := range samples {
		x := math.Sin(2 * math.Pi * hz * float64(n) / 48e3)
		y := x
		for k, s := range kSections {
			d := &states[k]
			v := y - s.a[1]*d[0] - s.a[2]*d[1]
			y = s.b[0]*v + s.b[1]*d[0] + s.b[2]*d[1]
			d[1], d[0] = d[0], v
		}
		if n >= samples/2 { // settled; whole periods remain
			in, out = in+x*x, out+y*y
		}
	}
	if got, want := KWeight(hz), out/in; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("%g Hz: %g, the running filter %g", hz, got, want)
	}
}

func TestKWeightEnds(t *testing.T) {
	if got := KWeight(0); got != 0 {
		t.Errorf("at 0 Hz %g, want 0", got)
	}
	top := KWeight(24e3)
	if below := KWeight(23.9e3); math.Abs(below/top-1) > 1e-5 {
		t.Errorf("slope at 24 kHz: %g below, %g there", below, top)
	}
	for _, hz := range []float64{24.1e3, 48e3, 1e6} {
		if got := KWeight(hz); got != top {
			t.Errorf("at %g Hz %g, want the value at 24 kHz, %g", hz, got, top)
		}
	}
}

func BenchmarkKWeight(b *testing.B) {
	for b.Loop() {
		KWeight(1234)
	}
}
