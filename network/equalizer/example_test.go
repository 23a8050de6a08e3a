package equalizer_test

import (
	"fmt"
	"math"

	"loadscape/network/equalizer"
)

// Two bands that undo a hump of 5 dB at 90 Hz and a top end that rises by
// 4 dB, and their coefficients for a sample rate of 48 kHz.
func ExampleFit() {
	hump := equalizer.Band{Kind: equalizer.Peak, Hz: 90, Gain: 5, Q: 1.2}
	top := equalizer.Band{Kind: equalizer.HighShelf, Hz: 3000, Gain: 4, Q: 0.5}
	var hz, deviation []float64
	for i := range 240 {
		f := 20 * math.Exp2(float64(i)/24)
		hz = append(hz, f)
		deviation = append(deviation, hump.DB(f, 48e3)+top.DB(f, 48e3)-1)
	}
	c, err := equalizer.Fit(hz, deviation, equalizer.Options{Bands: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range c.Bands {
		fmt.Println(b)
		s := b.Coefficients(c.SampleRate)
		fmt.Printf("  b %.6f %.6f %.6f, a 1 %.6f %.6f\n", s.B0, s.B1, s.B2, s.A1, s.A2)
	}
	fmt.Printf("level %+.1f dB; %.2f dB RMS before, %.2f dB after\n", c.Level, c.Before, c.After)
	// Output:
	// peak at 90 Hz, -5.0 dB, Q 1.20
	//   b 0.997154 -1.986856 0.989840, a 1 -1.986856 0.986994
	// high shelf at 3000 Hz, -4.0 dB, Q 0.50
	//   b 0.681119 -0.865127 0.274712, a 1 -1.397660 0.488363
	// level +1.0 dB; 1.50 dB RMS before, 0.00 dB after
}
