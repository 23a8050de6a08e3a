// Package equalizer holds the bands of an equalizer as second-order sections
// and fits a few of them to undo a given deviation from a wanted response.
//
// # Bands
//
// A [Band] has a frequency, a gain G in dB and a quality factor Q. With
// A = 10^(G/40) and s in units of its angular frequency its analog prototype is
//
//	peak        (s² + s·A/Q + 1) / (s² + s/(A·Q) + 1)
//	low shelf   A·(s² + s·√A/Q + A) / (A·s² + s·√A/Q + 1)
//	high shelf  A·(A·s² + s·√A/Q + 1) / (s² + s·√A/Q + A)
//
// These are the second-order boost and cut of the textbooks (Zölzer, Digital
// Audio Signal Processing, on equalizers; Orfanidis, Introduction to Signal
// Processing, on parametric equalizers) made symmetrical: turning G into −G
// inverts the response exactly, and at the frequency of a shelf, as at the
// edges of a peak's bandwidth f/Q, the response in dB is half of G. A peak is
// what a resonance in the load does to the voltage behind a source
// resistance. A shelf of Q = √A/(1+A) is of first order, what an inductance
// does there; the steepest without overshoot has Q = 1/√2.
//
// The digital section follows by the bilinear transform with its frequency
// prewarped (Oppenheim and Schafer, Discrete-Time Signal Processing):
// s = (1 − z⁻¹)/((1 + z⁻¹)·tan(πf/rate)). Its response at a frequency is
// therefore that of the prototype at rate/π·tan(π·hz/rate): near half the
// sample rate peaks become narrow and shelves steep.
//
// # Fit
//
// [Fit] works on the response of the digital sections, so what it returns is
// right for the sample rate that was named; an infinite rate stands for the
// analog prototypes. Bands are added one by one from a dictionary of shapes
// where they explain most of the residual, the best few sets of them side by
// side; all parameters of a set are refined together by bounded nonlinear least
// squares (Levenberg and Marquardt) with the points weighted by the ERB-rate
// scale, and each band is then exchanged for a better one if there is any. The
// search is not exhaustive, but it finds sections again from the sum of their
// responses unless these nearly replace each other.
//
// The level is free, because a comparison by ear is made at equal loudness. A
// low shelf and a high shelf of opposite gain differ by level alone; the one
// that needs less level is returned, and of two shelves the lower is a low one.
package equalizer
