// Package safety judges whether a setup is safe for its amplifier and its
// parts.
//
// The rules are functions in the list below; each gives findings that name
// the rule, what was found and where the rule comes from. A verdict is about
// the numbers that were given: the maker's ratings, local codes and a
// qualified technician come before it. See [Cautions].
package safety

import (
	"fmt"
	"strings"

	"loadscape/network/chain"
)

// A Verdict is how grave a finding is.
type Verdict int

// The verdicts, in order of gravity.
const (
	OK Verdict = iota
	Caution
	Danger
)

// String returns "ok", "caution" or "danger".
func (v Verdict) String() string {
	switch v {
	case OK:
		return "ok"
	case Caution:
		return "caution"
	case Danger:
		return "danger"
	}
	return fmt.Sprintf("Verdict(%d)", int(v))
}

// A Finding is what a rule has to say.
type Finding struct {
	Verdict Verdict
	Rule    string // short name of the rule
	Says    string // what was found, in plain words
	Source  string // where the rule comes from
}

// A Report is all that the rules say of a setup.
type Report struct {
	Setup    string
	Verdict  Verdict // the gravest of the findings
	Findings []Finding
	Parts    []PartLoad
}

// The audible range in hertz, over which every rule looks (IEC 60268-5).
const (
	Lowest  = 20
	Highest = 20e3
)

// Overdrive is how much of its rated sine power an amplifier can deliver when
// it is driven far into clipping: a square wave has twice the power of the
// sine with the same peak.
const Overdrive = 2

const commonPractice = "common practice, no source"

// Cautions are repeated with every result about safety.
const Cautions = `Valve amplifiers hold lethal voltages, also after they are switched off and unplugged.
Never run a valve amplifier without a load. Loads run hot: give them air and keep them off what burns.
Loud sound harms hearing. The maker's ratings, local codes and a qualified technician come before this program.`

// A rule looks at one link of a setup.
type rule func(*subject) []Finding

var rules = []rule{
	match,
	openAndShort,
	lowestImpedance,
	phaseAngle,
	negative,
	cleanPower,
	gainOfSecond,
	powerOfParts,
	currentAndVoltageOfParts,
	unratedParts,
	powerOfCables,
}

// Check applies every rule to every link of a setup. The result should cover
// the range from [Lowest] to [Highest]; a finding says so if it does not.
func Check(r *chain.Result) *Report {
	rep := &Report{Setup: r.Setup.Name}
	for i := range r.Links {
		s := newSubject(r, i)
		if len(s.hz) == 0 {
			rep.add(Finding{Caution, "range", "no frequency of the sweep lies between 20 Hz and 20 kHz: nothing could be judged", commonPractice})
			continue
		}
		for _, rule := range rules {
			for _, f := range rule(s) {
				f.Says = s.prefix + f.Says
				rep.add(f)
			}
		}
		rep.addRange(s)
		for _, p := range s.parts {
			p.Name = s.prefix + p.Name
			rep.Parts = append(rep.Parts, p)
		}
	}
	for _, w := range r.Warnings {
		rep.add(Finding{Caution, "numerical condition", strings.TrimPrefix(w, "network: "), "estimate of the solver"})
	}
	return rep
}

// VerdictOf returns the gravest verdict of one rule.
func (r *Report) VerdictOf(rule string) Verdict {
	v := OK
	for _, f := range r.Findings {
		if f.Rule == rule {
			v = max(v, f.Verdict)
		}
	}
	return v
}

func (r *Report) add(f Finding) {
	r.Findings = append(r.Findings, f)
	r.Verdict = max(r.Verdict, f.Verdict)
}

// addRange says so if the sweep leaves part of the audible range out.
func (r *Report) addRange(s *subject) {
	const slack = 1.03 // a sweep that ends within half a semitone covers the range
	from, to := s.hz[0], s.hz[len(s.hz)-1]
	if from > Lowest*slack || to < Highest/slack {
		r.add(Finding{Caution, "range", fmt.Sprintf("the sweep covers only %s to %s of the audible range", hertz(from), hertz(to)), "IEC 60268-5 looks at 20 Hz to 20 kHz"})
	}
}
