package equalizer

import (
	"math"
	"testing"
)

// rosenbrock is the valley of Rosenbrock, Comput. J. 3 (1960) 175, as a sum of
// squares: its minimum is 0 at (1, 1).
func rosenbrock(x, r, jac []float64) {
	r[0], r[1] = 10*(x[1]-x[0]*x[0]), 1-x[0]
	copy(jac, []float64{-20 * x[0], -1, 10, 0})
}

func TestLeastSquares(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		lower, upper, want []float64
	}{
		{[]float64{-inf, -inf}, []float64{inf, inf}, []float64{1, 1}},
		// On the bound x = 0.5 the valley's floor is y = x².
		{[]float64{-inf, -inf}, []float64{0.5, inf}, []float64{0.5, 0.25}},
		// On y = 0.25 the slope of 100(0.25 − x²)² + (1 − x)² by x vanishes here.
		{[]float64{-inf, -inf}, []float64{inf, 0.25}, []float64{0.50487954, 0.25}},
	} {
		var l leastSquares
		x := []float64{-1.2, -1}
		cost := l.minimize(rosenbrock, x, c.lower, c.upper, 2, limit{evaluations: 500})
		for i := range x {
			if math.Abs(x[i]-c.want[i]) > 1e-6 {
				t.Errorf("bounds %v: minimum at %v, want %v", c.upper, x, c.want)
			}
		}
		var r [2]float64
		rosenbrock(x, r[:], make([]float64, 4))
		if sum := r[0]*r[0] + r[1]*r[1]; math.Abs(sum-cost) > 1e-12 {
			t.Errorf("cost %g at a point where it is %g", cost, sum)
		}
	}
}

// A parameter without effect stays where it is.
func TestLeastSquaresIdle(t *testing.T) {
	var l leastSquares
	x := []float64{3, 7}
	f := func(x, r, jac []float64) {
		r[0] = x[0] - 2
		copy(jac, []float64{1, 0})
	}
	l.minimize(f, x, []float64{-9, -9}, []float64{9, 9}, 1, limit{evaluations: 50})
	if math.Abs(x[0]-2) > 1e-9 || x[1] != 7 {
		t.Errorf("minimum at %v, want [2 7]", x)
	}
}
