package thielesmall

import "math"

// Closed is a closed box (Small, J. Audio Eng. Soc. 20 (1972) 798).
type Closed struct {
	Volume      float64 // m³, net
	FillFactor  float64 // 1 to 1.4, by which filling enlarges the volume; 0: 1
	LeakageQ    float64 // Q of the leaks at the box's resonance; 0: no leaks
	AbsorptionQ float64 // Q of the absorption at the box's resonance; 0: none
}

var _ Enclosure = Closed{}

// Label returns "closed".
func (Closed) Label() string { return "closed" }

// Validate reports impossible values.
func (e Closed) Validate() error {
	var c checker
	c.chamber(e.Volume, e.FillFactor, e.LeakageQ, e.AbsorptionQ)
	return c.err(e.Label())
}

func (Closed) loads() bool { return true }

func (e Closed) lay(b *box) {
	volume := filled(e.Volume, e.FillFactor)
	b.layChamber(chamber{volume, e.LeakageQ, e.AbsorptionQ, 2 * math.Pi * b.resonance(volume)})
}

func (e Closed) check(m mounting) []Warning { return m.checkVolume(e.Label(), e.Volume) }

// resonance returns the frequency in hertz at which the cones, moving as one,
// resonate with their own compliance and that of the volume. The drivers are
// acoustic branches in parallel, so their 1/Mas and their Cas add:
//
//	ω0² = Σ(1/Mas)·(1/Cab + 1/ΣCas)
//
// which for equal drivers in the default air is fs·√(1 + Vas/V) with V the
// volume per driver (Small 1972).
func (m mounting) resonance(volume float64) float64 {
	var vas, stiff float64
	for _, d := range m.drivers {
		vas += d.Vas
		stiff += d.Vas * d.Fs * d.Fs
	}
	alpha := Air{}.Compliance(vas) / m.air.Compliance(volume)
	return math.Sqrt(stiff / vas * (1 + alpha))
}

// ClosedResonance returns the resonance fc in hertz of a driver in its share
// volume, in m³, of a lossless closed box, and its Q there, Qtc (Small 1972).
func (d Driver) ClosedResonance(volume float64) (fc, qtc float64) {
	rise := math.Sqrt(1 + d.Vas/volume)
	return d.Fs * rise, d.Qts() * rise
}

// filled returns the volume that filling by a factor makes of it, 0 being none.
func filled(volume, factor float64) float64 {
	if factor == 0 {
		return volume
	}
	return volume * factor
}
