package safety

import (
	"fmt"
	"math"
	"strings"

	"loadscape/network"
)

const ratingSource = "a square wave has twice the power of a sine of the same peak"

// powerOfParts holds every part's power against its rating, and sets the
// verdict of the part.
func powerOfParts(s *subject) []Finding {
	const rule = "power rating"
	var found []Finding
	for i := range s.parts {
		p := &s.parts[i]
		r := p.Rating.Power
		if r == 0 {
			continue
		}
		f := Finding{OK, rule, fmt.Sprintf("%s takes %.3g W at %s%s, %.3g W with the amplifier overdriven", p.Name, p.Power, hertz(p.PowerHz), s.turnedUp(), p.Overdriven), ratingSource}
		switch {
		case p.Overdriven > r:
			f.Verdict = Danger
			f.Says += fmt.Sprintf(": above its rating of %.3g W", r)
		case p.Rating.FreeAir && p.Overdriven > r/2:
			f.Verdict, f.Source = Caution, commonPractice
			f.Says += fmt.Sprintf(": above half its rating of %.3g W, which holds in free air; mount it on a heat sink or take a larger one", r)
		default:
			f.Says += fmt.Sprintf(": within its rating of %.3g W", r)
		}
		p.Verdict = max(p.Verdict, f.Verdict)
		found = append(found, f)
	}
	return found
}

// turnedUp reminds that a second amplifier is judged at its own rated drive.
func (s *subject) turnedUp() string {
	if s.first {
		return ""
	}
	return " if that amplifier is turned up to its rated power"
}

// unratedParts names the parts that state no rating by which they could be
// judged: they are never ok.
func unratedParts(s *subject) []Finding {
	missing := map[string][]string{}
	var order []string
	for i := range s.parts {
		p := &s.parts[i]
		what := p.Rating.Missing()
		if what == "" {
			continue
		}
		p.Verdict = max(p.Verdict, Caution)
		if missing[what] == nil {
			order = append(order, what)
		}
		missing[what] = append(missing[what], p.asked())
	}
	var found []Finding
	for _, what := range order {
		found = append(found, Finding{Caution, what, "unrated, so nothing can be said of them; state the " + what + " of " + strings.Join(missing[what], ", "), commonPractice})
	}
	return found
}

// asked says what an unrated part bears.
func (p PartLoad) asked() string {
	switch p.Rating.By {
	case network.ByCurrent:
		return fmt.Sprintf("%s (%.2g A)", p.Name, math.Sqrt(Overdrive)*p.Current)
	case network.ByVoltage:
		return fmt.Sprintf("%s (%.2g V peak)", p.Name, math.Sqrt2*math.Sqrt(Overdrive)*p.Voltage)
	}
	return fmt.Sprintf("%s (%.2g W)", p.Name, p.Overdriven)
}

// powerOfCables warns of a cable that takes a large share of the power: no
// rating is stated for it, but it should stay cold.
func powerOfCables(s *subject) []Finding {
	const share = 0.1
	var found []Finding
	for i := range s.parts {
		p := &s.parts[i]
		if p.Rating.By == network.Unrated && p.Power > share*s.out.RatedPower() {
			p.Verdict = Caution
			found = append(found, Finding{Caution, "cable", fmt.Sprintf("%s takes %.3g W at %s: use a shorter or thicker one", p.Name, p.Power, hertz(p.PowerHz)), commonPractice})
		}
	}
	return found
}

// gainOfSecond warns of a gain that a second amplifier cannot follow.
func gainOfSecond(s *subject) []Finding {
	const rounding = 1.01
	if s.first || s.gain <= rounding {
		return nil
	}
	return []Finding{{Caution, "gain", fmt.Sprintf("it is asked for %.1f dB more than its rated drive, which it cannot give", 20*math.Log10(s.gain)), "rated power of the amplifier"}}
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
