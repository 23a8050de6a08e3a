package network

import (
	"fmt"
	"strings"
)

// A FloatingError tells that nodes have no connection to ground, so that
// their voltages are undetermined.
type FloatingError struct{ Nodes []string }

func (e *FloatingError) Error() string {
	return fmt.Sprintf("network: floating: no path of parts leads to ground from %s", quoteNames(e.Nodes))
}

// A SingularError tells that the equations of a circuit contradict each other
// or leave something undetermined at a frequency: voltages are tied together
// by ideal transformers, or a gyrator's side is open.
type SingularError struct {
	Hz    float64
	Nodes []string // where the elimination broke down
}

func (e *SingularError) Error() string {
	return fmt.Sprintf("network: singular at %.6g Hz: shorted or undetermined at %s", e.Hz, quoteNames(e.Nodes))
}

// Condition is a warning, returned beside a usable answer, that the circuit is
// nearly singular: a relative change ε of the element values may change the
// answer by Number·ε. It lists the worst frequency.
type Condition struct {
	Hz     float64
	Number float64 // Σ|y||v|²/|Z|, the relative condition number
}

func (e *Condition) Error() string {
	return fmt.Sprintf("network: nearly singular at %.6g Hz: condition number %.1e, about %d digits of the answer are left",
		e.Hz, e.Number, digitsLeft(e.Number))
}

// conditionLimit is the condition number above which an answer comes with a
// warning: more than ten of the sixteen digits are lost.
const conditionLimit = 1e10

func digitsLeft(condition float64) int {
	n := 15
	for ; condition >= 10 && n > 0; condition /= 10 {
		n--
	}
	return n
}

func quoteNames(names []string) string {
	const most = 8
	var b strings.Builder
	for i, n := range names {
		if i == most {
			fmt.Fprintf(&b, " and %d more", len(names)-most)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%q", n)
	}
	return b.String()
}
