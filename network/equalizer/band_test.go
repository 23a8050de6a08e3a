package equalizer

import (
	"math"
	"math/cmplx"
	"testing"
)

var samples = []Band{
	{LowShelf, 120, 6, 0.707}, {LowShelf, 250, -9, 0.4}, {Peak, 92, 5.4, 0.9},
	{Peak, 3000, -12, 4}, {Peak, 15e3, 8, 1}, {HighShelf, 4000, 3, 0.5}, {HighShelf, 9000, -15, 0.707},
}

func decibels(h complex128) float64 { return 20 * math.Log10(cmplx.Abs(h)) }

// Zölzer, Digital Audio Signal Processing, the tables of second-order shelving
// and peak filters with boost, from memory. There V0 = 10^(G/20), and
// K = tan(πfc/fs) belongs to the poles: fc = f·√A for a high shelf and f/√A for
// a low one; a peak's Q is that of the poles, A·Q.
func TestCoefficientsPublished(t *testing.T) {
	const rate, gain = 48e3, 7.0
	v := math.Pow(10, gain/20)
	a := math.Sqrt(v)
	tan := func(hz float64) float64 { return math.Tan(math.Pi * hz / rate) }

	k := tan(300) / math.Sqrt(a)
	d := 1 + math.Sqrt2*k + k*k
	checkCoefficients(t, Band{LowShelf, 300, gain, math.Sqrt2 / 2}, Coefficients{
		(1 + math.Sqrt(2*v)*k + v*k*k) / d, 2 * (v*k*k - 1) / d, (1 - math.Sqrt(2*v)*k + v*k*k) / d,
		2 * (k*k - 1) / d, (1 - math.Sqrt2*k + k*k) / d,
	})
	k = tan(5000) * math.Sqrt(a)
	d = 1 + math.Sqrt2*k + k*k
	checkCoefficients(t, Band{HighShelf, 5000, gain, math.Sqrt2 / 2}, Coefficients{
		(v + math.Sqrt(2*v)*k + k*k) / d, 2 * (k*k - v) / d, (v - math.Sqrt(2*v)*k + k*k) / d,
		2 * (k*k - 1) / d, (1 - math.Sqrt2*k + k*k) / d,
	})
	k = tan(1000)
	q := 2.5 * a
	d = 1 + k/q + k*k
	checkCoefficients(t, Band{Peak, 1000, gain, 2.5}, Coefficients{
		(1 + v*k/q + k*k) / d, 2 * (k*k - 1) / d, (1 - v*k/q + k*k) / d,
		2 * (k*k - 1) / d, (1 - k/q + k*k) / d,
	})
}

func checkCoefficients(t *testing.T, b Band, want Coefficients) {
	t.Helper()
	got := b.Coefficients(48e3)
	for _, pair := range [][2]float64{{got.B0, want.B0}, {got.B1, want.B1}, {got.B2, want.B2}, {got.A1, want.A1}, {got.A2, want.A2}} {
		if math.Abs(pair[0]-pair[1]) > 1e-12 {
			t.Errorf("%v: %+v, want %+v", b, got, want)
			return
		}
	}
}

// The three ways to the response agree: the coefficients on the unit circle,
// the prototype at the warped frequency, and the magnitude of the fit.
func TestResponsesAgree(t *testing.T) {
	for _, b := range samples {
		for _, rate := range []float64{44.1e3, 48e3, 192e3} {
			c := b.Coefficients(rate)
			for hz := 20.0; hz < rate/2; hz *= 1.17 {
				digital, prototype := c.Response(hz, rate), b.Response(hz, rate)
				if cmplx.Abs(digital/prototype-1) > 1e-8 {
					t.Errorf("%v, %g Hz of %g: coefficients give %v, prototype %v", b, hz, rate, digital, prototype)
				}
				if db := b.DB(hz, rate); math.Abs(db-decibels(prototype)) > 1e-9 {
					t.Errorf("%v, %g Hz of %g: %g dB, response %g dB", b, hz, rate, db, decibels(prototype))
				}
			}
		}
	}
}

// An impulse run through the difference equation has the stated spectrum.
func TestCoefficientsInTime(t *testing.T) {
	const rate = 48e3
	b := Band{Peak, 2000, 6, 1}
	c := b.Coefficients(rate)
	var sum complex128
	var x, y [3]float64 // newest first
	for n := range 4000 {
		x[2], x[1], x[0] = x[1], x[0], 0
		if n == 0 {
			x[0] = 1
		}
		y[2], y[1] = y[1], y[0]
		y[0] = c.B0*x[0] + c.B1*x[1] + c.B2*x[2] - c.A1*y[1] - c.A2*y[2]
		sum += complex(y[0], 0) * cmplx.Exp(complex(0, -2*math.Pi*1500*float64(n)/rate))
	}
	if want := b.Response(1500, rate); cmplx.Abs(sum-want) > 1e-10 {
		t.Errorf("spectrum of the impulse response %v, want %v", sum, want)
	}
}

func TestBandLandmarks(t *testing.T) {
	for _, b := range samples {
		for _, rate := range []float64{48e3, math.Inf(1)} {
			low, at, high := b.DB(1e-3, rate), b.DB(b.Hz, rate), b.DB(math.Min(23999.99, 1e9), rate)
			if math.IsInf(rate, 1) {
				high = b.DB(1e8, rate)
			}
			want := map[Kind][3]float64{
				LowShelf: {b.Gain, b.Gain / 2, 0}, Peak: {0, b.Gain, 0}, HighShelf: {0, b.Gain / 2, b.Gain},
			}[b.Kind]
			if math.Abs(low-want[0])+math.Abs(at-want[1])+math.Abs(high-want[2]) > 1e-3 {
				t.Errorf("%v at %g Hz: %g, %g, %g dB, want %v", b, rate, low, at, high, want)
			}
			cut := b
			cut.Gain = -b.Gain
			if product := b.Response(777, rate) * cut.Response(777, rate); cmplx.Abs(product-1) > 1e-12 {
				t.Errorf("%v: boost times cut is %v", b, product)
			}
		}
	}
	b := Band{Peak, 1000, 8, 1.3}
	for _, hz := range []float64{1000 * math.Exp2(b.Octaves()/2), 1000 / math.Exp2(b.Octaves()/2)} {
		if db := b.DB(hz, math.Inf(1)); math.Abs(db-4) > 1e-9 {
			t.Errorf("half an %v: %g dB", b, db)
		}
	}
}

// What the package says of circuits: a parallel resonance behind a source
// resistance is a peak, an inductance there a shelf of first order.
func TestBandsAreCircuits(t *testing.T) {
	const re, source, res, q, f0, coil = 6.5, 8.0, 50.0, 4.0, 92.0, 1e-3
	peakGain := 20 * math.Log10((re+res)/(re+res+source)*(re+source)/re)
	damped := math.Sqrt((re + res) / re * (re + res + source) / (re + source))
	peak := Band{Peak, f0, peakGain, q / damped}
	shelfGain := 20 * math.Log10((re+source)/re)
	a := math.Pow(10, shelfGain/40)
	shelf := Band{HighShelf, math.Sqrt(re*(re+source)) / (2 * math.Pi * coil), shelfGain, math.Sqrt(a) / (1 + a)}
	base := 20 * math.Log10(re/(re+source))
	for hz := 20.0; hz < 20e3; hz *= 1.1 {
		z := complex(re, 0) + res/complex(1, q*(hz/f0-f0/hz))
		if got, want := peak.DB(hz, math.Inf(1))+base, decibels(z/(z+source)); math.Abs(got-want) > 1e-9 {
			t.Errorf("resonance at %g Hz: %g dB, circuit %g dB", hz, got, want)
		}
		z = complex(re, 2*math.Pi*hz*coil)
		if got, want := shelf.DB(hz, math.Inf(1))+base, decibels(z/(z+source)); math.Abs(got-want) > 1e-9 {
			t.Errorf("inductance at %g Hz: %g dB, circuit %g dB", hz, got, want)
		}
	}
}

func TestBandString(t *testing.T) {
	for b, want := range map[Band]string{
		{Peak, 92, -5.4, 0.87}:       "peak at 92 Hz, -5.4 dB, Q 0.87",
		{LowShelf, 120.04, 3, 0.707}: "low shelf at 120 Hz, +3.0 dB, Q 0.71",
		{HighShelf, 4567, 0.55, 0.5}: "high shelf at 4567 Hz, +0.6 dB, Q 0.50",
	} {
		if got := b.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestCoefficientsPanicAboveNyquist(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	Band{Peak, 24e3, 1, 1}.Coefficients(48e3)
}

// The slopes of a curve against differences of it.
func TestCurveSlopes(t *testing.T) {
	const step = 1e-5
	for _, b := range samples {
		value := func(ratio, gain, q float64) float64 {
			power, _ := newCurve(b.Kind, gain, q).at(ratio * ratio)
			return 10 * math.Log10(power)
		}
		for ratio := 0.05; ratio < 20; ratio *= 1.5 {
			_, got := newCurve(b.Kind, b.Gain, b.Q).at(ratio * ratio)
			up, down := math.Exp(step), math.Exp(-step)
			want := slope{
				gain:  (value(ratio, b.Gain+step, b.Q) - value(ratio, b.Gain-step, b.Q)) / (2 * step),
				ratio: (value(ratio*up, b.Gain, b.Q) - value(ratio*down, b.Gain, b.Q)) / (2 * step),
				q:     (value(ratio, b.Gain, b.Q*up) - value(ratio, b.Gain, b.Q*down)) / (2 * step),
			}
			if math.Abs(got.gain-want.gain)+math.Abs(got.ratio-want.ratio)+math.Abs(got.q-want.q) > 1e-6 {
				t.Errorf("%v at ratio %g: %+v, want %+v", b, ratio, got, want)
			}
		}
	}
}

func BenchmarkBandDB(b *testing.B) {
	for b.Loop() {
		samples[2].DB(123, 48e3)
	}
}

func BenchmarkCoefficients(b *testing.B) {
	for b.Loop() {
		samples[2].Coefficients(48e3)
	}
}
