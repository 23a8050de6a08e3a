package main

import (
	"fmt"
	"io"
	"math"
	"math/cmplx"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
	"loadscape/plot"
)

// impedanceCurve is the impedance of something on the bench.
type impedanceCurve struct {
	name string
	hz   []float64
	z    []complex128
}

const (
	figureImpedance = "impedance"
	figureReactance = "reactance"
)

func newCurve() *cobra.Command {
	var a answer
	cmd := &cobra.Command{
		Use:   "curve BENCH [NAME...]",
		Short: "Impedance of drivers, cabinets, loads and setups",
		Long: `curve computes the impedance of everything that is named: drivers in free air,
cabinets, loads, and setups, for which it is what the amplifier sees at its tap.
Without a name it takes every cabinet and load on the bench.`,
		Example: "  loadscape curve bench.yaml ash-412 shaped-8 --figure curves.svg",
		Args:    cobra.MinimumNArgs(1),
	}
	a.bind(cmd, figureImpedance, figureReactance)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runCurve(cmd, &a, args[0], args[1:]) }
	return cmd
}

func runCurve(cmd *cobra.Command, a *answer, file string, names []string) error {
	b, err := a.open(cmd, file)
	if err != nil {
		return err
	}
	hz, err := hertz(b)
	if err != nil {
		return err
	}
	if len(names) == 0 {
		names = b.CurveNames()
	}
	if len(names) == 0 {
		return fmt.Errorf("there is nothing with an impedance on the bench: expected drivers, cabinets or loads")
	}
	var curves []impedanceCurve
	for _, name := range names {
		c, err := curveOf(b, name, hz)
		warning, err := soft(err)
		if err != nil {
			return err
		}
		if warning != "" {
			fmt.Fprintf(cmd.ErrOrStderr(), "note: %s: %s\n", name, warning)
		}
		curves = append(curves, c)
	}
	return a.give(cmd, map[string]func(io.Writer) error{
		formatTable: func(w io.Writer) error { return writeCurveTable(w, b, curves) },
		formatCSV:   func(w io.Writer) error { return writeCurveCSV(w, curves) },
		formatJSON:  func(w io.Writer) error { return writeCurveJSON(w, curves) },
	}, func() (*plot.Figure, error) { return drawCurves(a.figureType, b.Title, curves) })
}

func curveOf(b *bench.Bench, name string, hz []float64) (impedanceCurve, error) {
	p, err := b.OnePort(name)
	if err != nil {
		return impedanceCurve{}, err
	}
	z, err := network.Impedance(p, hz)
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return impedanceCurve{name, hz, z}, err
}

func drawCurves(kind, title string, curves []impedanceCurve) (*plot.Figure, error) {
	drawn := make([]plot.Curve, len(curves))
	for i, c := range curves {
		drawn[i] = plot.Curve{Name: c.name, Hz: c.hz, Z: c.z}
	}
	if kind == figureReactance {
		return plot.ReactancePlane(title, drawn)
	}
	return plot.Impedance(title, drawn, plot.Linear)
}

func writeCurveCSV(w io.Writer, curves []impedanceCurve) error {
	t := newCSV(w, "name", "frequency_hz", "magnitude_ohm", "phase_deg", "resistance_ohm", "reactance_ohm")
	for _, c := range curves {
		for i, z := range c.z {
			t.row(c.name, c.hz[i], cmplx.Abs(z), degrees(z), real(z), imag(z))
		}
	}
	return t.end()
}

func writeCurveJSON(w io.Writer, curves []impedanceCurve) error {
	type point struct {
		Hz         float64 `json:"frequency_hz"`
		Magnitude  float64 `json:"magnitude_ohm"`
		Phase      float64 `json:"phase_deg"`
		Resistance float64 `json:"resistance_ohm"`
		Reactance  float64 `json:"reactance_ohm"`
	}
	type curve struct {
		Name   string  `json:"name"`
		Points []point `json:"points"`
	}
	all := struct {
		Curves []curve `json:"curves"`
	}{Curves: []curve{}}
	for _, c := range curves {
		j := curve{Name: c.name}
		for i, z := range c.z {
			j.Points = append(j.Points, point{c.hz[i], cmplx.Abs(z), degrees(z), real(z), imag(z)})
		}
		all.Curves = append(all.Curves, j)
	}
	return writeJSON(w, all)
}

// tableFrequencies are the rows of a table of curves: thirds of an octave
// would be too many to read aloud.
var tableFrequencies = []float64{20, 30, 50, 70, 100, 150, 200, 300, 500, 700, 1e3, 1.5e3, 2e3, 3e3, 5e3, 7e3, 10e3, 15e3, 20e3}

func writeCurveTable(w io.Writer, b *bench.Bench, curves []impedanceCurve) error {
	t := newTable(w)
	t.title(b.Title)
	t.row("", "lowest", "highest", "at 1 kHz", "phase")
	for _, c := range curves {
		low, high := extremes(c.hz, c.z)
		t.row(c.name, ohmsAt(low), ohmsAt(high), at1k(c), phaseRange(c.z))
	}
	t.end()
	t.say("\nMagnitude in ohm and phase in degrees")
	head := []string{"Hz"}
	for _, c := range curves {
		head = append(head, c.name)
	}
	t.row(head...)
	for _, f := range tableFrequencies {
		if f < curves[0].hz[0] || f > curves[0].hz[len(curves[0].hz)-1] {
			continue
		}
		row := []string{fmt.Sprintf("%g", f)}
		for _, c := range curves {
			z := at(c.hz, c.z, f)
			row = append(row, fmt.Sprintf("%.4g ∠ %s", cmplx.Abs(z), degreesText(degrees(z))))
		}
		t.row(row...)
	}
	return t.end()
}

// point is a magnitude and the frequency at which it was found.
type point struct{ value, hz float64 }

func extremes(hz []float64, z []complex128) (low, high point) {
	low.value = math.Inf(1)
	for i, z := range z {
		if m := cmplx.Abs(z); m < low.value {
			low = point{m, hz[i]}
		}
		if m := cmplx.Abs(z); m > high.value {
			high = point{m, hz[i]}
		}
	}
	return low, high
}

func at1k(c impedanceCurve) string {
	if c.hz[0] > 1000 || c.hz[len(c.hz)-1] < 1000 {
		return "-"
	}
	return fmt.Sprintf("%.3g ohm", cmplx.Abs(at(c.hz, c.z, 1000)))
}

// at returns the value of a curve nearest to a frequency.
func at(hz []float64, z []complex128, f float64) complex128 { return z[indexAt(hz, f)] }

func phaseRange(z []complex128) string {
	low, high := 180.0, -180.0
	for _, z := range z {
		low, high = min(low, degrees(z)), max(high, degrees(z))
	}
	return degreesText(low) + " to " + degreesText(high)
}

// degrees returns the phase of z; that of a resistance is 0, not -0.
func degrees(z complex128) float64 { return cmplx.Phase(z)*180/math.Pi + 0 }

// degreesText returns a phase to a degree: "-43°", "0°".
func degreesText(d float64) string { return fmt.Sprintf("%.0f°", math.Round(d)+0) }

func ohmsAt(p point) string { return fmt.Sprintf("%.3g ohm at %s", p.value, hertzText(p.hz)) }
