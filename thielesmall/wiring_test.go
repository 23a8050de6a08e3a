package thielesmall

import (
	"errors"
	"strings"
	"testing"

	"loadscape/network"
)

func TestParseConnection(t *testing.T) {
	for _, k := range []Connection{InParallel, InSeries, InSeriesParallel} {
		if got, err := ParseConnection(k.String()); err != nil || got != k {
			t.Errorf("%v: parsed as %v, %v", k, got, err)
		}
	}
	var f *FieldError
	if _, err := ParseConnection("paralel"); !errors.As(err, &f) || f.Is != `"paralel"` {
		t.Errorf("misspelt word: %v", err)
	}
}

func TestWirePresents(t *testing.T) {
	one := real(impedance(t, small, 30)[0])
	for _, x := range []struct {
		count int
		k     Connection
		share float64
	}{
		{1, InParallel, 1}, {1, InSeries, 1}, {2, InParallel, 0.5}, {2, InSeries, 2}, {8, InParallel, 0.125},
		{4, InSeriesParallel, 1}, {6, InSeriesParallel, 2.0 / 3}, {8, InSeriesParallel, 0.5},
	} {
		if z := real(impedance(t, times(small, x.count, x.k), 30)[0]); !near(z, x.share*one, 10) {
			t.Errorf("%d in %v: %g ohm, want %g", x.count, x.k, z, x.share*one)
		}
	}
}

func TestWireRefusesCounts(t *testing.T) {
	for _, x := range []struct {
		count int
		k     Connection
	}{{0, InParallel}, {-1, InSeries}, {MaxDrivers + 1, InParallel}, {2, InSeriesParallel}, {5, InSeriesParallel}} {
		var f *FieldError
		if _, err := Wire(small, x.count, x.k); !errors.As(err, &f) || f.Field != "count" {
			t.Errorf("%d in %v: %v", x.count, x.k, err)
		}
	}
}

// Drivers are found, and seated, in whatever network they are wired by, and
// other parts keep their place.
func TestDriversInAnyWiring(t *testing.T) {
	crossover := network.Mesh{Between: [2]string{"in", "gnd"}, Parts: []network.MeshPart{
		{OnePort: network.Capacitor{Farads: 22e-6}, From: "in", To: "a"},
		{OnePort: network.Named{Name: "upper", OnePort: full}, From: "a", To: "gnd"},
		{OnePort: network.Terminated{Through: network.SeriesArm{OnePort: network.Resistor{Ohms: 1}}, Load: small}, From: "in", To: "gnd"},
	}}
	k := inBox(Closed{Volume: 0.05}, crossover)
	if d := k.Drivers(); len(d) != 2 || d[0].Name != "full" || d[1].Name != "small" {
		t.Fatalf("drivers %v", d)
	}
	plain := inBox(Closed{Volume: 0.05}, network.Parallel{
		network.Series{network.Capacitor{Farads: 22e-6}, full},
		network.Series{network.Resistor{Ohms: 1}, small},
	})
	same(t, "mesh and series-parallel", k, plain, 1e-12)

	c := network.NewCircuit()
	k.Lay(c, "box", c.Node("in"), network.Ground)
	var names []string
	for _, p := range c.Parts() {
		names = append(names, p.Name)
	}
	for _, want := range []string{"box/full/coil", "box/small/coil", "box/capacitor"} {
		if !strings.Contains(strings.Join(names, " "), want) {
			t.Errorf("no part %s among %s", want, names)
		}
	}
}

// The same wiring serves several cabinets: seating changes nothing in it.
func TestSeatingLeavesTheWiringAlone(t *testing.T) {
	w := times(full, 2, InParallel)
	before := impedance(t, w, 50)[0]
	impedance(t, inBox(Closed{Volume: 0.01}, w), 50)
	if after := impedance(t, w, 50)[0]; after != before {
		t.Errorf("in free air %v before, %v after it stood in a box", before, after)
	}
}
