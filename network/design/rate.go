package design

import (
	"math"
	"math/cmplx"
	"slices"

	"loadscape/network"
	"loadscape/network/coil"
	"loadscape/network/safety"
)

// A Part is a part of a load and what it must bear.
type Part struct {
	Name       string
	Kind       Kind
	Value      float64    // ohm, H or F
	DCR        float64    // ohm, of an inductor's winding
	Coil       *coil.Coil // of an inductor
	Rated      Use        // by the worst sine at the amplifier's rated drive
	Overdriven Use        // the same with the amplifier driven far into clipping
	Noise      Use        // by pink noise as strong as the rated sine
	Suggested  network.Rating
	Rule       string // by which that is suggested
}

// A Use is what a part bears. Of sines each quantity is that at the frequency
// where it is largest.
type Use struct {
	Power       float64 // W
	Current     float64 // A, RMS
	Voltage     float64 // V, RMS
	PeakCurrent float64 // A
	PeakVoltage float64 // V
	PowerHz     float64 // where the power is largest; 0 for noise
}

// Heat is the power in watts that the whole load turns into heat.
type Heat struct{ Rated, Overdriven, Noise float64 }

// Peaks over RMS. That of noise is the 6 dB of the shaped noise of IEC
// 60268-5 (from memory: 1.8 to 2.2).
const (
	sineCrest  = math.Sqrt2
	noiseCrest = 2
)

// mostDensity is the current density in A/m² above which a coil of many layers
// needs thicker wire: common practice, no source.
const mostDensity = 4e6

// Margins of suggested ratings: common practice, no source.
const (
	resistorMargin  = 2 // half the rating in free air
	inductorMargin  = 1.25
	capacitorMargin = 1.25
)

const (
	resistorRule  = "twice the overdriven power, since a resistor is used at half its free-air rating; next size up (common practice, no source)"
	inductorRule  = "1.25 times the overdriven RMS current (common practice, no source)"
	capacitorRule = "1.25 times the overdriven peak voltage, not polarised, next size up; its ripple rating must bear the current (common practice, no source)"
)

// Sizes in which resistors and capacitors are sold: common practice.
var (
	watts = []float64{0.5, 1, 2, 5, 10, 25, 50, 100, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 2500, 3000, 4000, 5000}
	volts = []float64{25, 35, 50, 63, 100, 160, 200, 250, 400, 630, 1000, 1600, 2000}
)

// nextSize returns the smallest size not below v, v itself if none is so large.
func nextSize(sizes []float64, v float64) float64 {
	if i := slices.IndexFunc(sizes, func(s float64) bool { return s >= v }); i >= 0 {
		return sizes[i]
	}
	return v
}

// rate sets what the parts bear over the audible range and suggests ratings.
func (r *Result) rate(t *Target, o Options) error {
	hz, err := network.Sweep{From: safety.Lowest, To: safety.Highest, PerOctave: perOctave}.Frequencies()
	if err != nil {
		return err
	}
	c := network.NewCircuit()
	in := c.Node("in")
	r.Design.OnePort().Lay(c, "load", in, network.Ground)
	plan, err := c.Compile(in, network.Ground)
	if err != nil {
		return err
	}
	sol, err := plan.NewSolver().Solve(hz)
	if sol == nil {
		return err
	}
	amps := make([]float64, len(hz))
	for i, z := range sol.Impedance() {
		w := 2 * math.Pi * hz[i]
		amps[i] = cmplx.Abs(t.Output.EMF(w) / (z + t.Output.Impedance(w)))
	}
	total := make([]float64, len(hz))
	for i := range r.Parts {
		id := network.PartID(i)
		b := burden{hz, amps, sol.PartPower(id), sol.PartCurrent(id), sol.PartVoltage(id)}
		r.Parts[i].bear(b)
		for k, watt := range b.power {
			total[k] += watt * amps[k] * amps[k]
		}
	}
	r.Heat.Rated = slices.Max(total)
	r.Heat.Overdriven = safety.Overdrive * r.Heat.Rated
	r.Heat.Noise = mean(total)
	return nil
}

// burden is what a part bears for one ampere into the load, and the current
// that flows.
type burden struct {
	hz, amps                []float64
	power, current, voltage []float64
}

// bear sets what the part bears and suggests a rating.
func (p *Part) bear(b burden) {
	var power, current, voltage []float64 // at rated drive; the latter squared
	for k, a := range b.amps {
		if p.Kind == Capacitor {
			b.power[k] = 0 // but for rounding
		}
		power = append(power, b.power[k]*a*a)
		current = append(current, b.current[k]*b.current[k]*a*a)
		voltage = append(voltage, b.voltage[k]*b.voltage[k]*a*a)
		if power[k] > p.Rated.Power {
			p.Rated.Power, p.Rated.PowerHz = power[k], b.hz[k]
		}
	}
	p.Rated = use(p.Rated, slices.Max(current), slices.Max(voltage), sineCrest)
	p.Overdriven = use(Use{Power: safety.Overdrive * p.Rated.Power, PowerHz: p.Rated.PowerHz},
		safety.Overdrive*slices.Max(current), safety.Overdrive*slices.Max(voltage), sineCrest)
	p.Noise = use(Use{Power: mean(power)}, mean(current), mean(voltage), noiseCrest)
	switch p.Kind {
	case Resistor:
		p.Suggested = network.Rating{Power: nextSize(watts, resistorMargin*p.Overdriven.Power), FreeAir: true}
		p.Rule = resistorRule
	case Inductor:
		p.Suggested = network.Rating{Current: upTo2(inductorMargin * p.Overdriven.Current)}
		p.Rule = inductorRule
	case Capacitor:
		p.Suggested = network.Rating{Voltage: nextSize(volts, capacitorMargin*p.Overdriven.PeakVoltage)}
		p.Rule = capacitorRule
	}
}

// use completes u by the squares of current and voltage.
func use(u Use, current, voltage, crest float64) Use {
	u.Current, u.Voltage = math.Sqrt(current), math.Sqrt(voltage)
	u.PeakCurrent, u.PeakVoltage = crest*u.Current, crest*u.Voltage
	return u
}

// upTo2 returns x rounded up to two digits.
func upTo2(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/unit-1e-9) * unit
}

// mean returns the mean over log frequency, which evenly spaced points are
// counted for by the trapezoidal rule: the power of pink noise.
func mean(v []float64) float64 {
	sum := -(v[0] + v[len(v)-1]) / 2
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v)-1)
}
