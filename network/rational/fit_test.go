package rational

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
)

// example is the first test function of Gustavsen and Semlyen, IEEE Trans.
// Power Delivery 14 (1999) 1052, section 4.1.
var example = Function{
	Poles:    []complex128{-5, -100 + 500i, -100 - 500i},
	Residues: []complex128{2, 30 + 40i, 30 - 40i},
	Constant: 0.5,
}

// logSpaced returns n frequencies in rad/s for hertz from low to high.
func logSpaced(low, high float64, n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 2 * math.Pi * low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return w
}

func values(f *Function, w []float64) []complex128 {
	out := make([]complex128, len(w))
	for i := range w {
		out[i] = f.AtFrequency(w[i])
	}
	return out
}

func reciprocals(f []complex128) []float64 {
	out := make([]float64, len(f))
	for i := range f {
		out[i] = 1 / cmplx.Abs(f[i])
	}
	return out
}

// near checks that got has the poles, residues and constants of want.
func near(t *testing.T, got *Function, want Function, tolerance float64) {
	t.Helper()
	if len(got.Poles) != len(want.Poles) {
		t.Fatalf("poles %v, want %v", got.Poles, want.Poles)
	}
	for n, p := range want.Poles {
		if d := cmplx.Abs(got.Poles[n] - p); d > tolerance*cmplx.Abs(p) {
			t.Errorf("pole %v, want %v: off by %.1g", got.Poles[n], p, d/cmplx.Abs(p))
		}
		if d := cmplx.Abs(got.Residues[n] - want.Residues[n]); d > tolerance*cmplx.Abs(want.Residues[n]) {
			t.Errorf("residue %v, want %v", got.Residues[n], want.Residues[n])
		}
	}
	if math.Abs(got.Constant-want.Constant) > tolerance*max(1, math.Abs(want.Constant)) {
		t.Errorf("constant %v, want %v", got.Constant, want.Constant)
	}
	if math.Abs(got.Proportional-want.Proportional) > tolerance*math.Abs(want.Proportional) {
		t.Errorf("proportional term %v, want %v", got.Proportional, want.Proportional)
	}
}

func TestGustavsenFirstExample(t *testing.T) {
	w := logSpaced(1, 10e3, 100)
	f := values(&example, w)
	for name, start := range map[string][]complex128{
		"default": nil,
		"real":    {-10, -1000, -10000},
		"complex": {-1, -2 + 200i, -2 - 200i},
	} {
		got, err := Fit(w, f, Options{Order: 3, Poles: start})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: RMS %.1g after %d iterations, poles %v", name, got.RMS, got.Iterations, got.Poles)
		near(t, &got.Function, example, 1e-12)
		if got.RMS > 1e-14 {
			t.Errorf("%s: RMS %g", name, got.RMS)
		}
	}
}

// More poles than there are: the function is found all the same.
func TestMorePolesThanNeeded(t *testing.T) {
	w := logSpaced(1, 10e3, 100)
	f := values(&example, w)
	for _, order := range []int{4, 6, 12, 20} {
		got, err := Fit(w, f, Options{Order: order})
		if err != nil {
			t.Fatal(err)
		}
		if got.RMS > 1e-12 {
			t.Errorf("order %d: RMS %g", order, got.RMS)
		}
		for _, p := range got.Poles {
			if real(p) >= 0 {
				t.Errorf("order %d: unstable pole %v", order, p)
			}
		}
	}
}

// A loudspeaker's impedance: resistance, inductance, two resonances. The
// parts are read back from the sections.
func TestLoudspeakerSections(t *testing.T) {
	const le = 0.6e-3
	resonances := []Section{{Hz: 27, Q: 5, R: 31}, {Hz: 74, Q: 7.5, R: 46}}
	w := logSpaced(10, 20e3, 480)
	z := make([]complex128, len(w))
	for i := range w {
		s := complex(0, w[i])
		z[i] = 6.5 + s*le
		for _, r := range resonances {
			w0 := complex(2*math.Pi*r.Hz, 0)
			b := s * w0 / complex(r.Q, 0)
			z[i] += complex(r.R, 0) * b / (s*s + b + w0*w0)
		}
	}
	got, err := Fit(w, z, Options{Order: 4, Proportional: true, Weights: reciprocals(z)})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Constant-6.5) > 1e-9 || math.Abs(got.Proportional-le) > 1e-12 {
		t.Errorf("constant %v, proportional %v", got.Constant, got.Proportional)
	}
	sections := got.Sections()
	if len(sections) != 2 {
		t.Fatalf("sections %v", sections)
	}
	for i, want := range resonances {
		s := sections[i]
		if math.Abs(s.Hz/want.Hz-1)+math.Abs(s.Q/want.Q-1)+math.Abs(s.R/want.R-1)+math.Abs(s.Skew) > 1e-9 {
			t.Errorf("section %+v, want %+v", s, want)
		}
	}
}

// A section's formula is the pair of partial fractions it came from.
func TestSectionIsThePair(t *testing.T) {
	pair := Function{Poles: example.Poles[1:], Residues: example.Residues[1:]}
	c := pair.Sections()[0]
	w0 := complex(2*math.Pi*c.Hz, 0)
	for _, w := range []float64{1, 300, 520, 9000} {
		s := complex(0, w)
		b := w0 / complex(c.Q, 0)
		want := complex(c.R, 0) * (s*b + complex(c.Skew, 0)*w0*b) / (s*s + s*b + w0*w0)
		if got := pair.At(s); cmplx.Abs(got-want) > 1e-14*cmplx.Abs(want) {
			t.Errorf("ω = %g: %v, want %v", w, got, want)
		}
	}
}

// Random functions of many poles over four decades, with and without the
// constant and the proportional term.
func TestRandomFunctions(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for trial := range 40 {
		var want Function
		pairs, reals := 1+rng.IntN(5), rng.IntN(3)
		for range pairs {
			w := math.Exp(math.Log(50) + rng.Float64()*math.Log(1000))
			p := complex(-w*(0.01+0.3*rng.Float64()), w)
			r := cmplx.Rect(cmplx.Abs(p), 6*rng.Float64())
			want.Poles = append(want.Poles, p, cmplx.Conj(p))
			want.Residues = append(want.Residues, r, cmplx.Conj(r))
		}
		for range reals {
			p := -math.Exp(math.Log(50) + rng.Float64()*math.Log(1000))
			want.Poles, want.Residues = append(want.Poles, complex(p, 0)), append(want.Residues, complex(-p, 0))
		}
		o := Options{Order: len(want.Poles), NoConstant: trial%3 == 0, Proportional: trial%2 == 0}
		if !o.NoConstant {
			want.Constant = 2
		}
		if o.Proportional {
			want.Proportional = 1e-4
		}
		w := logSpaced(1, 20e3, 400)
		f := values(&want, w)
		o.Weights = reciprocals(f)
		got, err := Fit(w, f, o)
		if err != nil {
			t.Fatal(err)
		}
		if got.RMS > 1e-10 {
			t.Errorf("trial %d, %d poles: relative RMS %g after %d iterations", trial, o.Order, got.RMS, got.Iterations)
		}
	}
}

// With noise the deviation is that of the noise, and the poles stay near.
func TestNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	w := logSpaced(1, 10e3, 480)
	f := values(&example, w)
	for i := range f {
		f[i] *= complex(1+0.01*rng.NormFloat64(), 0.01*rng.NormFloat64())
	}
	got, err := Fit(w, f, Options{Order: 3, Weights: reciprocals(f)})
	if err != nil {
		t.Fatal(err)
	}
	if got.RMS > 0.01*math.Sqrt2*1.05 {
		t.Errorf("RMS %g, noise %g", got.RMS, 0.01*math.Sqrt2)
	}
	near(t, &got.Function, example, 0.03)
}

// A frequency of weight zero does not count.
func TestWeights(t *testing.T) {
	w := logSpaced(1, 10e3, 100)
	f := values(&example, w)
	f[40] = 1000
	weights := make([]float64, len(w))
	for i := range weights {
		weights[i] = 1
	}
	weights[40] = 0
	got, err := Fit(w, f, Options{Order: 3, Weights: weights})
	if err != nil {
		t.Fatal(err)
	}
	near(t, &got.Function, example, 1e-9)
}

func TestUnstablePoles(t *testing.T) {
	unstable := Function{Poles: []complex128{100 + 500i, 100 - 500i}, Residues: []complex128{30 + 40i, 30 - 40i}, Constant: 0.5}
	w := logSpaced(1, 10e3, 100)
	f := values(&unstable, w)
	got, err := Fit(w, f, Options{Order: 2, Unstable: true})
	if err != nil {
		t.Fatal(err)
	}
	near(t, &got.Function, unstable, 1e-9)
	got, err = Fit(w, f, Options{Order: 2})
	if err != nil {
		t.Fatal(err)
	}
	if slices.ContainsFunc(got.Poles, func(p complex128) bool { return real(p) >= 0 }) {
		t.Errorf("poles %v: want stable ones", got.Poles)
	}
}

func TestNoPoles(t *testing.T) {
	got, err := Fit([]float64{1, 2, 3}, []complex128{4 + 2i, 4 + 4i, 4 + 6i}, Options{Proportional: true})
	if err != nil || math.Abs(got.Constant-4) > 1e-14 || math.Abs(got.Proportional-2) > 1e-14 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestRefuses(t *testing.T) {
	w, f := []float64{1, 2, 3, 4}, []complex128{1, 2, 3, 4}
	for name, c := range map[string]struct {
		w []float64
		f []complex128
		o Options
	}{
		"nothing":        {nil, nil, Options{Order: 1}},
		"too few":        {w, f, Options{Order: 4}},
		"order":          {w, f, Options{Order: -1}},
		"high order":     {w, f, Options{Order: MaxOrder + 1}},
		"zero frequency": {[]float64{0, 1, 2, 3}, f, Options{Order: 1}},
		"NaN":            {w, []complex128{1, cmplx.NaN(), 3, 4}, Options{Order: 1}},
		"weight":         {w, f, Options{Order: 1, Weights: []float64{1, -1, 1, 1}}},
		"no weight":      {w, f, Options{Order: 1, Weights: make([]float64, 4)}},
		"huge":           {w, []complex128{1e300, 1e308, 1e308, 1}, Options{Order: 1, Weights: []float64{1e10, 1e10, 1e10, 1e10}}},
		"lone pole":      {w, f, Options{Poles: []complex128{-1 + 1i}}},
		"wrong pair":     {w, f, Options{Poles: []complex128{-1 + 1i, -2 - 1i}}},
		"wrong order":    {w, f, Options{Poles: []complex128{-1 - 1i, -1 + 1i}}},
		"iterations":     {w, f, Options{Order: 1, Iterations: -1}},
	} {
		if got, err := Fit(c.w, c.f, c.o); err == nil {
			t.Errorf("%s: no error, but %+v", name, got)
		}
	}
}

func TestStartPoles(t *testing.T) {
	for n := range 6 {
		poles := StartPoles(10, 1000, n)
		if len(poles) != n || checkPoles(poles) != nil {
			t.Errorf("%d: %v, %v", n, poles, checkPoles(poles))
		}
	}
}

func BenchmarkFit(b *testing.B) {
	w := logSpaced(10, 20e3, 480)
	f := values(&example, w)
	for _, order := range []int{4, 8} {
		b.Run(fmt.Sprint(order), func(b *testing.B) {
			for b.Loop() {
				if _, err := Fit(w, f, Options{Order: order, Iterations: 5}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func ExampleFit() {
	w := logSpaced(1, 10e3, 100)
	f := values(&example, w)
	got, err := Fit(w, f, Options{Order: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for n, p := range got.Poles {
		fmt.Printf("pole %.4f, residue %.4f\n", p, got.Residues[n])
	}
	fmt.Printf("constant %.4f\n", got.Constant)
	// Output:
	// pole (-5.0000+0.0000i), residue (2.0000+0.0000i)
	// pole (-100.0000+500.0000i), residue (30.0000+40.0000i)
	// pole (-100.0000-500.0000i), residue (30.0000-40.0000i)
	// constant 0.5000
}
