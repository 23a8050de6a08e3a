// Package identify finds the parameters of a loudspeaker from its measured
// impedance.
//
// The impedance is taken for a sum
//
//	Z(ω) = Re + Zvc(ω) + Σ Zk(ω) + Σ Zb(ω)
//
// of the coil's resistance, one of the voice-coil models of package
// thielesmall, the resonances of cone and cabinet, and small bumps where the
// cone breaks up. A resonance is a parallel section of resistance R, quality
// Q and frequency ωk,
//
//	Zk = R / (1 + jQ·ω/ωk + Q·ωk/(jω·c)),  c = 1 − λ·log10(jω/ωk)
//
// which for one driver in free air is Bl²/Zm with Q = Qms, R = Re·Qms/Qes
// (Small, J. Audio Eng. Soc. 20 (1972) 383); λ is the creep of the suspension
// (Knudsen and Jensen, J. Audio Eng. Soc. 41 (1993) 3), or zero. A vented
// cabinet shows two resonances, several drivers one each. Resonances that share
// a cabinet or a pair of terminals are the partial fractions of one function;
// then each has a skew too,
//
//	Zk = R·(1 + skew·ωk/jω) / (1 + jQ·ω/ωk + Q·ωk/(jω·c)),  Σ R·skew/Q = 0
//
// where the sum is zero because no spring gives way without end.
//
// # The fit
//
// The sum minimised is that of
//
//	(ln|Z/Zmeasured| / σm)² + (arg(Z/Zmeasured) / σp)²
//
// so relative deviations count, those of magnitude and phase by their noise.
// The unknowns are logarithms, but for exponents and creep. The method is that
// of Levenberg and Marquardt with exact derivatives and an orthogonal
// factorisation (Moré, Lecture Notes in Mathematics 630 (1978) 105), the
// damping that of Nielsen (report IMM-REP-1999-05, Technical University of
// Denmark), started from peaks and widths of the curve. Models compete by the
// criterion of Schwarz (Ann. Statist. 6 (1978) 461) or that of Akaike as
// corrected by Hurvich and Tsai (Biometrika 76 (1989) 297).
//
// # What the errors mean
//
// Standard errors follow from the curvature at the minimum and the size of the
// residual. They are right if the residual is noise, independent from row to
// row. If it is what the model cannot follow, they are too small, and a
// [Warning] says so. They know nothing of a wrong reference resistor.
//
// Re is that of the coil as warm as it was measured.
package identify
