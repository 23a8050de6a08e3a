package identify

import (
	"encoding/binary"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"loadscape/network/measured"
	ts "loadscape/thielesmall"
)

// A truth is an invented loudspeaker. Its impedance is written down here as in
// the papers that the package comment cites, without the code under test.
type truth struct {
	re       float64
	main     []section // lambda of each: creep
	bumps    []section
	coil     ts.VoiceCoil
	from, to float64 // Hz; default 10 to 20000
}

func (s section) at(w float64) complex128 {
	u := complex(w/(2*math.Pi*s.hz), 0)
	c := 1 - complex(s.lambda, 0)*cmplx.Log10(1i*u)
	q := complex(s.q, 0)
	return complex(s.r, 0) / (1 + 1i*q*u + q/(1i*u*c))
}

func blocked(coil ts.VoiceCoil, w float64) complex128 {
	s := complex(0, w)
	parallel := func(z ...complex128) complex128 {
		var y complex128
		for _, v := range z {
			y += 1 / v
		}
		return 1 / y
	}
	switch v := coil.(type) {
	case nil:
		return 0
	case ts.Inductance:
		return s * complex(v.Le, 0)
	case ts.Ladder:
		z := s * complex(v.L1, 0)
		for _, r := range v.Rungs {
			z += parallel(s*complex(r.L, 0), complex(r.R, 0))
		}
		return z
	case ts.PowerLaw:
		return complex(v.K, 0) * cmplx.Pow(s, complex(v.N, 0))
	case ts.SplitPowerLaw:
		return complex(v.Kr*math.Pow(w, v.Xr), v.Ki*math.Pow(w, v.Xi))
	case ts.SemiInductance:
		z := []complex128{complex(v.Ke, 0) * cmplx.Sqrt(s)}
		if v.Le != 0 {
			z = append(z, s*complex(v.Le, 0))
		}
		if v.Rss != 0 {
			z = append(z, complex(v.Rss, 0))
		}
		return s*complex(v.Leb, 0) + parallel(z...)
	}
	panic("no such coil")
}

func (d truth) at(w float64) complex128 {
	z := complex(d.re, 0) + blocked(d.coil, w)
	for _, s := range append(append([]section(nil), d.main...), d.bumps...) {
		z += s.at(w)
	}
	return z
}

// table returns n rows, log-spaced.
func (d truth) table(n int) *measured.Table {
	from, to := d.from, d.to
	if from == 0 {
		from = 10
	}
	if to == 0 {
		to = 20e3
	}
	t := &measured.Table{Name: "synthetic"}
	for i := range n {
		hz := from * math.Pow(to/from, float64(i)/float64(n-1))
		t.Hz = append(t.Hz, hz)
		t.Z = append(t.Z, d.at(2*math.Pi*hz))
	}
	return t
}

// noisy returns t with normal noise of 1 % in magnitude and 1° in phase.
func noisy(t *measured.Table, seed uint64) *measured.Table {
	// Not PCG, whose neighbouring seeds give sequences that are akin.
	rng := rand.New(rand.NewChaCha8([32]byte(binary.LittleEndian.AppendUint64(make([]byte, 24), seed))))
	n := *t
	n.Z = append([]complex128(nil), t.Z...)
	for i := range n.Z {
		n.Z[i] *= cmplx.Rect(1+0.01*rng.NormFloat64(), math.Pi/180*rng.NormFloat64())
	}
	return &n
}

// parameters returns the values of d by the names that a result gives them.
func (d truth) parameters() values {
	v := values{"re": d.re}
	sections := func(all []section, b resonances) {
		for i, s := range all {
			n := b.names(i)
			v[n[0]], v[n[1]], v[n[2]] = s.hz, s.q, s.r
			if s.lambda != 0 {
				v["creep"] = s.lambda
			}
		}
	}
	sections(d.main, resonances{count: len(d.main)})
	sections(d.bumps, resonances{count: len(d.bumps), bumps: true})
	switch c := d.coil.(type) {
	case ts.Inductance:
		v["le"] = c.Le
	case ts.Ladder:
		v["l1"] = c.L1
		for i, r := range c.Rungs {
			l, rr := rungNames(i)
			v[l], v[rr] = r.L, r.R
		}
	case ts.PowerLaw:
		v["k"], v["n"] = c.K, c.N
	case ts.SplitPowerLaw:
		v["kr"], v["xr"], v["ki"], v["xi"] = c.Kr, c.Xr, c.Ki, c.Xi
	case ts.SemiInductance:
		v["leb"], v["le"], v["ke"], v["rss"] = c.Leb, c.Le, c.Ke, c.Rss
	}
	for name, value := range v {
		if value == 0 {
			delete(v, name)
		}
	}
	return v
}

// Invented drivers, one for each model of the voice coil.
var (
	oneResonance = []section{{hz: 78, q: 8.2, r: 58}}
	creeping     = []section{{hz: 78, q: 8.2, r: 58, lambda: 0.09}}
	models       = map[string]truth{
		"none":                   {re: 6.5, main: oneResonance},
		"inductance":             {re: 6.5, main: oneResonance, coil: ts.Inductance{Le: 0.6e-3}},
		"inductance, creep":      {re: 6.5, main: creeping, coil: ts.Inductance{Le: 0.6e-3}},
		"ladder":                 {re: 6.5, main: oneResonance, coil: ts.Ladder{L1: 0.25e-3, Rungs: []ts.Rung{{L: 0.9e-3, R: 7.5}}}},
		"ladder of two":          {re: 6.5, main: oneResonance, coil: ts.Ladder{L1: 0.15e-3, Rungs: []ts.Rung{{L: 0.9e-3, R: 4}, {L: 0.4e-3, R: 18}}}},
		"power law":              {re: 6.5, main: oneResonance, coil: ts.PowerLaw{K: 0.03, N: 0.66}},
		"power law, creep":       {re: 6.5, main: creeping, coil: ts.PowerLaw{K: 0.03, N: 0.66}},
		"split power law":        {re: 6.5, main: oneResonance, coil: ts.SplitPowerLaw{Kr: 0.004, Xr: 0.8, Ki: 0.02, Xi: 0.68}},
		"semi-inductance":        {re: 6.5, main: oneResonance, coil: ts.SemiInductance{Leb: 0.06e-3, Le: 1.2e-3, Ke: 0.08, Rss: 60}},
		"semi-inductance, creep": {re: 6.5, main: creeping, coil: ts.SemiInductance{Leb: 0.06e-3, Le: 1.2e-3, Ke: 0.08, Rss: 60}},
		"semi-inductance alone":  {re: 6.5, main: oneResonance, coil: ts.SemiInductance{Ke: 0.08}},
		"vented cabinet":         {re: 6.5, main: []section{{hz: 27, q: 6, r: 31}, {hz: 81, q: 7.5, r: 46}}, coil: ts.SemiInductance{Leb: 0.06e-3, Le: 1.2e-3, Ke: 0.08, Rss: 60}},
		"three drivers":          {re: 6.5, main: []section{{hz: 55, q: 6, r: 21}, {hz: 98, q: 5, r: 26}, {hz: 210, q: 4, r: 18}}, coil: ts.PowerLaw{K: 0.03, N: 0.66}},
		"richest":                richest,
	}
	richest = truth{
		re:    6.5,
		main:  []section{{hz: 27, q: 6, r: 31, lambda: 0.08}, {hz: 81, q: 7.5, r: 46, lambda: 0.08}},
		bumps: []section{{hz: 1900, q: 5, r: 1.1}},
		coil:  ts.SemiInductance{Leb: 0.06e-3, Le: 1.2e-3, Ke: 0.08, Rss: 60},
	}
)

func identify(t *testing.T, table *measured.Table, opts Options) *Result {
	t.Helper()
	r, err := Identify(table, opts)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func report(t *testing.T, r *Result) {
	t.Helper()
	t.Logf("RMS %.2g, worst %.2g at %.4g Hz; %+v", r.Residual.RMS, r.Residual.Worst, r.Residual.WorstHz, r.Parameters)
	for _, c := range r.Candidates {
		t.Logf("  %+v", c)
	}
	for _, w := range r.Warnings {
		t.Logf("  %v: %v", w.Kind, w)
	}
}
