package design_test

import (
	"fmt"
	"log"

	"loadscape/network"
	"loadscape/network/design"
	"loadscape/network/hearing"
	"loadscape/network/preferred"
	"loadscape/network/stage"
)

// A load that follows a cabinet with a resonance and an inductive rise, for an
// invented amplifier of 40 W with a source impedance of 8 ohm.
func ExampleFind() {
	cabinet := network.Series{
		network.Resistor{Ohms: 6.4},
		network.Parallel{network.Resistor{Ohms: 40}, network.Inductor{Henries: 15e-3}, network.Capacitor{Farads: 200e-6}},
		network.Single{Kind: "voice coil", Element: network.PowerLaw{K: 0.03, N: 0.6}},
	}
	amplifier, err := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.OutputImpedance(8)}.At(0)
	if err != nil {
		log.Fatal(err)
	}
	target, err := design.NewTarget(cabinet, 1, amplifier, hearing.Band{})
	if err != nil {
		log.Fatal(err)
	}
	r, err := design.Find(target, design.Options{Resistors: preferred.E12, Capacitors: preferred.E12})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: within the limits %v\n", r.Design.Topology, r.Design.Error.Within(design.Limits{Impedance: 0.05, Tone: 0.5}))
	// Output:
	// series resistor, 1 tank, 3 rungs: within the limits true
}
