// Package coil designs multilayer air-core coils and computes their inductance.
//
// A [Winding] is a section of rectangular shape turned about an axis. Its
// inductance is known by Wheeler's formula (Proc. IRE 16 (1928) 1398), good to
// about one percent for coils whose radius, length and depth are alike, and by
// summing the mutual inductances of filaments, good to a part in ten thousand for
// sections up to 4000 times as long or 250 times as deep as across. The Brooks shape (J. Res. NBS 7 (1931) 289), of square section
// with an inner radius equal to its side, has nearly the most inductance for a
// length of wire and is the default of [Design].
//
// Coils are wound turn beside turn, layer upon layer, of round copper wire, and
// stand alone in air. What [Design] reports sums all pairs of turns; it holds at
// low frequencies, where current fills the wire. There is no iron and no
// metal nearby. Their capacitance is left out;
// so is the proximity effect, which raises the resistance of thick wire in many
// layers above what skin effect alone does.
//
// SI units: metres, henries, ohms at 20 °C.
package coil

import "math"

// A Winding is the space that the turns of a coil fill evenly.
type Winding struct {
	InnerRadius float64 // m
	Length      float64 // m, along the axis
	Depth       float64 // m, outer radius less inner
	Turns       float64
}

// brooks is the inductance in henries of a Brooks coil over mean radius in
// metres and turns squared.
const brooks = 1.6994e-6

// Brooks returns the winding of side c in metres and an inductance in henries
// in the Brooks shape: inner radius and length are equal to the depth.
func Brooks(c, inductance float64) Winding {
	return Winding{c, c, c, math.Sqrt(inductance / (brooks * 1.5 * c))}
}

// MeanRadius returns the radius of the middle of the section in metres.
func (w Winding) MeanRadius() float64 { return w.InnerRadius + w.Depth/2 }

// WireLength returns the length of the turns in metres.
func (w Winding) WireLength() float64 { return 2 * math.Pi * w.MeanRadius() * w.Turns }

// Wheeler returns the inductance in henries by Wheeler's formula of 1928:
// 0.8·a²N²/(6a + 9b + 10c) microhenries, in inches.
func (w Winding) Wheeler() float64 {
	const inch = 25.4e-3
	a, b, c := w.MeanRadius()/inch, w.Length/inch, w.Depth/inch
	return 0.8e-6 * a * a * w.Turns * w.Turns / (6*a + 9*b + 10*c)
}

// Inductance returns the inductance in henries of a current that fills the
// section evenly. It sums rings of two finenesses and extrapolates: the error
// falls with the square of the cells' size.
func (w Winding) Inductance() float64 {
	rows, columns := w.cells()
	coarse, fine := w.filaments(rows, columns), w.filaments(2*rows, 2*columns)
	return w.Turns * w.Turns * (4*fine - coarse) / 3
}

// cells returns how many rows and columns cut the section into cells that are
// nearly square, eight on the shorter side unless the longer then had too many.
// Rows cost with their square, columns once.
func (w Winding) cells() (rows, columns int) {
	count := func(side, other float64, limit float64) int {
		const most, longest = 8, 128
		ratio := side / other
		if ratio <= 1 {
			return max(1, int(math.Round(min(most, longest*ratio))))
		}
		short := max(1, math.Round(min(most, longest/ratio)))
		return int(math.Round(min(short*ratio, limit)))
	}
	return count(w.Depth, w.Length, 250), count(w.Length, w.Depth, 4000)
}
