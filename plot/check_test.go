package plot

import (
	"io"
	"math"
	"strings"
	"testing"
)

func TestEncodeRejectsBadData(t *testing.T) {
	panel := func(items ...Item) *Figure {
		return &Figure{Title: "bad", Panels: []Panel{{
			X: Frequency(), Y: Axis{Label: "Level", Unit: "dB"}, Items: items,
		}}}
	}
	line := func(x, y []float64) *Figure { return panel(Line{Name: "ash-412", X: x, Y: y}) }
	up := []float64{10, 20, 30}
	for _, tc := range []struct {
		name string
		f    *Figure
		want string
	}{
		{"no panels", &Figure{Title: "bad"}, `"bad": figure has no panels`},
		{"no items", panel(), "nothing to draw"},
		{"nil item", panel(nil), "nil item"},
		{"empty", line(nil, nil), `"ash-412": has no points`},
		{"lengths", line(up, up[:2]), `"ash-412": has 2 values of Level (dB) for 3 of Frequency (Hz)`},
		{"NaN", line(up, []float64{1, math.NaN(), 3}), `"ash-412": Level (dB) of point 2 is NaN`},
		{"infinite", line(up, []float64{1, 2, math.Inf(-1)}), "of point 3 is -Inf"},
		{"NaN frequency", line([]float64{1, math.NaN(), 3}, up), "Frequency (Hz) of point 2 is NaN"},
		{"zero frequency", line([]float64{0, 1, 2}, up), "Frequency (Hz) of point 1 is 0, expected above zero"},
		{"negative frequency", line([]float64{-5, 1, 2}, up), "point 1 is -5, expected above zero"},
		{"falling frequency", line([]float64{10, 30, 20}, up), "must increase, but point 3 (20) follows 30"},
		{"repeated frequency", line([]float64{10, 20, 20}, up), "must increase, but point 3 (20) follows 20"},
		{"too large", line(up, []float64{1, 2, 1e300}), "too large to draw"},
		{"zero on log ohms", &Figure{Panels: []Panel{{X: Frequency(), Y: ohms(Log), Items: []Item{
			Line{Name: "short", X: up, Y: []float64{8, 0, 8}}}}}}, `"short": Magnitude (Ω) of point 2 is 0`},
		{"band crossed", panel(Band{Name: "middle half", X: up, Low: []float64{0, 2, 0}, High: []float64{1, 1, 1}}),
			`"middle half": lower edge 2 is above upper edge 1 at 20`},
		{"interval backwards", panel(Interval{Name: "listening band", From: 100, To: 50}), "starts at 100"},
		{"interval at zero", panel(Interval{Name: "listening band", From: 0, To: 50}), "expected above zero"},
		{"rule", panel(Rule{Name: "limit", Y: math.NaN()}), `"limit": Level (dB) of point 1 is NaN`},
		{"note", panel(Note{X: -1, Text: "here"}), `"here"`},
		{"tags", panel(Tags{Y: []float64{1}, Text: []string{"a", "b"}}), "2 texts"},
		{"width", &Figure{Width: 0.5, Panels: line(up, up).Panels}, "expected 6 to 200"},
		{"height", &Figure{Panels: []Panel{{Height: -1}}}, "panel height"},
		{"axis backwards", &Figure{Panels: []Panel{{X: Axis{Min: 2, Max: 1}}}}, "expected to rise"},
		{"axis step", &Figure{Panels: []Panel{{X: Axis{Step: -1}}}}, "step"},
		{"equal log", &Figure{Panels: []Panel{{X: Frequency(), Equal: true}}}, "two linear axes"},
	} {
		err := tc.f.Encode(io.Discard, SVG)
		if err == nil || !strings.Contains(err.Error(), tc.want) || !strings.HasPrefix(err.Error(), "plot: ") {
			t.Errorf("%s: error %v, want one with %q", tc.name, err, tc.want)
		}
	}
}

func TestConstructorsRejectMismatch(t *testing.T) {
	good := Curve{"good", []float64{10, 20}, []complex128{8, 8}}
	short := Curve{"short", []float64{10, 20}, []complex128{8}}
	for name, f := range map[string]func() (*Figure, error){
		"impedance": func() (*Figure, error) { return Impedance("", []Curve{good, short}, Linear) },
		"plane":     func() (*Figure, error) { return ReactancePlane("", []Curve{short}) },
		"plane, no points": func() (*Figure, error) {
			return ReactancePlane("", []Curve{{Name: "short"}})
		},
		"plane, not a number": func() (*Figure, error) {
			return ReactancePlane("", []Curve{{"short", good.Hz, []complex128{8, complex(math.NaN(), 0)}}})
		},
		"plane, too close": func() (*Figure, error) {
			return ReactancePlane("", []Curve{{"short", []float64{1000, 1000 * (1 + 3e-16)}, good.Z}})
		},
		"fit":              func() (*Figure, error) { return Fit("", good, short, nil) },
		"fit, other grid":  func() (*Figure, error) { return Fit("", good, Curve{"short", []float64{10, 30}, good.Z}, nil) },
		"fit, fewer":       func() (*Figure, error) { return Fit("", good, Curve{"short", good.Hz[:1], good.Z[:1]}, nil) },
		"fit, zero":        func() (*Figure, error) { return Fit("", good, Curve{"short", good.Hz, []complex128{8, 0}}, nil) },
		"fit, incoherence": func() (*Figure, error) { return Fit("short", good, good, []float64{1, 2}) },
	} {
		if _, err := f(); err == nil || !strings.HasPrefix(err.Error(), "plot: ") {
			t.Errorf("%s: error %v, want one that names the series", name, err)
		}
	}
}

// Every kind of figure says what is wrong when it is given nothing.
func TestConstructorsOfNothing(t *testing.T) {
	impedance, _ := Impedance("", nil, Linear)
	for name, f := range map[string]*Figure{
		"impedance": impedance,
		"power":     PowerShare("", nil),
		"tolerance": Tolerance{}.Figure("", decibels("Deviation"), Interval{}),
		"front":     Front("", decibels("Deviation"), nil, 0),
		"deviation": Deviation("", "", []Trace{{Name: "a"}}, Interval{}),
		"steps":     Steps("", decibels("Deviation"), []Trace{{Name: "a"}}, Interval{}),
		"loudness":  Loudness("", []Trace{{Name: "a"}}, nil, Interval{}),
		"clean":     CleanPower("", []Trace{{Name: "a"}}, 40),
	} {
		if err := f.Encode(io.Discard, PNG); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
