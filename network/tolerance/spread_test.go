package tolerance

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"loadscape/network"
)

func resistor(ohms, tolerance float64) network.Resistor {
	return network.Resistor{Ohms: ohms, Rating: network.Rating{Tolerance: tolerance}}
}

func capacitor(farads, tolerance float64) network.Capacitor {
	return network.Capacitor{Farads: farads, Rating: network.Rating{Tolerance: tolerance}}
}

func inductor(henries, dcr, tolerance float64) network.Inductor {
	return network.Inductor{Henries: henries, DCR: dcr, Rating: network.Rating{Tolerance: tolerance}}
}

func frequencies(t testing.TB, perOctave int) []float64 {
	t.Helper()
	hz, err := network.Sweep{PerOctave: perOctave}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	return hz
}

func load(t testing.TB, p network.OnePort, hz []float64, o Options) *Result {
	t.Helper()
	r, err := Load(context.Background(), p, hz, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// spreadOf is the standard deviation of a part over its tolerance. A uniform
// part has 1/√3. A normal curve cut off at ±a standard deviations has the
// variance 1 − 2aφ(a)/(2Φ(a) − 1) of the whole one (Johnson and Kotz,
// Continuous Univariate Distributions 1, ch. 13; from memory).
func spreadOf(d Distribution, a float64) float64 {
	if d == Uniform {
		return 1 / math.Sqrt(3)
	}
	density := math.Exp(-a*a/2) / math.Sqrt(2*math.Pi)
	return math.Sqrt(1-2*a*density/math.Erf(a/math.Sqrt2)) / a
}

// A resistor and a capacitor in series have |Z|² = R² + X², so that to first
// order the variance of |Z| over |Z|² is (R²·σR)² + (X²·σC)² over |Z|⁴, σ
// being relative (propagation of uncertainty, JCGM 100:2008, 5.1.2). At
// tolerances of 1 % and 2 % what is left out is under 1e-3.
func TestSpreadAgainstAnalyticVariance(t *testing.T) {
	const r, c, tr, tc, builds = 8.0, 47e-6, 0.01, 0.02, 100_000
	hz := frequencies(t, 1)
	for _, law := range []struct {
		Distribution
		sigmas float64
	}{{Uniform, 3}, {Normal, 3}, {Normal, 2}} {
		got := load(t, network.Series{resistor(r, tr), capacitor(c, tc)}, hz,
			Options{Builds: builds, Seed: 7, Distribution: law.Distribution, Sigmas: law.sigmas})
		s := spreadOf(law.Distribution, law.sigmas)
		for k, f := range hz {
			x := 1 / (2 * math.Pi * f * c)
			z2 := r*r + x*x
			want := 20 / math.Ln10 * math.Hypot(r*r*tr*s, x*x*tc*s) / z2
			// The standard error of a standard deviation is at most that of
			// normal values, σ/√(2n).
			if tell := math.Abs(got.Spread[k]/want - 1); tell > 4/math.Sqrt(2*builds)+1e-3 {
				t.Errorf("%v, %g σ, %.4g Hz: standard deviation %.6g dB, want %.6g dB", law.Distribution, law.sigmas, f, got.Spread[k], want)
			}
		}
	}
}

// A single uniform resistor of tolerance t has the percentile p at 1 + t(2p−1)
// times its value, and is within L dB in a share of builds that is plain to
// see.
func TestPercentilesOfOneResistor(t *testing.T) {
	const ohms, tol, limit, n = 8.0, 0.1, 0.5, 200_000
	r := load(t, network.Series{resistor(ohms, tol)}, frequencies(t, 1), Options{Builds: n, Seed: 3, Limit: limit})
	for _, c := range []struct {
		p   float64
		got []float64
	}{{0.05, r.Impedance.P5}, {0.25, r.Impedance.P25}, {0.5, r.Impedance.P50}, {0.75, r.Impedance.P75}, {0.95, r.Impedance.P95}} {
		want := ohms * (1 + tol*(2*c.p-1))
		scatter := 4 * math.Sqrt(c.p*(1-c.p)/n) * 2 * tol * ohms
		bin := ohms * math.Log(10) / 20 * 0.005
		for k, got := range c.got {
			if math.Abs(got-want) > scatter+bin {
				t.Errorf("percentile %g at %g Hz: %g ohm, want %g", 100*c.p, r.Hz[k], got, want)
			}
		}
	}
	share := (math.Pow(10, limit/20) - math.Pow(10, -limit/20)) / (2 * tol)
	if r.Within.Low > share || r.Within.High < share {
		t.Errorf("share within %g dB: %g to %g, want %g", limit, r.Within.Low, r.Within.High, share)
	}
	if want := 20 * math.Log10(1-tol); math.Abs(r.Corner.Largest-want) > 1e-12 || !r.AllCorners {
		t.Errorf("worst corner %g dB, want %g dB", r.Corner.Largest, want)
	}
	if r.Worst.Largest < r.Corner.Largest || r.Worst.Largest > r.Corner.Largest+0.01 {
		t.Errorf("worst build %g dB, worst corner %g dB", r.Worst.Largest, r.Corner.Largest)
	}
	if len(r.Fixed) != 0 {
		t.Errorf("fixed parts %v", r.Fixed)
	}
}

// The slow reference keeps every value and sorts.
func TestQuantilesAgainstSorting(t *testing.T) {
	var rng *rand.Rand
	for name, draw := range map[string]func() float64{
		"uniform":   func() float64 { return 0.3 * (rng.Float64() - 0.5) },
		"normal":    func() float64 { return 0.02 + 0.8*rng.NormFloat64() },
		"two humps": func() float64 { return math.Copysign(6, rng.Float64()-0.4) + rng.NormFloat64() },
		"wide":      func() float64 { return math.Sinh(3*rng.NormFloat64()) / 1e4 },
		"one-sided": func() float64 { return -rng.ExpFloat64() },
		"far":       func() float64 { return 75 * rng.NormFloat64() },
	} {
		const n = 4001
		rng = rand.New(rand.NewPCG(1, 2))
		h, kept, mean := new(histogram), make([]float64, n), 0.0
		for i := range kept {
			kept[i] = draw()
			h.add(kept[i])
			mean += kept[i] / n
		}
		slices.Sort(kept)
		for _, p := range []float64{0.001, 0.05, 0.25, 0.5, 0.75, 0.95, 0.999} {
			want := kept[int(math.Ceil(p*n))-1]
			if got := h.quantile(p, n); math.Abs(got-want) > 1.01*math.Hypot(want, unit)/perUnit {
				t.Errorf("%s: quantile %g is %g dB, sorting gives %g", name, p, got, want)
			}
		}
		square := 0.0
		for _, x := range kept {
			square += (x - mean) * (x - mean)
		}
		if want := math.Sqrt(square / n); math.Abs(h.deviation(n)-want) > math.Hypot(want, unit)/perUnit/2 {
			t.Errorf("%s: standard deviation %g dB, want %g", name, h.deviation(n), want)
		}
	}
}

// Neighbouring builds and parts must be as good as independent: means, mean
// squares and products over builds are held to four standard errors, which of
// uniform values on −1 to 1 are √(1/3n), √(4/45n) and √(1/9n).
func TestDrawsAreIndependent(t *testing.T) {
	const n, parts = 50_000, 4
	s := newSampler(Options{Seed: 1})
	list := make([]*part, parts)
	for i := range list {
		list[i] = &part{tolerance: 0.5}
	}
	var sum, square, across, along [parts]float64
	last, now := make([]float64, parts), make([]float64, parts)
	for b := range n {
		s.draw(now, list, b)
		for i := range now {
			now[i] = 2 * (now[i] - 1)
			sum[i] += now[i] / n
			square[i] += now[i] * now[i] / n
			across[i] += now[i] * now[(i+parts-1)%parts] * min(1, float64(i)) / n
			along[i] += now[i] * last[i] / n
		}
		now, last = last, now
	}
	for i := range sum {
		for _, c := range []struct {
			what            string
			got, want, unit float64
		}{
			{"mean", sum[i], 0, 1.0 / 3},
			{"mean square", square[i], 1.0 / 3, 4.0 / 45},
			{"product of two parts", across[i], 0, 1.0 / 9},
			{"product of two builds", along[i], 0, 1.0 / 9},
		} {
			if math.Abs(c.got-c.want) > 4*math.Sqrt(c.unit/n) {
				t.Errorf("part %d: %s %g, want %g", i, c.what, c.got, c.want)
			}
		}
	}
}

// Newcombe, Stat. Med. 17 (1998) 857, Table I, method 3 (from memory).
func TestShareIsWilsons(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		if s := shareOf(c.k, c.n); math.Abs(s.Low-c.low) > 5e-5 || math.Abs(s.High-c.high) > 5e-5 {
			t.Errorf("%d of %d: %.4f to %.4f, want %.4f to %.4f", c.k, c.n, s.Low, s.High, c.low, c.high)
		}
	}
}
