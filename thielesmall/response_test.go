package thielesmall

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"loadscape/network"
)

func respond(t *testing.T, k Cabinet, volts float64, hz ...float64) *Output {
	t.Helper()
	o, err := k.Response(hz, volts)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Drivers with resistances alone in their coils, so that heat is Re·|i|².
var (
	large       = Driver{Name: "large", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4, RatedPower: 30, VoiceCoil: Inductance{0.6e-3}, Suspension: Creep{0.08}}
	mixed       = network.Parallel{large, network.Series{small, small}}
	resistances = map[string]float64{"box/large/coil": 6.5, "box/small/coil": 6, "box/small-2/coil": 6}
)

var enclosures = []Enclosure{
	FreeAir{}, InfiniteBaffle{}, Closed{0.06, 1.1, 10, 30},
	Vented{Volume: 0.1, Tuning: 45, PortQ: 40, AbsorptionQ: 50},
	OpenBack{0.07, 0.09, 0.015, 20, 40},
	PassiveRadiator{0.1, 0.05, 0.1, 1e-3, 1, 2},
}

// The power into the port is that of the coils, and what their motors pass on
// is lost in suspensions, air and openings.
func TestPowerBalance(t *testing.T) {
	for _, e := range enclosures {
		c := network.NewCircuit()
		in := c.Node("in")
		inBox(e, mixed).Lay(c, "box", in, network.Ground)
		sol := solve(t, c, in)
		var coils, heat, lost [len(limitHz)]float64
		for i, p := range c.Parts() {
			id := network.PartID(i)
			power, current := sol.PartPower(id), sol.PartCurrent(id)
			for k := range limitHz {
				if p.Domain == network.Electrical {
					coils[k] += power[k]
					heat[k] += resistances[p.Name] * current[k] * current[k]
				} else {
					lost[k] += power[k]
				}
			}
		}
		for k, z := range sol.Impedance() {
			if math.Abs(coils[k]-real(z)) > 1e-9*real(z) {
				t.Errorf("%s at %g Hz: the coils take %.12g W of %.12g W", e.Label(), limitHz[k], coils[k], real(z))
			}
			if motors := coils[k] - heat[k]; math.Abs(motors-lost[k]) > 1e-9*coils[k] {
				t.Errorf("%s at %g Hz: the motors pass on %.12g W, %.12g W are lost behind them", e.Label(), limitHz[k], motors, lost[k])
			}
		}
	}
}

func solve(t *testing.T, c *network.Circuit, in network.Node) *network.Solution {
	t.Helper()
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve(limitHz[:])
	if err != nil {
		t.Fatal(err)
	}
	return sol
}

func TestPartsCarryPathsAndRatings(t *testing.T) {
	c := network.NewCircuit()
	in := c.Node("in")
	k := Cabinet{Name: "ash-412", Wiring: times(full, 4, InSeriesParallel), Enclosure: Vented{Volume: 0.1, Tuning: 60}}
	k.Lay(c, k.Name, in, network.Ground)
	rated := map[string]float64{}
	for _, p := range c.Parts() {
		rated[p.Name] = p.Rating.Power
	}
	for name, watts := range map[string]float64{
		"ash-412/driver-1/coil": 30, "ash-412/driver-4/coil": 30, "ash-412/driver-2/cone": 0,
		"ash-412/driver-3/suspension": 0, "ash-412/chamber": 0, "ash-412/leak": 0, "ash-412/port": 0,
	} {
		if got, ok := rated[name]; !ok || got != watts {
			t.Errorf("part %q: rated power %g, present %v, want %g", name, got, ok, watts)
		}
	}
	o := respond(t, inBox(Closed{Volume: 0.1}, mixed), 1, 100)
	var names []string
	for _, m := range o.Cones {
		names = append(names, m.Name)
	}
	if got := strings.Join(names, " "); got != "box/large box/small box/small-2" {
		t.Errorf("cones are named %s", got)
	}
}

// The velocity per volt by Small's formula, u = (Bl/Zb)/(Zm + Bl²/Zb), with
// the load of the box in Zm; the excursion is its integral.
func TestConeVelocity(t *testing.T) {
	const volts = 3.0
	for _, e := range enclosures {
		o := respond(t, inBox(e, full), volts, limitHz[:]...)
		for i, f := range limitHz {
			w := 2 * math.Pi * f
			bl, zm := refMechanics(full, w)
			zb := refBlocked(full, w)
			zm += complex(full.Sd*full.Sd, 0) * refAcoustic(e, []Driver{full}, Air{}, w)
			want := volts * complex(bl, 0) / zb / (zm + complex(bl*bl, 0)/zb)
			cone := o.Cones[0]
			if cmplx.Abs(cone.Velocity[i]-want) > 1e-10*cmplx.Abs(want) {
				t.Errorf("%s at %g Hz: velocity %v, formula gives %v", e.Label(), f, cone.Velocity[i], want)
			}
			if x := math.Sqrt2 * cmplx.Abs(want) / w; math.Abs(cone.Excursion[i]-x) > 1e-10*x {
				t.Errorf("%s at %g Hz: excursion %g, want %g", e.Label(), f, cone.Excursion[i], x)
			}
		}
	}
}

// A positive voltage drives the cone outwards: at low frequencies the
// excursion follows it in phase, and with it the air in a port goes inwards.
func TestPolarity(t *testing.T) {
	o := respond(t, inBox(Vented{Volume: 0.1, Tuning: 60, LeakageQ: math.Inf(1)}, full), 1, 0.5)
	displacement := o.Cones[0].Velocity[0] / 1i
	if real(displacement) < 10*math.Abs(imag(displacement)) {
		t.Errorf("displacement %v at low frequency, want it positive", displacement)
	}
	var port Motion
	for _, m := range o.Openings {
		if m.Name == "box/port" {
			port = m
		}
	}
	if ratio := port.VolumeFlow[0] / o.Cones[0].VolumeFlow[0]; cmplx.Abs(ratio+1) > 1e-3 {
		t.Errorf("far below the tuning the port moves %v of what the cone does, want -1", ratio)
	}
}

// What leaves the cabinet in sum is what compresses its air: U = −jωCab·p, for
// every enclosure with a chamber and no absorption (Small 1973).
func TestVolumeFlowIsCompression(t *testing.T) {
	for _, e := range []Enclosure{
		Closed{Volume: 0.06, LeakageQ: 8}, Vented{Volume: 0.06, Tuning: 50, PortQ: 30},
		OpenBack{Volume: 0.06, Opening: 0.05, LeakageQ: 20}, PassiveRadiator{0.06, 0.04, 0.08, 1e-3, 1, 2},
	} {
		o := respond(t, inBox(e, times(full, 2, InParallel)), 1, limitHz[:]...)
		for i, f := range limitHz {
			w := 2 * math.Pi * f
			za := refAcoustic(e, []Driver{full, full}, Air{}, w)
			cones := o.Cones[0].VolumeFlow[i] + o.Cones[1].VolumeFlow[i]
			want := cones * za * complex(0, w*Air{}.Compliance(0.06))
			if cmplx.Abs(o.VolumeFlow[i]-want) > 1e-9*cmplx.Abs(cones) {
				t.Errorf("%s at %g Hz: flow %v, compression %v", e.Label(), f, o.VolumeFlow[i], want)
			}
		}
	}
}

// In a baffle, far above resonance and below the inductance, the level is that
// of the reference efficiency (Small 1972), η0 = 4π²·fs³·Vas/(c³·Qes), and one
// acoustic watt in half space makes 112.1 dB at 1 m (handbooks, for ρc of about
// 407 Pa·s/m; quoted from memory and to its rounding).
func TestLevelIsThatOfTheEfficiency(t *testing.T) {
	o := respond(t, inBox(InfiniteBaffle{}, small), math.Sqrt(small.Re), 30e3)
	want := 10*math.Log10(small.Efficiency()) + 112.1
	if math.Abs(o.Level[0]-want) > 0.1 || math.Abs(o.Level[0]-small.Sensitivity()) > 1e-4 {
		t.Errorf("level %.4f dB, efficiency gives %.4f, sensitivity is %.4f", o.Level[0], want, small.Sensitivity())
	}
}

// A closed box is a second-order high-pass, |G| = x²/|1 − x² + jx/Qtc| with
// x = f/fc (Small 1972); a lossless vented one falls by 24 dB an octave.
func TestLevelFollowsTheHighPass(t *testing.T) {
	fc, qtc := small.ClosedResonance(0.05)
	hz := []float64{5, 20, fc, 80, 300}
	o := respond(t, inBox(Closed{Volume: 0.05}, small), math.Sqrt(small.Re), hz...)
	for i, f := range hz {
		x := f / fc
		want := small.Sensitivity() + 20*math.Log10(x*x/cmplx.Abs(complex(1-x*x, x/qtc)))
		if math.Abs(o.Level[i]-want) > 1e-9 {
			t.Errorf("closed at %g Hz: %.10f dB, high-pass gives %.10f", f, o.Level[i], want)
		}
	}
	v := respond(t, inBox(Vented{Volume: 0.0667, Tuning: 33, LeakageQ: math.Inf(1)}, small), 1, 0.1, 0.2)
	if slope := v.Level[1] - v.Level[0]; math.Abs(slope-80*math.Log10(2)) > 1e-3 {
		t.Errorf("vented: %.4f dB an octave, want 24.082", slope)
	}
}

// Voltages scale, levels rise by 20·log10, and the peak is √2 times the RMS.
func TestResponseIsLinear(t *testing.T) {
	k := inBox(Vented{Volume: 0.1, Port: Port{Diameter: 0.1, Length: 0.1}}, full)
	one, ten := respond(t, k, 1, 60), respond(t, k, 10, 60)
	if d := ten.Level[0] - one.Level[0]; math.Abs(d-20) > 1e-9 {
		t.Errorf("ten times the voltage: %g dB more", d)
	}
	port := ten.Openings[1]
	if want := math.Sqrt2 * cmplx.Abs(port.VolumeFlow[0]) / (math.Pi * 0.05 * 0.05); math.Abs(port.PeakVelocity()[0]-want) > 1e-9*want {
		t.Errorf("peak velocity %g in the port, want %g", port.PeakVelocity()[0], want)
	}
}

func TestWhatIsNotKnownIsNil(t *testing.T) {
	ratios := full
	ratios.Vas = 0
	for _, k := range []Cabinet{inBox(InfiniteBaffle{}, ratios), inBox(FreeAir{}, ratios)} {
		o := respond(t, k, 1, 100)
		if o.Level != nil || o.VolumeFlow != nil || o.Cones[0].Velocity != nil || o.Cones[0].Excursion != nil {
			t.Errorf("%s: %+v", k.Enclosure.Label(), o)
		}
	}
	free := respond(t, inBox(FreeAir{}, full), 1, 100)
	if free.Level != nil || free.Cones[0].Velocity == nil {
		t.Errorf("free air: level %v, velocity %v", free.Level, free.Cones[0].Velocity)
	}
	tuned := respond(t, inBox(Vented{Volume: 0.1, Tuning: 60}, full), 1, 100)
	if port := tuned.Openings[1]; port.Velocity != nil || port.VolumeFlow == nil {
		t.Errorf("port of unknown area: %+v", port)
	}
}

// Behind a resistor the probe reads the same motion at the voltage that is left.
func TestProbeInAChain(t *testing.T) {
	k := inBox(Closed{Volume: 0.05}, full)
	c := network.NewCircuit()
	in, out := c.Node("in"), c.Node("out")
	network.Resistor{Ohms: 10}.Lay(c, "source", in, out)
	probe := k.LayProbe(c, "box", out, network.Ground)
	sol := solve(t, c, in)
	amperes := make([]complex128, len(limitHz))
	for i := range amperes {
		amperes[i] = 1
	}
	got, left := probe.Read(sol, amperes), sol.Voltage(out)
	want := respond(t, k, 1, limitHz[:]...)
	for i := range limitHz {
		if v := left[i] * want.Cones[0].Velocity[i]; cmplx.Abs(got.Cones[0].Velocity[i]-v) > 1e-12*cmplx.Abs(v) {
			t.Errorf("%g Hz: %v, want %v", limitHz[i], got.Cones[0].Velocity[i], v)
		}
	}
}

func TestResponseRefusesVolts(t *testing.T) {
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := inBox(FreeAir{}, full).Response([]float64{100}, v); err == nil {
			t.Errorf("%g V: no error", v)
		}
	}
}
