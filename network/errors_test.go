package network

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"
)

// badValues are what no resistance, inductance or capacitance may be.
var badValues = []float64{0, math.Copysign(0, -1), -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, 1e-300}

// compileWith compiles a circuit of 8 ohms between node "in" and ground, and
// what lay adds.
func compileWith(lay func(c *Circuit, in Node)) (*Plan, error) {
	c := NewCircuit()
	in := c.Node("in")
	Resistor{Ohms: 8}.Lay(c, "sound", in, Ground)
	lay(c, in)
	return c.Compile(in, Ground)
}

// wantError reports if err is not an error of this package that contains all
// of the texts.
func wantError(t *testing.T, err error, texts ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error, want one with %q", texts)
		return
	}
	for _, text := range append(texts, "network: ") {
		if !strings.Contains(err.Error(), text) {
			t.Errorf("%q lacks %q", err, text)
		}
	}
}

func TestFloating(t *testing.T) {
	for _, x := range []struct {
		name string
		lay  func(c *Circuit, in Node)
		want []string
	}{
		{"bare node", func(c *Circuit, _ Node) { c.Node("a") }, []string{"a"}},
		{"island", func(c *Circuit, _ Node) {
			Resistor{Ohms: 1}.Lay(c, "r", c.Node("a"), c.Node("b"))
		}, []string{"a", "b"}},
		{"two islands", func(c *Circuit, _ Node) {
			Resistor{Ohms: 1}.Lay(c, "r", c.Node("a"), c.Node("b"))
			Capacitor{Farads: 1}.Lay(c, "c", c.Node("c"), c.Node("d"))
		}, []string{"a", "b", "c", "d"}},
		{"secondary without a tie", func(c *Circuit, in Node) {
			p, a, b := c.Part("transformer", Electrical, Rating{}), c.Node("a"), c.Node("b")
			c.Transformer(p, in, Ground, a, b, 2)
			Resistor{Ohms: 1}.Lay(c, "r", a, b)
		}, []string{"a", "b"}},
		{"gyrator's far side without a tie", func(c *Circuit, in Node) {
			c.Gyrator(c.Part("motor", Electrical, Rating{}), in, Ground, c.Node("a"), c.Node("b"), 2)
		}, []string{"a", "b"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := compileWith(x.lay)
			floating := new(FloatingError)
			if !errors.As(err, &floating) {
				t.Fatalf("got %v, want a FloatingError", err)
			}
			if !slices.Equal(floating.Nodes, x.want) {
				t.Errorf("floating: %q, want %q", floating.Nodes, x.want)
			}
			wantError(t, err, fmt.Sprintf("%q", x.want[0]), fmt.Sprintf("%q", x.want[len(x.want)-1]))
		})
	}
	_, err := compileWith(func(c *Circuit, _ Node) {
		for i := range 20 {
			c.Node(fmt.Sprint("n", i))
		}
	})
	wantError(t, err, `"n7"`, "and 12 more")
}

func TestBadValues(t *testing.T) {
	for _, v := range badValues {
		for what, p := range map[string]OnePort{
			"resistance":  Resistor{Ohms: v},
			"inductance":  Inductor{Henries: v},
			"capacitance": Capacitor{Farads: v},
			"power law":   Single{"coil", PowerLaw{v, 0.5}, Rating{}},
		} {
			_, err := Impedance(Named{Name: "odd", OnePort: p}, []float64{100})
			wantError(t, err, "odd", what, fmt.Sprint(v), "expected")
		}
		if v == 0 {
			continue // no winding, series or core loss
		}
		for what, p := range map[string]OnePort{
			"dcr":       Inductor{Henries: 1, DCR: v},
			"core loss": Inductor{Henries: 1, CoreLoss: v},
			"esr":       Capacitor{Farads: 1, ESR: v},
		} {
			if _, err := Impedance(p, []float64{100}); err == nil {
				t.Errorf("%s of %g ohm: accepted", what, v)
			}
		}
	}
}

func TestBadLinks(t *testing.T) {
	for _, v := range badValues {
		if v == -1 {
			continue // a winding the other way round
		}
		_, err := compileWith(func(c *Circuit, in Node) {
			c.Gyrator(c.Part("motor", Electrical, Rating{}), in, Ground, in, Ground, v)
		})
		wantError(t, err, "motor", "gyrator", fmt.Sprint(v))
		_, err = compileWith(func(c *Circuit, in Node) { IdealTransformer{v}.Lay(c, "iron", in, Ground) })
		wantError(t, err, "iron", "transformer", fmt.Sprint(v))
	}
	_, err := compileWith(func(c *Circuit, in Node) {
		c.Transformer(c.Part("iron", Electrical, Rating{}), in, in, in, Ground, 2)
	})
	wantError(t, err, "iron", "winding", `"in"`, "shorted")
}

func TestBadElements(t *testing.T) {
	nan := ElementFunc(func(float64) complex128 { return cmplx.NaN() })
	for _, x := range []struct {
		name string
		el   Element
		want string
	}{
		{"no element", nil, "no element"},
		{"no function", ElementFunc(nil), "no function"},
		{"steep power law", PowerLaw{1, 2.5}, "exponent"},
		{"power law of no exponent", PowerLaw{1, math.NaN()}, "exponent"},
		{"not a number", nan, "NaN"},
		{"infinite", ElementFunc(func(float64) complex128 { return cmplx.Inf() }), "Inf"},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := Impedance(Series{Resistor{Ohms: 1}, Single{"table", x.el, Rating{}}}, []float64{100})
			wantError(t, err, "series/table", x.want)
		})
	}
}

// TestManyMistakes: Compile reports all of them.
func TestManyMistakes(t *testing.T) {
	_, err := compileWith(func(c *Circuit, in Node) {
		Resistor{Ohms: -1}.Lay(c, "first", in, Ground)
		Series{}.Lay(c, "second", in, Ground)
		Parallel{}.Lay(c, "third", in, Ground)
		Inductor{Henries: 1}.Lay(c, "fourth", in, in)
		c.Gyrator(c.Part("fifth", Mechanical, Rating{}), in, Ground, in, Ground, 0)
		c.Reject(errors.New("network: sixth"))
	})
	wantError(t, err, "first", "second", "third", "fourth", "fifth", "sixth")
}

func TestBadFrequencies(t *testing.T) {
	plan, err := compileWith(func(*Circuit, Node) {})
	if err != nil {
		t.Fatal(err)
	}
	s := plan.NewSolver()
	for _, f := range badValues {
		for _, hz := range [][]float64{{f}, append(logSpaced(20, 20e3, 2*lanes), f)} {
			_, err := s.Impedance(nil, hz)
			wantError(t, err, "frequency", fmt.Sprint(f))
			_, err = s.Solve(hz)
			wantError(t, err, "frequency", fmt.Sprint(f))
		}
	}
	if z, err := s.Impedance(nil, []float64{minFrequency, maxFrequency}); err != nil || z[0] != 8 || z[1] != 8 {
		t.Errorf("at the bounds: %v, %v", z, err)
	}
}

func TestBadWindings(t *testing.T) {
	for _, x := range []struct {
		name string
		l    [][]float64
		want string
	}{
		{"more than fully coupled", [][]float64{{1, 1.001}, {1.001, 1}}, "more than fully"},
		{"one part in 10⁹ too much", [][]float64{{1, 1 + 1e-9}, {1 + 1e-9, 1}}, "more than fully"},
		{"three that contradict", [][]float64{{1, 0.9, -0.9}, {0.9, 1, 0.9}, {-0.9, 0.9, 1}}, "more than fully"},
		{"asymmetric", [][]float64{{1, 0.5}, {0.4, 1}}, "not symmetric"},
		{"infinite", [][]float64{{math.Inf(1), 0}, {0, 1}}, "inductance"},
		{"infinite mutual", [][]float64{{1, math.Inf(1)}, {math.Inf(1), 1}}, "not symmetric"},
		{"not a number", [][]float64{{1, math.NaN()}, {math.NaN(), 1}}, "not symmetric"},
		{"no inductance", [][]float64{{0, 0}, {0, 1}}, "winding 1"},
		{"negative", [][]float64{{1, 0}, {0, -1}}, "winding 2"},
	} {
		t.Run(x.name, func(t *testing.T) {
			_, err := compileWith(func(c *Circuit, in Node) {
				ends := slices.Repeat([][2]Node{{in, Ground}}, len(x.l))
				c.Windings(c.Part("iron", Electrical, Rating{}), ends, x.l)
			})
			wantError(t, err, "iron", x.want)
		})
	}
}

// TestShortedPort: asking for a port of one node is refused, and does no harm
// to what is asked after.
func TestShortedPort(t *testing.T) {
	c := NewCircuit()
	a := c.Node("a")
	Resistor{Ohms: 8}.Lay(c, "r", a, Ground)
	for range 2 {
		_, err := c.Compile(a, a)
		wantError(t, err, `"a"`, "shorted")
		if strings.Count(err.Error(), "shorted") != 1 {
			t.Errorf("reported more than once: %v", err)
		}
		plan, err := c.Compile(a, Ground)
		if err != nil {
			t.Fatal(err)
		}
		if z, err := plan.NewSolver().Impedance(nil, []float64{1}); err != nil || z[0] != 8 {
			t.Errorf("%v, %v, want 8 Ω", z, err)
		}
	}
}

// TestPanics: mistakes of the calling program.
func TestPanics(t *testing.T) {
	c := NewCircuit()
	a := c.Node("a")
	p := c.Part("r", Electrical, Rating{})
	c.Branch(p, a, Ground, Resistance(8))
	plan, err := c.Compile(a, Ground)
	if err != nil {
		t.Fatal(err)
	}
	s := plan.NewSolver()
	for name, call := range map[string]func(){
		"node that is not":      func() { c.Branch(p, a, a+1, Resistance(1)) },
		"negative node":         func() { c.Branch(p, a, -1, Resistance(1)) },
		"part that is not":      func() { c.Branch(p+1, a, Ground, Resistance(1)) },
		"port that is not":      func() { c.Compile(a, a+1) },
		"gyrator to no node":    func() { c.Gyrator(p, a, Ground, a+1, Ground, 1) },
		"branch that is not":    func() { s.SetBranch(1, Resistance(1)) },
		"negative branch":       func() { s.SetBranch(-1, Resistance(1)) },
		"dst of another length": func() { s.Impedance(make([]complex128, 2), []float64{1}) },
		"windings and matrix":   func() { c.Windings(p, [][2]Node{{a, Ground}}, nil) },
		"ragged matrix":         func() { c.Windings(p, [][2]Node{{a, Ground}}, [][]float64{{1, 2}}) },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if text, _ := recover().(string); !strings.HasPrefix(text, "network: ") {
					t.Errorf("panic %q, want one that begins with the package", text)
				}
			}()
			call()
		})
	}
}

func TestWindingsCoupledToNothingLeft(t *testing.T) {
	l := [][]float64{{1, 1, 0}, {1, 1, 0.5}, {0, 0.5, 1}} // determinant −1/4
	_, err := compileWith(func(c *Circuit, in Node) {
		c.Windings(c.Part("iron", Electrical, Rating{}), [][2]Node{{in, Ground}, {in, Ground}, {in, Ground}}, l)
	})
	wantError(t, err, "iron", "more than fully")
}

// Links in a chain may multiply up beyond what a number can hold.
func TestChainOfLinksFiniteOrError(t *testing.T) {
	for _, ratio := range []float64{1e30, 1e-30, 1e10, 1e-10} {
		for count := 1; count <= 10; count++ {
			n := &netlist{a: 1}
			at := n.node()
			for range count {
				next := n.node()
				n.transformer(at, Ground, next, Ground, ratio)
				at = next
			}
			n.branch(at, Ground, Resistance(8))
			z, err := n.solver(t).Impedance(nil, []float64{100})
			if z != nil && !finite(z[0]) {
				t.Errorf("%d transformers of %g: %v, %v", count, ratio, z, err)
			}
		}
	}
}
