package measured_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"loadscape/network/measured"
)

func Example() {
	const file = `
* Freq(kHz)  Z(Ohm)  Phase(deg)
  0.02         7.4      24.0
  0.08        58.1      -3.5
  0.40         6.9      -5.0
  20.0        31.0      58.0
`
	table, err := measured.Read(strings.NewReader(file), "cabinet.txt", measured.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	curve, err := measured.NewCurve(table)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, hz := range []float64{80, 1000, 30e3} {
		z, err := curve.Impedance(2 * math.Pi * hz)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%g Hz: %.1f ohm\n", hz, cmplx.Abs(z))
	}
	// Output:
	// 80 Hz: 58.1 ohm
	// 1000 Hz: 7.0 ohm
	// measured: 30000 Hz asked for: expected frequencies from 20 to 20000 Hz, the range of the measured curve
}
