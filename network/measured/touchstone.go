package measured

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"strings"
)

// TouchstoneOptions choose the form in which [WriteTouchstone] writes.
type TouchstoneOptions struct {
	Version   string  // "1.1" or "2.0"; default "1.1"
	Parameter string  // "S", "Y" or "Z"; default "Z"
	Format    string  // "MA", "DB" or "RI"; default "RI"
	Unit      string  // of frequency, "Hz", "kHz", "MHz" or "GHz"; default "Hz"
	Reference float64 // resistance in ohms, positive; default 50
}

// touchstone is what the option line of a file says.
type touchstone struct {
	version2  bool
	unit      string  // in upper case
	parameter byte    // 'S', 'Y' or 'Z'
	format    string  // in upper case
	reference float64 // ohm
}

var hertzOf = map[string]float64{"HZ": 1, "KHZ": 1e3, "MHZ": 1e6, "GHZ": 1e9}

// impedance returns the impedance that a pair of numbers stands for.
func (o touchstone) impedance(a, b float64) (complex128, error) {
	var v complex128
	switch o.format {
	case "MA":
		v = cmplx.Rect(a, b*degree)
	case "DB":
		v = cmplx.Rect(math.Pow(10, a/20), b*degree)
	case "RI":
		v = complex(a, b)
	}
	r := complex(o.reference, 0)
	normal := r
	if o.version2 {
		normal = 1
	}
	switch {
	case o.parameter == 'Z':
		return v * normal, nil
	case o.parameter == 'Y' && v == 0, o.parameter == 'S' && v == 1:
		return 0, fmt.Errorf("an open circuit: expected an impedance up to %g ohm", float64(MaxOhm))
	case o.parameter == 'Y':
		return normal / v, nil
	}
	return r * (1 + v) / (1 - v), nil
}

// pair returns the pair of numbers that stand for an impedance.
func (o touchstone) pair(z complex128) (a, b float64) {
	r := complex(o.reference, 0)
	normal := r
	if o.version2 {
		normal = 1
	}
	v := z / normal
	switch o.parameter {
	case 'Y':
		v = normal / z
	case 'S':
		v = (z - r) / (z + r)
	}
	switch o.format {
	case "MA":
		return cmplx.Abs(v), cmplx.Phase(v) / degree
	case "DB":
		return 20 * math.Log10(cmplx.Abs(v)), cmplx.Phase(v) / degree
	}
	return real(v), imag(v)
}

// WriteTouchstone writes t as a one-port of the Touchstone file format.
func WriteTouchstone(w io.Writer, t *Table, opts TouchstoneOptions) error {
	if err := t.Check(); err != nil {
		return err
	}
	o, err := opts.parse()
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	if t.Name != "" {
		fmt.Fprintf(out, "! %s\n", strings.Join(strings.Fields(t.Name), " "))
	}
	if t.PhaseDerived {
		fmt.Fprintln(out, "! phase not measured: computed from the magnitude")
	}
	if o.version2 {
		fmt.Fprintln(out, "[Version] 2.0")
	}
	fmt.Fprintf(out, "# %s %c %s R %s\n", o.unit, o.parameter, o.format, number(o.reference))
	if o.version2 {
		fmt.Fprintf(out, "[Number of Ports] 1\n[Number of Frequencies] %d\n[Reference] %s\n[Network Data]\n", len(t.Hz), number(o.reference))
	}
	for i, hz := range t.Hz {
		a, b := o.pair(t.Z[i])
		if math.IsInf(a, 0) {
			return fmt.Errorf("measured: %g Hz: a perfect match has no level in decibels: expected another format", hz)
		}
		fmt.Fprintf(out, "%s %s %s\n", number(hz/hertzOf[o.unit]), number(a), number(b))
	}
	if o.version2 {
		fmt.Fprintln(out, "[End]")
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("measured: %w", err)
	}
	return nil
}

func (opts TouchstoneOptions) parse() (touchstone, error) {
	pick := func(s, usual string) string {
		if s == "" {
			return usual
		}
		return strings.ToUpper(s)
	}
	version := pick(opts.Version, "1.1")
	parameter := pick(opts.Parameter, "Z")
	o := touchstone{version == "2.0", pick(opts.Unit, "HZ"), parameter[0], pick(opts.Format, "RI"), opts.Reference}
	if o.reference == 0 {
		o.reference = 50
	}
	switch {
	case version != "1.1" && version != "2.0":
		return o, fmt.Errorf("measured: Touchstone version %q: expected 1.1 or 2.0", opts.Version)
	case hertzOf[o.unit] == 0:
		return o, fmt.Errorf("measured: frequency unit %q: expected Hz, kHz, MHz or GHz", opts.Unit)
	case len(parameter) != 1 || !strings.Contains("SYZ", parameter):
		return o, fmt.Errorf("measured: parameter %q: expected S, Y or Z", opts.Parameter)
	case o.format != "MA" && o.format != "DB" && o.format != "RI":
		return o, fmt.Errorf("measured: format %q: expected MA, DB or RI", opts.Format)
	case !(o.reference >= MinOhm && o.reference <= MaxOhm):
		return o, fmt.Errorf("measured: reference of %g ohm: expected a positive resistance", o.reference)
	}
	return o, nil
}
