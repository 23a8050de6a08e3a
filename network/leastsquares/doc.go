// Package leastsquares finds local minima of sums of squares within bounds.
//
// The method is that of Levenberg (Quart. Appl. Math. 2 (1944) 164) and
// Marquardt (J. SIAM 11 (1963) 431): about a point x with residuals r and
// derivatives J the step p minimizes
//
//	|J·p + r|² + λ·|D·p|²
//
// with D the largest norms of the columns of J so far (Moré, Lecture Notes in
// Mathematics 630 (1978) 105), so that the units of the parameters do not
// matter. The damping λ follows the ratio of the decrease of the cost to what
// the linear problem predicts (Nielsen, report IMM-REP-1999-05, Technical
// University of Denmark). J is factored into Q·R once for all λ that are tried;
// JᵀJ, which has the square of its condition, is never formed.
//
// A parameter at a bound that would leave it is pinned for the iteration. One
// that a step would carry beyond its bound goes there, and the others are found
// anew for that. One whose bounds are equal is held.
package leastsquares
