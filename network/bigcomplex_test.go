package network

import "math/big"

// bigPrec is the precision of the reference arithmetic in bits: four and a
// half times that of a float64, so that no cancellation in a test matters.
const bigPrec = 240

// bigComplex is a complex number of [bigPrec] bits. Its methods return fresh
// values: slow, and obviously right.
type bigComplex struct{ re, im *big.Float }

func newBig(x float64) *big.Float { return new(big.Float).SetPrec(bigPrec).SetFloat64(x) }

func bigOf(z complex128) bigComplex { return bigComplex{newBig(real(z)), newBig(imag(z))} }

func (x bigComplex) add(y bigComplex) bigComplex {
	return bigComplex{newBig(0).Add(x.re, y.re), newBig(0).Add(x.im, y.im)}
}

func (x bigComplex) neg() bigComplex {
	return bigComplex{newBig(0).Neg(x.re), newBig(0).Neg(x.im)}
}

func (x bigComplex) sub(y bigComplex) bigComplex { return x.add(y.neg()) }

func (x bigComplex) mul(y bigComplex) bigComplex {
	rr, ii := newBig(0).Mul(x.re, y.re), newBig(0).Mul(x.im, y.im)
	ri, ir := newBig(0).Mul(x.re, y.im), newBig(0).Mul(x.im, y.re)
	return bigComplex{rr.Sub(rr, ii), ri.Add(ri, ir)}
}

func (x bigComplex) inv() bigComplex {
	n := newBig(0).Add(newBig(0).Mul(x.re, x.re), newBig(0).Mul(x.im, x.im))
	return bigComplex{newBig(0).Quo(x.re, n), newBig(0).Quo(newBig(0).Neg(x.im), n)}
}

func (x bigComplex) isZero() bool { return x.re.Sign() == 0 && x.im.Sign() == 0 }

// abs is the magnitude, to the accuracy of a 1-norm.
func (x bigComplex) abs() float64 {
	re, _ := x.re.Float64()
	im, _ := x.im.Float64()
	return abs1(complex(re, im))
}

func (x bigComplex) complex128() complex128 {
	re, _ := x.re.Float64()
	im, _ := x.im.Float64()
	return complex(re, im)
}

// solveBig solves a·x = b by Gauss–Jordan elimination with full pivoting and
// spoils both. It returns nil if the matrix is singular.
func solveBig(a [][]bigComplex, b []bigComplex) []bigComplex {
	const zero = 1e-60 // against the largest first pivot
	n := len(a)
	col := make([]int, n) // unknown of each pivot row
	used := make([]bool, n)
	first := 0.0
	for k := range n {
		p, q, best := -1, -1, 0.0
		for i := k; i < n; i++ {
			for j := range n {
				if v := a[i][j].abs(); !used[j] && v > best {
					p, q, best = i, j, v
				}
			}
		}
		first = max(first, best)
		if p < 0 || best < zero*first {
			return nil
		}
		a[k], a[p], b[k], b[p] = a[p], a[k], b[p], b[k]
		col[k], used[q] = q, true
		inv := a[k][q].inv()
		for i := range n {
			if i == k || a[i][q].isZero() {
				continue
			}
			f := a[i][q].mul(inv)
			for j := range n {
				if !a[k][j].isZero() {
					a[i][j] = a[i][j].sub(f.mul(a[k][j]))
				}
			}
			b[i] = b[i].sub(f.mul(b[k]))
		}
	}
	x := make([]bigComplex, n)
	for k, q := range col {
		x[q] = b[k].mul(a[k][q].inv())
	}
	return x
}
