package identify

import (
	"math"
	"slices"
)

// An estimator makes estimates of values that follow from a fit.
type estimator struct {
	*attempt
	*covariance
}

func (e estimator) index(name string) int {
	return slices.IndexFunc(e.model.parameters, func(p parameter) bool { return p.name == name })
}

// of returns the estimate of one parameter.
func (e estimator) of(name string) Estimate {
	j := e.index(name)
	p := e.model.parameters[j]
	v := p.value(e.X[j])
	return Estimate{v, p.slope(v) * e.deviation(j)}
}

// power returns the estimate of a product of powers of logarithmic parameters;
// those that the fit did not have are left out.
func (e estimator) power(exponents map[string]float64) Estimate {
	var sum, variance float64
	for a, ka := range exponents {
		i := e.index(a)
		if i < 0 {
			continue
		}
		sum += ka * e.X[i]
		for b, kb := range exponents {
			if j := e.index(b); j >= 0 {
				variance += ka * kb * e.matrix.At(i, j)
			}
		}
	}
	v := math.Exp(sum)
	return Estimate{v, v * math.Sqrt(max(variance, 0))}
}

// resonance returns the estimates of a section by the names of its parameters.
func (e estimator) resonance(names [3]string, re float64) Resonance {
	r := Resonance{Hz: e.of(names[0]), Qms: e.of(names[1]), Res: e.of(names[2])}
	res := r.Res.Value
	// Qes = Qms·Re/Res, and to first order the logarithm of
	// Qts = Qms·Re/(Re+Res) follows those of its parts.
	r.Qes = e.power(map[string]float64{names[1]: 1, "re": 1, names[2]: -1})
	share := res / (re + res)
	r.Qts = e.power(map[string]float64{names[1]: 1, "re": share, names[2]: -share})
	r.Qes = r.Qes.at(r.Qms.Value * re / res)
	r.Qts = r.Qts.at(r.Qms.Value * re / (re + res))
	return r
}

// at returns the estimate with another value and the same relative error.
func (e Estimate) at(value float64) Estimate {
	return Estimate{value, e.Error / e.Value * value}
}

// joint returns the covariance of the logarithms of four parameters.
func (e estimator) joint(names [4]string) (c [4][4]float64) {
	for i, a := range names {
		for j, b := range names {
			ia, ib := e.index(a), e.index(b)
			if ia >= 0 && ib >= 0 {
				c[i][j] = e.matrix.At(ia, ib)
			}
		}
	}
	return c
}

func estimates(a *attempt, c *covariance) []Parameter {
	var all []Parameter
	e := estimator{a, c}
	for j, p := range a.model.parameters {
		all = append(all, Parameter{p.name, p.unit, e.of(p.name), c.pinned[j]})
	}
	return all
}

func correlations(a *attempt, c *covariance) []Correlation {
	const strong = 0.95
	var all []Correlation
	for i, p := range a.model.parameters {
		for j, q := range a.model.parameters[:i] {
			if r := c.correlation(i, j); math.Abs(r) >= strong {
				all = append(all, Correlation{q.name, p.name, r})
			}
		}
	}
	return all
}
