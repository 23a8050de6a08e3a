package network

// A TwoPort is anything with an input and an output against a common
// terminal: a pad, a cable. It lays itself into a circuit from node in, under
// the given path, and returns its output node, which is in itself if nothing
// lies between.
type TwoPort interface {
	// Label names the two-port within its container, as "cable".
	Label() string
	Lay(c *Circuit, path string, in, common Node) (out Node)
}

// SeriesArm is a two-port with a one-port between input and output.
type SeriesArm struct{ OnePort }

// ShuntArm is a two-port with a one-port across the line.
type ShuntArm struct{ OnePort }

// Cascade is two-ports one behind the other; an empty one is a wire.
type Cascade []TwoPort

// NamedTwoPort is a two-port under a name of its own.
type NamedTwoPort struct {
	Name string
	TwoPort
}

// MeshTwoPort is a two-port of parts between named nodes.
type MeshTwoPort struct {
	In, Out, Common string
	Parts           []MeshPart
}

// IdealTransformer is a two-port that steps the voltage down by Ratio. Its
// windings share the common terminal.
type IdealTransformer struct{ Ratio float64 }

// Terminated is a two-port with a one-port at its output.
type Terminated struct {
	Through TwoPort
	Load    OnePort
}

var (
	_ TwoPort = SeriesArm{}
	_ TwoPort = ShuntArm{}
	_ TwoPort = Cascade{}
	_ TwoPort = NamedTwoPort{}
	_ TwoPort = MeshTwoPort{}
	_ TwoPort = IdealTransformer{}
	_ OnePort = Terminated{}
)

// Lay lays the one-port between in and a new node.
func (p SeriesArm) Lay(c *Circuit, path string, in, _ Node) Node {
	out := c.Node(path)
	p.OnePort.Lay(c, path, in, out)
	return out
}

// Lay lays the one-port between in and common.
func (p ShuntArm) Lay(c *Circuit, path string, in, common Node) Node {
	p.OnePort.Lay(c, path, in, common)
	return in
}

// Label returns "cascade".
func (Cascade) Label() string { return "cascade" }

// Lay lays the two-ports in their order.
func (s Cascade) Lay(c *Circuit, path string, in, common Node) Node {
	labels := labels(s)
	for i, p := range s {
		in = p.Lay(c, path+"/"+labels[i], in, common)
	}
	return in
}

// Label returns the name.
func (n NamedTwoPort) Label() string { return n.Name }

// Label returns "circuit".
func (MeshTwoPort) Label() string { return "circuit" }

// Lay lays the parts between fresh nodes, in and common taking the places of
// those named so.
func (m MeshTwoPort) Lay(c *Circuit, path string, in, common Node) Node {
	if m.In == m.Common || m.Out == m.Common {
		c.fail("%s: input %q, output %q and common %q: expected the common node to be another", path, m.In, m.Out, m.Common)
		return in
	}
	nodes := map[string]Node{m.In: in, m.Common: common}
	layMesh(c, path, m.Parts, nodes)
	out, ok := nodes[m.Out]
	if !ok {
		c.fail("%s: no part is connected to the output node %q", path, m.Out)
		return in
	}
	return out
}

// Label returns "transformer".
func (IdealTransformer) Label() string { return "transformer" }

// Lay lays the transformer.
func (t IdealTransformer) Lay(c *Circuit, path string, in, common Node) Node {
	out := c.Node(path)
	c.Transformer(c.Part(path, Electrical, Rating{}), in, common, out, common, t.Ratio)
	return out
}

// Label returns the label of the load.
func (t Terminated) Label() string { return t.Load.Label() }

// Lay lays the two-port and, at its output, the load.
func (t Terminated) Lay(c *Circuit, path string, a, b Node) {
	names := labels([]interface{ Label() string }{t.Through, t.Load})
	out := t.Through.Lay(c, path+"/"+names[0], a, b)
	t.Load.Lay(c, path+"/"+names[1], out, b)
}
