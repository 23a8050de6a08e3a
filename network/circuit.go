package network

import (
	"fmt"
	"math"
)

// A Node is a point of a circuit. The zero Node is [Ground].
type Node int

// Ground is the reference node of every circuit.
const Ground Node = 0

// Domain tells what the across and through variables of a part are.
type Domain int

// The domains of a part.
const (
	Electrical Domain = iota // volts, amperes
	Mechanical               // newtons, metres per second
	Acoustic                 // pascals, cubic metres per second
)

// Rating is what a part can bear and how far its value may be off. A zero
// field is not stated.
type Rating struct {
	Power     float64 // W
	FreeAir   bool    // Power is that of a resistor in free air, without a heat sink
	Current   float64 // A, RMS
	Voltage   float64 // V
	Tolerance float64 // relative, 0.05 for ±5 %
	By        RatedBy
}

// RatedBy tells by what a part is rated.
type RatedBy uint8

// What parts are rated by.
const (
	ByPower   RatedBy = iota // resistors, drivers
	ByCurrent                // windings; a power will do as well
	ByVoltage                // capacitors
	Unrated                  // what needs no rating, such as a cable
)

// Missing names the rating that a part should state and does not, "" if none.
func (r Rating) Missing() string {
	switch {
	case r.By == ByPower && r.Power == 0:
		return "power rating"
	case r.By == ByCurrent && r.Current == 0 && r.Power == 0:
		return "current rating"
	case r.By == ByVoltage && r.Voltage == 0:
		return "voltage rating"
	}
	return ""
}

// A Part is something a practitioner would put a name to: a resistor, an
// inductor with its winding resistance, a driver. It owns branches and the
// electrical side of gyrators; its power is what enters through them.
type Part struct {
	Name   string // path, as "shaped-8/parallel/inductor"
	Domain Domain
	Rating Rating
}

// PartID names a part of a circuit, by its place in [Circuit.Parts].
type PartID int

// BranchID names a branch of a circuit.
type BranchID int

type branch struct {
	part PartID
	a, b Node
	el   Element
}

// port is an ordered pair of nodes.
type port struct{ a, b Node }

// link is a gyrator or a transformer between two ports.
type link struct {
	part     PartID
	name     string
	from, to port
	value    float64
}

// Circuit is a circuit under construction. Its methods record mistakes, which
// [Circuit.Compile] returns all at once. The zero Circuit is not usable; call
// [NewCircuit].
type Circuit struct {
	nodes        []string
	parts        []Part
	branches     []branch
	gyrators     []link
	transformers []link
	errs         []error
}

// NewCircuit returns a circuit that has only its ground.
func NewCircuit() *Circuit { return &Circuit{nodes: []string{"ground"}} }

// Node adds a node. The name is used in messages and need not be unique.
func (c *Circuit) Node(name string) Node {
	c.nodes = append(c.nodes, name)
	return Node(len(c.nodes) - 1)
}

// Part adds a part, to which branches can then be added.
func (c *Circuit) Part(name string, d Domain, r Rating) PartID {
	c.parts = append(c.parts, Part{Name: name, Domain: d, Rating: r})
	return PartID(len(c.parts) - 1)
}

// Parts returns the circuit's parts in the order in which they were added.
func (c *Circuit) Parts() []Part { return c.parts }

// Branch adds an element of part p between nodes a and b.
func (c *Circuit) Branch(p PartID, a, b Node, e Element) BranchID {
	c.checkPart(p)
	c.checkNodes(a, b)
	if err := checkElement(e); err != nil {
		c.fail("%s: %w", c.partName(p), err)
	}
	if a == b {
		c.fail("%s: both ends are at node %q: it is shorted", c.partName(p), c.nodeName(a))
	}
	c.branches = append(c.branches, branch{p, a, b, e})
	return BranchID(len(c.branches) - 1)
}

// Gyrator adds a gyrator of resistance r ohms between the ports a, b and c, d
// to part p: the current from a to
// b is v_cd/r, that from c to d is −v_ab/r. As a loudspeaker's motor r is the
// force factor Bl: v_cd is the force, and the velocity leaves at c.
func (c *Circuit) Gyrator(p PartID, na, nb, nc, nd Node, r float64) {
	c.gyrators = append(c.gyrators, c.link(p, "gyrator", port{na, nb}, port{nc, nd}, r))
}

// Transformer adds an ideal transformer between the ports a, b and c, d to
// part p: v_ab = n·v_cd, and the
// current into c is −n times that into a.
func (c *Circuit) Transformer(p PartID, na, nb, nc, nd Node, n float64) {
	c.transformers = append(c.transformers, c.link(p, "transformer", port{na, nb}, port{nc, nd}, n))
}

func (c *Circuit) link(p PartID, kind string, from, to port, value float64) link {
	c.checkPart(p)
	c.checkNodes(from.a, from.b, to.a, to.b)
	name := c.partName(p)
	if v := math.Abs(value); !(v >= minValue && v <= maxValue) {
		c.fail("%s: value of a %s is %g: expected a magnitude from %g to %g", name, kind, value, minValue, maxValue)
	}
	for _, q := range []port{from, to} {
		if q.a == q.b {
			c.fail("%s: both ends of a %s winding are at node %q: it is shorted", name, kind, c.nodeName(q.a))
		}
	}
	return link{p, name, from, to, value}
}

// Reject records a mistake that a one-port found in itself while it was laid;
// [Circuit.Compile] reports it.
func (c *Circuit) Reject(err error) { c.errs = append(c.errs, err) }

func (c *Circuit) fail(format string, args ...any) {
	c.errs = append(c.errs, fmt.Errorf("network: "+format, args...))
}

func (c *Circuit) partName(p PartID) string { return c.parts[p].Name }

func (c *Circuit) nodeName(n Node) string { return c.nodes[n] }

// checkPart panics if p is not of this circuit: that is a mistake in the
// calling program, not in its data.
func (c *Circuit) checkPart(p PartID) {
	if p < 0 || int(p) >= len(c.parts) {
		panic("network: part is not of this circuit")
	}
}

// checkNodes panics if a node is not of this circuit.
func (c *Circuit) checkNodes(nodes ...Node) {
	for _, n := range nodes {
		if n < 0 || int(n) >= len(c.nodes) {
			panic("network: node is not of this circuit")
		}
	}
}
