package bench

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"

	"loadscape/cmd/loadscape/internal/document"
	"loadscape/cmd/loadscape/internal/quantity"
	"loadscape/network"
	"loadscape/network/measured"
	"loadscape/network/rational"
	"loadscape/thielesmall/identify"
)

// measured decodes a load that was measured: the table of a file. The file is
// sought in the directory of the bench. It may lie elsewhere, so that one set
// of measurements can serve several benches, but then the bench says so: it
// may have come from someone else. Only regular files are opened.
func (d *decoder) measured(v document.Value, f *document.Fields) network.OnePort {
	d.parts++
	extend := document.Enum(f.Optional("extend"), document.Choice[bool]{Word: "model", Value: true})
	rating := network.Rating{Power: f.Optional("power_rating").Quantity(quantity.Power, quantity.Positive)}
	opts := measured.Options{Header: f.Optional("header").Text(), Curve: f.Optional("curve").Text()}
	file := v.Text()
	if file == "" {
		return nil
	}
	table, err := d.readTable(file, opts)
	if err != nil {
		v.Reject("a table that cannot be read ("+err.Error()+")", "the file of a measured impedance")
		return nil
	}
	d.round(table)
	curve, err := measured.NewCurve(table)
	if err != nil {
		v.Reject("a table that cannot be used ("+err.Error()+")", "the file of a measured impedance")
		return nil
	}
	d.warnTable(file, table)
	if extend {
		curve = d.extend(f.Optional("extend"), file, table, curve)
	} else {
		d.covered(v, curve)
	}
	if curve == nil {
		return nil
	}
	return network.Single{Kind: "measured", Element: curve, Rating: rating}
}

// readTable reads the table of a file that the bench names.
func (d *decoder) readTable(file string, opts measured.Options) (*measured.Table, error) {
	path := file
	if !filepath.IsAbs(path) {
		path = filepath.Join(d.dir, path)
	}
	if !filepath.IsLocal(file) {
		d.warn(file, "lies outside the directory of the bench file")
	}
	switch info, err := os.Stat(path); {
	case err != nil:
		return nil, cause(err)
	case !info.Mode().IsRegular():
		return nil, errors.New("not a regular file")
	}
	in, err := os.Open(path)
	if err != nil {
		return nil, cause(err)
	}
	defer in.Close()
	table, err := measured.Read(in, path, opts)
	if err == nil && table.Name == "" {
		table.Name = file
	}
	return table, err
}

// cause returns what is wrong with a file without its name, which the bench
// file shows.
func cause(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

func (d *decoder) warn(file, format string, args ...any) {
	d.bench.Warnings = append(d.bench.Warnings, file+": "+fmt.Sprintf(format, args...))
}

// warnTable passes on what is doubtful in a table.
func (d *decoder) warnTable(file string, t *measured.Table) {
	for _, w := range t.Warnings {
		d.warn(file, "%v", w)
	}
	if active := t.Active(); len(active) > 0 {
		d.warn(file, "negative resistance at %s: no passive device has one; see the wiring and the calibration of the measurement", listHz(active))
	}
}

// listHz lists the frequencies of points, the first few if they are many.
func listHz(points []measured.Point) string {
	const few = 6
	var texts []string
	for _, p := range points[:min(few, len(points))] {
		texts = append(texts, fmt.Sprintf("%.4g", p.Hz))
	}
	if n := len(points); n > few {
		return fmt.Sprintf("%d frequencies, %s, … %.4g Hz", n, strings.Join(texts, ", "), points[n-1].Hz)
	}
	return strings.Join(texts, ", ") + " Hz"
}

// round moves an end of a table to that of the sweep where they are one number,
// written to four digits or more.
func (d *decoder) round(t *measured.Table) {
	const digits = 5e-4
	hz, err := d.bench.Sweep.Frequencies()
	if err != nil {
		return // reported at the sweep
	}
	last := len(t.Hz) - 1
	if from := hz[0]; from < t.Hz[0] && t.Hz[0] <= from*(1+digits) {
		t.Hz[0] = from
	}
	if to := hz[len(hz)-1]; to > t.Hz[last] && t.Hz[last] >= to*(1-digits) {
		t.Hz[last] = to
	}
}

// covered reports a sweep that goes beyond a curve.
func (d *decoder) covered(v document.Value, c *measured.Curve) {
	hz, err := d.bench.Sweep.Frequencies()
	if err != nil {
		return // reported at the sweep
	}
	if err := c.Covers(hz[0], hz[len(hz)-1]); err != nil {
		low, high := c.Range()
		v.Reject(fmt.Sprintf("a table from %.6g to %.6g Hz for a sweep from %.6g to %.6g Hz", low, high, hz[0], hz[len(hz)-1]),
			"a sweep within the table, or extend: model to go on with a fitted model")
	}
}

// Covers returns an error that names the load and the range of its table if
// one of the measured loads does not reach over the frequencies hz, which
// ascend. A bench covers its own sweep.
func (b *Bench) Covers(hz []float64) error {
	for _, name := range sortedKeys(b.loads) {
		if err := covers(b.loads[name], hz); err != nil {
			return fmt.Errorf("%s: %w; or extend: model", name, err)
		}
	}
	for _, s := range b.Setups {
		for _, l := range s.Links {
			if err := covers(l.Load, hz); err != nil {
				return fmt.Errorf("%s: %w; or extend: model", s.Name, err)
			}
		}
	}
	return nil
}

func covers(p network.OnePort, hz []float64) (err error) {
	network.Walk(p, func(p network.OnePort) {
		single, _ := p.(network.Single)
		if c, ok := single.Element.(*measured.Curve); ok && err == nil {
			err = c.Covers(hz[0], hz[len(hz)-1])
		}
	})
	return err
}

// extend returns a curve that goes on beyond its table with the model that
// follows it closest: that of a loudspeaker or, if it is none, a rational
// function. It returns nil after a mistake.
func (d *decoder) extend(at document.Value, file string, t *measured.Table, c *measured.Curve) *measured.Curve {
	const follows = 0.05 // relative RMS up to which a loudspeaker's model is preferred
	low, high := c.Range()
	speaker, err := identify.Identify(t, identify.Options{})
	if err == nil && speaker.Residual.RMS <= follows {
		if e := c.Extend(speaker.Impedance); passive(e) {
			d.warn(file, "below %.5g Hz and above %.5g Hz a loudspeaker's model goes on that is off by %.2g %% RMS inside", low, high, 100*speaker.Residual.RMS)
			return e
		}
	}
	e, rms := extendRational(t, c)
	if e == nil {
		at.Reject("a table that no passive model follows", "a sweep within the table, from "+fmt.Sprintf("%.6g to %.6g Hz", low, high))
		return nil
	}
	d.warn(file, "below %.5g Hz and above %.5g Hz a rational function goes on that is off by %.2g %% RMS inside", low, high, 100*rms)
	return e
}

// extendRational extends a curve with the rational function that the criterion
// of Schwarz (Ann. Statist. 6 (1978) 461) prefers among those that are passive
// beyond the table, and returns its relative RMS deviation; nil if there is
// none.
func extendRational(t *measured.Table, c *measured.Curve) (best *measured.Curve, rms float64) {
	const maxOrder = 12
	w, weights := make([]float64, len(t.Hz)), make([]float64, len(t.Hz))
	for i, hz := range t.Hz {
		w[i], weights[i] = 2*math.Pi*hz, 1/cmplx.Abs(t.Z[i])
	}
	least := math.Inf(1)
	for order := range maxOrder + 1 {
		fit, err := rational.Fit(w, t.Z, rational.Options{Order: order, Weights: weights, Proportional: true})
		if err != nil {
			continue
		}
		n := float64(2 * len(w))
		criterion := n*2*math.Log(max(fit.RMS, 1e-12)) + float64(2*order+2)*math.Log(n)
		if criterion >= least {
			continue
		}
		if e := c.Extend(fit.AtFrequency); passive(e) {
			best, rms, least = e, fit.RMS, criterion
		}
	}
	return best, rms
}

// passive tells whether an extended curve is finite and has no negative
// resistance at any frequency beyond its table that a sweep may have.
func passive(c *measured.Curve) bool {
	low, high := c.Range()
	const step = 1.1
	for hz := Audible.Min; hz <= Audible.Max; hz *= step {
		if hz >= low && hz <= high {
			continue
		}
		z, err := c.Impedance(2 * math.Pi * hz)
		if err != nil || cmplx.IsNaN(z) || cmplx.IsInf(z) || real(z) < 0 || z == 0 {
			return false
		}
	}
	return true
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	return sorted(keys)
}
