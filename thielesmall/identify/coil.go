package identify

import (
	"math"
	"math/cmplx"

	"loadscape/thielesmall"
)

// A coil is a voice-coil model as a block.
type coil interface {
	block
	// label is that of the model in package thielesmall, or "none".
	label() string
	// starts returns values to start from, made from a power law that follows
	// the curve roughly between two frequencies.
	starts(p powerLaw) []values
	// without returns the models that lack parts of this one.
	without() []coil
	// voiceCoil returns the model with values.
	voiceCoil(v values) thielesmall.VoiceCoil
}

// coilLabels are the models that can be asked for.
var coilLabels = []string{"none", "inductance", "ladder", "power_law", "split_power_law", "semi_inductance"}

// coils returns the models that the options leave.
func coils(opts Options) []coil {
	ladders := []coil{ladder{first: true, rungs: max(1, opts.Rungs)}}
	if opts.Rungs == 0 {
		ladders = append(ladders, ladder{first: true, rungs: 2})
	}
	all := append(ladders, noCoil{}, inductance{}, powerLawCoil{}, splitPowerLaw{}, semiInductance{leb: true, le: true, rss: true})
	var chosen []coil
	for _, c := range all {
		if opts.VoiceCoil == "" || opts.VoiceCoil == c.label() {
			chosen = append(chosen, c)
		}
	}
	return chosen
}

// A powerLaw is K·(jω)^n, found to hold roughly from w0 to w1 in rad/s.
type powerLaw struct{ k, n, w0, w1 float64 }

func (p powerLaw) magnitude(w float64) float64 { return p.k * math.Pow(w, p.n) }

// inductance returns the reactance at w over w.
func (p powerLaw) inductance(w float64) float64 {
	return p.magnitude(w) * math.Sin(p.n*math.Pi/2) / w
}

func (p powerLaw) middle() float64 { return math.Sqrt(p.w0 * p.w1) }

// between returns the frequency at a fraction of the way from w0 to w1.
func (p powerLaw) between(at float64) float64 { return p.w0 * math.Pow(p.w1/p.w0, at) }

// Bounds of an inductance, a resistance, and a factor of ω^n.
func henry(s scale, name string) parameter {
	return parameter{name: name, unit: "H", low: 1e-6 * s.z0 / s.w1, high: 100 * s.z1 / s.w0}
}

func ohm(s scale, name string) parameter {
	return parameter{name: name, unit: "ohm", low: 1e-4 * s.z0, high: 1e4 * s.z1}
}

func factor(s scale, name, unit string, least, most float64) parameter {
	return parameter{name: name, unit: unit, low: 1e-6 * s.z0 * math.Pow(s.w1, -most), high: 100 * s.z1 * math.Pow(s.w0, -least)}
}

// noCoil is no inductance at all.
type noCoil struct{}

func (noCoil) label() string                                      { return "none" }
func (noCoil) parameters(scale) []parameter                       { return nil }
func (noCoil) add([]float64, *grid, []complex128, [][]complex128) {}
func (noCoil) starts(powerLaw) []values                           { return []values{{}} }
func (noCoil) without() []coil                                    { return nil }
func (noCoil) voiceCoil(values) thielesmall.VoiceCoil             { return nil }

type inductance struct{}

func (inductance) label() string                  { return "inductance" }
func (inductance) parameters(s scale) []parameter { return []parameter{henry(s, "le")} }
func (inductance) without() []coil                { return nil }

func (inductance) starts(p powerLaw) []values {
	return []values{{"le": p.inductance(p.middle())}}
}

func (inductance) voiceCoil(v values) thielesmall.VoiceCoil {
	return thielesmall.Inductance{Le: v["le"]}
}

func (inductance) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	addInductance(v[0], g, z, dz)
}

// addInductance adds jωl to z and sets the first of dz.
func addInductance(l float64, g *grid, z []complex128, dz [][]complex128) {
	for i, w := range g.w {
		jwl := complex(0, w*l)
		z[i] += jwl
		if dz != nil {
			dz[0][i] = jwl
		}
	}
}

type powerLawCoil struct{}

func (powerLawCoil) label() string   { return "power_law" }
func (powerLawCoil) without() []coil { return nil }

func (powerLawCoil) parameters(s scale) []parameter {
	return []parameter{
		factor(s, "k", "ohm s^n", 0.5, 1),
		{name: "n", low: 0.5, high: 1, linear: true},
	}
}

func (powerLawCoil) starts(p powerLaw) []values { return []values{{"k": p.k, "n": p.n}} }

func (powerLawCoil) voiceCoil(v values) thielesmall.VoiceCoil {
	return thielesmall.PowerLaw{K: v["k"], N: v["n"]}
}

func (powerLawCoil) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	k, n := v[0], v[1]
	turn := cmplx.Rect(k, n*math.Pi/2)
	for i, lnw := range g.lnw {
		zl := turn * complex(math.Exp(n*lnw), 0)
		z[i] += zl
		if dz != nil {
			dz[0][i] = zl
			dz[1][i] = zl * complex(lnw, math.Pi/2)
		}
	}
}

type splitPowerLaw struct{}

func (splitPowerLaw) label() string   { return "split_power_law" }
func (splitPowerLaw) without() []coil { return nil }

func (splitPowerLaw) parameters(s scale) []parameter {
	return []parameter{
		factor(s, "kr", "ohm s^xr", 0, 2), {name: "xr", low: 0, high: 2, linear: true},
		factor(s, "ki", "ohm s^xi", 0, 2), {name: "xi", low: 0, high: 2, linear: true},
	}
}

func (splitPowerLaw) starts(p powerLaw) []values {
	sin, cos := math.Sincos(p.n * math.Pi / 2)
	return []values{{"kr": p.k * max(cos, 0.05), "xr": p.n, "ki": p.k * sin, "xi": p.n}}
}

func (splitPowerLaw) voiceCoil(v values) thielesmall.VoiceCoil {
	return thielesmall.SplitPowerLaw{Kr: v["kr"], Xr: v["xr"], Ki: v["ki"], Xi: v["xi"]}
}

func (splitPowerLaw) add(v []float64, g *grid, z []complex128, dz [][]complex128) {
	for i, lnw := range g.lnw {
		r := complex(v[0]*math.Exp(v[1]*lnw), 0)
		x := complex(0, v[2]*math.Exp(v[3]*lnw))
		z[i] += r + x
		if dz != nil {
			dz[0][i], dz[1][i] = r, r*complex(lnw, 0)
			dz[2][i], dz[3][i] = x, x*complex(lnw, 0)
		}
	}
}
