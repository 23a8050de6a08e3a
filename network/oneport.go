package network

import "fmt"

// A OnePort is anything with two terminals: a part, a group of parts, a
// loudspeaker. It lays itself into a circuit between nodes a and b under the
// given path, which becomes the beginning of its parts' names.
type OnePort interface {
	// Label names the one-port within its container, as "inductor".
	Label() string
	Lay(c *Circuit, path string, a, b Node)
}

// Resistor is a resistor of Ohms.
type Resistor struct {
	Ohms   float64
	Rating Rating
}

// Inductor is an inductor of Henries with its winding resistance DCR (ohms)
// in series and a core-loss resistance CoreLoss (ohms) across the inductance;
// zero means none.
type Inductor struct {
	Henries  float64
	DCR      float64
	CoreLoss float64
	Rating   Rating
}

// Capacitor is a capacitor of Farads with its equivalent series resistance ESR
// (ohms); zero means none.
type Capacitor struct {
	Farads float64
	ESR    float64
	Rating Rating
}

// Single makes any element a one-port of a single part.
type Single struct {
	Kind    string // its label
	Element Element
	Rating  Rating
}

// Series joins one-ports end to end.
type Series []OnePort

// Parallel joins one-ports across the same two nodes.
type Parallel []OnePort

// Named is a one-port under a name of its own, with the impedance that its
// maker states.
type Named struct {
	Name           string
	RatedImpedance float64 // ohm; 0: not stated
	OnePort
}

// Mesh is a one-port of parts between named nodes, seen between two of them.
type Mesh struct {
	Between [2]string
	Parts   []MeshPart
}

// MeshPart is a part of a mesh and the nodes to which its ends go.
type MeshPart struct {
	OnePort
	From, To string
}

var (
	_ OnePort = Resistor{}
	_ OnePort = Inductor{}
	_ OnePort = Capacitor{}
	_ OnePort = Single{}
	_ OnePort = Series{}
	_ OnePort = Parallel{}
	_ OnePort = Named{}
	_ OnePort = Mesh{}
)

// Impedance returns the impedance of p in ohms at the frequencies hz. Errors
// are those of [Circuit.Compile] and [Solver.Impedance].
func Impedance(p OnePort, hz []float64) ([]complex128, error) {
	c := NewCircuit()
	in := c.Node("in")
	p.Lay(c, p.Label(), in, Ground)
	plan, err := c.Compile(in, Ground)
	if err != nil {
		return nil, err
	}
	return plan.NewSolver().Impedance(nil, hz)
}

// Label returns "resistor".
func (Resistor) Label() string { return "resistor" }

// Label returns "inductor".
func (Inductor) Label() string { return "inductor" }

// Label returns "capacitor".
func (Capacitor) Label() string { return "capacitor" }

// Label returns the kind of the part.
func (p Single) Label() string { return p.Kind }

// Label returns "series".
func (Series) Label() string { return "series" }

// Label returns "parallel".
func (Parallel) Label() string { return "parallel" }

// Label returns the name.
func (n Named) Label() string { return n.Name }

// Label returns "circuit".
func (Mesh) Label() string { return "circuit" }

// Lay lays the resistor.
func (p Resistor) Lay(c *Circuit, path string, a, b Node) {
	c.Branch(c.Part(path, Electrical, p.Rating), a, b, Resistance(p.Ohms))
}

// Lay lays the inductance, its core loss and its winding resistance as one
// part.
func (p Inductor) Lay(c *Circuit, path string, a, b Node) {
	p.Rating.By = max(p.Rating.By, ByCurrent)
	id := c.Part(path, Electrical, p.Rating)
	a = c.seriesLoss(id, path, a, p.DCR)
	c.Branch(id, a, b, Inductance(p.Henries))
	if p.CoreLoss != 0 {
		c.Branch(id, a, b, Resistance(p.CoreLoss))
	}
}

// Lay lays the capacitance and its series resistance as one part.
func (p Capacitor) Lay(c *Circuit, path string, a, b Node) {
	p.Rating.By = ByVoltage
	id := c.Part(path, Electrical, p.Rating)
	a = c.seriesLoss(id, path, a, p.ESR)
	c.Branch(id, a, b, Capacitance(p.Farads))
}

// seriesLoss lays a resistance from a, if there is one, and returns the node
// behind it.
func (c *Circuit) seriesLoss(id PartID, path string, a Node, ohms float64) Node {
	if ohms == 0 {
		return a
	}
	inner := c.Node(path)
	c.Branch(id, a, inner, Resistance(ohms))
	return inner
}

// Lay lays the element.
func (p Single) Lay(c *Circuit, path string, a, b Node) {
	c.Branch(c.Part(path, Electrical, p.Rating), a, b, p.Element)
}

// Lay lays the one-ports from a to b in their order.
func (s Series) Lay(c *Circuit, path string, a, b Node) {
	if len(s) == 0 {
		c.fail("%s: a series of no parts is a short", path)
	}
	labels := labels(s)
	for i, p := range s {
		end := b
		if i < len(s)-1 {
			end = c.Node(path + "/" + labels[i])
		}
		p.Lay(c, path+"/"+labels[i], a, end)
		a = end
	}
}

// Lay lays every one-port between a and b.
func (s Parallel) Lay(c *Circuit, path string, a, b Node) {
	if len(s) == 0 {
		c.fail("%s: no parts in parallel are an open circuit", path)
	}
	labels := labels(s)
	for i, p := range s {
		p.Lay(c, path+"/"+labels[i], a, b)
	}
}

// Lay lays the parts between fresh nodes, a and b taking the place of the two
// nodes of Between.
func (m Mesh) Lay(c *Circuit, path string, a, b Node) {
	if m.Between[0] == m.Between[1] {
		c.fail("%s: between %q and %q: expected two different nodes", path, m.Between[0], m.Between[1])
		return
	}
	if len(m.Parts) == 0 {
		c.fail("%s: a circuit of no parts is open", path)
	}
	layMesh(c, path, m.Parts, map[string]Node{m.Between[0]: a, m.Between[1]: b})
}

// layMesh lays parts between named nodes, making those that nodes lacks.
func layMesh(c *Circuit, path string, parts []MeshPart, nodes map[string]Node) {
	node := func(name string) Node {
		n, ok := nodes[name]
		if !ok {
			n = c.Node(path + "/" + name)
			nodes[name] = n
		}
		return n
	}
	labels := labels(parts)
	for i, p := range parts {
		p.Lay(c, path+"/"+labels[i], node(p.From), node(p.To))
	}
}

// labels returns the labels of the members of a container, told apart by a
// number where they repeat: "parallel", "parallel-2".
func labels[P interface{ Label() string }](members []P) []string {
	taken, next := map[string]bool{}, map[string]int{}
	out := make([]string, len(members))
	for i, p := range members {
		label := p.Label()
		out[i] = label
		for taken[out[i]] {
			next[label] = max(next[label], 1) + 1
			out[i] = fmt.Sprintf("%s-%d", label, next[label])
		}
		taken[out[i]] = true
	}
	return out
}
