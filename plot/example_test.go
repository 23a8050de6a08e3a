package plot_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"loadscape/plot"
)

// picture is what ExampleImpedance draws; the golden test compares it.
var picture bytes.Buffer

func ExampleImpedance() {
	cabinet := plot.Curve{Name: "closed cabinet"}
	resistor := plot.Curve{Name: "8 Ω resistor"}
	for i := range 121 {
		f := 20 * math.Exp2(float64(i)/12)
		resonance := 40 / complex(1, 6*(f/105-105/f))
		cabinet.Hz = append(cabinet.Hz, f)
		cabinet.Z = append(cabinet.Z, 6.5+resonance+complex(0, f*2*math.Pi*0.2e-3))
		resistor.Hz = append(resistor.Hz, f)
		resistor.Z = append(resistor.Z, 8)
	}
	figure, err := plot.Impedance("A cabinet and a resistor", []plot.Curve{cabinet, resistor}, plot.Linear)
	if err != nil {
		fmt.Println(err)
		return
	}
	format, err := plot.FormatOf("impedance.svg")
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := figure.Encode(&picture, format); err != nil {
		fmt.Println(err)
	}
	// Output:
}

// A figure of one's own is made of panels and items.
func ExampleFigure() {
	hz := []float64{50, 100, 200, 400}
	figure := &plot.Figure{
		Title: "Level of two ports",
		Panels: []plot.Panel{{
			X: plot.Frequency(),
			Y: plot.Axis{Label: "Level", Unit: "dB", Holds: []float64{0}},
			Items: []plot.Item{
				plot.Interval{Name: "passband", From: 80, To: 300},
				plot.Line{Name: "front", X: hz, Y: []float64{-6, -1, 0, 0}},
				plot.Line{Name: "rear", X: hz, Y: []float64{-3, 2, math.NaN(), 0}},
			},
		}},
	}
	fmt.Println(figure.Encode(&bytes.Buffer{}, plot.PNG))
	// Output: plot: "rear": Level (dB) of point 3 is NaN, expected a finite number
}

var update = flag.Bool("update", false, "rewrite the golden picture")

var number = regexp.MustCompile(`-?\d+(\.\d+)?`)

// The picture is the golden one but for the rounding of its numbers, which
// differs between processors.
func TestGolden(t *testing.T) {
	const golden = "testdata/impedance.svg"
	picture.Reset()
	ExampleImpedance()
	if *update {
		if err := os.WriteFile(golden, picture.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	got := picture.Bytes()
	if g, w := number.ReplaceAll(got, nil), number.ReplaceAll(want, nil); !bytes.Equal(g, w) {
		t.Fatal("the picture has other elements than the golden one")
	}
	g, w := number.FindAll(got, -1), number.FindAll(want, -1)
	for i := range w {
		a, _ := strconv.ParseFloat(string(g[i]), 64)
		b, _ := strconv.ParseFloat(string(w[i]), 64)
		if math.Abs(a-b) > 0.011 { // points; the file has two decimals
			t.Errorf("number %d is %s, want %s", i, g[i], w[i])
		}
	}
}
