package plot

import (
	"fmt"
	"math"
)

// huge bounds what can be drawn; beyond it differences and ratios of
// coordinates overflow.
const huge = 1e100

// fault returns an error about the item of that name.
func fault(name, format string, args ...any) error {
	letters := []rune(clean(name))
	if len(letters) > 80 {
		letters = append(letters[:79], '…')
	}
	return fmt.Errorf("plot: %q: %s", string(letters), fmt.Sprintf(format, args...))
}

// data are the numbers of one item.
type data struct {
	name string
	x    []float64
	ys   [][]float64
}

// check returns an error unless the data can be drawn in p. Curves must rise
// in x on a logarithmic x axis.
func (d data) check(p Panel, curve bool) error {
	if len(d.x) == 0 {
		return fault(d.name, "has no points")
	}
	for _, y := range d.ys {
		if len(y) != len(d.x) {
			return fault(d.name, "has %d values of %s for %d of %s",
				len(y), p.Y.noun(), len(d.x), p.X.noun())
		}
	}
	for i, x := range d.x {
		if err := p.X.admits(d.name, i, x); err != nil {
			return err
		}
		if curve && p.X.Scale == Log && i > 0 && x <= d.x[i-1] {
			return fault(d.name, "%s must increase, but point %d (%g) follows %g",
				p.X.noun(), i+1, x, d.x[i-1])
		}
	}
	return d.values(p)
}

// values checks the y values alone.
func (d data) values(p Panel) error {
	for _, y := range d.ys {
		for i, v := range y {
			if err := p.Y.admits(d.name, i, v); err != nil {
				return err
			}
		}
	}
	return nil
}

func (a Axis) noun() string {
	if a.Label == "" {
		return "values"
	}
	return a.title()
}

// admits returns an error unless v can be drawn along the axis.
func (a Axis) admits(name string, i int, v float64) error {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return fault(name, "%s of point %d is %g, expected a finite number", a.noun(), i+1, v)
	case math.Abs(v) > huge:
		return fault(name, "%s of point %d is %g, too large to draw", a.noun(), i+1, v)
	case a.Scale == Log && v < 1/huge:
		return fault(name, "%s of point %d is %g, expected above zero on a logarithmic axis", a.noun(), i+1, v)
	}
	return nil
}

// check returns an error unless the fixed parts of the axis make sense.
func (a Axis) check() error {
	for i, v := range append([]float64{a.Min, a.Max}, a.Holds...) {
		if i < 2 && !a.fixed() {
			continue
		}
		if err := a.admits(a.noun()+" axis", i, v); err != nil {
			return err
		}
	}
	if a.fixed() && a.Min >= a.Max {
		return fault(a.noun()+" axis", "runs from %g to %g, expected to rise", a.Min, a.Max)
	}
	if a.Step < 0 || math.IsNaN(a.Step) || math.IsInf(a.Step, 0) {
		return fault(a.noun()+" axis", "step %g, expected zero or more", a.Step)
	}
	return nil
}

// check returns the first error of the figure, if any.
func (f *Figure) check() error {
	if len(f.Panels) == 0 {
		return fault(f.Title, "figure has no panels")
	}
	if f.Width != 0 && !(f.Width >= 6 && f.Width <= 200) {
		return fault(f.Title, "width %g cm, expected 6 to 200", f.Width)
	}
	for _, p := range f.Panels {
		if err := p.check(); err != nil {
			return err
		}
	}
	return nil
}

func (p Panel) check() error {
	if p.Height != 0 && !(p.Height >= 1 && p.Height <= 200) {
		return fault(p.Y.noun(), "panel height %g cm, expected 1 to 200", p.Height)
	}
	if p.Equal && (p.X.Scale != Linear || p.Y.Scale != Linear) {
		return fault(p.Y.noun(), "equal scales need two linear axes")
	}
	for _, a := range []Axis{p.X, p.Y} {
		if err := a.check(); err != nil {
			return err
		}
	}
	if len(p.Items) == 0 {
		return fault(p.Y.noun(), "panel has nothing to draw")
	}
	for _, item := range p.Items {
		if item == nil {
			return fault(p.Y.noun(), "panel holds a nil item")
		}
		if err := item.check(p); err != nil {
			return err
		}
	}
	return nil
}
