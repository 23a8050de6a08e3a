// Package wire computes copper conductors: sizes, resistance, skin effect,
// enamel and mass of a [Wire], and the resistance and inductance of a [Cable].
//
// Copper is the annealed copper of IEC 60028: 1/58 ohm·mm²/m at 20 °C, which
// rounds to 1.7241e-8 ohm·m, 0.00393 per kelvin, 8890 kg/m³. Temperatures are
// given as a rise in kelvin above 20 °C. SI units throughout.
//
// Skin effect is that of a round conductor alone in space. In a coil or a
// cable the neighbours' fields add to it (proximity effect), so what is
// computed is then the least that the resistance rises.
package wire

import "math"

// Annealed copper at 20 °C (IEC 60028).
const (
	Resistivity = 1e-6 / 58 // ohm·m
	Coefficient = 0.00393   // change of resistance per kelvin
	Density     = 8890      // kg/m³
)

const mu0 = 4e-7 * math.Pi // H/m

// HeatFactor returns resistance rise kelvins above 20 °C over that at 20 °C.
func HeatFactor(rise float64) float64 { return 1 + Coefficient*rise }

// SkinDepth returns sqrt(2ρ/(ωμ0)) of copper at 20 °C in metres.
func SkinDepth(hz float64) float64 {
	return math.Sqrt(Resistivity / (math.Pi * hz * mu0))
}
