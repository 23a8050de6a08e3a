package chain_test

import (
	"fmt"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/stage"
	"loadscape/network/tone"
)

// What a resistor does to the tone in place of a speaker with a resonance at
// 103 Hz, behind a valve stage.
func ExampleSetup_Run() {
	valves := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.DampingFactor(0.9)}
	speaker := network.Series{
		network.Resistor{Ohms: 6.5},
		network.Parallel{
			network.Resistor{Ohms: 40},
			network.Inductor{Henries: 20e-3},
			network.Capacitor{Farads: 120e-6},
		},
	}
	hz, err := network.Sweep{}.Frequencies()
	if err != nil {
		fmt.Println(err)
		return
	}
	run := func(name string, load network.OnePort) *chain.Result {
		r, err := chain.Setup{Name: name, Links: []chain.Link{{Stage: valves, Load: load}}}.Run(hz)
		if err != nil {
			panic(err)
		}
		return r
	}
	dummy, reference := run("dummy", network.Resistor{Ohms: 8}), run("speaker", speaker)
	c, err := tone.Compare(hz, dummy.Response, reference.Response, hearing.Band{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("off by %.2f dB (RMS)\n", c.RMS)
	for _, f := range c.Features {
		fmt.Println(f)
	}
	// Output:
	// off by 1.66 dB (RMS)
	// dip of 6.0 dB at 102 Hz, 2.2 octaves wide
}
