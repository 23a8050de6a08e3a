package thielesmall

import (
	"math"
	"math/cmplx"
	"testing"

	"loadscape/network"
)

// full is a driver with everything that a sheet may state.
var full = Driver{
	Name: "full", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4,
	RatedPower: 30, VoiceCoil: SemiInductance{0.05e-3, 0.8e-3, 0.04, 150}, Suspension: Creep{0.08},
}

var limitHz = [...]float64{10, 25, 50, 78, 90, 130, 250, 700, 3e3, 2e4}

// same fails the test unless the curves agree to a relative tolerance.
func same(t *testing.T, what string, a, b network.OnePort, tolerance float64) {
	t.Helper()
	za, zb := impedance(t, a, limitHz[:]...), impedance(t, b, limitHz[:]...)
	for i, f := range limitHz {
		if d := cmplx.Abs(za[i]-zb[i]) / cmplx.Abs(zb[i]); d > tolerance {
			t.Errorf("%s: %v and %v at %g Hz, %.1e apart", what, za[i], zb[i], f, d)
		}
	}
}

func times(d Driver, n int, k Connection) network.OnePort {
	w, err := Wire(d, n, k)
	if err != nil {
		panic(err)
	}
	return w
}

// Each enclosure, taken to where it becomes another. What is left over falls
// with the parameter, so the tolerance is of its size.
func TestEnclosuresMeetAtTheirLimits(t *testing.T) {
	const v = 40e-3
	tight := math.Inf(1)
	closed := inBox(Closed{Volume: v}, full)
	for _, x := range []struct {
		what      string
		a, b      network.OnePort
		tolerance float64
	}{
		{"free air and the driver alone", inBox(FreeAir{}, full), full, 1e-14},
		{"no enclosure and free air", Cabinet{Name: "none", Wiring: full}, full, 1e-14},
		{"infinite baffle and free air", inBox(InfiniteBaffle{}, full), full, 1e-14},
		{"huge closed box and free air", inBox(Closed{Volume: 1e9}, full), full, 1e-9},
		{"filling and a larger box", inBox(Closed{Volume: v, FillFactor: 1.25}, full), inBox(Closed{Volume: 1.25 * v}, full), 1e-12},
		{"lossless by infinite Q", inBox(Closed{Volume: v, LeakageQ: tight, AbsorptionQ: tight}, full), closed, 1e-14},
		{"lossless by large Q", inBox(Closed{Volume: v, LeakageQ: 1e14, AbsorptionQ: 1e14}, full), closed, 1e-9},
		{"leaks without end and free air", inBox(Closed{Volume: v, LeakageQ: 1e-9}, full), full, 1e-6},
		{"vented by a tiny port and closed", inBox(Vented{Volume: v, Port: Port{Area: 1e-14, Length: 1}, LeakageQ: tight}, full), closed, 1e-8},
		{"vented by a huge port and free air", inBox(Vented{Volume: v, Port: Port{Area: 1e12}, LeakageQ: tight}, full), full, 1e-5},
		{"a lossy port of Q 0 and closed", inBox(Vented{Volume: v, Tuning: 60, PortQ: 1e-12, LeakageQ: tight}, full), closed, 1e-8},
		{"open back with a tiny opening and closed", inBox(OpenBack{Volume: v, Opening: 1e-18, Thickness: 0.01}, full), closed, 1e-6},
		{"open back with a huge opening and free air", inBox(OpenBack{Volume: v, Opening: 1e10}, full), full, 1e-4},
		{"radiator of infinite mass and closed", inBox(PassiveRadiator{Volume: v, Sd: 0.05, Mms: 1e12, Cms: 1e3}, full), closed, 1e-8},
		{"radiator without mass and stiffness and free air", inBox(PassiveRadiator{Volume: v, Sd: 0.05, Mms: 1e-12, Cms: 1e9}, full), full, 1e-6},
		{"radiator without stiffness and a vent of its mass",
			inBox(PassiveRadiator{Volume: v, Sd: 0.02, Mms: 0.05, Cms: 1e9}, full),
			inBox(Vented{Volume: v, Tuning: tuningOf(v, 0.05/(0.02*0.02)), LeakageQ: tight}, full), 1e-9},
		{"two radiators and one of twice the area at a quarter the impedance",
			inBox(PassiveRadiator{v, 0.02, 0.05, 5e-4, 1, 2}, full),
			inBox(PassiveRadiator{v, 0.04, 0.1, 2.5e-4, 2, 1}, full), 1e-12},
		{"vented by ports and by the tuning that they make",
			inBox(Vented{Volume: v, Port: Port{Diameter: 0.08, Length: 0.1, Count: 2}}, full),
			inBox(Vented{Volume: v, Tuning: Vented{Volume: v, Port: Port{Diameter: 0.08, Length: 0.1, Count: 2}}.TunedTo(Air{})}, full), 1e-12},
		{"a port by diameter and by area",
			inBox(Vented{Volume: v, Port: Port{Diameter: 0.08, Length: 0.1}}, full),
			inBox(Vented{Volume: v, Port: Port{Area: math.Pi * 0.04 * 0.04, Length: 0.1}}, full), 1e-12},
	} {
		same(t, x.what, x.a, x.b, x.tolerance)
	}
}

// tuningOf returns the resonance of an acoustic mass with a volume.
func tuningOf(volume, mass float64) float64 {
	return 1 / (2 * math.Pi * math.Sqrt(mass*Air{}.Compliance(volume)))
}

func TestDriversShareAChamber(t *testing.T) {
	for _, n := range []int{2, 3, 4, 8} {
		for _, e := range []struct{ all, each Enclosure }{
			{Closed{0.1, 1.1, 10, 30}, Closed{0.1 / float64(n), 1.1, 10, 30}},
			{Vented{Volume: 0.1, Tuning: 62, PortQ: 40}, Vented{Volume: 0.1 / float64(n), Tuning: 62, PortQ: 40}},
			{PassiveRadiator{0.1, 0.05, 0.1, 1e-3, 1, n}, PassiveRadiator{0.1 / float64(n), 0.05, 0.1, 1e-3, 1, 1}},
		} {
			one := impedance(t, inBox(e.each, full), limitHz[:]...)
			parallel := impedance(t, inBox(e.all, times(full, n, InParallel)), limitHz[:]...)
			series := impedance(t, inBox(e.all, times(full, n, InSeries)), limitHz[:]...)
			for i := range one {
				k := complex(float64(n), 0)
				if cmplx.Abs(k*parallel[i]-one[i]) > 1e-11*cmplx.Abs(one[i]) || cmplx.Abs(series[i]/k-one[i]) > 1e-11*cmplx.Abs(one[i]) {
					t.Errorf("%d in %s at %g Hz: %v in parallel, %v in series, one alone %v", n, e.all.Label(), limitHz[i], k*parallel[i], series[i]/k, one[i])
				}
			}
		}
	}
	same(t, "2 × 2 and one in a quarter", inBox(Closed{Volume: 0.1}, times(full, 4, InSeriesParallel)), inBox(Closed{Volume: 0.025}, full), 1e-11)
}

func TestDifferentDrivers(t *testing.T) {
	twin := full
	twin.Name = "twin"
	e := Closed{Volume: 0.06, LeakageQ: 8}
	same(t, "equal drivers of different names",
		inBox(e, network.Parallel{full, twin}), inBox(e, times(full, 2, InParallel)), 1e-13)

	// An open driver beside one of another kind in a huge box: no coupling.
	same(t, "different drivers in a huge box", inBox(Closed{Volume: 1e9}, network.Parallel{full, small}), network.Parallel{full, small}, 1e-8)

	// In a small one the formula for two pistons on one pressure.
	box := inBox(Closed{Volume: 0.06}, network.Parallel{full, small})
	got := impedance(t, box, limitHz[:]...)
	for i, f := range limitHz {
		if want := refParallelPair(full, small, Closed{Volume: 0.06}, 2*math.Pi*f); cmplx.Abs(got[i]-want) > 1e-11*cmplx.Abs(want) {
			t.Errorf("different drivers at %g Hz: %v, formula gives %v", f, got[i], want)
		}
	}
}

// refParallelPair solves for two drivers in parallel at one volt: with
// M = Zm + Bl²/Zb, each moves at u = (Bl/Zb − Sd·p)/M, and the pressure is
// p = Za·(Sd1·u1 + Sd2·u2).
func refParallelPair(a, b Driver, e Enclosure, w float64) complex128 {
	za := refAcoustic(e, []Driver{a, b}, Air{}, w)
	var drive, load complex128
	for _, d := range []Driver{a, b} {
		bl, zm := refMechanics(d, w)
		zb := refBlocked(d, w)
		m := zm + complex(bl*bl, 0)/zb
		drive += complex(d.Sd*bl, 0) / (zb * m)
		load += complex(d.Sd*d.Sd, 0) / m
	}
	p := za * drive / (1 + za*load)
	var current complex128
	for _, d := range []Driver{a, b} {
		bl, zm := refMechanics(d, w)
		zb := refBlocked(d, w)
		u := (complex(bl, 0)/zb - complex(d.Sd, 0)*p) / (zm + complex(bl*bl, 0)/zb)
		current += (1 - complex(bl, 0)*u) / zb
	}
	return 1 / current
}

// A driver of which only ratios are known has the same curve in free air.
func TestFreeAirNeedsOnlyRatios(t *testing.T) {
	ratios := full
	ratios.Vas, ratios.Sd = 0, 0
	same(t, "without Vas and Sd", ratios, full, 1e-12)
	same(t, "without Vas and Sd in a baffle", inBox(InfiniteBaffle{}, times(ratios, 4, InSeriesParallel)), full, 1e-12)
}

// ρc² = γp: temperature does not move a closed box, pressure does, in inverse
// proportion to the volume.
func TestAirInTheBox(t *testing.T) {
	box := inBox(Closed{Volume: 0.05}, full)
	warm := box
	warm.Air.Temperature = Celsius(35)
	same(t, "warm air in a closed box", warm, box, 1e-13)
	high := box
	high.Air.Pressure = 0.8 * DefaultPressure
	same(t, "thin air and a larger box", high, inBox(Closed{Volume: 0.05 / 0.8}, full), 1e-12)
}
