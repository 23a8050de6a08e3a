package network

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
)

// formula returns the impedance of a series-parallel tree as one would write
// it down.
func formula(p OnePort, w float64) complex128 {
	s := complex(0, w)
	switch p := p.(type) {
	case Resistor:
		return complex(p.Ohms, 0)
	case Inductor:
		z := s * complex(p.Henries, 0)
		if p.CoreLoss != 0 {
			z = 1 / (1/z + complex(1/p.CoreLoss, 0))
		}
		return z + complex(p.DCR, 0)
	case Capacitor:
		return 1/(s*complex(p.Farads, 0)) + complex(p.ESR, 0)
	case Single:
		law := p.Element.(PowerLaw)
		return complex(law.K, 0) * cmplx.Pow(s, complex(law.N, 0))
	case Named:
		return formula(p.OnePort, w)
	case Series:
		var z complex128
		for _, q := range p {
			z += formula(q, w)
		}
		return z
	case Parallel:
		var y complex128
		for _, q := range p {
			y += 1 / formula(q, w)
		}
		return 1 / y
	}
	panic(fmt.Sprintf("no formula for a %T", p))
}

// throwOnePort returns a random tree of lossy parts.
func throwOnePort(d dice, depth int) OnePort {
	kind := d.IntN(8)
	if depth == 0 {
		kind = d.IntN(4)
	}
	members := func() []OnePort {
		m := make([]OnePort, 1+d.IntN(4))
		for i := range m {
			m[i] = throwOnePort(d, depth-1)
		}
		return m
	}
	switch kind {
	case 0:
		return Resistor{Ohms: decade(d, -1, 3)}
	case 1:
		return Inductor{Henries: decade(d, -5, -1), DCR: decade(d, -2, 1), CoreLoss: decade(d, 1, 4) * float64(d.IntN(2))}
	case 2:
		return Capacitor{Farads: decade(d, -7, -3), ESR: decade(d, -2, 1) * float64(d.IntN(2))}
	case 3:
		return Single{Kind: "semi-inductor", Element: PowerLaw{decade(d, -3, 0), float64(d.IntN(11)) / 10}}
	case 4:
		return Named{Name: "load", OnePort: throwOnePort(d, depth-1)}
	case 5, 6:
		return Series(members())
	}
	return Parallel(members())
}

func TestTreesAgainstFormula(t *testing.T) {
	hz := logSpaced(5, 40e3, 21)
	for seed := range uint64(150) {
		p := throwOnePort(rand.New(rand.NewPCG(seed, 7)), 5)
		z, err := Impedance(p, hz)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for k, f := range hz {
			if want := formula(p, 2*math.Pi*f); !closeTo(z[k], want, 1e-11) {
				t.Errorf("seed %d, %g Hz: %v, want %v", seed, f, z[k], want)
			}
		}
	}
}

// TestEqualParts: N alike in parallel show Z/N, in series N·Z.
func TestEqualParts(t *testing.T) {
	hz := []float64{31.5, 400, 5e3}
	d := rand.New(rand.NewPCG(8, 8))
	for _, count := range []int{1, 2, 3, 4, 8, 100} {
		one := throwOnePort(d, 3)
		alike := slices.Repeat([]OnePort{one}, count)
		n := complex(float64(count), 0)
		z, err1 := Impedance(one, hz)
		across, err2 := Impedance(Parallel(alike), hz)
		along, err3 := Impedance(Series(alike), hz)
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		for k := range hz {
			if !closeTo(across[k], z[k]/n, 1e-12) || !closeTo(along[k], z[k]*n, 1e-12) {
				t.Errorf("%d of %v: %v in parallel, %v in series", count, z[k], across[k], along[k])
			}
		}
	}
}
