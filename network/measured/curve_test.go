package measured

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"
)

func newCurve(t testing.TB, z impedance, hz []float64) *Curve {
	t.Helper()
	c, err := NewCurve(&Table{Name: "z", Hz: hz, Z: z.at(hz)})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Between rows the curve follows the network it was taken from: the largest
// errors seen are those at the top of a resonance of Q = 8, and they shrink
// with the square of the distance between rows.
func TestCurveBetweenRows(t *testing.T) {
	for perOctave, limit := range map[int]float64{24: 1.2e-2, 48: 4e-3, 96: 2e-3, 384: 1.3e-4} {
		for name, z := range networks {
			c := newCurve(t, z, logHz(20, 20e3, perOctave))
			worst := 0.0
			for _, hz := range logHz(20, 19e3, 1000) {
				got, err := c.Impedance(2 * math.Pi * hz)
				if err != nil {
					t.Fatal(err)
				}
				want := z(complex(0, 2*math.Pi*hz))
				worst = max(worst, cmplx.Abs(got-want)/cmplx.Abs(want))
			}
			if worst > limit {
				t.Errorf("%s at %d per octave: off by %.2g, want %.2g at most", name, perOctave, worst, limit)
			}
		}
	}
}

// A power law is a straight line over ln f and is met exactly.
func TestCurveOfPowerLaw(t *testing.T) {
	z := impedance(func(s complex128) complex128 { return 0.03 * cmplx.Pow(s, 0.66) })
	c := newCurve(t, z, []float64{20, 100, 20e3})
	for _, hz := range []float64{20, 33, 100, 5000, 20e3} {
		got, want := 1/c.Admittance(2*math.Pi*hz), z(complex(0, 2*math.Pi*hz))
		if cmplx.Abs(got-want) > 1e-12*cmplx.Abs(want) {
			t.Errorf("%g Hz: %v, want %v", hz, got, want)
		}
	}
}

// Random passive rows give a curve that is passive everywhere.
func TestCurveStaysPassive(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	hz := logHz(20, 20e3, 6)
	table := &Table{Hz: hz}
	for range hz {
		table.Z = append(table.Z, cmplx.Rect(math.Exp(4*rng.NormFloat64()), math.Pi*(rng.Float64()-0.5)))
	}
	if active := table.Active(); len(active) != 0 {
		t.Fatalf("rows are not passive: %v", active)
	}
	c, err := NewCurve(table)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range logHz(20, hz[len(hz)-1], 500) {
		if y := c.Admittance(2 * math.Pi * f); !(real(y) >= 0) {
			t.Fatalf("%g Hz: admittance %v", f, y)
		}
	}
}

// A phase that passes 180° is followed over the wrap.
func TestCurveUnwrapsPhase(t *testing.T) {
	c, err := NewCurve(&Table{Hz: []float64{100, 200}, Z: []complex128{cmplx.Rect(1, 170*degree), cmplx.Rect(1, -170*degree)}})
	if err != nil {
		t.Fatal(err)
	}
	z, err := c.Impedance(2 * math.Pi * 100 * math.Sqrt2)
	if err != nil || cmplx.Abs(z+1) > 1e-12 {
		t.Errorf("halfway between 170° and −170°: %v, %v; want −1", z, err)
	}
}

func TestCurveOutsideItsRange(t *testing.T) {
	c := newCurve(t, networks["vented"], logHz(20, 10e3, 12))
	low, high := c.Range()
	for _, hz := range []float64{19, high * 1.001} {
		_, err := c.Impedance(2 * math.Pi * hz)
		if err == nil || !strings.Contains(err.Error(), "from 20 to "+number(high)) && !strings.Contains(err.Error(), "from 20 to 9") {
			t.Errorf("%g Hz: %v", hz, err)
		}
		if y := c.Admittance(2 * math.Pi * hz); !cmplx.IsNaN(y) {
			t.Errorf("%g Hz: admittance %v, want NaN", hz, y)
		}
	}
	for _, hz := range []float64{low, high, low * (1 - 1e-12), high * (1 + 1e-12)} {
		if _, err := c.Impedance(2 * math.Pi * hz); err != nil {
			t.Errorf("%v Hz: %v", hz, err)
		}
	}
}

// Extended with a model that is five per cent off, the curve has no step and
// goes over into the model.
func TestCurveExtended(t *testing.T) {
	z := networks["vented"]
	model := func(w float64) complex128 { return z(complex(0, w)) * 1.05 }
	c := newCurve(t, z, logHz(20, 10e3, 48)).Extend(model)
	low, high := c.Range()
	for _, hz := range []float64{low, high} {
		for _, side := range []float64{1 - 1e-9, 1 + 1e-9} {
			w := 2 * math.Pi * hz * side
			got, err := c.Impedance(w)
			want := z(complex(0, w))
			if err != nil || cmplx.Abs(got-want) > 1e-6*cmplx.Abs(want) {
				t.Errorf("%g Hz: %v, want %v, error %v", hz*side, got, want, err)
			}
		}
	}
	for hz, off := range map[float64]float64{low / 1000: 0.05, high * 1000: 0.05, low / 2: 0.025, high * 2: 0.025} {
		w := 2 * math.Pi * hz
		got, err := c.Impedance(w)
		want := z(complex(0, w))
		if err != nil || math.Abs(cmplx.Abs(got/want)-1-off) > 0.001 {
			t.Errorf("%g Hz: %v, want %v and %g more, error %v", hz, got, want, off, err)
		}
	}
}

func TestActive(t *testing.T) {
	table := &Table{Hz: []float64{10, 20, 30, 40}, Z: []complex128{8, -1 + 3i, 5i, -0.01 + 2i}}
	got := table.Active()
	if len(got) != 2 || got[0] != (Point{20, -1 + 3i}) || got[1] != (Point{40, -0.01 + 2i}) {
		t.Errorf("got %v", got)
	}
}

func TestCheck(t *testing.T) {
	for name, bad := range map[string]*Table{
		"one row":    {Hz: []float64{1}, Z: []complex128{1}},
		"lengths":    {Hz: []float64{1, 2}, Z: []complex128{1}},
		"coherence":  {Hz: []float64{1, 2}, Z: []complex128{1, 1}, Coherence: []float64{1}},
		"descending": {Hz: []float64{2, 1}, Z: []complex128{1, 1}},
		"repeated":   {Hz: []float64{1, 1}, Z: []complex128{1, 1}},
		"zero hertz": {Hz: []float64{0, 1}, Z: []complex128{1, 1}},
		"short":      {Hz: []float64{1, 2}, Z: []complex128{1, 0}},
		"NaN":        {Hz: []float64{1, 2}, Z: []complex128{1, cmplx.NaN()}},
	} {
		if bad.Check() == nil {
			t.Errorf("%s: no error", name)
		}
		if _, err := NewCurve(bad); err == nil {
			t.Errorf("%s: a curve", name)
		}
	}
}

func BenchmarkCurveAdmittance(b *testing.B) {
	c := newCurve(b, networks["vented"], logHz(20, 20e3, 48))
	w := 2 * math.Pi * 1234.5
	b.ReportAllocs()
	for b.Loop() {
		c.Admittance(w)
	}
}
