package thielesmall

import (
	"math"

	"loadscape/network"
)

// A Suspension tells how the compliance of a driver depends on frequency.
type Suspension interface {
	// Label names the model, as "creep".
	Label() string
	// Validate reports every value that no suspension has.
	Validate() error
	// Compliance returns the mechanical element of a driver whose compliance
	// is cms in m/N at its resonance ws in rad/s.
	Compliance(cms, ws float64) network.Element
}

// Viscous is a suspension of constant compliance; its losses are in Qms alone.
// It is the default.
type Viscous struct{}

// Creep is a suspension that gives way slowly (Knudsen and Jensen, J. Audio
// Eng. Soc. 41 (1993) 3): Cms(ω) = Cms·(1 − λ·log10(jω/ωs)). The complex
// logarithm adds a loss to that of Qms.
type Creep struct {
	Lambda float64 // 0 to 0.5, typically 0.02 to 0.2
}

var (
	_ Suspension = Viscous{}
	_ Suspension = Creep{}
)

// Label returns "viscous".
func (Viscous) Label() string { return "viscous" }

// Validate returns nil.
func (Viscous) Validate() error { return nil }

// Compliance returns a constant compliance.
func (Viscous) Compliance(cms, _ float64) network.Element { return network.Capacitance(cms) }

// Label returns "creep".
func (Creep) Label() string { return "creep" }

// Validate reports a creep factor that no suspension has.
func (s Creep) Validate() error {
	var c checker
	c.between("creep", s.Lambda, 0, 0.5, "")
	return c.err("suspension")
}

// Compliance returns the creeping compliance.
func (s Creep) Compliance(cms, ws float64) network.Element {
	return creepCompliance{cms: cms, ws: ws, lambda: s.Lambda}
}

// lossFactor returns what creep adds to 1/Qms at resonance.
func (s Creep) lossFactor() float64 {
	delta := s.Lambda * creepLoss
	return delta / (1 + delta*delta)
}

// creepLoss is the imaginary part of log10(j).
const creepLoss = math.Pi / 2 / math.Ln10

type creepCompliance struct{ cms, ws, lambda float64 }

// relative returns Cms(ω)/Cms.
func (s creepCompliance) relative(w float64) complex128 {
	return complex(1-s.lambda*math.Log10(w/s.ws), -s.lambda*creepLoss)
}

// Admittance returns velocity over force, jωCms(ω).
func (s creepCompliance) Admittance(w float64) complex128 {
	return complex(0, w*s.cms) * s.relative(w)
}
