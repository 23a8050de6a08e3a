package measured

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// impedance is a network's impedance in closed form over s = jω.
type impedance func(s complex128) complex128

// section returns R ∥ L ∥ C of resonance hz, quality q and resistance r.
func section(s complex128, hz, q, r float64) complex128 {
	w0 := complex(2*math.Pi*hz, 0)
	b := s * w0 / complex(q, 0)
	return complex(r, 0) * b / (s*s + b + w0*w0)
}

// networks are known ones of the kinds that are measured.
var networks = map[string]impedance{
	"semi-inductance": func(s complex128) complex128 {
		return 6.5 + section(s, 78, 8, 60) + 0.05e-3*s + 1/(1/(0.8e-3*s)+1/(0.04*cmplx.Sqrt(s))+1.0/150)
	},
	"inductance":       func(s complex128) complex128 { return 6.5 + section(s, 78, 8, 60) + 0.6e-3*s },
	"small inductance": func(s complex128) complex128 { return 6.5 + section(s, 78, 8, 60) + 0.1e-3*s },
	"power law":        func(s complex128) complex128 { return 6.5 + section(s, 40, 4, 60) + 0.03*cmplx.Pow(s, 0.66) },
	"vented": func(s complex128) complex128 {
		return 6.5 + section(s, 30, 4, 30) + section(s, 90, 5, 40) + 0.2e-3*s + 1/(1/7.5+1/(0.9e-3*s))
	},
	"speaker-like load": func(s complex128) complex128 { return 6.2 + section(s, 78, 4, 33) + 1/(1/24.0+1/(1e-3*s)) },
}

// at returns z at frequencies in hertz.
func (z impedance) at(hz []float64) []complex128 {
	out := make([]complex128, len(hz))
	for i, f := range hz {
		out[i] = z(complex(0, 2*math.Pi*f))
	}
	return out
}

// logHz returns frequencies from·2^(i/perOctave) up to and including to.
func logHz(from, to float64, perOctave int) []float64 {
	n := int(math.Log2(to/from)*float64(perOctave)+1e-9) + 1
	hz := make([]float64, n)
	for i := range hz {
		hz[i] = from * math.Exp2(float64(i)/float64(perOctave))
	}
	return hz
}

// phaseError returns the largest error in degrees of the phase computed from
// noisy magnitudes of z, at the ends and from an octave inside on.
func phaseError(t *testing.T, z impedance, noise float64) (ends, inside float64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	hz := logHz(20, 20e3, 48)
	exact := z.at(hz)
	m := make([]float64, len(hz))
	for i := range m {
		m[i] = cmplx.Abs(exact[i]) * (1 + noise*rng.NormFloat64())
	}
	got, err := MinimumPhase(hz, m)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range hz {
		e := math.Abs(got[i]-cmplx.Phase(exact[i])) / degree
		ends = max(ends, e)
		if f >= 40 && f <= 10e3 {
			inside = max(inside, e)
		}
	}
	return ends, inside
}

// The errors that the documentation of MinimumPhase states.
func TestMinimumPhaseOfKnownNetworks(t *testing.T) {
	for name, z := range networks {
		ends, inside := phaseError(t, z, 0)
		t.Logf("%s: %.2f° at the ends, %.2f° an octave inside", name, ends, inside)
		if ends > 4 || inside > 2 {
			t.Errorf("%s: %.2f° at the ends, %.2f° an octave inside: stated are 4° and 2°", name, ends, inside)
		}
		ends, inside = phaseError(t, z, 0.01)
		t.Logf("%s with 1 %% noise: %.2f° at the ends, %.2f° an octave inside", name, ends, inside)
		if ends > 8 || inside > 4 {
			t.Errorf("%s with 1 %% noise: %.2f° at the ends, %.2f° an octave inside: stated are 8° and 4°", name, ends, inside)
		}
	}
}

// Bode's theorem: |Z| ~ ω^n everywhere has the phase n·90° everywhere.
func TestMinimumPhaseOfPowerLaws(t *testing.T) {
	hz := logHz(10, 40e3, 24)
	for _, n := range []float64{-1, 0, 1} {
		m := make([]float64, len(hz))
		for i, f := range hz {
			m[i] = 8 * math.Pow(f/1000, n)
		}
		got, err := MinimumPhase(hz, m)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range hz {
			// The lower end of a positive slope cannot be told from the
			// flank of a resonance and is taken for one.
			if n > 0 && f < 5e3 {
				continue
			}
			if math.Abs(got[i]/degree-90*n) > 0.5 {
				t.Fatalf("n = %g: %.3f° at %g Hz, want %g°", n, got[i]/degree, f, 90*n)
			}
		}
	}
}

// The convolution against the sum over pieces written out, and the integral's
// closed form against quadrature.
func TestBodeAgainstSlowReference(t *testing.T) {
	g := logGrid{first: 0, step: 0.05, n: 201}
	a := make([]float64, g.n)
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range a {
		a[i] = math.Sin(float64(i)/9) + 0.1*rng.NormFloat64()
	}
	signed := func(u float64) float64 { return math.Copysign(cothIntegral(math.Abs(u)), u) }
	got := g.bode(a)
	for j := range a {
		sum := (a[1] - a[0]) / g.step * (cothTotal - signed(float64(j)*g.step))
		sum += (a[g.n-1] - a[g.n-2]) / g.step * (cothTotal - signed(float64(g.n-1-j)*g.step))
		for i := range g.n - 1 {
			sum += (a[i+1] - a[i]) / g.step * (signed(float64(i+1-j)*g.step) - signed(float64(i-j)*g.step))
		}
		if math.Abs(got[j]-sum/math.Pi) > 1e-12 {
			t.Fatalf("point %d: %.15f, want %.15f", j, got[j], sum/math.Pi)
		}
	}
}

func TestCothIntegral(t *testing.T) {
	const n = 200_000
	for _, u := range []float64{0.1, 1, 5} {
		sum, h := 0.0, u/n
		for i := range n { // midpoints: the singularity at zero is integrable
			sum += h * math.Log(1/math.Tanh((float64(i)+0.5)*h/2))
		}
		if got := cothIntegral(u); math.Abs(got-sum) > 1e-5 {
			t.Errorf("up to %g: %.8f, want %.8f", u, got, sum)
		}
	}
}

func TestMinimumPhaseRefuses(t *testing.T) {
	ok := logHz(20, 20e3, 1)
	for name, m := range map[string][]float64{
		"zero": append(make([]float64, 1), ones(len(ok)-1)...),
		"NaN":  append([]float64{math.NaN()}, ones(len(ok)-1)...),
	} {
		if _, err := MinimumPhase(ok, m); err == nil {
			t.Errorf("magnitude %s: no error", name)
		}
	}
	if _, err := MinimumPhase(ok[:MinPhaseRows-1], ones(MinPhaseRows-1)); err == nil {
		t.Error("too few points: no error")
	}
	if _, err := MinimumPhase(logHz(20, 38, 12), ones(12)); err == nil {
		t.Error("less than an octave: no error")
	}
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

func BenchmarkMinimumPhase(b *testing.B) {
	hz := logHz(20, 20e3, 48)
	m := make([]float64, len(hz))
	for i, z := range networks["vented"].at(hz) {
		m[i] = cmplx.Abs(z)
	}
	for b.Loop() {
		if _, err := MinimumPhase(hz, m); err != nil {
			b.Fatal(err)
		}
	}
}
