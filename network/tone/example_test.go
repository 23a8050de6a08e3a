package tone_test

import (
	"fmt"
	"math"

	"loadscape/network/hearing"
	"loadscape/network/tone"
)

// A resonance of 40 ohm over a resistance of 8 ohm, behind a source of
// 8 ohm, against a plain resistor of 8 ohm behind the same source.
func ExampleCompare() {
	const source = 8
	var hz []float64
	var h, reference []complex128
	for i := range 479 {
		f := 20 * math.Exp2(float64(i)/48)
		z := 8 + 40/complex(1, 4*(f/92-92/f))
		hz = append(hz, f)
		h = append(h, z/(z+source))
		reference = append(reference, 8.0/(8+source))
	}
	c, err := tone.Compare(hz, h, reference, hearing.Band{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("louder by %.1f dB; once equally loud they differ by %.1f dB RMS\n", c.Offset, c.RMS)
	for _, f := range c.Features {
		fmt.Println(f)
	}
	// Output:
	// louder by 0.7 dB; once equally loud they differ by 1.1 dB RMS
	// hump of 4.7 dB at 92.4 Hz, 1.6 octaves wide
}
