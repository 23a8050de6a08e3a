package network

import (
	"math"
	"testing"
)

func TestSweepPoints(t *testing.T) {
	for _, x := range []struct {
		name   string
		sweep  Sweep
		points int
		last   float64
	}{
		// log2(1000) = 9.9658 octaves hold 478.36 steps of 1/48.
		{"defaults", Sweep{}, 479, 20 * math.Exp2(478.0/48)},
		{"ten octaves", Sweep{From: 20, To: 20480}, 481, 20480},
		{"one point", Sweep{From: 1000, To: 1000}, 1, 1000},
		{"end within rounding", Sweep{From: 20, To: 20 * math.Cbrt(2), PerOctave: 3}, 2, 20 * math.Cbrt(2)},
		{"end an ulp short", Sweep{From: 20, To: math.Nextafter(40, 0), PerOctave: 12}, 13, 40},
		{"end one part in 10⁶ short", Sweep{From: 20, To: 40 * (1 - 1e-6), PerOctave: 12}, 12, 20 * math.Exp2(11.0/12)},
		{"one per octave", Sweep{From: 31.25, To: 16e3, PerOctave: 1}, 10, 16e3},
		{"only the end given", Sweep{To: 100, PerOctave: 1}, 3, 80},
		{"as many as there may be", Sweep{From: 20, To: 40, PerOctave: MaxSweepPoints - 1}, MaxSweepPoints, 40},
	} {
		t.Run(x.name, func(t *testing.T) {
			hz, err := x.sweep.Frequencies()
			if err != nil {
				t.Fatal(err)
			}
			if len(hz) != x.points {
				t.Fatalf("%d points, want %d", len(hz), x.points)
			}
			s := x.sweep.Defaults()
			if hz[0] != s.From || !near(hz[len(hz)-1], x.last, 1e-13*x.last) {
				t.Errorf("from %v to %v, want %v to %v", hz[0], hz[len(hz)-1], s.From, x.last)
			}
			for i := range hz {
				if want := s.From * math.Pow(2, float64(i)/float64(s.PerOctave)); !near(hz[i], want, 1e-13*want) {
					t.Errorf("point %d at %v Hz, want %v", i, hz[i], want)
				}
			}
		})
	}
}

func TestSweepErrors(t *testing.T) {
	for _, x := range []struct {
		name  string
		sweep Sweep
		want  string
	}{
		{"negative start", Sweep{From: -20}, "from -20 Hz"},
		{"start not a number", Sweep{From: math.NaN()}, "from NaN Hz"},
		{"infinite start", Sweep{From: math.Inf(1)}, "from +Inf Hz"},
		{"end below the start", Sweep{From: 100, To: 99}, "to 99 Hz"},
		{"start above the default end", Sweep{From: 30e3}, "to 20000 Hz"},
		{"infinite end", Sweep{To: math.Inf(1)}, "to +Inf Hz"},
		{"end not a number", Sweep{To: math.NaN()}, "to NaN Hz"},
		{"negative density", Sweep{PerOctave: -1}, "-1 points per octave"},
		{"one point too many", Sweep{From: 20, To: 40, PerOctave: MaxSweepPoints}, "100001 points"},
		{"span beyond all numbers", Sweep{From: 1e-300, To: 1e300}, "points"},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := x.sweep.Frequencies()
			wantError(t, err, x.want, "expected")
		})
	}
}
