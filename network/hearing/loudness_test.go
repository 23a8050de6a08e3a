package hearing

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// ISO 226:2023, Table B.1, which gives a tenth of a dB.
func TestPressureLevelPublished(t *testing.T) {
	for _, c := range []struct{ phon, hz, db float64 }{
		{20, 20, 89.5}, {20, 12500, 33.0}, {40, 63, 73.0}, {40, 1000, 40.0},
		{40, 8000, 51.6}, {60, 500, 62.1}, {80, 20, 118.9}, {90, 4000, 88.8},
	} {
		got, err := PressureLevel(c.hz, c.phon)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-c.db) > 0.05 {
			t.Errorf("%g phon at %g Hz: %.3f dB, want %.1f", c.phon, c.hz, got, c.db)
		}
	}
}

// ISO 226:2023, formula 1, worked for 80 phon and 60 phon.
func TestBoostPublished(t *testing.T) {
	for hz, want := range map[float64]float64{20: 10.508, 63: 7.456, 100: 6.043, 250: 3.113, 1000: 0, 4000: -0.803} {
		got, err := Boost(80, 60, hz)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-want) > 0.0006 {
			t.Errorf("at %g Hz %.4f dB, want %.3f", hz, got, want)
		}
	}
}

// The formula as the standard prints it, with the numbers of Table 1 for 63 Hz
// and 10 kHz written out.
func TestPressureLevelFormula(t *testing.T) {
	for _, c := range []struct{ hz, a, lu, tf float64 }{{63, 0.482, -13.1, 37.5}, {10000, 0.323, -10.9, 13.9}} {
		for phon := 20.0; phon <= 80; phon += 12 {
			inner := math.Pow(4e-10, 0.3-c.a)*(math.Pow(10, 0.03*phon)-math.Pow(10, 0.072)) + math.Pow(10, c.a*(c.tf+c.lu)/10)
			want := 10/c.a*math.Log10(inner) - c.lu
			got, err := PressureLevel(c.hz, phon)
			if err != nil || math.Abs(got-want) > 1e-10 {
				t.Errorf("%g phon at %g Hz: %v dB, %v; want %g", phon, c.hz, got, err, want)
			}
		}
	}
}

func TestLoudnessLevelInverts(t *testing.T) {
	for hz := 20.0; hz <= 12500; hz *= 1.037 {
		low, high, ok := PhonRange(hz)
		if !ok {
			t.Fatalf("%g Hz not covered", hz)
		}
		for _, phon := range []float64{low, 33.3, 61, high} {
			db, err := PressureLevel(hz, phon)
			if err != nil {
				t.Fatal(err)
			}
			got, err := LoudnessLevel(hz, db)
			if err != nil || math.Abs(got-phon) > 1e-9 {
				t.Errorf("%g phon at %g Hz comes back as %v, %v", phon, hz, got, err)
			}
		}
	}
}

// Between the table's frequencies a contour stays between its neighbours in
// the table to within the half dB that the package states, since the formula
// is not linear in its parameters; and contours do not cross.
func TestContoursBetweenTable(t *testing.T) {
	level := func(hz, phon float64) float64 {
		db, err := PressureLevel(hz, phon)
		if err != nil {
			t.Fatal(err)
		}
		return db
	}
	table := ContourFrequencies()
	for i := 1; i < len(table); i++ {
		for _, phon := range []float64{20, 50, 80} {
			a, b := level(table[i-1], phon), level(table[i], phon)
			for share := 0.0; share <= 1; share += 1.0 / 16 {
				hz := math.Min(table[i-1]*math.Pow(table[i]/table[i-1], share), table[i])
				got := level(hz, phon)
				if got < math.Min(a, b)-0.5 || got > math.Max(a, b)+0.5 {
					t.Errorf("%g phon: %.2f dB at %.0f Hz between %.2f and %.2f", phon, got, hz, a, b)
				}
				if phon > 20 && level(hz, phon-0.001) >= got {
					t.Errorf("contours cross at %.0f Hz, %g phon", hz, phon)
				}
			}
		}
	}
}

func TestLoudnessRange(t *testing.T) {
	for _, c := range []struct {
		hz, phon float64
		ok       bool
	}{
		{20, 20, true}, {20, 90, true}, {4000, 90, true}, {4001, 80, true}, {12500, 80, true}, {5000, 20, true},
		{19.99, 40, false}, {12501, 40, false}, {1000, 19.99, false}, {1000, 90.01, false},
		{4001, 80.01, false}, {5000, 90, false}, {math.NaN(), 40, false}, {1000, math.NaN(), false}, {1000, 105, false},
	} {
		_, err := PressureLevel(c.hz, c.phon)
		if (err == nil) != c.ok {
			t.Errorf("%g phon at %g Hz: error %v", c.phon, c.hz, err)
		}
		var r *RangeError
		if err != nil && !errors.As(err, &r) {
			t.Errorf("error is a %T", err)
		}
		_, err = Boost(40, c.phon, c.hz)
		if (err == nil) != c.ok {
			t.Errorf("boost to %g phon at %g Hz: error %v", c.phon, c.hz, err)
		}
	}
}

func TestRangeErrorSays(t *testing.T) {
	_, high := PressureLevel(1000, 105)
	_, treble := PressureLevel(8000, 85)
	_, outside := Boost(80, 60, 16000)
	_, faint := LoudnessLevel(1000, 10)
	for _, c := range []struct {
		err  error
		want string
	}{
		{high, "105 phon at 1000 Hz is outside ISO 226:2023, which covers 20 to 90 phon there"},
		{treble, "85 phon at 8000 Hz is outside ISO 226:2023, which covers 20 to 80 phon there"},
		{outside, "16000 Hz is outside ISO 226:2023, which covers 20 Hz to 12500 Hz"},
		{faint, "10 phon at 1000 Hz is outside"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("error %v, want it to say %q", c.err, c.want)
		}
	}
}

// At 1 kHz loudness level and sound pressure level are the same by definition.
func TestReferenceTone(t *testing.T) {
	for phon := 20.0; phon <= 90; phon += 7 {
		if db, err := PressureLevel(1000, phon); err != nil || math.Abs(db-phon) > 1e-9 {
			t.Errorf("%g phon at 1 kHz is %g dB, %v", phon, db, err)
		}
	}
}

func BenchmarkBoost(b *testing.B) {
	for b.Loop() {
		if _, err := Boost(80, 60, 123); err != nil {
			b.Fatal(err)
		}
	}
}
