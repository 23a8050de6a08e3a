package hearing

import "math"

// The constants of Glasberg and Moore (1990), equations 3 and 4. The factor of
// the rate is the paper's, rounded: the integral of 1/ERB would have 21.33.
const (
	erbFloor = 24.7    // Hz
	erbSlope = 4.37e-3 // 1/Hz
	erbScale = 21.4
)

// ERB returns the equivalent rectangular bandwidth in hertz of the auditory
// filter centred at a frequency in hertz.
func ERB(hz float64) float64 { return erbFloor * (1 + erbSlope*hz) }

// ERBRate returns the number of equivalent rectangular bandwidths below a
// frequency in hertz.
func ERBRate(hz float64) float64 { return erbScale * math.Log1p(erbSlope*hz) / math.Ln10 }

// ERBRateToHz returns the frequency in hertz that has a given [ERBRate].
func ERBRateToHz(rate float64) float64 { return math.Expm1(rate*math.Ln10/erbScale) / erbSlope }
