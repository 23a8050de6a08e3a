package tolerance_test

import (
	"context"
	"fmt"
	"log"

	"loadscape/network"
	"loadscape/network/tolerance"
)

// Which of two parts of a load matters more.
func ExampleLoad() {
	load := network.Series{
		network.Resistor{Ohms: 6.8, Rating: network.Rating{Tolerance: 0.05}},
		network.Inductor{Henries: 0.47e-3, DCR: 0.3, Rating: network.Rating{Tolerance: 0.1}},
	}
	hz, err := network.Sweep{PerOctave: 12}.Frequencies()
	if err != nil {
		log.Fatal(err)
	}
	r, err := tolerance.Load(context.Background(), load, hz, tolerance.Options{Builds: 2000, Limit: 1})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range r.Parts {
		fmt.Printf("%s: ±%.2f dB\n", p.Name, p.RMS)
	}
	fmt.Printf("%.0f %% of the builds are within %g dB\n", 100*r.Within.Share, r.Options.Limit)
	// Output:
	// series/inductor: ±0.44 dB
	// series/resistor: ±0.30 dB
	// 100 % of the builds are within 1 dB
}
