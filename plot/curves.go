package plot

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/interp"
)

// A Curve is an impedance in ohm against frequency in hertz.
type Curve struct {
	Name string
	Hz   []float64
	Z    []complex128
}

// check catches what taking the curve apart would hide or trip over; the rest
// is left to the figure.
func (c Curve) check() error {
	if len(c.Z) != len(c.Hz) {
		return fault(c.Name, "has %d impedances for %d frequencies", len(c.Z), len(c.Hz))
	}
	return nil
}

// parts applies f to each impedance.
func (c Curve) parts(f func(complex128) float64) []float64 {
	out := make([]float64, len(c.Z))
	for i, z := range c.Z {
		out[i] = f(z)
	}
	return out
}

func resistance(z complex128) float64 { return real(z) }
func reactance(z complex128) float64  { return imag(z) }
func degrees(z complex128) float64    { return cmplx.Phase(z) * 180 / math.Pi }

// A Trace is a quantity against frequency in hertz.
type Trace struct {
	Name string
	Hz   []float64
	Y    []float64
}

func (t Trace) line() Line { return Line{Name: t.Name, X: t.Hz, Y: t.Y} }

func lineItems(traces []Trace) []Item {
	items := make([]Item, len(traces))
	for i, t := range traces {
		items[i] = t.line()
	}
	return items
}

// ohms returns the axis of impedance magnitudes. A linear one shows zero.
func ohms(scale Scale) Axis {
	a := Axis{Label: "Magnitude", Unit: "Ω", Scale: scale}
	if scale == Linear {
		a.Holds = []float64{0}
	}
	return a
}

// Impedance draws the magnitude of curves above their phase. The scale is
// that of the magnitude: linear, as data sheets have it, or logarithmic.
func Impedance(title string, curves []Curve, scale Scale) (*Figure, error) {
	magnitude := Panel{X: Frequency(), Y: ohms(scale), Height: 7}
	phase := Panel{
		X:      Frequency(),
		Y:      Axis{Label: "Phase", Unit: "°", Step: 45, Holds: []float64{-90, 90}},
		Height: 4,
	}
	for _, c := range curves {
		if err := c.check(); err != nil {
			return nil, err
		}
		magnitude.Items = append(magnitude.Items, Line{Name: c.Name, X: c.Hz, Y: c.parts(cmplx.Abs)})
		phase.Items = append(phase.Items, Line{Name: c.Name, X: c.Hz, Y: c.parts(degrees)})
	}
	return &Figure{Title: title, Panels: []Panel{magnitude, phase}}, nil
}

// ReactancePlane draws reactance against resistance, with marks at the audio
// frequencies 20 Hz, 50 Hz, 100 Hz and so on; those that have room bear
// their frequency.
func ReactancePlane(title string, curves []Curve) (*Figure, error) {
	p := Panel{
		X:      Axis{Label: "Resistance", Unit: "Ω", Holds: []float64{0}},
		Y:      Axis{Label: "Reactance", Unit: "Ω", Holds: []float64{0}},
		Height: 12,
		Equal:  true,
		Items:  []Item{Rule{Y: 0}},
	}
	var notes []Item
	for i, c := range curves {
		round, marks, err := c.rounded()
		if err != nil {
			return nil, err
		}
		look := Series(i)
		p.Items = append(p.Items,
			Line{Name: c.Name, X: round.parts(resistance), Y: round.parts(reactance), Look: &look, Plain: true},
			Points{Name: c.Name, X: marks.parts(resistance), Y: marks.parts(reactance), Look: &look})
		for k, z := range marks.Z {
			notes = append(notes, Note{
				X: real(z), Y: imag(z),
				Text: prefixed(marks.Hz[k]), Color: look.Color, Optional: true,
			})
		}
	}
	p.Items = append(p.Items, notes...)
	return &Figure{
		Title:  title,
		Panels: []Panel{p},
		Notes:  []string{"Numbers beside the curves are frequencies in Hz."},
	}, nil
}

// rounded returns the curve with points between its own where it has few, so
// that a resonance is drawn as the circle it is, and the curve at the labelled
// ticks of the frequency axis.
func (c Curve) rounded() (round, marks Curve, err error) {
	if err := c.check(); err != nil {
		return round, marks, err
	}
	all := data{c.Name, c.Hz, [][]float64{c.parts(resistance), c.parts(reactance)}}
	if err := all.check(Panel{X: Frequency(), Y: Axis{Label: "Impedance", Unit: "Ω"}}, true); err != nil {
		return round, marks, err
	}
	if len(c.Hz) == 1 {
		return c, c, nil
	}
	octaves := make([]float64, len(c.Hz))
	for i, f := range c.Hz {
		octaves[i] = math.Log2(f)
		if i > 0 && octaves[i] <= octaves[i-1] {
			return round, marks, fault(c.Name, "points %d and %d are too close, both at %g Hz", i, i+1, f)
		}
	}
	return c.at(octaves, between(octaves)), c.at(octaves, audioTicks(octaves)), nil
}

// at returns the curve, whose frequencies are 2^octaves, at 2^x, by splines
// that do not overshoot (Akima 1970).
func (c Curve) at(octaves, x []float64) Curve {
	var re, im interp.AkimaSpline
	re.Fit(octaves, c.parts(resistance)) // its error is always nil
	im.Fit(octaves, c.parts(reactance))
	out := Curve{Name: c.Name}
	for _, v := range x {
		out.Hz = append(out.Hz, math.Exp2(v))
		out.Z = append(out.Z, complex(re.Predict(v), im.Predict(v)))
	}
	return out
}

// between returns x with up to seven values added in every gap.
func between(x []float64) []float64 {
	per := min(max(3000/len(x), 1), 8)
	var out []float64
	for i, v := range x[:len(x)-1] {
		for k := range per {
			out = append(out, v+(x[i+1]-v)*float64(k)/float64(per))
		}
	}
	return append(out, x[len(x)-1])
}

// audioTicks returns the labelled ticks of the frequency axis within octaves,
// or the first of these if there are none.
func audioTicks(octaves []float64) []float64 {
	first, last := octaves[0], octaves[len(octaves)-1]
	var at []float64
	for _, t := range logTicks(span{math.Exp2(first), math.Exp2(last)}) {
		if !t.IsMinor() {
			at = append(at, min(max(math.Log2(t.Value), first), last))
		}
	}
	if len(at) == 0 {
		at = octaves[:1]
	}
	return at
}
