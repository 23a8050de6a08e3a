package wire

import (
	"fmt"
	"math"
)

// A Wire is a round copper wire.
type Wire struct {
	Diameter float64 // m, of the copper
	Enamel   Enamel  // default none
}

// Validate reports a diameter that no wire has.
func (w Wire) Validate() error {
	if !(w.Diameter >= 1e-6 && w.Diameter <= 0.1) {
		return fmt.Errorf("wire: diameter is %g mm: expected 0.001 to 100 mm", 1e3*w.Diameter)
	}
	if w.Enamel > Grade2 {
		return fmt.Errorf("wire: enamel is %v: expected bare, grade 1 or grade 2", w.Enamel)
	}
	return nil
}

// Area returns the cross-section of the copper in m².
func (w Wire) Area() float64 { return math.Pi / 4 * w.Diameter * w.Diameter }

// Overall returns the diameter over the enamel in metres.
func (w Wire) Overall() float64 { return w.Diameter + w.Enamel.build(w.Diameter) }

// Resistance returns the resistance to direct current of a metre in ohms at
// 20 °C.
func (w Wire) Resistance() float64 { return Resistivity / w.Area() }

// Mass returns the mass of the copper of a metre in kilograms.
func (w Wire) Mass() float64 { return Density * w.Area() }

// SkinEffect returns the internal impedance of the wire over its resistance to
// direct current. Its real part is the rise of resistance, its imaginary part
// the internal reactance: μ0/8π per metre at low frequencies.
//
// With γ = (1+j)/δ and x = γ·Diameter/2 it is (x/2)·I0(x)/I1(x) (Ramo, Whinnery
// and Van Duzer, Fields and Waves in Communication Electronics), here by the
// continued fraction of the Bessel functions' ratio (Abramowitz and Stegun
// 9.1.73): 1 + x²/2 / (4 + x²/(6 + x²/(8 + …))).
func (w Wire) SkinEffect(hz float64) complex128 {
	if hz == 0 {
		return 1
	}
	r := w.Diameter / 2 / SkinDepth(hz)
	x2 := complex(0, 2*r*r)
	// Beyond the order |x| the fraction converges faster than any power.
	var tail complex128
	for k := 2*int(r) + 40; k >= 2; k-- {
		tail = x2 / (complex(float64(2*k), 0) + tail)
	}
	return 1 + tail/2
}

// Enamel is the thickness of a winding wire's insulation (IEC 60317-0-1).
type Enamel uint8

// Thicknesses of enamel.
const (
	Bare   Enamel = iota
	Grade1        // single
	Grade2        // heavy
)

// String returns "bare", "grade 1" or "grade 2".
func (e Enamel) String() string {
	switch e {
	case Bare:
		return "bare"
	case Grade1, Grade2:
		return fmt.Sprintf("grade %d", e)
	}
	return fmt.Sprintf("Enamel(%d)", uint8(e))
}

// builds holds the largest overall diameter less the nominal one, in mm, of
// IEC 60317-0-1 for a choice of its diameters. From memory.
var builds = []struct {
	diameter float64
	grade    [2]float64
}{
	{0.10, [2]float64{0.017, 0.025}},
	{0.20, [2]float64{0.026, 0.039}},
	{0.40, [2]float64{0.039, 0.059}},
	{0.50, [2]float64{0.044, 0.066}},
	{0.71, [2]float64{0.052, 0.079}},
	{1.00, [2]float64{0.062, 0.094}},
	{1.40, [2]float64{0.068, 0.102}},
	{2.00, [2]float64{0.074, 0.112}},
	{2.50, [2]float64{0.078, 0.118}},
	{3.00, [2]float64{0.083, 0.126}},
}

// build returns what the enamel adds to a diameter in metres, following the
// table by a power law from row to row and on beyond its ends.
func (e Enamel) build(diameter float64) float64 {
	if e == Bare {
		return 0
	}
	mm := 1e3 * diameter
	i := 1
	for i < len(builds)-1 && mm > builds[i].diameter {
		i++
	}
	lo, hi := builds[i-1], builds[i]
	t := math.Log(mm/lo.diameter) / math.Log(hi.diameter/lo.diameter)
	g := e - Grade1
	return 1e-3 * lo.grade[g] * math.Pow(hi.grade[g]/lo.grade[g], t)
}
