package thielesmall

import (
	"errors"
	"fmt"
	"math"

	"loadscape/network"
)

// Output is what a cabinet does at the frequencies Hz.
//
// The level is that of the summed volume flow of cones, ports, leaks,
// radiators and opening, a point source in an infinite wall (Small 1972): good
// while the cabinet is small against the wavelength, and without the path from
// the rear to the front. In free air there is none.
type Output struct {
	Hz         []float64
	Cones      []Motion     // of the drivers, in the order of the wiring
	Openings   []Motion     // of ports, leaks, radiators, opening
	VolumeFlow []complex128 // m³/s, RMS, sum of all; nil: not known
	Level      []float64    // dB re 20 µPa at 1 m in half space; nil: not known
}

// Response returns what the cabinet does with volts (RMS) at its terminals;
// 1 gives it per volt, √RatedImpedance for the nominal watt. A
// [*network.Condition] error comes beside a usable answer.
func (k Cabinet) Response(hz []float64, volts float64) (*Output, error) {
	if !(volts > 0) || math.IsInf(volts, 1) {
		return nil, fmt.Errorf("thielesmall: %s: %g V at the terminals: expected a positive, finite number", k.title(), volts)
	}
	c := network.NewCircuit()
	in := c.Node("in")
	probe := k.LayProbe(c, k.Name, in, network.Ground)
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		return nil, err
	}
	sol, err := plan.NewSolver().Solve(hz)
	var doubtful *network.Condition
	if err != nil && !errors.As(err, &doubtful) {
		return nil, err
	}
	amperes := make([]complex128, len(hz))
	for i, z := range sol.Impedance() {
		amperes[i] = complex(volts, 0) / z
	}
	o := probe.Read(sol, amperes)
	return &o, err
}
