package network

// Walk calls visit for p and for every one-port that it is made of.
func Walk(p OnePort, visit func(OnePort)) {
	visit(p)
	if t, ok := p.(Terminated); ok {
		WalkTwoPort(t.Through, visit)
	}
	if c, ok := p.(container); ok {
		for _, m := range c.members() {
			Walk(m, visit)
		}
	}
}

// WalkTwoPort calls visit for every one-port that p is made of.
func WalkTwoPort(p TwoPort, visit func(OnePort)) {
	if c, ok := p.(container); ok {
		for _, m := range c.members() {
			Walk(m, visit)
		}
	}
	switch p := p.(type) {
	case NamedTwoPort:
		WalkTwoPort(p.TwoPort, visit)
	case Cascade:
		for _, q := range p {
			WalkTwoPort(q, visit)
		}
	}
}

// container is a one-port or a two-port made of one-ports.
type container interface{ members() []OnePort }

func (s Series) members() []OnePort      { return s }
func (s Parallel) members() []OnePort    { return s }
func (n Named) members() []OnePort       { return []OnePort{n.OnePort} }
func (t Terminated) members() []OnePort  { return []OnePort{t.Load} }
func (m Mesh) members() []OnePort        { return members(m.Parts) }
func (m MeshTwoPort) members() []OnePort { return members(m.Parts) }
func (p SeriesArm) members() []OnePort   { return []OnePort{p.OnePort} }
func (p ShuntArm) members() []OnePort    { return []OnePort{p.OnePort} }

func members(parts []MeshPart) []OnePort {
	ports := make([]OnePort, len(parts))
	for i, p := range parts {
		ports[i] = p.OnePort
	}
	return ports
}
