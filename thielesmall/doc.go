// Package thielesmall makes loudspeakers, alone and in cabinets, out of the
// parameters of Thiele and Small, as one-ports of package network.
//
// # Model
//
// A [Driver] is laid as the resistance of its coil, its [VoiceCoil] model, a
// gyrator of resistance Bl and a mechanical branch of mass Mms, resistance Rms
// and compliance Cms, in which voltage is force and current velocity. In a
// [Cabinet] the branch ends in an ideal transformer of ratio Sd at the
// acoustic node behind the cone, where every other cone and the [Enclosure]
// meet it. So the circuit does what the formula says,
//
//	Z = Zb + Bl²/(Zm + Sd²·Za)    Zm = Rms + jωMms + 1/(jωCms)
//
// (Small, "Direct-Radiator Loudspeaker System Analysis", J. Audio Eng. Soc. 20
// (1972) 383), for any drivers that share a chamber and in any [Wire], and
// [Cabinet.Response] reads cones, ports and sound level from the same
// solution. Zb is the impedance of the blocked coil, Zm that of the mechanics
// and Za that of the air behind the cone.
//
// # Where it stops being true
//
// Everything is linear: small signals, a cold or a given coil temperature. The
// cone is a piston, so a real one's break-up is missing above some hundreds of
// hertz to a few kilohertz. The air in a box is lumped: good while its largest
// inner dimension is below about a quarter wave. The air load of the cone is
// that in which Fs was measured, whatever the box. What is doubtful about
// given values comes as data from [Driver.Check] and [Cabinet.Check], what is
// impossible as errors from the Validate methods.
//
// Loads run hot and valve amplifiers hold lethal voltages; the ratings of the
// driver's maker come before any excursion or power computed here.
//
// # Conventions
//
// SI units; time factor e^{+jωt}; RMS values but for excursions and what is
// called peak. A positive voltage moves the cones outwards. Names of fields in
// errors are those of the bench file.
package thielesmall
