package leastsquares_test

import (
	"fmt"
	"math"

	"loadscape/network/leastsquares"
)

// The voltage of a capacitor that discharges, at four seconds: find its start
// and its time constant.
func ExampleMinimize() {
	volts := []float64{6.065, 3.679, 2.231, 1.353}
	found := leastsquares.Minimize(leastsquares.Problem{
		Size: len(volts),
		Residuals: func(r, x []float64) {
			for i, v := range volts {
				r[i] = x[0]*math.Exp(-float64(i+1)/x[1]) - v
			}
		},
		Lower: []float64{0, 0.1},
		Upper: []float64{100, 100},
	}, []float64{1, 1}, leastsquares.Settings{})
	fmt.Printf("%.2f V, %.2f s\n", found.X[0], found.X[1])
	// Output: 10.00 V, 2.00 s
}
