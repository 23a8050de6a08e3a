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

// rated returns the impedance by which the load is judged against the tap and
// how it came about.
func (s *subject) rated() (ohm float64, how string) {
	if n, ok := s.load.(network.Named); ok && s.direct && n.RatedImpedance > 0 {
		return n.RatedImpedance, "as stated"
	}
	ohm = RatedImpedance(s.lowest.value)
	return ohm, fmt.Sprintf("by its lowest magnitude of %.3g ohm at %s", s.lowest.value, hertz(s.lowest.hz))
}

// Match returns the verdict on a load rated at ohm on a tap rated at tap.
func Match(kind stage.Kind, ohm, tap float64) Verdict {
	const rounding = 1e-9
	ratio := ohm / tap
	if kind == stage.SolidState {
		if ratio < 1-rounding {
			return Danger
		}
		return OK
	}
	switch off := math.Abs(math.Log2(ratio)); {
	case off <= 0.2: // within 15 %
		return OK
	case off <= 1+rounding:
		return Caution
	}
	return Danger
}

func matchOfValveStage(s *subject) []Finding {
	if s.out.Kind() != stage.Valve {
		return nil
	}
	ohm, how := s.rated()
	v := Match(stage.Valve, ohm, s.out.Tap())
	says := fmt.Sprintf("the load counts as %.3g ohm (%s) on the %.3g ohm tap", ohm, how, s.out.Tap())
	switch v {
	case OK:
		says += ": they match"
	case Caution:
		says += ": within a factor of two, which many designs tolerate; ask the maker"
	case Danger:
		says += ": more than a factor of two apart"
	}
	return []Finding{{v, RuleMatch, says, commonPractice}}
}

func matchOfSolidStateStage(s *subject) []Finding {
	if s.out.Kind() != stage.SolidState {
		return nil
	}
	ohm, how := s.rated()
	v := Match(stage.SolidState, ohm, s.out.Tap())
	says := fmt.Sprintf("the load counts as %.3g ohm (%s); the amplifier is rated for no less than %.3g ohm", ohm, how, s.out.Tap())
	if v == Danger {
		says += ": too low, it may overheat or shut down"
	}
	return []Finding{{v, RuleMatch, says, commonPractice}}
}

// Magnitudes against the tap beyond which a load counts as open or shorted,
// and how wide a band must be to count.
const (
	openRatio   = 20
	shortRatio  = 0.1
	openOctaves = 1.0 / 3
)

func openAndShort(s *subject) []Finding {
	const rule = "open or short"
	tap := s.out.Tap()
	var found []Finding
	if s.lowest.value < shortRatio*tap {
		found = append(found, Finding{Danger, rule, fmt.Sprintf("nearly a short: %.3g ohm at %s", s.lowest.value, hertz(s.lowest.hz)), commonPractice})
	}
	octaves, from, to := s.widest(func(z complex128) bool { return cmplx.Abs(z) > openRatio*tap })
	if octaves >= openOctaves {
		v, says := Danger, "a valve stage must not run without a load"
		if s.out.Kind() == stage.SolidState {
			v, says = OK, "no harm to a solid-state stage"
		}
		found = append(found, Finding{v, rule, fmt.Sprintf("nearly open, above %.3g ohm, from %s to %s: %s",
			openRatio*tap, hertz(from), hertz(to), says), commonPractice})
	}
	if found == nil {
		found = []Finding{{OK, rule, fmt.Sprintf("neither between 20 Hz and 20 kHz: %.3g ohm at %s to %.3g ohm at %s",
			s.lowest.value, hertz(s.lowest.hz), s.most.value, hertz(s.most.hz)), commonPractice}}
	}
	return found
}

// lowestImpedance holds every load that states a rated impedance to it.
func lowestImpedance(s *subject) []Finding {
	const share = 0.8
	var found []Finding
	network.Walk(s.load, func(p network.OnePort) {
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
		if low.value < share*n.RatedImpedance*(1-1e-9) {
			f.Verdict = Caution
			f.Says += fmt.Sprintf(": under %.3g ohm, it is rated too high", share*n.RatedImpedance)
		}
		found = append(found, f)
	})
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
	if math.IsInf(least.value, 1) {
		return nil
	}
	return []Finding{{OK, "clean power", fmt.Sprintf("of its rated %.3g W the stage can bring %.3g W cleanly into this load at %s, its worst between 60 Hz and 10 kHz",
		s.out.RatedPower(), least.value, hertz(least.hz)), "load-line argument of the radio engineers' handbooks (Terman)"}}
}
