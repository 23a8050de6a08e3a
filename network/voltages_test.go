package network

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestSolveAgainstReference: the voltage of a branch may be off by what
// rounding the element values would change it, however small it is, with two
// digits for sums that cancel on the way back. That of a node, and of any
// branch if the circuit left a core, is the difference of larger ones: it may
// be off by the rounding of the largest too.
func TestSolveAgainstReference(t *testing.T) {
	const (
		hz          = 440
		nothing     = 1e-40 // of the largest voltage: a branch that leads nowhere
		nodeLimit   = 32    // rounding units
		branchLimit = 256
	)
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			worstBranch, worstNode := 0.0, 0.0
			for seed := range uint64(8) {
				n := f.throw(rand.New(rand.NewPCG(seed, 6)))
				sol, ok := n.solution(t, n.a, n.b, hz)
				if !ok {
					continue
				}
				r := newVoltageReference(n, hz)
				scale := nothing * r.largest
				if sol.plan.core != nil {
					scale = r.largest
				}
				for b, e := range n.branches {
					worstBranch = max(worstBranch, r.off(sol.BranchVoltage(BranchID(b))[0], e.a, e.b, scale))
				}
				for k := 1; k <= n.nodes; k++ {
					worstNode = max(worstNode, r.off(sol.Voltage(Node(k))[0], Node(k), Ground, r.largest))
				}
			}
			t.Logf("worst error of a branch %.1f units of rounding, of a node %.1f", worstBranch, worstNode)
			if !(worstBranch <= branchLimit && worstNode <= nodeLimit) {
				t.Errorf("expected at most %d and %d", branchLimit, nodeLimit)
			}
		})
	}
}

// voltageReference is the solution of the reference, with what is needed to
// tell how far another may be off.
type voltageReference struct {
	*netlist
	w       float64
	x       []bigComplex
	largest float64
}

func newVoltageReference(n *netlist, hz float64) *voltageReference {
	r := &voltageReference{netlist: n, w: 2 * math.Pi * hz}
	r.x = n.solve(r.w, 1)
	for k := range n.nodes {
		r.largest = max(r.largest, r.x[k].abs())
	}
	return r
}

// off returns how far v is from the voltage between a and b, in rounding
// units of the voltage's sensitivity and of scale.
func (r *voltageReference) off(v complex128, a, b Node, scale float64) float64 {
	want := at(r.x, a).sub(at(r.x, b))
	meter := *r.netlist
	meter.a, meter.b = a, b
	sensitivity := r.sensitivity(r.w, r.x, meter.solve(r.w, -1))
	return bigOf(v).sub(want).abs() / epsilon / (sensitivity + scale)
}

// A voltage far below the others keeps its digits.
func TestSmallNodeVoltage(t *testing.T) {
	n := &netlist{a: 1}
	at := n.node()
	for range 8 {
		next := n.node()
		n.branch(at, next, Resistance(1000))
		n.branch(next, Ground, Resistance(1))
		at = next
	}
	sol, _ := n.solution(t, 1, Ground, 100)
	want, _ := n.reference(100)
	for k := range want.v {
		if got := sol.Voltage(Node(k))[0]; !closeTo(got, want.v[k], 1e-12) {
			t.Errorf("node %d: %v, want %v", k, got, want.v[k])
		}
	}
}
