package stage

import (
	"math"
	"math/cmplx"
	"testing"
)

// A circuit is the slow reference: node equations of the whole amplifier, with
// the feedback as a controlled source, solved by elimination.
//
//	A·(vin − β·vt) — Rs+Rp — node 0 — jωLl — node 1 — n:1 — Rw — vt (node 2) — z
//	                         node 0 — jωLp — ground
//
// Unknowns: the three node voltages and the secondary current.
type circuit struct {
	source, shunt, leakage, winding float64 // primary side but for the winding
	turns                           float64
	forward                         float64                    // A, vin = 1
	back                            func(w float64) complex128 // β
}

// terminal returns vt across z.
func (c circuit) terminal(w float64, z complex128) complex128 {
	gs := complex(1/c.source, 0)
	yp := 1 / complex(0, w*c.shunt)
	yl := 1 / complex(0, w*c.leakage)
	a := complex(c.forward, 0)
	n := complex(c.turns, 0)
	return solve([][]complex128{
		// node 0: (v0 − A(1 − β vt)) gs + v0 yp + (v0 − v1) yl = 0
		{gs + yp + yl, -yl, gs * a * c.back(w), 0, gs * a},
		// node 1: (v1 − v0) yl + i2/n = 0
		{-yl, yl, 0, 1 / n, 0},
		// winding: v1/n − Rw i2 − vt = 0
		{0, 1 / n, -1, complex(-c.winding, 0), 0},
		// load: vt − z i2 = 0
		{0, 0, 1, -z, 0},
	})[2]
}

// solve eliminates with row exchanges; the last column is the right-hand side.
func solve(m [][]complex128) []complex128 {
	n := len(m)
	for k := range n {
		p := k
		for i := k; i < n; i++ {
			if cmplx.Abs(m[i][k]) > cmplx.Abs(m[p][k]) {
				p = i
			}
		}
		m[k], m[p] = m[p], m[k]
		for i := range n {
			if i == k {
				continue
			}
			f := m[i][k] / m[k][k]
			for j := k; j <= n; j++ {
				m[i][j] -= f * m[k][j]
			}
		}
	}
	x := make([]complex128, n)
	for i := range n {
		x[i] = m[i][n] / m[i][i]
	}
	return x
}

// Amplifiers from triodes to pentodes, all invented.
var amplifiers = []Stage{
	{Kind: Valve, RatedPower: 12, DefaultTap: 8, Feedback: Feedback{Amount: 10},
		Source: Valves{1600, Transformer{5000, 25, 0.015, 200, 0.4}}},
	{Kind: Valve, RatedPower: 50, DefaultTap: 16, Feedback: Feedback{Amount: 14, Presence: Shelf{900, 12}, Depth: Shelf{90, 9}},
		Source: Valves{40000, Transformer{3400, 18, 0.012, 110, 0.5}}},
	{Kind: Valve, RatedPower: 30, DefaultTap: 4, Feedback: Feedback{Amount: 6, Presence: Shelf{3000, 20}},
		Source: Valves{60000, Transformer{8000, 12, 0.04, 350, 0.2}}},
}

// withFeedback returns c with the feedback of s, so that the gain around the
// loop is K when the tap is open.
func (c circuit) withFeedback(s Stage) circuit {
	l, _ := s.loop()
	c.back = func(w float64) complex128 {
		k := complex(l.gain/cmplx.Abs(l.open.divider(reference)), 0)
		return k * l.presence.above(w) * l.depth.below(w) * complex(c.turns/c.forward, 0)
	}
	return c
}

func asCircuit(s Stage) circuit {
	v := s.Source.(Valves)
	t := v.Transformer
	return circuit{
		source: v.SourceResistance + t.PrimaryResistance, shunt: t.PrimaryInductance, leakage: t.LeakageInductance,
		winding: t.SecondaryResistance, turns: math.Sqrt(t.PrimaryImpedance / s.DefaultTap), forward: 300,
		back: func(float64) complex128 { return 0 },
	}
}

// E0/(1+K) and Zs0/(1+K) are what the amplifier with voltage feedback from its
// tap does: found from its terminal voltage across two loads.
func TestClosedLoopIsThatOfTheCircuit(t *testing.T) {
	for _, s := range amplifiers {
		c := asCircuit(s).withFeedback(s)
		o := at(t, s, 0)
		v := cmplx.Abs(c.terminal(reference, complex(s.DefaultTap, 0)))
		volts := complex(math.Sqrt(s.RatedPower*s.DefaultTap)/v, 0)
		for _, hz := range []float64{5, 20, 80, 300, 1000, 5000, 20000} {
			w := 2 * math.Pi * hz
			const r1, r2 = 3.0, 40.0
			v1, v2 := c.terminal(w, r1), c.terminal(w, r2)
			impedance := (v2 - v1) / (v1/r1 - v2/r2)
			near(t, "source impedance", o.Impedance(w), impedance, 1e-11)
			near(t, "emf", o.EMF(w), volts*v1*(r1+impedance)/r1, 1e-11)
			near(t, "voltage across a coil", o.Voltage(w, 3+7i), volts*c.terminal(w, 3+7i), 1e-11)
		}
	}
}

// The amount of feedback is the gain that it costs in the circuit: exactly in a
// stage of resistances, within 0.12 dB with a transformer's reactances, whose
// angles the definition of K0 leaves out.
func TestAmountIsTheGainLost(t *testing.T) {
	lost := func(s Stage) float64 {
		s.Feedback.Presence, s.Feedback.Depth = Shelf{}, Shelf{}
		c, r := asCircuit(s), complex(s.DefaultTap, 0)
		return 20 * math.Log10(cmplx.Abs(c.terminal(reference, r)/c.withFeedback(s).terminal(reference, r)))
	}
	for _, s := range amplifiers {
		if got := lost(s); math.Abs(got-s.Feedback.Amount) > 0.12 {
			t.Errorf("feedback of %g dB costs %.4f dB", s.Feedback.Amount, got)
		}
		v := s.Source.(Valves)
		v.Transformer.PrimaryInductance, v.Transformer.LeakageInductance = 1e7, 1e-9
		s.Source = v
		if got := lost(s); math.Abs(got-s.Feedback.Amount) > 1e-6 {
			t.Errorf("resistances: feedback of %g dB costs %.8f dB", s.Feedback.Amount, got)
		}
	}
}

// A stated impedance is the closed-loop one: it comes back, and releasing all
// of the feedback uncovers the open loop from which F dB lead back to it.
func TestStatedImpedanceHoldsItsFeedback(t *testing.T) {
	for _, kind := range []Kind{Valve, SolidState} {
		for _, source := range []Source{OutputImpedance(2), DampingFactor(4), TwoLoadTest{[2]float64{8. / 10, 4. / 6}, [2]float64{8, 4}}} {
			s := Stage{Kind: kind, RatedPower: 20, DefaultTap: 8, Source: source, Feedback: Feedback{Amount: 12}}
			near(t, "at rest", at(t, s, 0).Impedance(reference), 2, 1e-12)

			s.Feedback.Depth = Shelf{Turnover: 1e9, Release: 100} // far above: released everywhere
			open := at(t, s, 0).Impedance(reference)
			gain := math.Pow(10, 12.0/20)
			k := (gain - 1) * (8 + real(open)) / 8
			near(t, "open loop over 1+K0", open/complex(1+k, 0), 2, 1e-3)
		}
	}
}

// Limits of the controls: each acts on its own side of its turnover only, and
// released feedback raises gain and source impedance alike.
func TestControls(t *testing.T) {
	s := valve(Valves{1600, Transformer{PrimaryImpedance: 5000}})
	s.Feedback.Amount = 10
	rest := at(t, s, 0)
	for _, test := range []struct {
		name               string
		presence, depth    Shelf
		released, quiet    float64 // Hz
		releasedK, atRestK float64 // parts of K0
	}{
		{"presence", Shelf{300, 6}, Shelf{}, 3e7, 3e-3, math.Pow(10, -6./20), 1},
		{"depth", Shelf{}, Shelf{300, 9}, 3e-3, 3e7, math.Pow(10, -9./20), 1},
	} {
		s.Feedback.Presence, s.Feedback.Depth = test.presence, test.depth
		o := at(t, s, 0)
		k0 := 2.56/real(rest.Impedance(reference)) - 1
		released, quiet := 2*math.Pi*test.released, 2*math.Pi*test.quiet
		near(t, test.name+" released", o.Impedance(released), complex(2.56/(1+test.releasedK*k0), 0), 1e-4)
		near(t, test.name+" at rest", o.Impedance(quiet), rest.Impedance(quiet), 1e-4)
		near(t, test.name+": gain follows impedance",
			o.EMF(released)/o.EMF(quiet), o.Impedance(released)/o.Impedance(quiet), 1e-12)
	}
	// At the turnover of a presence control P = (1+jg)/(1+j).
	s.Feedback.Presence, s.Feedback.Depth = Shelf{700, 20}, Shelf{}
	k0 := complex(2.56/real(rest.Impedance(reference))-1, 0)
	near(t, "at the turnover", at(t, s, 0).Impedance(2*math.Pi*700), 2.56/(1+k0*(1+0.1i)/(1+1i)), 1e-12)
}

// Without feedback an amplifier's bass into its rated load falls by 3 dB where
// the primary reactance equals source and reflected load in parallel (Terman).
func TestBassCorner(t *testing.T) {
	s := valve(Valves{6000, Transformer{PrimaryImpedance: 3000, PrimaryInductance: 10}})
	o := at(t, s, 0)
	corner := (6000. * 3000 / 9000) / 10 // rad/s
	high := o.Voltage(1e12, 8)
	near(t, "voltage at the corner", o.Voltage(corner, 8), high*1i/(1+1i), 1e-7)
}

// A presence that is released to nothing leaves the open loop at the top.
func TestTrebleIsOpenLoopPlusLeakage(t *testing.T) {
	s := valve(Valves{1600, Transformer{PrimaryImpedance: 5000, LeakageInductance: 0.01}})
	w := 2 * math.Pi * 20e3
	bare := at(t, s, 0).Impedance(w)
	near(t, "no feedback", bare, complex(2.56, w*0.01/625), 1e-12)
	s.Feedback = Feedback{Amount: 15, Presence: Shelf{Turnover: 1e-6, Release: 100}}
	near(t, "all released", at(t, s, 0).Impedance(w), bare, 2e-4)
}

func BenchmarkOutput(b *testing.B) {
	o, err := amplifiers[1].At(0)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		_ = o.Voltage(2000, 8+3i)
	}
}
