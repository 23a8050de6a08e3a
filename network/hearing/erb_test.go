package hearing

import (
	"math"
	"testing"
)

// Glasberg and Moore, Hearing Research 47 (1990), equations 3 and 4.
func TestERBPublished(t *testing.T) {
	for _, c := range []struct{ hz, erb, rate float64 }{
		{100, 35.494, 3.3696}, {1000, 132.639, 15.6214}, {10000, 1104.09, 35.3166},
	} {
		if got := ERB(c.hz); math.Abs(got/c.erb-1) > 1e-5 {
			t.Errorf("ERB at %g Hz: %g Hz, want %g", c.hz, got, c.erb)
		}
		if got := ERBRate(c.hz); math.Abs(got-c.rate) > 5e-5 {
			t.Errorf("ERB rate at %g Hz: %g, want %g", c.hz, got, c.rate)
		}
	}
}

func TestERBRateInverse(t *testing.T) {
	for hz := 0.01; hz < 1e5; hz *= 1.3 {
		if got := ERBRateToHz(ERBRate(hz)); math.Abs(got/hz-1) > 1e-13 {
			t.Errorf("%g Hz comes back as %g Hz", hz, got)
		}
	}
}

// The rate counts bandwidths, to the rounding of its factor: 0.3 %.
func TestERBRateCountsBandwidths(t *testing.T) {
	var count float64
	const step = 0.5
	for hz := 60.0; hz < 10e3; hz += step {
		count += step / ERB(hz+step/2)
	}
	if got := ERBRate(10e3) - ERBRate(60); math.Abs(got/count-1) > 0.0035 {
		t.Errorf("60 Hz to 10 kHz: rate rises by %g over %g bandwidths", got, count)
	}
}
