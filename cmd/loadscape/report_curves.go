package main

import (
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/measured"
	"loadscape/network/tone"
)

// curves computes the impedance of load and target and reads the measurement.
func (r *built) curves(_ *cobra.Command, d *reporting) error {
	hz, err := hertz(r.bench)
	if err != nil {
		return err
	}
	if r.curve, err = r.curveOf(r.name, hz); err != nil {
		return err
	}
	if d.target != "" {
		c, err := r.curveOf(d.target, hz)
		if err != nil {
			return fmt.Errorf("--target: %w", err)
		}
		r.target = &c
	}
	if d.table == "" {
		return nil
	}
	in, err := os.Open(d.table)
	if err != nil {
		return err
	}
	defer in.Close()
	t, err := measured.Read(in, d.table, measured.Options{})
	if err == nil {
		err = t.Check()
	}
	if err != nil {
		return fmt.Errorf("--measured: %w", err)
	}
	for _, w := range t.Warnings {
		r.notes = append(r.notes, fmt.Sprintf("measured table: %v", w))
	}
	r.measured = &impedanceCurve{"measured", t.Hz, t.Z}
	inside := slices.DeleteFunc(slices.Clone(t.Hz), func(f float64) bool { return f < hz[0] || f > hz[len(hz)-1] })
	if len(inside) > 0 {
		r.computed, err = r.curveOf(r.name, inside)
	}
	return err
}

func (r *built) curveOf(name string, hz []float64) (impedanceCurve, error) {
	c, err := curveOf(r.bench, name, hz)
	warning, err := soft(err)
	if warning != "" {
		r.notes = append(r.notes, name+": "+warning)
	}
	return c, err
}

// compare holds the setup against the same with the target in place of the
// load or, without a target, against the reference.
func (r *built) compare(*cobra.Command, *reporting) error {
	var reference chain.Setup
	switch {
	case r.target != nil:
		p, err := r.bench.OnePort(r.target.name)
		if err != nil {
			return err
		}
		reference = r.with(p)
		r.against = r.target.name
	case r.bench.Reference != "" && r.bench.Reference != r.setup.Name:
		var err error
		if reference, err = r.bench.ReferenceSetup(); err != nil {
			return err
		}
		r.against = reference.Name
	default:
		return nil
	}
	now, err := r.setup.Run(r.curve.hz)
	if err != nil {
		return err
	}
	ref, err := reference.Run(r.curve.hz)
	if err != nil {
		return err
	}
	if r.tone, err = tone.Compare(now.Hz, now.Response, ref.Response, r.bench.Band); err != nil {
		return fmt.Errorf("%s against %s: %w", r.setup.Name, r.against, err)
	}
	return nil
}

// offset returns the RMS of |Z − Zt|/|Zt| over the frequencies that both curves
// have inside the band, and their number. Those of a sweep are even in log
// frequency.
func offset(z, target impedanceCurve, band hearing.Band) (rms float64, points int) {
	sum := 0.0
	for i, f := range z.hz {
		k, found := slices.BinarySearch(target.hz, f)
		if !found || f < band.From || f > band.To {
			continue
		}
		sum += math.Pow(cmplx.Abs(z.z[i]-target.z[k])/cmplx.Abs(target.z[k]), 2)
		points++
	}
	return math.Sqrt(sum / float64(max(points, 1))), points
}
