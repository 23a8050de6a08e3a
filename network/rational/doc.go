// Package rational fits rational functions of frequency to sampled responses
// by vector fitting.
//
// The function is a sum of partial fractions over s = jω,
//
//	f(s) = Σ r_n/(s − p_n) + d + s·e
//
// with real poles and residues, or pairs of complex conjugate ones. [Fit]
// starts from poles spread over the band and moves them: with poles fixed, a
// linear least-squares problem gives numerator and denominator of f over the
// same poles, and the zeros of the denominator, eigenvalues of a small matrix,
// are the better poles (Gustavsen and Semlyen, IEEE Trans. Power Delivery 14
// (1999) 1052). The denominator's constant is free and its mean is held
// instead, so that noise does not bias the poles (Gustavsen, IEEE Trans. Power
// Delivery 21 (2006) 1587). Poles in the right half plane are reflected.
//
// An impedance fitted so need not be passive.
package rational
