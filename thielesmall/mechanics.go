package thielesmall

import "math"

// Mechanics are the mechanical parameters of a driver.
type Mechanics struct {
	Mms float64 // kg, moving mass with its air load
	Cms float64 // m/N
	Rms float64 // N·s/m
	Bl  float64 // N/A
}

// Mechanics returns what follows from the driver's parameters (Small, J. Audio
// Eng. Soc. 20 (1972) 383). Vas is turned into Cms with the default air, near
// which data sheets are given. Without Vas and Sd the scale is arbitrary, with
// a force factor of 1 N/A, and only ratios mean something: see
// [Driver.Absolute].
func (d Driver) Mechanics() Mechanics {
	ws := d.omega()
	if !d.Absolute() {
		mms := d.Qes / (ws * d.Re)
		return Mechanics{Mms: mms, Cms: 1 / (ws * ws * mms), Rms: ws * mms / d.Qms, Bl: 1}
	}
	cms := Air{}.Compliance(d.Vas) / (d.Sd * d.Sd)
	mms := 1 / (ws * ws * cms)
	return Mechanics{Mms: mms, Cms: cms, Rms: ws * mms / d.Qms, Bl: math.Sqrt(ws * mms * d.Re / d.Qes)}
}

// Equivalent is the electrical image of a driver's mechanics: a parallel
// resonant circuit in series with the blocked impedance (Small 1972).
type Equivalent struct {
	Res  float64 // ohm
	Cmes float64 // F
	Lces float64 // H
}

// Equivalent returns the electrical image of the mechanics.
func (d Driver) Equivalent() Equivalent {
	ws := d.omega()
	return Equivalent{Res: d.Re * d.Qms / d.Qes, Cmes: d.Qes / (ws * d.Re), Lces: d.Re / (ws * d.Qes)}
}

// Efficiency returns the reference efficiency η0 = 4π²·fs³·Vas/(c³·Qes): the
// share of the power into Re that is radiated into half space well above
// resonance (Small 1972). It is zero if Vas is not known.
func (d Driver) Efficiency() float64 {
	c := Air{}.SoundSpeed()
	return 4 * math.Pi * math.Pi * math.Pow(d.Fs/c, 3) * d.Vas / d.Qes
}

// referencePressure is a sound pressure level of 0 dB, in pascals.
const referencePressure = 20e-6

// Sensitivity returns the level in dB at 1 m in half space that the reference
// efficiency gives for 1 W into the rated impedance, into Re if none is stated.
// It is −Inf if Vas is not known.
func (d Driver) Sensitivity() float64 {
	air := Air{}
	watts := 1.0
	if d.RatedImpedance != 0 {
		watts = d.RatedImpedance / d.Re
	}
	squared := watts * d.Efficiency() * air.Density() * air.SoundSpeed() / (2 * math.Pi)
	return 10 * math.Log10(squared/(referencePressure*referencePressure))
}
