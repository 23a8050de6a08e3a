package thielesmall

import (
	"math"
	"math/cmplx"
	"testing"

	"loadscape/network"
)

// small is the invented driver of the worked values below, which were
// recomputed by an independent program from the formulas of Small, J. Audio
// Eng. Soc. 20 (1972) 383 and 798, 21 (1973) 363. Its cone area is free: the
// values do not depend on it.
var small = Driver{Name: "small", Re: 6, Fs: 30, Qms: 5, Qes: 0.4, Vas: 0.1, Sd: 0.034}

func impedance(t *testing.T, p network.OnePort, hz ...float64) []complex128 {
	t.Helper()
	z, err := network.Impedance(p, hz)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func inBox(e Enclosure, wiring network.OnePort) Cabinet {
	return Cabinet{Name: "box", Wiring: wiring, Enclosure: e}
}

// near reports whether got rounds to want at the given number of decimals.
func near(got, want float64, decimals int) bool {
	return math.Abs(got-want) <= 0.5001*math.Pow10(-decimals)
}

func checkPoints(t *testing.T, p network.OnePort, table map[float64]complex128) {
	t.Helper()
	for f, want := range table {
		z := impedance(t, p, f)[0]
		if !near(real(z), real(want), 6) || !near(imag(z), imag(want), 6) {
			t.Errorf("%g Hz: %.7f, worked value %.6f", f, z, want)
		}
	}
}

func TestDriverIdentities(t *testing.T) {
	e := small.Equivalent()
	if !near(e.Res, 75, 9) || !near(e.Cmes*1e6, 353.6777, 4) || !near(e.Lces*1e3, 79.57747, 5) {
		t.Errorf("equivalent %+v", e)
	}
	checkPoints(t, small, map[float64]complex128{
		10:   6.419515 + 5.593536i,
		20:   10.084720 + 17.019667i,
		30:   81,
		50:   8.547170 - 13.584906i,
		1000: 6.002705 - 0.450389i,
	})
}

// The classical three frequencies: |Z| = √(Re·(Re+Res)) at f1 and f2, of which
// fs is the geometric mean.
func TestDriverThreePoints(t *testing.T) {
	for _, f := range []float64{20.938210, 42.983617} {
		if got := cmplx.Abs(impedance(t, small, f)[0]); !near(got, 22.045408, 5) {
			t.Errorf("|Z| at %g Hz is %.7f, worked value 22.045408", f, got)
		}
	}
}

func TestClosedBox(t *testing.T) {
	fc, qtc := small.ClosedResonance(50e-3)
	if !near(fc, 51.96152, 5) || !near(qtc, 0.641500, 6) {
		t.Errorf("fc %.6f, Qtc %.7f", fc, qtc)
	}
	box := inBox(Closed{Volume: 50e-3}, small)
	if f := extremum(t, box, 45, 60, +1); !near(f, 51.96152, 5) {
		t.Errorf("the circuit's peak is at %.6f Hz", f)
	}
	// Qec by the three-point method on the circuit's curve: Qec = Qmc/(r0−1)
	// with r0 = 1 + Res/Re, Qmc/Qec = Res/Re.
	z := impedance(t, box, 51.96152422706632)[0]
	r0 := real(z) / small.Re
	level := small.Re * math.Sqrt(r0)
	f1 := bisect(20, 51.96, func(f float64) float64 { return cmplx.Abs(impedance(t, box, f)[0]) - level })
	f2 := bisect(51.97, 200, func(f float64) float64 { return level - cmplx.Abs(impedance(t, box, f)[0]) })
	qec := 51.96152422706632 / (f2 - f1) * math.Sqrt(r0) / (r0 - 1)
	if !near(qec, 0.692820, 6) {
		t.Errorf("Qec %.7f", qec)
	}
}

func TestVentedBox(t *testing.T) {
	e := Vented{Volume: 0.1 / 1.5, Tuning: 33, LeakageQ: math.Inf(1)}
	lossless := inBox(e, small)
	fl, fm, fh := extremum(t, lossless, 10, 25, +1), extremum(t, lossless, 25, 42, -1), extremum(t, lossless, 42, 80, +1)
	if !near(fl, 18.033429, 6) || !near(fm, 33, 6) || !near(fh, 54.898046, 6) {
		t.Errorf("lossless: fl %.7f fm %.7f fh %.7f", fl, fm, fh)
	}
	for _, f := range []float64{fl, fh} {
		if z := cmplx.Abs(impedance(t, lossless, f)[0]); !near(z, 81, 6) {
			t.Errorf("lossless: peak of %.7f ohm at %g Hz", z, f)
		}
	}
	if !near(fl*fh, 990, 4) {
		t.Errorf("lossless: fl·fh = %.6f", fl*fh)
	}
	checkPoints(t, lossless, map[float64]complex128{10: 6.608341 + 6.727219i, 60: 19.611827 - 28.906836i})
}

// The frequency of the valley is 32.72295655 Hz in thirty digits.
func TestVentedBoxWithLeaks(t *testing.T) {
	for _, q := range []float64{0, 7} { // 7 is the default
		box := inBox(Vented{Volume: 0.1 / 1.5, Tuning: 33, LeakageQ: q}, small)
		for _, x := range []struct{ from, to, sense, hz, ohm float64 }{
			{10, 25, +1, 17.965486, 53.36931},
			{25, 42, -1, 32.722957, 7.53557},
			{42, 80, +1, 55.149768, 46.59839},
		} {
			f := extremum(t, box, x.from, x.to, x.sense)
			if z := cmplx.Abs(impedance(t, box, f)[0]); !near(f, x.hz, 6) || !near(z, x.ohm, 5) {
				t.Errorf("%.7f ohm at %.7f Hz, worked values %.5f and %.6f", z, f, x.ohm, x.hz)
			}
		}
		checkPoints(t, box, map[float64]complex128{10: 6.672296 + 6.711727i, 60: 22.296965 - 22.344249i})
	}
}

// extremum returns the frequency of the peak (sense +1) or valley (−1) of |Z|,
// where the central difference of |Z|² changes sign.
func extremum(t *testing.T, p network.OnePort, from, to, sense float64) float64 {
	t.Helper()
	size := func(f float64) float64 { return math.Pow(cmplx.Abs(impedance(t, p, f)[0]), 2) }
	const h = 1e-4
	return bisect(from, to, func(f float64) float64 { return -sense * (size(f+h) - size(f-h)) })
}

// bisect returns where f changes from negative to positive.
func bisect(a, b float64, f func(float64) float64) float64 {
	for range 60 {
		if m := (a + b) / 2; f(m) < 0 {
			a = m
		} else {
			b = m
		}
	}
	return a
}
