package plot

import (
	"io"
	"math"
	"strings"
	"testing"
)

// FuzzEncode draws any numbers on any axes: the outcome is a valid picture or
// an error about the data, never a panic of the drawing library.
func FuzzEncode(f *testing.F) {
	for _, s := range []struct {
		a, b, y, z float64
		log        bool
	}{
		{20, 20e3, 5, 60, false},
		{100, 100, 0, 0, true},
		{1e-90, 1e90, -1e99, 1e99, false},
		{1e-90, 1e90, 1e-99, 1e99, true},
		{1, math.Nextafter(1, 2), 1, math.Nextafter(1, 2), true},
		{5e-324, 1, 5e-324, 1, false},
		{1e15, 1e15 + 1, -1e15, -1e15 + 1, false},
		{440, 441, 1e-300, -1e-300, false},
		{math.NaN(), 1, math.Inf(1), 0, false},
		{0.3, 0.1, 7, math.MaxFloat64, true},
	} {
		f.Add(s.a, s.b, s.y, s.z, s.log, "name <&>")
	}
	f.Fuzz(func(t *testing.T, a, b, y, z float64, log bool, name string) {
		scale := Linear
		if log {
			scale = Log
		}
		curve := Curve{name, []float64{a, b}, []complex128{complex(y, z), complex(z, y)}}
		one := Trace{name, []float64{a}, []float64{y}}
		two := Trace{name + " again", curve.Hz, []float64{y, z}}
		figures := []*Figure{
			Deviation(name, name, []Trace{one, two}, Interval{name, a, b}),
			Steps(name, Axis{Scale: scale, Holds: []float64{z}}, []Trace{one, two}, Interval{}),
			PowerShare(name, []PartPower{{name, a, b, y, ""}, {name, y, z, 0, name}}),
			CleanPower(name, []Trace{two}, z),
			Front(name, Axis{Label: name, Step: y}, []Trade{{int(int32(a)), y, name}, {3, z, ""}}, 0),
		}
		for _, build := range []func() (*Figure, error){
			func() (*Figure, error) { return Impedance(name, []Curve{curve}, scale) },
			func() (*Figure, error) { return ReactancePlane(name, []Curve{curve}) },
			func() (*Figure, error) { return Fit(name, curve, curve, []float64{y, z}) },
		} {
			if figure, err := build(); err == nil {
				figures = append(figures, figure)
			}
		}
		for i, figure := range figures {
			picture, err := figure.render(SVG)
			if err != nil {
				if strings.Contains(err.Error(), "cannot be drawn") {
					t.Errorf("figure %d: %v", i, err)
				}
				continue
			}
			if text, err := texts(picture); err != nil || strings.Contains(string(picture), "NaN") && !strings.Contains(text, "NaN") {
				t.Errorf("figure %d: invalid picture: %v", i, err)
			}
			if err := figure.Encode(io.Discard, PDF); err != nil {
				t.Errorf("figure %d: drawn as SVG, but as PDF: %v", i, err)
			}
		}
	})
}

func BenchmarkEncode(b *testing.B) {
	figure := gallery(b)["impedance"]
	for _, format := range []Format{SVG, PNG, PDF} {
		b.Run(string(format), func(b *testing.B) {
			for b.Loop() {
				if err := figure.Encode(io.Discard, format); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
