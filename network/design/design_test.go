package design

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/hearing"
	"loadscape/network/preferred"
	"loadscape/network/stage"
	"loadscape/network/wire"
)

// amplifier returns an invented 40 W valve stage whose source impedance is
// that of its tap.
func amplifier(t testing.TB, tap float64) *stage.Output {
	t.Helper()
	out, err := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: tap, Source: stage.DampingFactor(1)}.At(0)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func targetOf(t testing.TB, p network.OnePort) *Target {
	t.Helper()
	target, err := NewTarget(p, 1, amplifier(t, 8), hearing.Band{})
	if err != nil {
		t.Fatal(err)
	}
	return target
}

var sixteen = wire.Wire{Diameter: DefaultGauge.Diameter(), Enamel: wire.Grade2}

// wound returns the network with windings of the default wire.
func wound(t Topology, values ...float64) Design {
	d := Design{Topology: t, Values: values}
	for i, k := range t.Kinds() {
		r := 0.0
		if k == Inductor {
			r = WindingResistance(values[i], sixteen)
		}
		d.DCR = append(d.DCR, r)
	}
	return d
}

// The formula for the impedance is that of the circuit of its parts.
func TestImpedanceIsThatOfTheCircuit(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, top := range []Topology{{}, {1, 0, 0, false, 0}, {2, 1, 3, true, 0}, {0, 2, 1, true, 120}, {1, 0, 2, false, 33}} {
		scale := map[Kind]float64{Resistor: 10, Inductor: 1e-3, Capacitor: 1e-4}
		var values []float64
		for _, k := range top.Kinds() {
			values = append(values, scale[k]*(0.2+random.Float64()))
		}
		d := wound(top, values...)
		hz := []float64{20, 90, 700, 15e3}
		z, err := network.Impedance(d.OnePort(), hz)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range hz {
			if got := top.impedance(2*math.Pi*f, d.Values, d.DCR); cmplx.Abs(got/z[i]-1) > 1e-12 {
				t.Errorf("%v at %g Hz: %v, want %v", top, f, got, z[i])
			}
		}
		if got := len(top.names()); got != top.Parts() {
			t.Errorf("%v: %d names for %d parts", top, got, top.Parts())
		}
	}
}

// A target that is itself such a network is found to 1e-3 in every value.
func TestTargetOfPartsIsFound(t *testing.T) {
	for _, want := range []Design{
		wound(Topology{Sections: 1, Rungs: 1}, 6.2, 33, 20e-3, 220e-6, 1e-3, 24),
		wound(Topology{Sections: 1, Rungs: 2}, 6.6, 48, 14e-3, 170e-6, 0.9e-3, 9, 0.3e-3, 45),
		wound(Topology{Sections: 2, Inductor: true}, 5.9, 30, 22e-3, 330e-6, 14, 1.2e-3, 12e-6, 0.25e-3),
		wound(Topology{Tanks: 1, Rungs: 1}, 5.2, 4e-3, 330e-6, 0.7e-3, 20),
		wound(Topology{Sections: 1, Inductor: true, Shunt: 150}, 7.1, 25, 9e-3, 150e-6, 0.4e-3),
	} {
		r, err := Find(targetOf(t, want.OnePort()), Options{Shunt: want.Topology.Shunt, Limits: Limits{1e-5, 1e-4}})
		if err != nil {
			t.Fatal(err)
		}
		got := r.Front[len(r.Front)-1]
		if got.Topology != want.Topology {
			t.Errorf("%v found as %v, score %g", want.Topology, got.Topology, got.Score)
			continue
		}
		got.sortLike(want)
		for i, v := range want.Values {
			if math.Abs(got.Values[i]/v-1) > 1e-3 {
				t.Errorf("%v: %s is %.6g, want %.6g", want.Topology, want.Topology.names()[i], got.Values[i], v)
			}
		}
	}
}

// sortLike exchanges two sections or two rungs of d if they stand the other
// way round than those of want.
func (d Design) sortLike(want Design) {
	swap := func(i, n int) {
		if math.Abs(math.Log(d.Values[i]/want.Values[i])) > math.Abs(math.Log(d.Values[i+n]/want.Values[i])) {
			for k := range n {
				d.Values[i+k], d.Values[i+n+k] = d.Values[i+n+k], d.Values[i+k]
			}
		}
	}
	if d.Topology.Sections == 2 {
		swap(1, 3)
	}
	if d.Topology.Rungs == 2 {
		swap(1+3*d.Topology.Sections, 2)
	}
}

// cabinet is like a closed cabinet: a resonance with losses that rise with
// frequency, and a voice coil with semi-inductance, all invented.
func cabinet() network.OnePort {
	return network.Series{
		network.Resistor{Ohms: 6.5},
		network.Parallel{
			network.Resistor{Ohms: 48}, network.Inductor{Henries: 12e-3}, network.Capacitor{Farads: 160e-6},
			network.Single{Kind: "creep", Element: network.PowerLaw{K: 9, N: 0.3}},
		},
		network.Inductor{Henries: 0.05e-3},
		network.Parallel{
			network.Inductor{Henries: 0.8e-3}, network.Single{Kind: "semi", Element: network.PowerLaw{K: 0.04, N: 0.5}}, network.Resistor{Ohms: 150},
		},
	}
}

// Every further part of the front brings something, and the values chosen
// together are never worse than those rounded one by one.
func TestPreferredValuesAreNoWorseThanRounded(t *testing.T) {
	p, err := newProblem(targetOf(t, cabinet()), Options{}.Defaults().Limits)
	if err != nil {
		t.Fatal(err)
	}
	front := p.front(Options{MaxParts: 9}.Defaults())
	for i, f := range front[1:] {
		if f.score >= front[i].score || f.topology.Parts() <= front[i].topology.Parts() {
			t.Errorf("front: %v with %g follows %g", f.topology, f.score, front[i].score)
		}
	}
	better := 0
	for _, f := range front[len(front)-4:] {
		for _, s := range []preferred.Series{preferred.E3, preferred.E6, preferred.E12, preferred.E24, preferred.E96} {
			for _, inductors := range []preferred.Series{0, s} {
				o := Options{Resistors: s, Capacitors: s, Inductors: inductors}.Defaults()
				chosen, rounded := f.prefer(o), f.rounded(o)
				if chosen.score > rounded.score {
					t.Errorf("%v, %v, inductors %v: score %.6f, rounded %.6f", f.topology, s, inductors, chosen.score, rounded.score)
				}
				if chosen.score < 0.95*rounded.score {
					better++
				}
			}
		}
	}
	if better < 10 {
		t.Errorf("of 40 searches only %d brought 5 %%", better)
	}
}

// Every value of the result is one of its series, each kind by its own.
func TestValuesAreOfTheirSeries(t *testing.T) {
	o := Options{MaxParts: 7, Parts: 7, Resistors: preferred.E24, Capacitors: preferred.E6, Inductors: preferred.E12}
	r, err := Find(targetOf(t, cabinet()), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Parts) != 7 {
		t.Errorf("%d parts, want 7", len(r.Parts))
	}
	for _, p := range r.Parts {
		if v := o.series(p.Kind).Nearest(p.Value); v != p.Value {
			t.Errorf("%s is %g, the nearest of %v is %g", p.Name, p.Value, o.series(p.Kind), v)
		}
	}
	if r.Design.Score > r.Rounded.Score {
		t.Errorf("score %g, rounded %g", r.Design.Score, r.Rounded.Score)
	}
}

// The search equals trying out every set of values within two steps, where
// that can be done.
func TestPreferredValuesAgainstAllOfThem(t *testing.T) {
	o := Options{Resistors: preferred.E6, Inductors: preferred.E6, Capacitors: preferred.E6}.Defaults()
	p, err := newProblem(targetOf(t, wound(Topology{Sections: 1}, 6.4, 26, 17.6e-3, 270e-6).OnePort()), o.Limits)
	if err != nil {
		t.Fatal(err)
	}
	front := p.front(o)
	f := front[len(front)-1]
	if f.topology.Parts() != 4 {
		t.Fatalf("found %v", f.topology)
	}
	got := f.prefer(o)
	s := shopper{model: f.model, options: o}
	best, r := math.Inf(1), make([]float64, f.size())
	var try func(x []float64)
	try = func(x []float64) {
		if i := len(x); i < len(f.x) {
			for _, v := range s.near(i, f.x[i], 3) {
				try(append(x[:i:i], v))
			}
			return
		}
		best = math.Min(best, f.model.score(x, r))
	}
	try(nil)
	if got.score > best*(1+1e-9) {
		t.Errorf("score %g, the best of all is %g", got.score, best)
	}
}

// If coarse values keep every network from the limits, the one of fewest parts
// is taken that comes within 5 % of the best, as found by asking for each.
func TestNoMorePartsThanBringSomething(t *testing.T) {
	target := targetOf(t, cabinet())
	o := Options{MaxParts: 6}
	free, err := Find(target, o)
	if err != nil {
		t.Fatal(err)
	}
	loose := free.Front[len(free.Front)-2]
	o.Limits = Limits{1.02 * loose.Error.Impedance, 1.02 * loose.Error.Tone}
	o.Resistors, o.Capacitors, o.Inductors = preferred.E3, preferred.E3, preferred.E3
	got, err := Find(target, o)
	if err != nil {
		t.Fatal(err)
	}
	if got.Design.Error.Within(o.Limits) || len(got.Warnings) == 0 {
		t.Fatalf("within %+v with %+v; warnings %q", o.Limits, got.Design.Error, got.Warnings)
	}
	best, want := math.Inf(1), 0
	var scores []float64
	for _, f := range got.Front {
		score := math.Inf(1)
		if f.Topology.Parts() >= loose.Topology.Parts() {
			o.Parts = f.Topology.Parts()
			r, err := Find(target, o)
			if err != nil {
				t.Fatal(err)
			}
			score = r.Design.Score
		}
		scores = append(scores, score)
		best = math.Min(best, score)
	}
	for want = range scores {
		if scores[want] <= 1.05*best {
			break
		}
	}
	if got.Chosen != want {
		t.Errorf("took number %d of the front, want %d of %.4g", got.Chosen, want, scores)
	}
}

// What the coils of whole turns have is what the circuit of the result has.
func TestWindingsArePutBack(t *testing.T) {
	r, err := Find(targetOf(t, cabinet()), Options{MaxParts: 7, Resistors: preferred.E12, Capacitors: preferred.E12})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range r.Parts {
		if p.Kind != Inductor {
			continue
		}
		if p.Coil == nil || r.Design.DCR[i] != p.Coil.Resistance || r.Design.Values[i] != p.Coil.Inductance {
			t.Errorf("%s: %g H, %g ohm in the circuit, coil %+v", p.Name, r.Design.Values[i], r.Design.DCR[i], p.Coil)
		}
	}
	z, err := network.Impedance(r.OnePort(), targetOf(t, cabinet()).Hz)
	if err != nil {
		t.Fatal(err)
	}
	e, err := targetOf(t, cabinet()).Error(z)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(e.Impedance-r.Design.Error.Impedance) > 1e-9 || math.Abs(e.Tone-r.Design.Error.Tone) > 1e-9 {
		t.Errorf("the load is off by %+v, the design says %+v", e, r.Design.Error)
	}
}

// checks of coils: a Brooks coil of c = 20 mm and 1 mH has 26.40 m of wire
// (Brooks, J. Res. NBS 7 (1931), recomputed); the wire that fills it has a
// pitch of 20 mm/√140.05.
func TestWindingResistanceOfABrooksCoil(t *testing.T) {
	w := wire.Wire{Diameter: 20e-3 / math.Sqrt(140.05)}
	want := 26.40 * w.Resistance()
	if got := WindingResistance(1e-3, w); math.Abs(got/want-1) > 3e-4 {
		t.Errorf("%g ohm, want %g", got, want)
	}
	if got := WindingResistance(8e-3, w) / WindingResistance(1e-3, w); math.Abs(got-math.Pow(8, 0.6)) > 1e-9 {
		t.Errorf("eight times the inductance has %g times the resistance", got)
	}
}

func TestMistakes(t *testing.T) {
	good := targetOf(t, network.Resistor{Ohms: 8})
	for _, c := range []struct {
		o    Options
		want string
	}{
		{Options{MaxParts: 17}, "at most 17 parts: expected 1 to 16"},
		{Options{MaxParts: -1}, "at most -1 parts"},
		{Options{Parts: 11}, "11 parts: expected 1 to 10"},
		{Options{Shunt: -3}, "shunt of -3 ohm"},
		{Options{Shunt: 100, MaxParts: 1}, "2 or more with a shunt"},
		{Options{Limits: Limits{Tone: math.NaN()}}, "tone deviation NaN dB"},
		{Options{Limits: Limits{Impedance: 2}}, "impedance error 2"},
		{Options{Wire: wire.Wire{Diameter: 1}}, "wire of 1000 mm"},
	} {
		if _, err := Find(good, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want %q", c.o, err, c.want)
		}
	}
	out := amplifier(t, 8)
	for _, c := range []struct {
		p     network.OnePort
		scale float64
		band  hearing.Band
		want  string
	}{
		{network.Resistor{Ohms: 8}, 0, hearing.Band{}, "scale 0"},
		{network.Resistor{Ohms: 8}, math.NaN(), hearing.Band{}, "scale NaN"},
		{network.Resistor{Ohms: 8}, 1, hearing.Band{From: 100, To: 200}, "two octaves"},
		{network.Resistor{Ohms: 1e-6}, 1, hearing.Band{}, "0.001 ohm"},
		{network.Resistor{}, 1, hearing.Band{}, "resistance is 0 ohm"},
	} {
		if _, err := NewTarget(c.p, c.scale, out, c.band); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v times %g: error %v, want %q", c.p, c.scale, err, c.want)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	target := targetOf(b, cabinet())
	for b.Loop() {
		if _, err := Find(target, Options{Resistors: preferred.E12, Capacitors: preferred.E12}); err != nil {
			b.Fatal(err)
		}
	}
}
