package design

import (
	"fmt"

	"loadscape/network"
)

// A Kind is a kind of part.
type Kind int

// The kinds of part.
const (
	Resistor  Kind = iota // ohm
	Inductor              // H
	Capacitor             // F
)

// String returns "resistor", "inductor" or "capacitor".
func (k Kind) String() string {
	switch k {
	case Resistor:
		return "resistor"
	case Inductor:
		return "inductor"
	case Capacitor:
		return "capacitor"
	}
	return fmt.Sprintf("Kind(%d)", int(k))
}

// A Topology says which groups of parts a network has beside its series
// resistor. The values of its parts are listed in the order of [Topology.Kinds].
type Topology struct {
	Sections int     // of R ∥ L ∥ C
	Tanks    int     // of L ∥ C, which the resistance of the winding damps
	Rungs    int     // of L ∥ R
	Inductor bool    // a last rung without a resistor
	Shunt    float64 // ohm across the whole, not among the values; 0: none
}

// Kinds returns the kinds of the parts: the series resistor, then resistor,
// inductor and capacitor of every section, inductor and capacitor of every
// tank, inductor and resistor of every rung, and the last inductor.
func (t Topology) Kinds() []Kind {
	kinds := []Kind{Resistor}
	for range t.Sections {
		kinds = append(kinds, Resistor, Inductor, Capacitor)
	}
	for range t.Tanks {
		kinds = append(kinds, Inductor, Capacitor)
	}
	for range t.Rungs {
		kinds = append(kinds, Inductor, Resistor)
	}
	if t.Inductor {
		kinds = append(kinds, Inductor)
	}
	return kinds
}

// Parts returns the number of parts, the shunt among them.
func (t Topology) Parts() int {
	n := 1 + 3*t.Sections + 2*t.Tanks + 2*t.Rungs
	if t.Inductor {
		n++
	}
	if t.Shunt > 0 {
		n++
	}
	return n
}

// String describes the network: "series resistor, 1 section, 2 rungs".
func (t Topology) String() string {
	s := "series resistor"
	count := func(n int, what string) {
		switch {
		case n == 1:
			s += ", 1 " + what
		case n > 1:
			s += fmt.Sprintf(", %d %ss", n, what)
		}
	}
	count(t.Sections, "section")
	count(t.Tanks, "tank")
	count(t.Rungs, "rung")
	if t.Inductor {
		s += ", inductor"
	}
	if t.Shunt > 0 {
		s += ", shunt resistor"
	}
	return s
}

// impedance returns the impedance at ω = w of parts of the given values, dcr
// being the resistance of each winding.
func (t Topology) impedance(w float64, values, dcr []float64) complex128 {
	z := complex(values[0], 0)
	k := 1
	for range t.Sections {
		z += inverse(complex(1/values[k], w*values[k+2]) + inverse(complex(dcr[k+1], w*values[k+1])))
		k += 3
	}
	for range t.Tanks {
		z += inverse(complex(0, w*values[k+1]) + inverse(complex(dcr[k], w*values[k])))
		k += 2
	}
	for range t.Rungs {
		z += inverse(complex(1/values[k+1], 0) + inverse(complex(dcr[k], w*values[k])))
		k += 2
	}
	if t.Inductor {
		z += complex(dcr[k], w*values[k])
	}
	if t.Shunt > 0 {
		z *= complex(t.Shunt, 0) / (z + complex(t.Shunt, 0))
	}
	return z
}

// inverse returns 1/z for what is neither large nor small enough to overflow
// when squared; the operator, which provides for that, takes longer.
func inverse(z complex128) complex128 {
	scale := 1 / square(z)
	return complex(real(z)*scale, -imag(z)*scale)
}

// onePort returns the network as parts, each with its rating. Ratings are in
// the order of the values, that of a shunt last; nil means none.
func (t Topology) onePort(values, dcr []float64, ratings []network.Rating) network.OnePort {
	if ratings == nil {
		ratings = make([]network.Rating, len(values)+1)
	}
	kinds := t.Kinds()
	part := func(k int) network.OnePort {
		switch kinds[k] {
		case Inductor:
			return network.Inductor{Henries: values[k], DCR: dcr[k], Rating: ratings[k]}
		case Capacitor:
			return network.Capacitor{Farads: values[k], Rating: ratings[k]}
		}
		return network.Resistor{Ohms: values[k], Rating: ratings[k]}
	}
	chain := network.Series{part(0)}
	k := 1
	for range t.Sections {
		chain = append(chain, network.Parallel{part(k), part(k + 1), part(k + 2)})
		k += 3
	}
	for range t.Tanks + t.Rungs {
		chain = append(chain, network.Parallel{part(k), part(k + 1)})
		k += 2
	}
	if t.Inductor {
		chain = append(chain, part(k))
	}
	if t.Shunt > 0 {
		shunt := network.Resistor{Ohms: t.Shunt, Rating: ratings[len(values)]}
		return network.Parallel{chain, shunt}
	}
	return chain
}

// names returns what a builder calls the parts, the shunt last.
func (t Topology) names() []string {
	names := []string{"series resistor"}
	for i := range t.Sections {
		for _, k := range []Kind{Resistor, Inductor, Capacitor} {
			names = append(names, fmt.Sprintf("section %d %v", i+1, k))
		}
	}
	for i := range t.Tanks {
		for _, k := range []Kind{Inductor, Capacitor} {
			names = append(names, fmt.Sprintf("tank %d %v", i+1, k))
		}
	}
	for i := range t.Rungs {
		for _, k := range []Kind{Inductor, Resistor} {
			names = append(names, fmt.Sprintf("rung %d %v", i+1, k))
		}
	}
	if t.Inductor {
		names = append(names, "last inductor")
	}
	if t.Shunt > 0 {
		names = append(names, "shunt resistor")
	}
	return names
}
