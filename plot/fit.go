package plot

import (
	"image/color"
	"math/cmplx"
)

// Fit draws measured impedances with the fitted curve, and what is left over
// in percent. Both curves have the same frequencies. Coherence between 0 and
// 1, if not nil, has a value for each measured point and gets its own strip.
//
// The residual is Z/Zfit − 1: its real part is the error in magnitude, and its
// imaginary part that in phase (1 % is 0.57°), while both are small.
func Fit(title string, measured, fitted Curve, coherence []float64) (*Figure, error) {
	for _, c := range []Curve{measured, fitted} {
		if err := c.check(); err != nil {
			return nil, err
		}
	}
	if len(fitted.Hz) != len(measured.Hz) {
		return nil, fault(fitted.Name, "has %d points, expected the %d of %q",
			len(fitted.Hz), len(measured.Hz), clean(measured.Name))
	}
	along, across := make([]float64, len(measured.Z)), make([]float64, len(measured.Z))
	for i, z := range measured.Z {
		if measured.Hz[i] != fitted.Hz[i] {
			return nil, fault(fitted.Name, "point %d is at %g Hz, expected the %g Hz of %q",
				i+1, fitted.Hz[i], measured.Hz[i], clean(measured.Name))
		}
		if fitted.Z[i] == 0 {
			return nil, fault(fitted.Name, "is zero at %g Hz: no relative residual", fitted.Hz[i])
		}
		r := 100 * (z/fitted.Z[i] - 1)
		along[i], across[i] = real(r), imag(r)
	}
	points, line := Look{Color: color.NRGBA{0x88, 0x88, 0x88, 0xff}, Marker: Ring}, Series(0)
	first, second := Series(0), Series(1)
	first.Marker, second.Marker = Disc, OpenTriangle
	hz := measured.Hz
	panels := []Panel{{
		X: Frequency(), Y: ohms(Linear), Height: 7,
		Items: []Item{
			Points{Name: measured.Name, X: hz, Y: measured.parts(cmplx.Abs), Look: &points, Size: 0.8},
			Line{Name: fitted.Name, X: hz, Y: fitted.parts(cmplx.Abs), Look: &line, Plain: true},
		},
	}, {
		X: Frequency(), Y: Axis{Label: "Residual", Unit: "%", Holds: []float64{-1, 1}}, Height: 3,
		Items: []Item{
			Rule{Y: 0},
			Points{Name: "residual in magnitude", X: hz, Y: along, Look: &first, Size: 0.6},
			Points{Name: "residual in phase", X: hz, Y: across, Look: &second, Size: 0.6},
		},
	}}
	if coherence != nil {
		for i, v := range coherence {
			if !(v >= 0 && v <= 1) {
				return nil, fault("coherence", "of point %d is %g, expected 0 to 1", i+1, v)
			}
		}
		strip := Series(2)
		panels = append(panels, Panel{
			X: Frequency(), Y: Axis{Label: "Coherence", Min: 0, Max: 1.1, Step: 0.5}, Height: 1.8,
			Items: []Item{Line{Name: "coherence", X: hz, Y: coherence, Look: &strip, Plain: true}},
		})
	}
	return &Figure{Title: title, Panels: panels}, nil
}
