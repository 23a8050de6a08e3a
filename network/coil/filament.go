package coil

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

const mu0 = 4e-7 * math.Pi // H/m

// Mutual returns the mutual inductance in henries of two circular filaments on
// one axis, of radii a and b, their planes z apart, all in metres (Maxwell,
// Treatise, art. 701): μ0·√(ab)·[(2/k − k)·K − (2/k)·E] with
// k² = 4ab/((a+b)² + z²). Written with D = (K−E)/k² and B = K−D it is
// μ0·√(ab)·k·(D−B), which keeps its digits when the circles are far apart.
func Mutual(a, b, z float64) float64 {
	m := 4 * a * b / ((a+b)*(a+b) + z*z)
	return mu0 * math.Sqrt(a*b*m) * (mathext.CompleteD(m) - mathext.CompleteB(m))
}

// self returns the inductance of a ring of radius r whose section has the
// geometric mean distance g from itself (Rosa and Grover, Bulletin of the
// Bureau of Standards 8 (1912)): μ0·r·(ln(8r/g) − 2).
func self(r, g float64) float64 { return mu0 * r * (math.Log(8*r/g) - 2) }

// rectangle returns the geometric mean distance of a rectangle from itself, to
// a few parts in a thousand (same source): 0.2235 times the sum of its sides.
func rectangle(w, h float64) float64 { return 0.2235 * (w + h) }

// filaments returns the inductance of one turn whose current fills the section
// of w evenly, from rings of rows by columns cells.
func (w Winding) filaments(rows, columns int) float64 {
	dr, dz := w.Depth/float64(rows), w.Length/float64(columns)
	radius := func(i int) float64 { return w.InnerRadius + (float64(i)+0.5)*dr }
	var sum float64
	for i := range rows {
		a := radius(i)
		sum += float64(columns) * self(a, rectangle(dr, dz))
		for j := i; j < rows; j++ {
			b := radius(j)
			if j > i {
				sum += 2 * float64(columns) * Mutual(a, b, 0)
			}
			// A distance of d columns occurs columns−d times each way, and
			// for rows i and j both ways again.
			times := 2.0
			if j > i {
				times = 4
			}
			for d := 1; d < columns; d++ {
				sum += times * float64(columns-d) * Mutual(a, b, float64(d)*dz)
			}
		}
	}
	cells := float64(rows * columns)
	return sum / (cells * cells)
}
