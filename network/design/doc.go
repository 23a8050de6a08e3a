// Package design finds a load of parts that behaves like a loudspeaker.
//
// # Network
//
// A series resistor carries the resistance of the voice coil, sections of
// R ∥ L ∥ C the resonances, tanks of L ∥ C those that the winding of the coil
// damps enough, and rungs of L ∥ R the rise towards high
// frequencies; the last rung may lack its resistor. All stand in series
// ([Topology]). Every inductor has the resistance of its winding in series. A
// resistor of a given value may lie across the whole.
//
// # What counts
//
// The error of impedance is the RMS over log frequency of |Z − Zt|/|Zt| in the
// listening band, Zt being the target. The deviation of tone is that of
// package tone: the level of the voltage at the load over that at the target,
// from the same amplifier, after level matching, as an RMS on the ERB-rate axis.
// The score of a design is the RMS of both over their limits; with
// a score of 1 or less it may pass for the target.
//
// # Method
//
// The logarithms of the part values are moved by the method of Levenberg
// (Quart. Appl. Math. 2 (1944) 164) and Marquardt (J. SIAM 11 (1963) 431). A
// network starts from a smaller one that fits and one group more, tried at many
// frequencies, among them the resonances that vector fitting sees (Gustavsen
// and Semlyen, IEEE Trans. Power Delivery 14 (1999) 1052). The best network for
// each number of parts makes up the front.
//
// Preferred values are chosen one after another with all others fitted anew,
// several sets at a time, and then exchanged singly and in pairs until nothing
// improves. The set of values rounded one by one is among those from which the
// exchange begins.
//
// Inductors are air-core coils of package coil. A coil's resistance depends
// on its inductance, which the fit takes into account by the formula of the
// Brooks shape; what the coil of whole turns adds to that is put back until it
// no longer changes.
//
// # Where it stops being true
//
// The network is linear and its parts are ideal but for the resistance of the
// windings: no capacitance of coils, no proximity effect, no warming. A
// loudspeaker at high power is neither linear nor cool.
package design
