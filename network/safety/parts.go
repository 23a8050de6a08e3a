package safety

import (
	"fmt"
	"math"
)

const ratingSource = "a square wave has twice the power of a sine of the same peak"

// powerOfParts holds every part's power against its rating, and sets the
// verdict of the part.
func powerOfParts(s *subject) []Finding {
	var found []Finding
	for i := range s.parts {
		if f, ok := powerOfPart(&s.parts[i], s.out.RatedPower()); ok {
			found = append(found, f)
		}
	}
	return found
}

func powerOfPart(p *PartLoad, rated float64) (Finding, bool) {
	const rule = "power rating"
	what := fmt.Sprintf("%s takes %.3g W at %s, %.3g W with the amplifier overdriven", p.Name, p.Power, hertz(p.PowerHz), p.Overdriven)
	var f Finding
	switch r := p.Rating.Power; {
	case r == 0 && (p.Rating.Exempt || p.Rating.Current > 0 || !p.dissipates(rated)):
		return f, false // a winding is rated by its current
	case r == 0:
		f = Finding{Caution, rule, what + ": unrated, state its power rating", commonPractice}
	case p.Overdriven > r:
		f = Finding{Danger, rule, what + fmt.Sprintf(": above its rating of %.3g W", r), ratingSource}
	case p.Rating.FreeAir && p.Overdriven > r/2:
		f = Finding{Caution, rule, what + fmt.Sprintf(": above half its rating of %.3g W, which holds in free air; mount it on a heat sink or take a larger one", r), commonPractice}
	default:
		f = Finding{OK, rule, what + fmt.Sprintf(": within its rating of %.3g W", r), ratingSource}
	}
	p.Verdict = max(p.Verdict, f.Verdict)
	return f, true
}

// currentAndVoltageOfParts holds inductors to their current and capacitors to
// their voltage rating. Overdriven, the RMS values rise by √2, and the peak of
// a voltage is √2 above that.
func currentAndVoltageOfParts(s *subject) []Finding {
	var found []Finding
	for i := range s.parts {
		p := &s.parts[i]
		amps, volts := math.Sqrt(Overdrive)*p.Current, math.Sqrt2*math.Sqrt(Overdrive)*p.Voltage
		if r := p.Rating.Current; r > 0 {
			found = append(found, limit(p, "current rating", fmt.Sprintf("%s carries up to %.3g A (RMS) at %s with the amplifier overdriven", p.Name, amps, hertz(p.CurrentHz)), amps, r, "A"))
		}
		if r := p.Rating.Voltage; r > 0 {
			found = append(found, limit(p, "voltage rating", fmt.Sprintf("%s bears up to %.3g V (peak) at %s with the amplifier overdriven", p.Name, volts, hertz(p.VoltageHz)), volts, r, "V"))
		}
	}
	return found
}

func limit(p *PartLoad, rule, what string, value, rating float64, unit string) Finding {
	f := Finding{OK, rule, what + fmt.Sprintf(": within its rating of %.3g %s", rating, unit), ratingSource}
	if value > rating {
		f.Verdict = Danger
		f.Says = what + fmt.Sprintf(": above its rating of %.3g %s", rating, unit)
	}
	p.Verdict = max(p.Verdict, f.Verdict)
	return f
}
