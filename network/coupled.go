package network

import (
	"math"
	"slices"
)

// Windings adds coupled windings without resistance to part p. Winding i lies
// between the nodes ends[i]; l[i][j] is the mutual inductance in henries of
// windings i and j, l[i][i] the inductance of winding i.
//
// The matrix is factored as l = T·D·Tᵀ with T unit lower triangular. Winding i
// is then an inductor D_i in series with ideal transformers of ratio T_ij to
// the inductors D_j of the windings before it; for two windings that is the
// usual equivalent of leakage and magnetizing inductance. The matrix must be
// symmetric and positive semidefinite: no pair more than fully coupled.
func (c *Circuit) Windings(p PartID, ends [][2]Node, l [][]float64) {
	t, d, ok := c.factorInductance(p, l, len(ends))
	if !ok {
		return
	}
	own := make([]port, len(ends))
	for i, e := range ends {
		at := e[0]
		for j := range i {
			if t[i][j] == 0 {
				continue
			}
			next := e[1]
			if d[i] > 0 || slices.ContainsFunc(t[i][j+1:i], func(x float64) bool { return x != 0 }) {
				next = c.Node(c.partName(p))
			}
			c.Transformer(p, at, next, own[j].a, own[j].b, t[i][j])
			at = next
		}
		if d[i] > 0 {
			own[i] = port{at, e[1]}
			c.Branch(p, at, e[1], Inductance(d[i]))
		}
	}
}

// factorInductance returns T and D, and whether l is an inductance matrix.
func (c *Circuit) factorInductance(p PartID, l [][]float64, n int) (t [][]float64, d []float64, ok bool) {
	// A pivot is taken for zero, a winding fully coupled to those before it,
	// when it is within rounding of its inductance.
	const full = 8 * epsilon
	t, d = make([][]float64, n), make([]float64, n)
	if len(l) != n {
		panic("network: size of inductance matrix is not the number of windings")
	}
	for i := range n {
		if len(l[i]) != n {
			panic("network: inductance matrix is not square")
		}
		if err := checkValue("inductance", l[i][i], "H"); err != nil {
			c.fail("%s: winding %d: %w", c.partName(p), i+1, err)
			return nil, nil, false
		}
		t[i] = make([]float64, n)
		for j := range i + 1 {
			if !(math.Abs(l[i][j]-l[j][i]) <= full*math.Abs(l[i][j])) {
				c.fail("%s: inductance matrix is not symmetric at %d, %d", c.partName(p), i+1, j+1)
				return nil, nil, false
			}
			sum := l[i][j]
			for k := range j {
				sum -= t[i][k] * d[k] * t[j][k]
			}
			switch {
			case j == i:
				if math.Abs(sum) <= full*l[i][i] {
					sum = 0
				}
				if d[i] == 0 { // not found impossible
					d[i] = sum
				}
			case d[j] > 0:
				t[i][j] = sum / d[j]
			case math.Abs(sum) > full*math.Sqrt(l[i][i]*l[j][j]):
				d[i] = -1 // coupled to what another winding leaves nothing of
			}
		}
		if !(d[i] >= 0) {
			c.fail("%s: winding %d is coupled more than fully to those before it: inductance matrix is not positive semidefinite", c.partName(p), i+1)
			return nil, nil, false
		}
	}
	return t, d, true
}
