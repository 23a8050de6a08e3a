// Package network computes linear circuits in the frequency domain: what
// impedance a port shows, and the voltage, current and power of every part.
//
// A [Circuit] is built from branches (two-terminal elements known by their
// admittance), gyrators and ideal transformers between nodes. Electrical,
// mechanical and acoustic elements stand in the same circuit: a loudspeaker
// is a gyrator into a mechanical branch, a shared chamber an acoustic node.
// One-ports ([OnePort]) and two-ports ([TwoPort]) lay themselves into it.
//
// [Circuit.Compile] does the symbolic work once and returns a [Plan]; the
// numeric work is done by a [Solver], which keeps its workspace between calls
// and may be refilled with other element values.
//
// # Method
//
// Nodes are eliminated one at a time by the star–mesh transformation (Rosen,
// J. IEE 62 (1924) 916): node k with arms y_i leaves branches y_i·y_j/Σy
// between its neighbours. A series run is a star of two arms, a parallel one
// two branches in one slot. The sum at a node is formed from its arms and
// never by subtraction from a stored diagonal, so the answer is that of a
// circuit whose element values differ by a few units in the last place
// (Grassmann, Taksar and Heyman, Oper. Res. 33 (1985) 1107, who eliminate
// Markov chains in this way). Gyrators are carried along as couplings between
// node pairs, a transformer with a one-port on one side is absorbed with its
// ratio squared. What cannot be reduced so (transformers and gyrators in
// loops) is left to a dense factorisation of the modified nodal equations
// with pivots chosen on values and iterative refinement against the elements.
//
// # Conventions
//
// SI units; time factor e^{+jωt}; ω in rad/s inside elements, frequency in
// hertz at the solver's methods; RMS values, so powers are averages.
// In mechanical branches the voltage is force (N) and the current velocity
// (m/s); in acoustic ones pressure (Pa) and volume velocity (m³/s).
package network
