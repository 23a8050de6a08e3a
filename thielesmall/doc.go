// Package thielesmall makes loudspeakers, alone and in cabinets, out of the
// parameters of Thiele and Small, as one-ports of package network.
//
// A [Driver] is laid as its voice coil, a gyrator of resistance Bl, and a
// mechanical branch of resistance Rms, mass Mms and compliance Cms, in which
// the voltage is force and the current velocity. In a [Cabinet] the branch
// ends in an ideal transformer of ratio Sd at the acoustic node behind the
// cone, where the [Enclosure] and every other cone meet it. So
//
//	Z = Zb + Bl²/(Zm + Sd²·Za)
//
// (Small, "Direct-Radiator Loudspeaker System Analysis", J. Audio Eng. Soc.
// 20 (1972)) is never evaluated: it is what the circuit does.
//
// The parameters hold for small signals and for wavelengths that are long
// against cone and box: the cone is a piston, and the air behind it a lumped
// compliance. SI units throughout.
package thielesmall
