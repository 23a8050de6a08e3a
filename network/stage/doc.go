// Package stage models the output stage of an amplifier as the Thévenin source
// that a load finds at one of its taps: an EMF behind a source impedance.
//
// A [Stage] is what the bench knows about an amplifier, a [Source] the one way
// in which its source impedance was given, and an [Output] the source at a tap.
//
// # Model
//
// Between valves and tap stands one transformer. With n² = Zprimary/Ztap, the
// plate-to-plate source resistance Rs, the primary winding Rp, the primary
// inductance Lp, the leakage Ll referred to the primary and the secondary
// winding Rw (Terman, Radio Engineers' Handbook; Langford-Smith, Radiotron
// Designer's Handbook):
//
//	d(ω)  = jωLp/(Rs + Rp + jωLp)
//	Zs0   = Rw + [(Rs+Rp)·d + jωLl]/n²
//	E0(ω) ∝ d
//
// Voltage feedback from the tap returns a part of the terminal voltage. If K
// is the gain around the loop with the tap open, then E = E0/(1+K) and
// Zs = Zs0/(1+K). F decibels of feedback are F decibels of gain lost at 1 kHz
// into the tap's rated resistance R, which sets K0:
//
//	1 + K0·R/(R + |Zs0(1 kHz)|) = 10^(F/20)
//	K(ω) = K0·P(ω)·D(ω)·d(ω)/|d(1 kHz)|
//	P = (1 + jωg/ωp)/(1 + jω/ωp)    presence: feedback released above ωp
//	D = (g + jω/ωd)/(1 + jω/ωd)     depth: feedback released below ωd
//
// with g = 10^(−release/20). The loop runs through the transformer, so its
// gain falls with d at low frequencies; without the last factor a feedback
// pentode stage would seem to lose its bass and its source impedance together.
// K0 uses |Zs0| and leaves out the angle of d: with a real transformer the
// gain lost differs from F by up to a tenth of a decibel.
//
// The EMF is scaled so that rated power reaches a resistor equal to the tap's
// rated impedance at 1 kHz, with presence and depth as they stand.
//
// # Taps
//
// Everything that is stated belongs to the default tap: output impedance,
// two-load test, damping factor, secondary winding, amount of feedback. At
// another tap the source impedance of a valve stage scales with the tap's
// rating (the turns change, and the winding with them); that of a solid-state
// stage stays. Rated power is available at every tap.
//
// # Where it stops being true
//
// The model is linear: no cut-off, no saturating core, no supply that sags. It
// knows no poles inside the amplifier besides the primary inductance and the
// two controls, so it says nothing about stability. Plate resistance varies with
// current; a value taken from curves at the working point is good to about
// a third (common practice, no source), a two-load test to its meters.
//
// # Conventions
//
// SI units; time factor e^{+jωt}; ω in rad/s at methods, turnovers in hertz;
// RMS values, so powers are averages.
package stage
