package network

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"strconv"
	"testing"
)

// refNetwork is a network of testdata/networks.json: driving-point impedances
// computed from modified nodal analysis with 50 digits.
type refNetwork struct {
	Name     string
	Nodes    int
	Port     int
	Elements []struct {
		Kind     string
		Nodes    []int
		Value    float64
		Exponent float64
	}
	Reference []struct {
		Hz     float64
		Re, Im string
	}
}

func readNetworks(tb testing.TB) []refNetwork {
	data, err := os.ReadFile("testdata/networks.json")
	if err != nil {
		tb.Fatal(err)
	}
	var file struct{ Networks []refNetwork }
	if err := json.Unmarshal(data, &file); err != nil {
		tb.Fatal(err)
	}
	return file.Networks
}

func (n refNetwork) circuit(tb testing.TB) (*Circuit, Node) {
	c := NewCircuit()
	for i := range n.Nodes {
		c.Node(strconv.Itoa(i + 1))
	}
	for i, e := range n.Elements {
		p := c.Part(fmt.Sprintf("%s-%d", e.Kind, i), Electrical, Rating{})
		var x []Node
		for _, k := range e.Nodes {
			x = append(x, Node(k))
		}
		switch e.Kind {
		case "resistor":
			c.Branch(p, x[0], x[1], Resistance(e.Value))
		case "inductor":
			c.Branch(p, x[0], x[1], Inductance(e.Value))
		case "capacitor":
			c.Branch(p, x[0], x[1], Capacitance(e.Value))
		case "power_law":
			c.Branch(p, x[0], x[1], PowerLaw{e.Value, e.Exponent})
		case "gyrator":
			c.Gyrator(p, x[0], x[1], x[2], x[3], e.Value)
		case "transformer":
			c.Transformer(p, x[0], x[1], x[2], x[3], e.Value)
		default:
			tb.Fatalf("unknown kind %q", e.Kind)
		}
	}
	return c, Node(n.Port)
}

func (n refNetwork) solver(tb testing.TB) *Solver {
	c, port := n.circuit(tb)
	p, err := c.Compile(port, Ground)
	if err != nil {
		tb.Fatal(err)
	}
	return p.NewSolver()
}

// lapackError is the worst relative error that reference_speed.py printed for
// numpy.linalg.solve (LAPACK zgesv) on the same networks.
var lapackError = map[string]float64{
	"speaker_like":             4.2e-15,
	"four_drivers_one_chamber": 3.2e-13,
	"ladder_60":                7.5e-10,
	"sharp_resonators":         9.6e-12,
	"dense_mesh_40":            1.4e-14,
	"wide_spread_transformers": 3.9e-13,
}

func TestReferenceNetworks(t *testing.T) {
	for _, n := range readNetworks(t) {
		t.Run(n.Name, func(t *testing.T) {
			s := n.solver(t)
			var hz []float64
			for _, r := range n.Reference {
				hz = append(hz, r.Hz)
			}
			z, err := s.Impedance(nil, hz)
			if err != nil {
				t.Fatal(err)
			}
			worst := 0.0
			for i, r := range n.Reference {
				re, _ := strconv.ParseFloat(r.Re, 64)
				im, _ := strconv.ParseFloat(r.Im, 64)
				want := complex(re, im)
				worst = max(worst, cmplx.Abs(z[i]-want)/cmplx.Abs(want))
			}
			limit := 1e-10
			if l := lapackError[n.Name]; l > 1e-12 {
				limit = min(limit, l)
			}
			t.Logf("worst relative error %.1e (LAPACK %.1e)", worst, lapackError[n.Name])
			if !(worst <= limit) {
				t.Errorf("worst relative error %.1e, limit %.1e", worst, limit)
			}
			if s.core != nil {
				t.Errorf("core of %d unknowns is left", s.core.size)
			}
		})
	}
}

func logSpaced(from, to float64, n int) []float64 {
	hz := make([]float64, n)
	for i := range hz {
		hz[i] = from * math.Pow(to/from, float64(i)/float64(n-1))
	}
	return hz
}

func BenchmarkReferenceNetworks(b *testing.B) {
	for _, n := range readNetworks(b) {
		b.Run(n.Name, func(b *testing.B) {
			s := n.solver(b)
			hz := logSpaced(20, 20000, 480)
			dst := make([]complex128, len(hz))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Impedance(dst, hz); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(hz)), "ns/frequency")
		})
	}
}
