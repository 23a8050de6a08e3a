package network_test

import (
	"fmt"
	"log"
	"math"
	"math/cmplx"

	"loadscape/network"
)

// A load with the two humps of a loudspeaker: a resonance at 80 Hz, and the
// rise of a voice coil.
func ExampleImpedance() {
	load := network.Series{
		network.Resistor{Ohms: 6.5},
		network.Parallel{
			network.Resistor{Ohms: 40},
			network.Inductor{Henries: 18e-3, DCR: 0.8},
			network.Capacitor{Farads: 220e-6},
		},
		network.Parallel{
			network.Resistor{Ohms: 30},
			network.Inductor{Henries: 0.8e-3},
		},
	}
	hz := []float64{20, 80, 400, 2000, 10000}
	z, err := network.Impedance(load, hz)
	if err != nil {
		log.Fatal(err)
	}
	for i, f := range hz {
		fmt.Printf("%5g Hz %5.1f Ω %+3.0f°\n", f, cmplx.Abs(z[i]), cmplx.Phase(z[i])*180/math.Pi)
	}
	// Output:
	//    20 Hz   7.9 Ω +18°
	//    80 Hz  35.3 Ω  -1°
	//   400 Hz   6.7 Ω  +1°
	//  2000 Hz  12.9 Ω +42°
	// 10000 Hz  31.5 Ω +25°
}

// The power in every part of a divider that takes 8 ohms to 2, at 20 V (RMS)
// across it.
func ExampleSolution_PartPower() {
	divider := network.Terminated{
		Through: network.Cascade{
			network.SeriesArm{OnePort: network.Resistor{Ohms: 6}},
			network.ShuntArm{OnePort: network.Resistor{Ohms: 8.0 / 3}},
		},
		Load: network.Named{Name: "speaker", OnePort: network.Resistor{Ohms: 8}},
	}
	c := network.NewCircuit()
	in := c.Node("in")
	divider.Lay(c, "quiet", in, network.Ground)
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		log.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve([]float64{1000})
	if err != nil {
		log.Fatal(err)
	}
	// A solution is per ampere: power goes with the square of the current.
	amperes := 20 / cmplx.Abs(sol.Impedance()[0])
	for i, p := range plan.Parts() {
		watts := sol.PartPower(network.PartID(i))[0] * amperes * amperes
		fmt.Printf("%-26s %5.2f W\n", p.Name, watts)
	}
	// Output:
	// quiet/cascade/resistor     37.50 W
	// quiet/cascade/resistor-2    9.38 W
	// quiet/speaker               3.12 W
}

// What two-ports leave of a signal: the loss of 10 m of cable with 0.4 ohm and
// 6 µH before a load of 4 ohms.
func ExampleTwoPort() {
	cable := network.NamedTwoPort{Name: "cable", TwoPort: network.Cascade{
		network.SeriesArm{OnePort: network.Inductor{Henries: 6e-6, DCR: 0.4}},
		network.ShuntArm{OnePort: network.Capacitor{Farads: 1e-9}},
	}}
	c := network.NewCircuit()
	in := c.Node("in")
	out := cable.Lay(c, cable.Label(), in, network.Ground)
	network.Resistor{Ohms: 4}.Lay(c, "load", out, network.Ground)
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		log.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve([]float64{100, 1000, 20000})
	if err != nil {
		log.Fatal(err)
	}
	for i, v := range sol.Voltage(out) {
		ratio := cmplx.Abs(v / sol.Impedance()[i])
		fmt.Printf("%5g Hz %.2f dB\n", sol.Hz[i], 20*math.Log10(ratio))
	}
	// Output:
	//   100 Hz -0.83 dB
	//  1000 Hz -0.83 dB
	// 20000 Hz -0.95 dB
}
