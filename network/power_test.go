package network

import (
	"math"
	"math/cmplx"
	"testing"
)

// drive solves p and returns the solution and the number of each part by its
// name.
func drive(t *testing.T, p OnePort, hz ...float64) (*Solution, map[string]PartID) {
	t.Helper()
	c := NewCircuit()
	in := c.Node("in")
	p.Lay(c, p.Label(), in, Ground)
	plan, err := c.Compile(in, Ground)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve(hz)
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]PartID{}
	for i, p := range plan.Parts() {
		ids[p.Name] = PartID(i)
	}
	return sol, ids
}

// TestPadShares: L-pads into 8 ohms, by the image-parameter formulas of the
// radio engineers' handbooks (Terman; Reference Data for Radio Engineers),
// recomputed to four decimals: arms in ohms, and the shares of the power that
// series arm, shunt arm and load take. The load's share is 10^(−dB/10).
func TestPadShares(t *testing.T) {
	for _, x := range []struct {
		db, series, shunt float64
		shares            [3]float64
	}{
		{1, 0.8700, 65.5639, [3]float64{0.1087, 0.0969, 0.7943}},
		{3, 2.3364, 19.3922, [3]float64{0.2921, 0.2068, 0.5012}},
		{6, 3.9905, 8.0381, [3]float64{0.4988, 0.2500, 0.2512}},
		{10, 5.4702, 3.6998, [3]float64{0.6838, 0.2162, 0.1000}},
		{20, 7.2000, 0.8889, [3]float64{0.9000, 0.0900, 0.0100}},
	} {
		pad := Cascade{SeriesArm{Resistor{Ohms: x.series}}, ShuntArm{Resistor{Ohms: x.shunt}}}
		sol, id := drive(t, Terminated{pad, Named{"speaker", 8, Resistor{Ohms: 8}}}, 40, 1000)
		for k, z := range sol.Impedance() {
			if !closeTo(z, 8, 1e-4) {
				t.Errorf("%g dB: shows %v, want 8 Ω", x.db, z)
			}
			for i, name := range []string{"speaker/cascade/resistor", "speaker/cascade/resistor-2", "speaker/speaker"} {
				if share := sol.PartPower(id[name])[k] / real(z); !near(share, x.shares[i], 1e-4) {
					t.Errorf("%g dB: %s takes %.4f, want %.4f", x.db, name, share, x.shares[i])
				}
			}
			if share := sol.PartPower(id["speaker/speaker"])[k] / real(z); !near(share, math.Pow(10, -x.db/10), 2e-5) {
				t.Errorf("%g dB: load takes %.6f", x.db, share)
			}
		}
	}
}

// TestResonanceMagnifies: at the resonance of a series circuit the reactances
// have Q = ω₀L/R times the voltage of the source (Terman, Radio Engineers'
// Handbook, section 3), and the same in parallel for the currents.
func TestResonanceMagnifies(t *testing.T) {
	const q, r, hz = 25.0, 4.0, 200.0
	w := 2 * math.Pi * hz
	t.Run("series", func(t *testing.T) {
		p := Series{Resistor{Ohms: r}, Inductor{Henries: q * r / w}, Capacitor{Farads: 1 / (q * r * w)}}
		sol, id := drive(t, p, hz)
		source := cmplx.Abs(sol.Impedance()[0]) // V at 1 A
		for name, want := range map[string]float64{"series/resistor": 1, "series/inductor": q, "series/capacitor": q} {
			if got := sol.PartVoltage(id[name])[0] / source; !near(got, want, 1e-12*want) {
				t.Errorf("%s has %.15g times the source's voltage, want %g", name, got, want)
			}
		}
	})
	t.Run("parallel", func(t *testing.T) {
		p := Parallel{Resistor{Ohms: r}, Inductor{Henries: r / q / w}, Capacitor{Farads: q / (r * w)}}
		sol, id := drive(t, p, hz)
		for name, want := range map[string]float64{"parallel/resistor": 1, "parallel/inductor": q, "parallel/capacitor": q} {
			if got := sol.PartCurrent(id[name])[0]; !near(got, want, 1e-12*want) {
				t.Errorf("%s carries %.15g times the source's current, want %g", name, got, want)
			}
		}
	})
}

// TestLossyParts: one ampere through a part that owns several branches, by
// hand.
func TestLossyParts(t *testing.T) {
	const hz, x = 50.0, 3.0 // reactance in ohms
	w := 2 * math.Pi * hz
	for _, c := range []struct {
		name                    string
		p                       OnePort
		power, current, voltage float64
	}{
		{"resistor", Resistor{Ohms: 8}, 8, 1, 8},
		{"inductor", Inductor{Henries: x / w}, 0, 1, x},
		{"winding resistance", Inductor{Henries: x / w, DCR: 2}, 2, 1, x},
		{"winding resistance above the reactance", Inductor{Henries: x / w, DCR: 5}, 5, 1, 5},
		// j3 beside 4: the current divides as 4/5 and 3/5, the voltage is 12/5.
		{"core loss", Inductor{Henries: x / w, CoreLoss: 4}, 2.4 * 2.4 / 4, 0.8, 2.4},
		{"core loss and winding", Inductor{Henries: x / w, CoreLoss: 4, DCR: 2}, 2 + 2.4*2.4/4, 1, 2.4},
		{"series resistance", Capacitor{Farads: 1 / (x * w), ESR: 0.5}, 0.5, 1, x},
		// K·ω^½ with an angle of 45°.
		{"semi-inductance", Single{"coil", PowerLaw{x / math.Sqrt(w), 0.5}, Rating{}}, x * math.Sqrt2 / 2, 1, x},
	} {
		t.Run(c.name, func(t *testing.T) {
			sol, _ := drive(t, c.p, hz)
			for _, q := range []struct {
				what      string
				got, want float64
			}{
				{"W", sol.PartPower(0)[0], c.power},
				{"A", sol.PartCurrent(0)[0], c.current},
				{"V", sol.PartVoltage(0)[0], c.voltage},
			} {
				if !near(q.got, q.want, 1e-14) {
					t.Errorf("%.16g %s, want %.16g", q.got, q.what, q.want)
				}
			}
		})
	}
}

// TestMotorPower: a motor of force factor Bl into a mechanical resistance r
// passes (Bl·i)²/r on to the cone; the coil keeps i²·R.
func TestMotorPower(t *testing.T) {
	const re, bl, rm = 6.0, 10.0, 5.0 // Ω, N/A, N·s/m
	c := NewCircuit()
	in, coil, cone := c.Node("in"), c.Node("coil"), c.Node("cone")
	voice := c.Part("voice coil", Electrical, Rating{})
	c.Branch(voice, in, coil, Resistance(re))
	motor := c.Part("motor", Electrical, Rating{})
	c.Gyrator(motor, coil, Ground, cone, Ground, bl)
	whole := c.Part("driver", Electrical, Rating{})
	suspension := c.Part("suspension", Mechanical, Rating{})
	loss := c.Branch(suspension, cone, Ground, Resistance(rm))
	plan, err := c.Compile(in, Ground)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := plan.NewSolver().Solve([]float64{80})
	if err != nil {
		t.Fatal(err)
	}
	// One ampere gives the force Bl, so the velocity Bl/r, and Bl²/r ohms.
	moved := bl * bl / rm
	for name, x := range map[string]struct{ got, want float64 }{
		"impedance":   {real(sol.Impedance()[0]), re + moved},
		"voice coil":  {sol.PartPower(voice)[0], re},
		"motor":       {sol.PartPower(motor)[0], moved},
		"suspension":  {sol.PartPower(suspension)[0], moved},
		"empty part":  {sol.PartPower(whole)[0], 0},
		"force":       {cmplx.Abs(sol.Voltage(cone)[0]), bl},
		"velocity":    {cmplx.Abs(sol.BranchCurrent(loss)[0]), bl / rm},
		"across coil": {real(sol.Voltage(coil)[0]), moved},
	} {
		if !near(x.got, x.want, 1e-12) {
			t.Errorf("%s: %.15g, want %g", name, x.got, x.want)
		}
	}
}
