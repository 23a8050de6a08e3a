package identify

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/blas/blas64"
)

// An analytic objective for tests: residuals and derivatives by a function. There
// is a row of zeros beyond, as a fit has more rows than columns.
type analytic struct {
	rows, columns int
	f             func(x, r []float64, row func(i int) []float64)
}

func (a analytic) size() (rows, columns int) { return a.rows + 1, a.columns }

func (a analytic) evaluate(x, r []float64, jac blas64.General) {
	spare := make([]float64, a.columns)
	r[a.rows] = 0
	clear(jac.Data)
	a.f(x, r, func(i int) []float64 {
		if jac.Data == nil {
			return spare
		}
		return jac.Data[i*jac.Stride : i*jac.Stride+a.columns]
	})
}

// The problems 1, 7 and 13 of Moré, Garbow and Hillstrom, ACM Trans. Math.
// Softw. 7 (1981) 17, from their standard starts: all have a minimum of zero.
func TestMinimise(t *testing.T) {
	unbounded := func(n int) (low, high []float64) {
		for range n {
			low, high = append(low, math.Inf(-1)), append(high, math.Inf(1))
		}
		return low, high
	}
	for _, c := range []struct {
		name        string
		o           analytic
		start, want []float64
		tolerance   float64
	}{
		{"Rosenbrock", analytic{2, 2, rosenbrock}, []float64{-1.2, 1}, []float64{1, 1}, 1e-9},
		{"helical valley", analytic{3, 3, helical}, []float64{-1, 0, 0}, []float64{1, 0, 0}, 1e-9},
		// Its derivatives are singular at the minimum, so the last digits go.
		{"Powell singular", analytic{4, 4, powell}, []float64{3, -1, 0, 1}, []float64{0, 0, 0, 0}, 1e-4},
	} {
		low, high := unbounded(c.o.columns)
		m := minimise(c.o, c.start, low, high, utmost)
		t.Logf("%s: cost %.1g at %v after %d iterations", c.name, m.cost, m.x, m.iterations)
		for j, x := range m.x {
			if !(math.Abs(x-c.want[j]) <= c.tolerance) {
				t.Errorf("%s: %v, want %v", c.name, m.x, c.want)
			}
		}
	}
}

// With x ≤ 0.5 the minimum of the function of Rosenbrock is at (0.5, 0.25): on
// the bound, with the other coordinate following.
func TestMinimiseAtBound(t *testing.T) {
	m := minimise(analytic{2, 2, rosenbrock}, []float64{-1.2, 1}, []float64{-5, -5}, []float64{0.5, 5}, utmost)
	if math.Abs(m.x[0]-0.5)+math.Abs(m.x[1]-0.25) > 1e-9 || math.Abs(m.cost-0.25) > 1e-12 {
		t.Errorf("cost %g at %v", m.cost, m.x)
	}
}

// What cannot be evaluated ends the search where it is.
func TestMinimiseNaN(t *testing.T) {
	nan := analytic{2, 2, func(_, r []float64, _ func(int) []float64) { r[0], r[1] = math.NaN(), 1 }}
	m := minimise(nan, []float64{1, 2}, []float64{0, 0}, []float64{5, 5}, utmost)
	if m.x[0] != 1 || m.x[1] != 2 {
		t.Errorf("%v", m.x)
	}
}

func rosenbrock(x, r []float64, row func(int) []float64) {
	r[0], r[1] = 10*(x[1]-x[0]*x[0]), 1-x[0]
	copy(row(0), []float64{-20 * x[0], 10})
	copy(row(1), []float64{-1, 0})
}

func helical(x, r []float64, row func(int) []float64) {
	turn := math.Atan2(x[1], x[0]) / (2 * math.Pi)
	d := math.Hypot(x[0], x[1])
	r[0], r[1], r[2] = 10*(x[2]-10*turn), 10*(d-1), x[2]
	c := 100 / (2 * math.Pi * d * d)
	copy(row(0), []float64{c * x[1], -c * x[0], 10})
	copy(row(1), []float64{10 * x[0] / d, 10 * x[1] / d, 0})
	copy(row(2), []float64{0, 0, 1})
}

func powell(x, r []float64, row func(int) []float64) {
	a, b := x[1]-2*x[2], x[0]-x[3]
	r[0], r[1], r[2], r[3] = x[0]+10*x[1], math.Sqrt(5)*(x[2]-x[3]), a*a, math.Sqrt(10)*b*b
	copy(row(0), []float64{1, 10, 0, 0})
	copy(row(1), []float64{0, 0, math.Sqrt(5), -math.Sqrt(5)})
	copy(row(2), []float64{0, 2 * a, -4 * a, 0})
	copy(row(3), []float64{2 * math.Sqrt(10) * b, 0, 0, -2 * math.Sqrt(10) * b})
}

// The derivatives of every block are those of central differences.
func TestDerivatives(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	opts, err := Options{}.defaults()
	if err != nil {
		t.Fatal(err)
	}
	g, err := newGrid(richest.table(60), opts)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []block{
		inductance{}, powerLawCoil{}, splitPowerLaw{}, ladder{true, 2}, ladder{false, 1},
		semiInductance{true, true, true}, semiInductance{false, true, false},
		resonances{count: 1}, resonances{count: 2, creep: true}, resonances{count: 3, skew: true},
		resonances{count: 3, creep: true, skew: true}, resonances{count: 2, bumps: true},
	} {
		m := newModel(g, g.scale(), resistance{}, b)
		rows, n := m.size()
		x := make([]float64, n)
		for j, p := range m.parameters {
			value := math.Sqrt(p.low * p.high)
			if p.linear {
				value = p.low + (p.high-p.low)*(0.2+0.6*rng.Float64())
			}
			x[j] = p.x(value) + 0.3*rng.NormFloat64()
			x[j] = min(max(x[j], p.x(p.low)), p.x(p.high))
		}
		r, jac := make([]float64, rows), general(rows, n)
		m.evaluate(x, r, jac)
		up, down := make([]float64, rows), make([]float64, rows)
		for j := range x {
			const h = 1e-5
			at := x[j]
			x[j] = at + h
			m.evaluate(x, up, blas64.General{})
			x[j] = at - h
			m.evaluate(x, down, blas64.General{})
			x[j] = at
			for i := range rows {
				want := (up[i] - down[i]) / (2 * h)
				if got := jac.Data[i*n+j]; math.Abs(got-want) > 1e-4*(1+math.Abs(want)) {
					t.Errorf("%+v: derivative by %s in row %d: %g, want %g", b, m.parameters[j].name, i, got, want)
					break
				}
			}
		}
	}
}
