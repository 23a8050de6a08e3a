package coil

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// Wheeler, Proc. IRE 16 (1928), recomputed.
func TestWheeler(t *testing.T) {
	const inch = 25.4e-3
	w := Winding{InnerRadius: 0.75 * inch, Length: inch, Depth: 0.5 * inch, Turns: 100}
	near(t, "100 turns in inches", w.Wheeler(), 400.0e-6, 1e-12)
	near(t, "212 turns in millimetres", metric.Wheeler(), 3.24123e-3, 1.6e-6)
}

var metric = Winding{InnerRadius: 30e-3, Length: 25e-3, Depth: 10e-3, Turns: 212}

// The same coil by an independent sum of filaments, 3.20989 mH, whose cells were
// about as fine as 16 by 40; in the limit of fine cells 3.20991 mH remain.
func TestFilaments(t *testing.T) {
	near(t, "16 by 40 cells", 212*212*metric.filaments(16, 40), 3.20989e-3, 1.6e-6)
	near(t, "extrapolated", metric.Inductance(), 3.20989e-3, 1e-5)
	near(t, "Wheeler's formula", metric.Wheeler(), metric.Inductance(), 0.01)
}

// Brooks, J. Res. NBS 7 (1931): 20 mm side, 1 mH; the constant 1.6994 to its
// five figures by filaments.
func TestBrooks(t *testing.T) {
	w := Brooks(20e-3, 1e-3)
	near(t, "turns", w.Turns, 140.05, 3.6e-5)
	near(t, "wire", w.WireLength(), 26.40, 1.9e-4)
	near(t, "inductance by filaments", w.Inductance(), 1e-3, 3e-5)
	near(t, "constant", Winding{1, 1, 1, 1}.Inductance()/1.5, 1.6994e-6, 3e-5)
}

// The shape has nearly the most inductance for its wire: windings of other
// shapes from the same length of the same wire have less.
func TestBrooksIsNearlyBest(t *testing.T) {
	const c = 20e-3
	reference := Brooks(c, 1e-3)
	wireLength, turn := reference.WireLength(), c*c/reference.Turns // m, m² of section
	for _, shape := range [][2]float64{{0.4, 1}, {2, 1}, {1, 0.5}, {1, 2}, {3, 3}, {0.5, 0.5}} {
		w := Winding{InnerRadius: shape[0] * c, Length: shape[1] * c}
		// 2π(inner + depth/2)·depth·length/turn is the length of the wire.
		r := w.InnerRadius
		w.Depth = -r + math.Sqrt(r*r+wireLength*turn/(math.Pi*w.Length))
		w.Turns = w.Depth * w.Length / turn
		near(t, "wire", w.WireLength(), wireLength, 1e-12)
		if other := w.Inductance(); other > 0.995e-3 {
			t.Errorf("inner radius %g c, length %g c: %.4f mH of wire for 1 mH", shape[0], shape[1], 1e3*other)
		}
	}
}

// Nagaoka's coefficient of current sheets against diameter over length (Rosa
// and Grover, Bulletin of the Bureau of Standards 8 (1912), Table 21). From
// memory. The sheet is the limit of two thin windings.
func TestNagaoka(t *testing.T) {
	for ratio, coefficient := range map[float64]float64{
		0.1: 0.9588, 0.5: 0.8181, 1: 0.688423, 2: 0.5255, 5: 0.3198, 10: 0.2033,
	} {
		a := ratio / 2
		thin := func(depth float64) float64 { return Winding{a - depth/2, 1, depth, 1}.Inductance() }
		got := 2*thin(0.5e-3) - thin(1e-3)
		near(t, "Nagaoka's coefficient", got/(mu0*math.Pi*a*a), coefficient, 1.5e-4)
	}
}

// Finer cells bring no more than a part in ten thousand, in any shape.
func TestInductanceHasConverged(t *testing.T) {
	for _, w := range []Winding{
		{1, 1, 1, 1}, {0.01, 1, 1, 1}, {10, 1, 1, 1}, {1, 20, 1, 1}, {1, 1, 20, 1}, {1, 0.05, 1, 1}, {1, 1, 0.05, 1}, {0.1, 3, 0.7, 1},
	} {
		rows, columns := w.cells()
		coarse, fine := w.filaments(3*rows, 3*columns), w.filaments(4*rows, 4*columns)
		limit := (16*fine - 9*coarse) / 7
		near(t, "inductance", w.Inductance(), limit, 1e-4)
	}
}

// Scaling all lengths scales the inductance.
func TestInductanceScales(t *testing.T) {
	near(t, "ten times as large", Winding{300e-3, 250e-3, 100e-3, 212}.Inductance(), 10*metric.Inductance(), 1e-12)
}

// Neumann's integral over both circles, which converges as fast as any power
// when summed at equal angles.
func TestMutualIsNeumannsIntegral(t *testing.T) {
	for _, c := range [][3]float64{{1, 1, 0.5}, {1, 2, 0}, {0.03, 0.04, 0.01}, {1, 1, 30}, {0.1, 5, 2}} {
		a, b, z := c[0], c[1], c[2]
		const steps = 4000
		var sum float64
		for i := range steps {
			angle := 2 * math.Pi * (float64(i) + 0.5) / steps
			sum += math.Cos(angle) / math.Sqrt(a*a+b*b-2*a*b*math.Cos(angle)+z*z)
		}
		want := mu0 / (4 * math.Pi) * a * b * 2 * math.Pi * sum * 2 * math.Pi / steps
		near(t, "mutual", Mutual(a, b, z), want, 1e-10)
		near(t, "reciprocity", Mutual(b, a, -z), Mutual(a, b, z), 1e-15)
	}
	// Far apart they are dipoles: μ0·π·a²b²/(2z³), less 3(a²+b²)/(2z²) of it.
	near(t, "dipoles", Mutual(1, 2, 1e4), mu0*math.Pi*4/(2e12), 1e-7)
}

func BenchmarkInductance(b *testing.B) {
	for b.Loop() {
		_ = metric.Inductance()
	}
}
