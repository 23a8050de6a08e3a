package safety

import (
	"fmt"
	"math"
	"math/cmplx"

	"loadscape/network"
	"loadscape/network/stage"
)

// RuleMatch is the rule that holds the load's rated impedance to the tap's.
const RuleMatch = "match to the tap"

// RuleOpen is the rule that looks for opens and shorts.
const RuleOpen = "open or short"

// Match returns the verdict on a load whose lowest magnitude is low ohms on a
// tap rated at tap ohms. A load may fall to 80 % of its rated impedance (IEC
// 60268-5); a valve stage tolerates a factor of two either way with caution
// (common practice, no source), a solid-state one anything above its minimum.
func Match(kind stage.Kind, low, tap float64) Verdict {
	const rounding, share, close = 1e-9, 0.8, 1.3
	ratio := low / tap
	switch {
	case kind == stage.SolidState && ratio < share*(1-rounding):
		return Danger
	case kind == stage.SolidState:
		return OK
	case ratio < share/2*(1-rounding) || ratio > 2*(1+rounding):
		return Danger
	case ratio < share*(1-rounding) || ratio > close:
		return Caution
	}
	return OK
}

// matchStated returns the verdict on what the load is said to be.
func matchStated(kind stage.Kind, stated, tap float64) Verdict {
	if stated >= tap {
		return Match(kind, stated, tap)
	}
	return Match(kind, 0.8*stated, tap)
}

// match judges what the stage sees and, if nothing but cable lies between, what
// the load is said to be: the worse of both.
func match(s *subject) []Finding {
	kind, tap := s.out.Kind(), s.out.Tap()
	v := Match(kind, s.lowest.value, tap)
	says := fmt.Sprintf("the stage sees %.3g ohm at the lowest, at %s, on its %.3g ohm tap", s.lowest.value, hertz(s.lowest.hz), tap)
	if n, ok := s.load.(network.Named); ok && s.direct && n.RatedImpedance > 0 {
		v = max(v, matchStated(kind, n.RatedImpedance, tap))
		says += fmt.Sprintf("; %s is rated %.3g ohm", n.Name, n.RatedImpedance)
	}
	if n2, known := s.out.ImpedanceRatio(); known {
		says += fmt.Sprintf("; reflected to the primary that is %.3g kohm", s.lowest.value*n2/1000)
	}
	switch {
	case v == OK:
		says += ": they match"
	case kind == stage.SolidState:
		says += ": under what it is rated for, it may overheat or shut down"
	case v == Caution:
		says += ": within a factor of two, which many designs tolerate; ask the maker"
	default:
		says += ": more than a factor of two apart"
	}
	return []Finding{{v, RuleMatch, says, commonPractice + "; IEC 60268-5 for the 80 % that a load may fall to"}}
}

// Magnitudes against the tap beyond which a load counts as open, high or
// shorted, and how wide a band must be to count.
const (
	openRatio, openOctaves = 20, 1.0 / 3
	highRatio, highOctaves = 8, 1.0
	shortRatio             = 0.1
)

func openAndShort(s *subject) []Finding {
	tap := s.out.Tap()
	var found []Finding
	if s.lowest.value < shortRatio*tap {
		found = append(found, Finding{Danger, RuleOpen, fmt.Sprintf("nearly a short: %.3g ohm at %s", s.lowest.value, hertz(s.lowest.hz)), commonPractice})
	}
	if s.out.Kind() == stage.Valve {
		found = append(found, s.open(tap)...)
	}
	if found == nil {
		found = []Finding{{OK, RuleOpen, fmt.Sprintf("neither between 20 Hz and 20 kHz: %.3g ohm at %s to %.3g ohm at %s",
			s.lowest.value, hertz(s.lowest.hz), s.most.value, hertz(s.most.hz)), commonPractice}}
	}
	return found
}

// open judges where a valve stage is left without a load.
func (s *subject) open(tap float64) []Finding {
	above := func(ratio float64) func(complex128) bool {
		return func(z complex128) bool { return cmplx.Abs(z) > ratio*tap }
	}
	if octaves, from, to := s.widest(above(openRatio)); octaves >= openOctaves {
		return []Finding{{Danger, RuleOpen, fmt.Sprintf("nearly open, above %.3g ohm, from %s to %s: a valve stage must not run without a load",
			openRatio*tap, hertz(from), hertz(to)), commonPractice}}
	}
	if octaves, from, to := s.widest(above(highRatio)); octaves >= highOctaves {
		return []Finding{{Caution, RuleOpen, fmt.Sprintf("high, above %.3g ohm, from %s to %s: the valves have little to work into there",
			highRatio*tap, hertz(from), hertz(to)), commonPractice}}
	}
	if s.most.value > openRatio*tap {
		return []Finding{{Caution, RuleOpen, fmt.Sprintf("nearly open at one frequency: %.3g ohm at %s", s.most.value, hertz(s.most.hz)), commonPractice}}
	}
	return nil
}

// negative warns of a load that would give power: a measured one that cannot
// be right.
func negative(s *subject) []Finding {
	for k, z := range s.seen {
		if real(z) < 0 {
			return []Finding{{Caution, "negative resistance", fmt.Sprintf("the load has a negative resistance at %s, which nothing passive has: what is said of it may be wrong", hertz(s.hz[k])), "passivity"}}
		}
	}
	return nil
}

// lowestImpedance holds every load that states a rated impedance to it.
func lowestImpedance(s *subject) []Finding {
	const share = 0.8
	var found []Finding
	look := func(p network.OnePort) {
		n, ok := p.(network.Named)
		if !ok || n.RatedImpedance == 0 {
			return
		}
		z, err := network.Impedance(n, s.hz)
		if z == nil {
			found = append(found, Finding{Caution, "lowest impedance", fmt.Sprintf("%s: %v", n.Name, err), "IEC 60268-5"})
			return
		}
		low := extreme{value: math.Inf(1)}
		for k := range z {
			if a := cmplx.Abs(z[k]); a < low.value {
				low = extreme{a, s.hz[k]}
			}
		}
		f := Finding{OK, "lowest impedance", fmt.Sprintf("%s, rated %.3g ohm, falls to %.3g ohm at %s", n.Name, n.RatedImpedance, low.value, hertz(low.hz)), "IEC 60268-5: not under 80 % of the rated impedance"}
		if low.value > 1.5*n.RatedImpedance {
			f.Verdict = Caution
			f.Says += ": far above it, the rating is not true"
		}
		if low.value < share*n.RatedImpedance*(1-1e-9) {
			f.Verdict = Caution
			f.Says += fmt.Sprintf(": under %.3g ohm, it is rated too high", share*n.RatedImpedance)
		}
		found = append(found, f)
	}
	network.Walk(s.load, look)
	network.WalkTwoPort(s.path, look)
	return found
}

// phaseAngle warns of a load that is reactive where it is also low: current
// then flows while the devices bear the full voltage.
func phaseAngle(s *subject) []Finding {
	const limit, low = 60.0, 1.5
	worst := extreme{}
	for k, z := range s.seen {
		if a := math.Abs(cmplx.Phase(z)) * 180 / math.Pi; a > worst.value && cmplx.Abs(z) < low*s.out.Tap() {
			worst = extreme{a, s.hz[k]}
		}
	}
	f := Finding{OK, "phase", fmt.Sprintf("the phase stays within %.0f degrees where the load is below %.3g ohm", math.Ceil(worst.value), low*s.out.Tap()), commonPractice}
	if worst.value == 0 {
		f.Says = fmt.Sprintf("no reactance to speak of where the load is below %.3g ohm", low*s.out.Tap())
	}
	if worst.value > limit {
		f.Verdict = Caution
		f.Says = fmt.Sprintf("the phase reaches %.0f degrees at %s where the load is low: the output devices run hotter", worst.value, hertz(worst.hz))
	}
	return []Finding{f}
}

// cleanPower tells where the stage has least clean power to give.
func cleanPower(s *subject) []Finding {
	const from, to = 60, 10e3
	least := extreme{value: math.Inf(1)}
	for k, z := range s.seen {
		if f := s.hz[k]; f >= from && f <= to {
			if p, _ := s.out.LargestCleanPower(z); p < least.value {
				least = extreme{p, f}
			}
		}
	}
	if math.IsInf(least.value, 1) || Match(s.out.Kind(), s.lowest.value, s.out.Tap()) == Danger {
		return nil // beside a load that does not fit, the number would mislead
	}
	return []Finding{{OK, "clean power", fmt.Sprintf("of its rated %.3g W the stage can bring %.3g W cleanly into this load at %s, its worst between 60 Hz and 10 kHz",
		s.out.RatedPower(), least.value, hertz(least.hz)), "load-line argument of the radio engineers' handbooks (Terman)"}}
}
