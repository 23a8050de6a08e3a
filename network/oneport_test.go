package network

import (
	"slices"
	"strings"
	"testing"
)

var (
	anyResistor  = Resistor{Ohms: 8}
	anyInductor  = Inductor{Henries: 1e-3, DCR: 0.5, CoreLoss: 300}
	anyCapacitor = Capacitor{Farads: 10e-6, ESR: 0.1}
)

// partNames lays p under its label and returns the paths of its parts.
func partNames(t *testing.T, p OnePort) []string {
	t.Helper()
	c := NewCircuit()
	in := c.Node("in")
	p.Lay(c, p.Label(), in, Ground)
	if _, err := c.Compile(in, Ground); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, p := range c.Parts() {
		names = append(names, p.Name)
	}
	return names
}

func TestPartNames(t *testing.T) {
	for _, x := range []struct {
		name string
		p    OnePort
		want string
	}{
		{"one part, its losses within", anyInductor, "inductor"},
		{"series", Series{anyResistor, anyInductor}, "series/resistor series/inductor"},
		{"parallel", Parallel{anyResistor, anyCapacitor}, "parallel/resistor parallel/capacitor"},
		{"repeated labels", Series{anyResistor, anyResistor, anyCapacitor, anyResistor},
			"series/resistor series/resistor-2 series/capacitor series/resistor-3"},
		{"label like a numbered one", Parallel{Named{"a", 0, anyResistor}, Named{"a-2", 0, anyResistor}, Named{"a", 0, anyResistor}},
			"parallel/a parallel/a-2 parallel/a-3"},
		{"nested", Series{Parallel{anyResistor, anyInductor}, Parallel{anyResistor, Series{anyInductor, anyCapacitor}}},
			"series/parallel/resistor series/parallel/inductor series/parallel-2/resistor " +
				"series/parallel-2/series/inductor series/parallel-2/series/capacitor"},
		{"named part", Named{"dummy", 8, anyResistor}, "dummy"},
		{"named group", Named{"dummy", 8, Series{anyResistor, anyResistor}}, "dummy/resistor dummy/resistor-2"},
		{"name in a group", Series{Named{"dummy", 8, anyResistor}, anyInductor}, "series/dummy series/inductor"},
		{"any element", Series{Single{"semi-inductor", PowerLaw{1, 0.5}, Rating{}}}, "series/semi-inductor"},
		{"mesh", Mesh{[2]string{"in", "gnd"}, []MeshPart{{anyResistor, "in", "a"}, {anyInductor, "a", "gnd"}, {anyResistor, "a", "gnd"}}},
			"circuit/resistor circuit/inductor circuit/resistor-2"},
		{"terminated", Named{"quiet", 0, Terminated{
			Cascade{SeriesArm{anyResistor}, ShuntArm{anyResistor}}, Named{"cabinet", 8, Series{anyResistor, anyInductor}}}},
			"quiet/cascade/resistor quiet/cascade/resistor-2 quiet/cabinet/resistor quiet/cabinet/inductor"},
		{"terminated in its like", Terminated{SeriesArm{anyResistor}, anyResistor}, "resistor/resistor resistor/resistor-2"},
		{"two-ports", Terminated{Cascade{
			NamedTwoPort{"lead", SeriesArm{anyResistor}}, IdealTransformer{2}, MeshTwoPort{"in", "out", "gnd", []MeshPart{{anyResistor, "in", "out"}, {anyResistor, "out", "gnd"}}}}, anyResistor},
			"resistor/cascade/lead resistor/cascade/transformer resistor/cascade/circuit/resistor resistor/cascade/circuit/resistor-2 resistor/resistor"},
	} {
		t.Run(x.name, func(t *testing.T) {
			if got := partNames(t, x.p); !slices.Equal(got, strings.Fields(x.want)) {
				t.Errorf("got  %q\nwant %q", got, strings.Fields(x.want))
			}
		})
	}
}

// TestPartRatings: a part keeps its rating and its domain, and is rated by what
// its kind is rated by.
func TestPartRatings(t *testing.T) {
	r := Rating{Power: 50, FreeAir: true, Current: 2, Voltage: 100, Tolerance: 0.05}
	for _, x := range []struct {
		p  OnePort
		by RatedBy
	}{
		{Resistor{8, r}, ByPower},
		{Inductor{Henries: 1, DCR: 1, Rating: r}, ByCurrent},
		{Capacitor{Farads: 1, ESR: 1, Rating: r}, ByVoltage},
		{Single{"coil", Inductance(1), r}, ByPower},
	} {
		c := NewCircuit()
		x.p.Lay(c, "x", c.Node("in"), Ground)
		want := Part{"x", Electrical, r}
		want.Rating.By = x.by
		if got := c.Parts(); len(got) != 1 || got[0] != want {
			t.Errorf("%T: parts %+v, want %+v alone", x.p, got, want)
		}
	}
}

// A part misses the rating of its kind; a winding may state a power instead.
func TestMissingRating(t *testing.T) {
	for _, x := range []struct {
		r    Rating
		want string
	}{
		{Rating{}, "power rating"},
		{Rating{Power: 1}, ""},
		{Rating{By: ByCurrent}, "current rating"},
		{Rating{By: ByCurrent, Power: 1}, ""},
		{Rating{By: ByVoltage, Power: 1}, "voltage rating"},
		{Rating{By: ByVoltage, Voltage: 1}, ""},
		{Rating{By: Unrated}, ""},
	} {
		if got := x.r.Missing(); got != x.want {
			t.Errorf("%+v: %q, want %q", x.r, got, x.want)
		}
	}
}

func walked(walk func(visit func(OnePort))) string {
	var labels []string
	walk(func(p OnePort) { labels = append(labels, p.Label()) })
	return strings.Join(labels, " ")
}

func TestWalk(t *testing.T) {
	pi := MeshTwoPort{"in", "out", "gnd", []MeshPart{{anyCapacitor, "in", "gnd"}, {anyInductor, "in", "out"}}}
	for _, x := range []struct {
		name string
		p    OnePort
		want string
	}{
		{"part", anyResistor, "resistor"},
		{"groups", Series{anyResistor, Parallel{anyInductor, anyCapacitor}}, "series resistor parallel inductor capacitor"},
		{"named", Named{"dummy", 8, Series{anyResistor}}, "dummy series resistor"},
		{"mesh", Mesh{[2]string{"a", "b"}, []MeshPart{{anyResistor, "a", "b"}, {Series{anyInductor}, "a", "b"}}}, "circuit resistor series inductor"},
	} {
		if got := walked(func(v func(OnePort)) { Walk(x.p, v) }); got != x.want {
			t.Errorf("%s: visited %s, want %s", x.name, got, x.want)
		}
	}
	for _, x := range []struct {
		name string
		p    TwoPort
		want string
	}{
		{"series arm", SeriesArm{anyResistor}, "resistor"},
		{"shunt arm", ShuntArm{Series{anyResistor, anyInductor}}, "series resistor inductor"},
		{"mesh", pi, "capacitor inductor"},
		{"cascade", Cascade{SeriesArm{anyResistor}, Cascade{pi}, IdealTransformer{2}}, "resistor capacitor inductor"},
		{"named", NamedTwoPort{"cable", NamedTwoPort{"core", Cascade{SeriesArm{anyInductor}}}}, "inductor"},
		{"transformer", IdealTransformer{2}, ""},
	} {
		if got := walked(func(v func(OnePort)) { WalkTwoPort(x.p, v) }); got != x.want {
			t.Errorf("%s: visited %s, want %s", x.name, got, x.want)
		}
	}
}

// TestMeshImpedance: circuits that no series and parallel can make.
func TestMeshImpedance(t *testing.T) {
	r := func(ohms float64, from, to string) MeshPart { return MeshPart{Resistor{Ohms: ohms}, from, to} }
	bridge := func(middle float64) OnePort {
		return Mesh{[2]string{"in", "gnd"}, []MeshPart{
			r(10, "in", "a"), r(20, "a", "gnd"), r(30, "in", "b"), r(60, "b", "gnd"), r(middle, "a", "b")}}
	}
	var cube []MeshPart // corners numbered in binary, edges where one digit differs
	for i := range 8 {
		for _, bit := range []int{1, 2, 4} {
			if i&bit == 0 {
				cube = append(cube, r(1, string(rune('0'+i)), string(rune('0'+i+bit))))
			}
		}
	}
	for _, x := range []struct {
		name string
		p    OnePort
		want complex128
	}{
		// Wheatstone's bridge in balance: the middle carries nothing.
		{"bridge, middle of 1 mΩ", bridge(1e-3), 22.5},
		{"bridge, middle of 1 MΩ", bridge(1e6), 22.5},
		// The textbook's cube of one-ohm edges.
		{"cube, along an edge", Mesh{[2]string{"0", "1"}, cube}, 7.0 / 12},
		{"cube, across a face", Mesh{[2]string{"0", "3"}, cube}, 3.0 / 4},
		{"cube, through the middle", Mesh{[2]string{"0", "7"}, cube}, 5.0 / 6},
		{"terminated in a π of ohms", Terminated{MeshTwoPort{"in", "out", "gnd", []MeshPart{
			r(100, "in", "gnd"), r(40, "in", "out"), r(100, "out", "gnd")}}, Resistor{Ohms: 150}}, 50},
		{"a wire", Terminated{Cascade{}, anyResistor}, 8},
		{"mesh whose input is its output", Terminated{MeshTwoPort{"in", "in", "gnd", []MeshPart{r(8, "in", "gnd")}}, anyResistor}, 4},
		{"stepped down by 5", Terminated{IdealTransformer{5}, anyResistor}, 200},
	} {
		z, err := Impedance(x.p, []float64{1e3})
		if err != nil || !closeTo(z[0], x.want, 1e-14) {
			t.Errorf("%s: %v, %v, want %v", x.name, z, err, x.want)
		}
	}
}

func TestMeshErrors(t *testing.T) {
	part := func(from, to string) []MeshPart { return []MeshPart{{anyResistor, from, to}} }
	for _, x := range []struct {
		name string
		p    OnePort
		want []string
	}{
		{"between one node", Mesh{[2]string{"a", "a"}, part("a", "b")}, []string{"circuit", `"a"`, "two different nodes"}},
		{"no parts", Mesh{[2]string{"a", "b"}, nil}, []string{"circuit", "no parts"}},
		{"shorted part", Mesh{[2]string{"a", "b"}, part("a", "a")}, []string{"circuit/resistor", "shorted"}},
		{"part that hangs loose", Mesh{[2]string{"a", "b"}, append(part("a", "b"), part("c", "d")...)},
			[]string{"floating", `"circuit/c"`, `"circuit/d"`}},
		{"input is common", Terminated{MeshTwoPort{"a", "b", "a", part("a", "b")}, anyResistor}, []string{"resistor/circuit", "common"}},
		{"output is common", Terminated{MeshTwoPort{"a", "b", "b", part("a", "b")}, anyResistor}, []string{"resistor/circuit", "common"}},
		{"output that is not", Terminated{MeshTwoPort{"a", "c", "b", part("a", "b")}, anyResistor}, []string{"resistor/circuit", `"c"`, "output"}},
		{"empty series", Named{"dummy", 0, Series{}}, []string{"dummy", "no parts"}},
		{"empty parallel", Series{anyResistor, Parallel{}}, []string{"series/parallel", "no parts"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := Impedance(x.p, []float64{1e3})
			wantError(t, err, x.want...)
		})
	}
}
