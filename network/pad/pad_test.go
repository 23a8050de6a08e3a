package pad

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

func design(t *testing.T, spec Spec) Pad {
	t.Helper()
	p, err := Design(spec)
	if err != nil {
		t.Fatalf("%+v: %v", spec, err)
	}
	return p
}

func between(t *testing.T, p Pad, source, load float64) Working {
	t.Helper()
	w, err := p.Between(source, load)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func value(t *testing.T, p Pad, name string) float64 {
	t.Helper()
	for _, r := range p.Resistors {
		if r.Name == name {
			return r.Ohms
		}
	}
	t.Fatalf("%v has no %s", p.Form, name)
	return 0
}

// The handbooks' tables, image-parameter formulas (Terman; Reference Data for
// Radio Engineers), recomputed to the digits shown.
func TestHandbookLPads(t *testing.T) {
	for db, want := range map[float64][5]float64{
		1:  {0.8700, 65.5639, 0.1087, 0.0969, 0.7943},
		3:  {2.3364, 19.3922, 0.2921, 0.2068, 0.5012},
		6:  {3.9905, 8.0381, 0.4988, 0.2500, 0.2512},
		10: {5.4702, 3.6998, 0.6838, 0.2162, 0.1000},
		20: {7.2000, 0.8889, 0.9000, 0.0900, 0.0100},
	} {
		p := design(t, Spec{Form: L, Attenuation: db, Impedance: 8})
		w := between(t, p, 8, 8)
		near(t, "series", value(t, p, "series"), want[0], 5.1e-5)
		near(t, "shunt", value(t, p, "shunt"), want[1], 5.1e-5)
		near(t, "share of series", w.Shares[0], want[2], 5.1e-5)
		near(t, "share of shunt", w.Shares[1], want[3], 5.1e-5)
		near(t, "share of load", w.Load, want[4], 5.1e-5)
	}
}

func TestHandbookSymmetricalPads(t *testing.T) {
	tests := []struct {
		form   Form
		names  [2]string
		values map[float64][2]float64
	}{
		{T, [2]string{"series-in", "shunt"}, map[float64][2]float64{3: {8.5499, 141.9262}, 10: {25.9747, 35.1364}, 20: {40.9091, 10.1010}}},
		{Pi, [2]string{"shunt-in", "series"}, map[float64][2]float64{3: {292.4022, 17.6148}, 10: {96.2475, 71.1512}, 20: {61.1111, 247.5}}},
		{BridgedT, [2]string{"bridge", "shunt"}, map[float64][2]float64{3: {20.6269, 121.2011}, 10: {108.1139, 23.1238}, 20: {450.0, 5.5556}}},
	}
	mirror := map[Form][2]string{T: {"series-in", "series-out"}, Pi: {"shunt-in", "shunt-out"}, BridgedT: {"series-in", "series-out"}}
	for _, test := range tests {
		for db, want := range test.values {
			p := design(t, Spec{Form: test.form, Attenuation: db, Impedance: 50})
			for i, name := range test.names {
				near(t, test.form.String()+" "+name, value(t, p, name), want[i], 5.1e-5)
			}
			in, out := value(t, p, mirror[test.form][0]), value(t, p, mirror[test.form][1])
			near(t, test.form.String()+" arms", in, out, 1e-12*out)
			if test.form == BridgedT {
				near(t, "bridged-T arm", in, 50, 0)
			}
		}
	}
}

func TestHandbookMinimumLoss(t *testing.T) {
	for _, row := range []struct{ from, to, series, shunt, db, digit float64 }{
		{75, 50, 43.3013, 86.6025, 5.7195, 5.1e-5},
		{600, 300, 424.264, 424.264, 7.656, 5.1e-4},
		{16, 8, 11.3137, 11.3137, 7.6555, 5.1e-5},
	} {
		for _, spec := range []Spec{
			{Form: MinimumLoss, Impedance: row.from, Load: row.to},
			{Form: MinimumLoss, Impedance: row.to, Load: row.from},
		} {
			p := design(t, spec)
			near(t, "series", value(t, p, "series"), row.series, row.digit)
			near(t, "shunt", value(t, p, "shunt"), row.shunt, row.digit)
			w := between(t, p, spec.Impedance, spec.Load)
			near(t, "attenuation", w.Attenuation, row.db, row.digit)
			near(t, "input", w.Input, spec.Impedance, 1e-12*spec.Impedance)
			near(t, "output", w.Output, spec.Load, 1e-12*spec.Load)
			near(t, "minimum", MinimumAttenuation(spec.Impedance, spec.Load), w.Attenuation, 1e-12)
		}
	}
}

// A designed pad does what was asked, at any attenuation and impedances.
func TestDesignAndAnalysisAgree(t *testing.T) {
	for _, form := range []Form{L, T, Pi, BridgedT} {
		for _, db := range []float64{1e-6, 0.1, 1, 7.7, 12, 40, 100, 200} {
			for _, load := range []float64{8, 16, 4, 0.5} {
				spec := Spec{Form: form, Attenuation: db, Impedance: 8, Load: load}
				if form == BridgedT && load != 8 || db <= minimum(spec)+1e-6 && load != 8 {
					continue
				}
				p := design(t, spec)
				w := between(t, p, 8, load)
				near(t, form.String()+" attenuation", w.Attenuation, db, 1e-9*db+1e-13)
				near(t, form.String()+" input", w.Input, 8, 1e-11)
				if form == L {
					continue // matched at its input only
				}
				near(t, form.String()+" output", w.Output, load, 1e-11)
				in, out, attenuation := p.Image()
				near(t, form.String()+" image at the input", in, 8, 1e-8)
				near(t, form.String()+" image at the output", out, load, 1e-8)
				near(t, form.String()+" image attenuation", attenuation, db, 1e-8*db)
			}
		}
	}
}

// The slow reference: node equations of source, pad and load.
func TestWorkingAgainstNodeEquations(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	ohms := func() float64 { return math.Pow(10, 4*random.Float64()-1) }
	pads := []func() (Pad, error){
		func() (Pad, error) { return NewL(ohms(), ohms()) },
		func() (Pad, error) { return NewT(ohms(), ohms(), ohms()) },
		func() (Pad, error) { return NewPi(ohms(), ohms(), ohms()) },
		func() (Pad, error) { return NewBridgedT(ohms(), ohms(), ohms()) },
		func() (Pad, error) { return NewMinimumLoss(ohms(), ohms(), random.IntN(2) == 0) },
	}
	for range 200 {
		for _, build := range pads {
			p, err := build()
			if err != nil {
				t.Fatal(err)
			}
			source, load := ohms(), ohms()
			w := between(t, p, source, load)
			v := nodeVoltages(p, source, load)
			current := (1 - v[In]) / source // of 1 V of EMF
			total := v[In] * current
			near(t, "input", w.Input, v[In]/current, 1e-9*w.Input)
			inLoad := v[Out] * v[Out] / load
			near(t, "attenuation", w.Attenuation, -10*math.Log10(inLoad*4*source), 1e-8)
			near(t, "share of load", w.Load, inLoad/total, 1e-9)
			sum := w.Load
			for i, r := range p.Resistors {
				u := v[r.From] - v[r.To]
				near(t, "share of "+r.Name, w.Shares[i], u*u/r.Ohms/total, 1e-9)
				sum += w.Shares[i]
			}
			near(t, "sum of shares", sum, 1, 1e-12)
			near(t, "output is the mirror's input", w.Output, between(t, reversed(p), load, source).Input, 1e-12*w.Output)
			back := between(t, reversed(p), load, source)
			near(t, "reciprocity", back.Attenuation, w.Attenuation, 1e-11)
		}
	}
}

func reversed(p Pad) Pad {
	swap := map[Node]Node{In: Out, Out: In, Middle: Middle, Common: Common}
	r := Pad{Form: p.Form}
	for _, part := range p.Resistors {
		part.From, part.To = swap[part.From], swap[part.To]
		r.Resistors = append(r.Resistors, part)
	}
	return r
}

func nodeVoltages(p Pad, source, load float64) [4]float64 {
	g := mat.NewDense(4, 4, nil)
	add := func(a, b Node, y float64) {
		g.Set(int(a), int(a), g.At(int(a), int(a))+y)
		g.Set(int(b), int(b), g.At(int(b), int(b))+y)
		g.Set(int(a), int(b), g.At(int(a), int(b))-y)
		g.Set(int(b), int(a), g.At(int(b), int(a))-y)
	}
	for _, r := range p.Resistors {
		add(r.From, r.To, 1/r.Ohms)
	}
	add(In, Common, 1/source)
	add(Out, Common, 1/load)
	if g.At(int(Middle), int(Middle)) == 0 {
		g.Set(int(Middle), int(Middle), 1)
	}
	g.SetRow(int(Common), []float64{1, 0, 0, 0})
	var v mat.VecDense
	if err := v.SolveVec(g, mat.NewVecDense(4, []float64{Common: 0, In: 1 / source, Middle: 0})); err != nil {
		panic(err)
	}
	return [4]float64(v.RawVector().Data)
}

// A star of three resistors and its delta are the same pad.
func TestStarAndDelta(t *testing.T) {
	const a, b, c = 3.0, 11.0, 5.0 // arms: in, shunt, out
	sum := a*b + b*c + c*a
	star, _ := NewT(a, b, c)
	delta, _ := NewPi(sum/c, sum/b, sum/a)
	one, two := between(t, star, 7, 9), between(t, delta, 7, 9)
	near(t, "attenuation", one.Attenuation, two.Attenuation, 1e-12)
	near(t, "input", one.Input, two.Input, 1e-12)
	near(t, "output", one.Output, two.Output, 1e-12)
	near(t, "load", one.Load, two.Load, 1e-12)
}

// Two T-pads in a row, matched to each other, are one of the sum.
func TestCascadedPadsAdd(t *testing.T) {
	first := design(t, Spec{Form: T, Attenuation: 14, Impedance: 16, Load: 8})
	second := design(t, Spec{Form: Pi, Attenuation: 3, Impedance: 8, Load: 8})
	end := between(t, second, between(t, first, 16, 8).Output, 8)
	start := between(t, first, 16, end.Input)
	near(t, "sum", start.Attenuation+end.Attenuation, 17, 1e-11)
	near(t, "product of shares", decibels(math.Sqrt(1/(start.Load*end.Load))), 17, 1e-11)
}

func BenchmarkBetween(b *testing.B) {
	p, _ := NewBridgedT(8, 17, 4)
	for b.Loop() {
		if _, err := p.Between(8, 8); err != nil {
			b.Fatal(err)
		}
	}
}
