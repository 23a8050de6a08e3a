package leastsquares

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

var inf = math.Inf(1)

var rosenbrock = Problem{
	Size: 2,
	Residuals: func(r, x []float64) {
		r[0], r[1] = 10*(x[1]-x[0]*x[0]), 1-x[0]
	},
	Jacobian: func(jac *mat.Dense, x []float64) {
		jac.SetRow(0, []float64{-20 * x[0], 10})
		jac.SetRow(1, []float64{-1, 0})
	},
}

var helical = Problem{
	Size: 3,
	Residuals: func(r, x []float64) {
		turn := math.Atan(x[1]/x[0]) / (2 * math.Pi)
		if x[0] < 0 {
			turn += 0.5 // the cut is not where the start is
		}
		r[0], r[1], r[2] = 10*(x[2]-10*turn), 10*(math.Hypot(x[0], x[1])-1), x[2]
	},
	Jacobian: func(jac *mat.Dense, x []float64) {
		d := math.Hypot(x[0], x[1])
		c := 100 / (2 * math.Pi * d * d)
		jac.SetRow(0, []float64{c * x[1], -c * x[0], 10})
		jac.SetRow(1, []float64{10 * x[0] / d, 10 * x[1] / d, 0})
		jac.SetRow(2, []float64{0, 0, 1})
	},
}

var powell = Problem{
	Size: 4,
	Residuals: func(r, x []float64) {
		a, b := x[1]-2*x[2], x[0]-x[3]
		r[0], r[1], r[2], r[3] = x[0]+10*x[1], math.Sqrt(5)*(x[2]-x[3]), a*a, math.Sqrt(10)*b*b
	},
	Jacobian: func(jac *mat.Dense, x []float64) {
		a, b := x[1]-2*x[2], x[0]-x[3]
		jac.SetRow(0, []float64{1, 10, 0, 0})
		jac.SetRow(1, []float64{0, 0, math.Sqrt(5), -math.Sqrt(5)})
		jac.SetRow(2, []float64{0, 2 * a, -4 * a, 0})
		jac.SetRow(3, []float64{2 * math.Sqrt(10) * b, 0, 0, -2 * math.Sqrt(10) * b})
	},
}

// The problems 1, 7 and 13 of Moré, Garbow and Hillstrom, ACM Trans. Math.
// Softw. 7 (1981) 17, from their standard starts: all have a minimum of zero.
// Central differences find the same.
func TestMinimize(t *testing.T) {
	for _, c := range []struct {
		name        string
		p           Problem
		start, want []float64
		tolerance   float64
	}{
		{"Rosenbrock", rosenbrock, []float64{-1.2, 1}, []float64{1, 1}, 1e-9},
		{"helical valley", helical, []float64{-1, 0, 0}, []float64{1, 0, 0}, 1e-9},
		// Its derivatives are singular at the minimum, so the last digits go.
		{"Powell singular", powell, []float64{3, -1, 0, 1}, []float64{0, 0, 0, 0}, 1e-4},
	} {
		for _, differences := range []bool{false, true} {
			if differences {
				c.p.Jacobian = nil
			}
			m := Minimize(c.p, c.start, Settings{Iterations: 600})
			t.Logf("%s: cost %.1g at %v after %d iterations", c.name, m.Cost, m.X, m.Iterations)
			for j, x := range m.X {
				if !(math.Abs(x-c.want[j]) <= c.tolerance) || !m.Converged {
					t.Errorf("%s, differences %v: %+v, want %v", c.name, differences, m, c.want)
				}
			}
		}
	}
}

func TestMinimizeWithinBounds(t *testing.T) {
	for _, c := range []struct{ lower, upper, want []float64 }{
		{[]float64{-inf, -inf}, []float64{inf, inf}, []float64{1, 1}},
		// On the bound x = 0.5 the valley's floor is y = x².
		{[]float64{-5, -5}, []float64{0.5, 5}, []float64{0.5, 0.25}},
		{nil, []float64{0.5, inf}, []float64{0.5, 0.25}},
		// On y = 0.25 the slope of 100(0.25 − x²)² + (1 − x)² by x vanishes here.
		{nil, []float64{inf, 0.25}, []float64{0.50487954, 0.25}},
		// One that is held, by equal bounds.
		{[]float64{0.5, -inf}, []float64{0.5, inf}, []float64{0.5, 0.25}},
		// The corner that Rosenbrock's valley leaves through.
		{[]float64{-2, -2}, []float64{0, -1}, []float64{0, -1}},
	} {
		for _, start := range [][]float64{{-1.2, 1}, {-1.2, -1}, {9, 9}} {
			for _, jacobian := range []func(*mat.Dense, []float64){rosenbrock.Jacobian, nil} {
				p := Problem{Size: 2, Jacobian: jacobian, Lower: c.lower, Upper: c.upper}
				p.Residuals = func(r, x []float64) {
					for j, v := range x {
						if c.lower != nil && v < c.lower[j] || c.upper != nil && v > c.upper[j] {
							t.Fatalf("bounds %v and %v: evaluated at %v", c.lower, c.upper, x)
						}
					}
					rosenbrock.Residuals(r, x)
				}
				m := Minimize(p, start, Settings{Iterations: 600})
				var r [2]float64
				rosenbrock.Residuals(r[:], m.X)
				if math.Abs(m.X[0]-c.want[0]) > 1e-7 || math.Abs(m.X[1]-c.want[1]) > 1e-7 {
					t.Errorf("bounds %v and %v, start %v: %+v, want %v", c.lower, c.upper, start, m, c.want)
				}
				if sum := r[0]*r[0] + r[1]*r[1]; sum != m.Cost {
					t.Errorf("cost %g at a point where it is %g", m.Cost, sum)
				}
			}
		}
	}
}

// A parameter without effect stays where it is, with fewer residuals than
// parameters at that.
func TestMinimizeIdle(t *testing.T) {
	p := Problem{
		Size:      1,
		Residuals: func(r, x []float64) { r[0] = x[0] - 2 },
		Jacobian:  func(jac *mat.Dense, x []float64) { jac.SetRow(0, []float64{1, 0}) },
		Lower:     []float64{-9, -9}, Upper: []float64{9, 9},
	}
	start := []float64{3, 7}
	if m := Minimize(p, start, Settings{}); math.Abs(m.X[0]-2) > 1e-9 || m.X[1] != 7 {
		t.Errorf("minimum at %v, want [2 7]", m.X)
	}
	if start[0] != 3 {
		t.Error("the start was changed")
	}
}

// The minimum of a linear problem is the solution of the normal equations:
// the line through (0, 1), (1, 2), (2, 4) and (3, 4) is 1.1 + 1.1·t, which
// misses them by a sum of squares of 0.7.
func TestMinimizeLinear(t *testing.T) {
	line := Problem{Size: 4, Residuals: func(r, x []float64) {
		for i, y := range []float64{1, 2, 4, 4} {
			r[i] = x[0] + x[1]*float64(i) - y
		}
	}}
	m := Minimize(line, []float64{50, -30}, Settings{})
	if math.Abs(m.X[0]-1.1)+math.Abs(m.X[1]-1.1) > 1e-7 || math.Abs(m.Cost-0.7) > 1e-12 {
		t.Errorf("%+v", m)
	}
}

// What cannot be evaluated ends the search where it is.
func TestMinimizeNaN(t *testing.T) {
	nan := Problem{Size: 2, Residuals: func(r, _ []float64) { r[0], r[1] = math.NaN(), 1 }}
	m := Minimize(nan, []float64{1, 2}, Settings{})
	if m.X[0] != 1 || m.X[1] != 2 || m.Converged {
		t.Errorf("%+v", m)
	}
}

// A step into what cannot be evaluated is taken back: ln x from 20 would go
// to negative x.
func TestMinimizeBesideNaN(t *testing.T) {
	p := Problem{Size: 1, Residuals: func(r, x []float64) { r[0] = math.Log(x[0]) }}
	if m := Minimize(p, []float64{20}, Settings{}); math.Abs(m.X[0]-1) > 1e-9 {
		t.Errorf("%+v", m)
	}
}

func TestSettings(t *testing.T) {
	start := []float64{-1.2, 1}
	if m := Minimize(rosenbrock, start, Settings{Iterations: 3}); m.Iterations != 3 || m.Converged {
		t.Errorf("three iterations: %+v", m)
	}
	if m := Minimize(rosenbrock, start, Settings{Floor: 1}); !m.Converged || m.Cost > 1 || m.Cost < 1e-9 {
		t.Errorf("to a cost of 1: %+v", m)
	}
	for n := 1; n < 6; n++ {
		m := Minimize(rosenbrock, start, Settings{Iterations: n, Longest: 0.01})
		if far := math.Abs(m.X[0] - start[0]); far > 0.01*float64(n)*(1+1e-9) {
			t.Errorf("%g far after %d steps", far, n)
		}
	}
	if m := Minimize(Problem{Size: 1, Residuals: func(r, _ []float64) { r[0] = 3 }}, nil, Settings{}); m.Cost != 9 || !m.Converged {
		t.Errorf("no parameters: %+v", m)
	}
}

func TestBoundsOfOtherLengthPanic(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	p := rosenbrock
	p.Lower = []float64{1}
	Minimize(p, []float64{0, 0}, Settings{})
}

func BenchmarkMinimize(b *testing.B) {
	for b.Loop() {
		Minimize(powell, []float64{3, -1, 0, 1}, Settings{})
	}
}
