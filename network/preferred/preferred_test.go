package preferred

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var all = []Series{E3, E6, E12, E24, E48, E96, E192}

// IEC 60063, Table 1 (from memory but for the E24 values that differ from
// rounding 10^(k/24): 27 30 33 36 39 43 47 82).
func TestStandardCoarseSeries(t *testing.T) {
	for s, want := range map[Series][]float64{
		E3:  {10, 22, 47},
		E6:  {10, 15, 22, 33, 47, 68},
		E12: {10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82},
		E24: {10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91},
	} {
		if got := s.Values(10, 99); !slices.Equal(got, want) {
			t.Errorf("%v: %v, want %v", s, got, want)
		}
	}
	var differ []float64
	for k, v := range E24.Values(10, 99) {
		if v != math.Round(10*math.Pow(10, float64(k)/24)) {
			differ = append(differ, v)
		}
	}
	if want := []float64{27, 30, 33, 36, 39, 43, 47, 82}; !slices.Equal(differ, want) {
		t.Errorf("values that differ from rounding: %v, want %v", differ, want)
	}
}

// IEC 60063, Table 2: E48 whole, ends and middles of E96 and E192, and the one
// value of E192 that differs from rounding: 920. E48 from memory.
func TestStandardFineSeries(t *testing.T) {
	want := []float64{
		100, 105, 110, 115, 121, 127, 133, 140, 147, 154, 162, 169, 178, 187, 196, 205, 215, 226, 237, 249, 261, 274, 287, 301,
		316, 332, 348, 365, 383, 402, 422, 442, 464, 487, 511, 536, 562, 590, 619, 649, 681, 715, 750, 787, 825, 866, 909, 953,
	}
	if got := E48.Values(100, 999); !slices.Equal(got, want) {
		t.Errorf("E48: %v, want %v", got, want)
	}
	if got, want := E96.Values(900, 999), []float64{909, 931, 953, 976}; !slices.Equal(got, want) {
		t.Errorf("E96: %v, want %v", got, want)
	}
	if got, want := E192.Values(900, 999), []float64{909, 920, 931, 942, 953, 965, 976, 988}; !slices.Equal(got, want) {
		t.Errorf("E192: %v, want %v", got, want)
	}
	for k, v := range E192.Values(100, 999) {
		if rule := math.Round(100 * math.Pow(10, float64(k)/192)); v != rule && v != 920 {
			t.Errorf("%g differs from rounding, %g", v, rule)
		}
	}
}

// Every value of 21 decades is what its decimal notation reads as.
func TestValuesAreExactDecimals(t *testing.T) {
	for _, s := range all {
		values := s.Values(1e-12, 1e9)
		if len(values) != 21*int(s)+1 {
			t.Errorf("%v: %d values from 1e-12 to 1e9, want %d", s, len(values), 21*int(s)+1)
		}
		for i, v := range values {
			text := strconv.FormatFloat(v, 'e', -1, 64)
			if digits := strings.IndexByte(text, 'e'); digits > len("4.75") {
				t.Errorf("%v: %s has too many digits", s, text)
			}
			if i > 0 && v <= values[i-1] {
				t.Errorf("%v: %g after %g", s, v, values[i-1])
			}
		}
	}
}

func TestSeriesNest(t *testing.T) {
	for _, pair := range [][2]Series{{E3, E6}, {E6, E12}, {E12, E24}, {E48, E96}, {E96, E192}} {
		fine := pair[1].Values(1, 10)
		for _, v := range pair[0].Values(1, 10) {
			if !slices.Contains(fine, v) {
				t.Errorf("%g of %v is not in %v", v, pair[0], pair[1])
			}
		}
	}
}

// The slow reference: all values of three decades, one by one.
func TestAgainstSearchOfAllValues(t *testing.T) {
	for _, s := range all {
		values := s.Values(0.1, 1000)
		for x := 1.0; x < 100; x *= 1.00317 {
			nearest, below, above := 0.0, 0.0, math.Inf(1)
			for _, v := range values {
				if math.Abs(math.Log(v/x)) < math.Abs(math.Log(nearest/x)) {
					nearest = v
				}
				if v <= x {
					below = max(below, v)
				}
				if v >= x {
					above = min(above, v)
				}
			}
			if got := s.Nearest(x); got != nearest {
				t.Errorf("%v: nearest to %g is %g, want %g", s, x, got, nearest)
			}
			if got := s.Below(x); got != below {
				t.Errorf("%v: below %g is %g, want %g", s, x, got, below)
			}
			if got := s.Above(x); got != above {
				t.Errorf("%v: above %g is %g, want %g", s, x, got, above)
			}
		}
	}
}

func TestAValueFindsItself(t *testing.T) {
	for _, s := range all {
		for _, v := range s.Values(1e-12, 1e9) {
			for _, x := range []float64{v, math.Nextafter(v, 0), math.Nextafter(v, math.Inf(1))} {
				if s.Nearest(x) != v || s.Below(x) != v || s.Above(x) != v {
					t.Fatalf("%v: %v gives %v, %v, %v", s, x, s.Nearest(x), s.Below(x), s.Above(x))
				}
			}
		}
	}
}

func TestNearestIsByRatio(t *testing.T) {
	// sqrt(10·15) = 12.247 lies below the mean, 12.5.
	for x, want := range map[float64]float64{12.24: 10, 12.26: 15, 9.0: 10, 8.2: 6.8, 8.3: 10} {
		if got := E6.Nearest(x); got != want {
			t.Errorf("E6 nearest to %g is %g, want %g", x, got, want)
		}
	}
	value, relative := E12.Snap(3.9905) // 6 dB L-pad into 8 ohm
	if value != 3.9 || math.Abs(relative+0.0226788) > 1e-7 {
		t.Errorf("snapped to %g with %g", value, relative)
	}
}

func TestOutOfRange(t *testing.T) {
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), 1.1e15, 0.9e-15} {
		value, relative := E24.Snap(x)
		for _, got := range []float64{value, relative, E24.Below(x), E24.Above(x)} {
			if !math.IsNaN(got) {
				t.Errorf("%g gives %g, want NaN", x, got)
			}
		}
		if got := E24.Values(x, 1); got != nil {
			t.Errorf("values from %g: %v", x, got)
		}
	}
	if got := E24.Values(10, 1); got != nil {
		t.Errorf("values from 10 to 1: %v", got)
	}
	if E3.Nearest(Min) != Min || E3.Nearest(Max) != Max || E192.Below(Max) != Max {
		t.Error("the ends of the range are out of it")
	}
}

func TestParseSeries(t *testing.T) {
	for _, s := range all {
		if got, err := ParseSeries(" " + strings.ToLower(s.String())); got != s || err != nil {
			t.Errorf("%v is read as %v, %v", s, got, err)
		}
	}
	for _, bad := range []string{"", "E", "12", "E5", "E-12", "E012", "E+12", "E12.0", "F12", "EE12"} {
		if got, err := ParseSeries(bad); err == nil || !strings.Contains(err.Error(), "E192") {
			t.Errorf("%q is read as %v, %v", bad, got, err)
		}
	}
}

func ExampleSeries_Snap() {
	for _, s := range []Series{E6, E12, E24, E96} {
		value, relative := s.Snap(3.99)
		fmt.Printf("%v: %g ohm, %+.1f %%\n", s, value, 100*relative)
	}
	// Output:
	// E6: 4.7 ohm, +17.8 %
	// E12: 3.9 ohm, -2.3 %
	// E24: 3.9 ohm, -2.3 %
	// E96: 4.02 ohm, +0.8 %
}

func BenchmarkNearest(b *testing.B) {
	for b.Loop() {
		_ = E96.Nearest(3.9905e-6)
	}
}
