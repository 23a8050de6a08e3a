package hearing_test

import (
	"fmt"
	"math"

	"loadscape/network/hearing"
)

// How much bass the ear misses when a sound of 80 phon is turned down to 60.
func ExampleBoost() {
	for _, hz := range []float64{50, 100, 200, 1000, 4000} {
		db, err := hearing.Boost(80, 60, hz)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%4.0f Hz %+.1f dB\n", hz, db)
	}
	_, err := hearing.Boost(105, 80, 100)
	fmt.Println(err)
	// Output:
	//   50 Hz +8.1 dB
	//  100 Hz +6.0 dB
	//  200 Hz +3.8 dB
	// 1000 Hz +0.0 dB
	// 4000 Hz -0.8 dB
	// hearing: 105 phon at 100 Hz is outside ISO 226:2023, which covers 20 to 90 phon there
}

// The level of a response that halves the voltage above 1 kHz.
func ExampleKWeights() {
	hz := []float64{20, 999, 1001, 20000}
	h := []float64{1, 1, 0.5, 0.5}
	w, err := hearing.KWeights(nil, hz, hearing.Band{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var power float64
	for i := range w {
		power += w[i] * h[i] * h[i]
	}
	fmt.Printf("%.1f dB\n", 10*math.Log10(power))
	// Output:
	// -2.9 dB
}
