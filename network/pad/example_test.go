package pad_test

import (
	"fmt"
	"log"

	"loadscape/network/pad"
	"loadscape/network/preferred"
)

// Twelve decibels less for an 8 ohm loudspeaker, in values that shops have.
func ExampleDesign() {
	p, err := pad.Design(pad.Spec{Form: pad.L, Attenuation: 12, Impedance: 8})
	if err != nil {
		log.Fatal(err)
	}
	w, err := p.Between(8, 8)
	if err != nil {
		log.Fatal(err)
	}
	for i, r := range p.Resistors {
		fmt.Printf("%s %.3f ohm takes %.0f %% of the power\n", r.Name, r.Ohms, 100*w.Shares[i])
	}
	s, err := p.Snap(preferred.E12, 8, 8)
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range s.Resistors {
		fmt.Printf("%s %g ohm\n", r.Name, r.Ohms)
	}
	fmt.Printf("off by %+.2f dB, %+.2f ohm\n", s.Attenuation, s.Input)
	// Output:
	// series 5.990 ohm takes 75 % of the power
	// shunt 2.684 ohm takes 19 % of the power
	// series 5.6 ohm
	// shunt 2.7 ohm
	// off by -0.25 dB, -0.38 ohm
}
