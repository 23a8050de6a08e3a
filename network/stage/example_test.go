package stage_test

import (
	"fmt"
	"log"
	"math/cmplx"

	"loadscape/network/stage"
)

// An invented stage of 40 W with two loads measured across its 8 ohm tap.
func ExampleStage_At() {
	s := stage.Stage{
		Kind:       stage.Valve,
		RatedPower: 40,
		Taps:       []float64{4, 8, 16},
		DefaultTap: 8,
		Source:     stage.TwoLoadTest{Volts: [2]float64{4, 3}, Ohms: [2]float64{8, 4}},
	}
	for _, tap := range s.Taps {
		o, err := s.At(tap)
		if err != nil {
			log.Fatal(err)
		}
		w := 2 * 3.14159265 * 1000
		fmt.Printf("%2.0f ohm tap: %.1f ohm behind %.1f V\n", tap, cmplx.Abs(o.Impedance(w)), cmplx.Abs(o.EMF(w)))
	}
	// Output:
	//  4 ohm tap: 2.0 ohm behind 19.0 V
	//  8 ohm tap: 4.0 ohm behind 26.8 V
	// 16 ohm tap: 8.0 ohm behind 37.9 V
}
