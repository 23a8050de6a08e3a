package tone_test

import (
	"math"
	"strings"
	"testing"

	"loadscape/network/hearing"
	"loadscape/network/tone"
)

// ITU-R BS.1770-4, Tables 1 and 2 (filters at 48 kHz); gains in dB, computed
// from the tables by another program.
func TestLevelPublished(t *testing.T) {
	gains := map[float64]float64{25: -10.393, 63: -2.664, 100: -1.134, 997: 0.691, 2000: 3.071, 10000: 4.042}
	const steps = 40
	for f, gain := range gains {
		if f == 997 {
			continue
		}
		// On a grid of equal steps that has points at f and at 997 Hz a
		// voltage at one of them alone is as loud as the weight is there.
		step := math.Abs(math.Log(f/997)) / steps
		below := int(math.Log(997.0/15) / step)
		above := int(math.Log(24e3/997) / step)
		var hz []float64
		for i := -below; i <= above; i++ {
			hz = append(hz, 997*math.Exp(step*float64(i)))
		}
		level := func(point int) float64 {
			h := make([]complex128, len(hz))
			h[point] = 1
			db, err := tone.Level(hz, h, hearing.Band{From: 20, To: 20e3})
			if err != nil {
				t.Fatal(err)
			}
			return db
		}
		at := below + steps
		if f < 997 {
			at = below - steps
		}
		if math.Abs(hz[at]/f-1) > 1e-9 {
			t.Fatalf("point %d is at %g Hz, not %g", at, hz[at], f)
		}
		if got, want := level(at)-level(below), gain-gains[997]; math.Abs(got-want) > 0.0011 { // both to a thousandth
			t.Errorf("%g Hz against 997 Hz: %.4f dB, want %.3f", f, got, want)
		}
	}
}

// A response of one has the level 0, and a gain is its level.
func TestLevelOfGain(t *testing.T) {
	hz := grid(48)
	for _, db := range []float64{0, -60, 13.5} {
		got, err := tone.Level(hz, response(hz, db), hearing.Band{})
		if err != nil || math.Abs(got-db) > 1e-9 {
			t.Errorf("a gain of %g dB has a level of %g dB, %v", db, got, err)
		}
	}
}

// Powers add: of two halves of the band, each heard alone, neither is louder
// than both.
func TestLevelPowersAdd(t *testing.T) {
	hz := grid(48)
	low, high := response(hz, 0), response(hz, 0)
	for i, f := range hz {
		if f < 800 {
			high[i] = 0
		} else {
			low[i] = 0
		}
	}
	power := 0.0
	for _, h := range [][]complex128{low, high} {
		db, err := tone.Level(hz, h, hearing.Band{})
		if err != nil {
			t.Fatal(err)
		}
		power += math.Pow(10, db/10)
	}
	if math.Abs(power-1) > 1e-9 {
		t.Errorf("the halves add to a power of %g", power)
	}
}

func TestBandErrors(t *testing.T) {
	hz := grid(48)
	flat := response(hz, 0)
	for _, band := range []hearing.Band{{From: 5}, {To: 40e3}, {From: 500, To: 100}, {From: -1}, {From: math.NaN()}} {
		if _, err := tone.Level(hz, flat, band); err == nil {
			t.Errorf("no error for the level in the band %v", band)
		}
		if _, err := tone.Compare(hz, flat, flat, band); err == nil {
			t.Errorf("no error for a comparison in the band %v", band)
		}
	}
	falling := []float64{20e3, 1000, 20}
	if _, err := tone.Compare(falling, flat[:3], flat[:3], hearing.Band{}); err == nil {
		t.Error("no error for falling frequencies")
	}
}

func TestLengthsPanic(t *testing.T) {
	defer func() {
		if r, ok := recover().(string); !ok || !strings.HasPrefix(r, "tone: ") {
			t.Errorf("panic of %v, want one with the prefix of the package", r)
		}
	}()
	hz := grid(12)
	_, _ = tone.Compare(hz, response(hz, 0), response(hz, 0)[1:], hearing.Band{})
}

func BenchmarkLevel(b *testing.B) {
	hz := grid(48)
	h := response(hz, 0, hump, top)
	for b.Loop() {
		if _, err := tone.Level(hz, h, hearing.Band{}); err != nil {
			b.Fatal(err)
		}
	}
}
