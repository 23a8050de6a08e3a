// Package measured holds impedances that were measured rather than computed:
// it reads and writes tables of them, checks them, supplies a missing phase
// and interpolates between their rows.
//
// # Files
//
// [Read] takes text in columns ([ReadText]) and Touchstone one-ports
// ([ReadTouchstone]). Both settle what is harmless — rows out of order,
// repeated frequencies, a row at 0 Hz — and say so in [Table.Warnings]; what
// cannot be understood is a [*SyntaxError] with file, line and column.
// [WriteCSV] and [WriteTouchstone] are the ways out.
//
// # Between the rows
//
// [Curve] interpolates ln|Z| and the phase over ln f with monotone cubics
// (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300). Magnitude
// and phase stay between those of the neighbouring rows, so a table that is
// passive in its rows is passive between them.
//
// # Missing phase
//
// The impedance of a passive one-port has neither poles nor zeros in the right
// half plane, so its phase follows from its magnitude (Bode, Network Analysis
// and Feedback Amplifier Design, 1945, ch. 14):
//
//	φ(ω₀) = 1/π ∫ dA/du · ln coth(|u|/2) du,  A = ln|Z|, u = ln(ω/ω₀)
//
// [MinimumPhase] evaluates it. What lies beyond the table must be assumed, so
// the phase is good inside and doubtful near the ends.
//
// # Conventions
//
// Frequencies in tables are in hertz, ω in rad/s, impedances in ohms, the time
// factor is e^{+jωt}.
package measured
