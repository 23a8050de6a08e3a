package identify

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

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
		jac := mat.NewDense(rows, n, nil)
		m.jacobian(jac, x)
		up, down := make([]float64, rows), make([]float64, rows)
		for j := range x {
			const h = 1e-5
			at := x[j]
			x[j] = at + h
			m.residuals(up, x)
			x[j] = at - h
			m.residuals(down, x)
			x[j] = at
			for i := range rows {
				want := (up[i] - down[i]) / (2 * h)
				if got := jac.At(i, j); math.Abs(got-want) > 1e-4*(1+math.Abs(want)) {
					t.Errorf("%+v: derivative by %s in row %d: %g, want %g", b, m.parameters[j].name, i, got, want)
					break
				}
			}
		}
	}
}
