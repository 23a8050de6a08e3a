package main

import (
	"cmp"
	"fmt"
	"strings"

	"loadscape/network/chain"
	"loadscape/network/safety"
)

// ranking is an order of setups and the reason for a setup's place in it.
type ranking struct {
	name    string
	compare func(a, b *compared) int
	why     func(c *compared) string
}

// rankings are what --rank takes, the default first.
var rankings = []ranking{
	{"transparency", byTransparency, whyTransparent},
	{"match", func(a, b *compared) int { return cmp.Or(cmp.Compare(a.match(), b.match()), byTransparency(a, b)) }, whyMatched},
	{"safety", func(a, b *compared) int {
		return cmp.Or(cmp.Compare(a.report.Verdict, b.report.Verdict), byTransparency(a, b))
	}, whySafe},
}

func byTransparency(a, b *compared) int { return cmp.Compare(a.tone.RMS, b.tone.RMS) }

func rankNames() []string {
	var names []string
	for _, r := range rankings {
		names = append(names, r.name)
	}
	return names
}

func rankingOf(name string) (ranking, error) {
	if name == "" {
		return rankings[0], nil
	}
	for _, r := range rankings {
		if r.name == name {
			return r, nil
		}
	}
	return ranking{}, fmt.Errorf("--rank %s: expected %s", name, strings.Join(rankNames(), ", "))
}

// writeRanking says in a line each why a setup stands where it does, if an
// order was asked for.
func writeRanking(t *table, all []*compared, ref *chain.Result, name string) {
	if name == "" {
		return
	}
	order, err := rankingOf(name)
	if err != nil {
		return
	}
	t.say("\nBy %s:", order.name)
	place := 0
	for _, c := range all {
		if c.Setup.Name != ref.Setup.Name {
			place++
			t.paragraph(fmt.Sprintf("  %d. ", place), c.Setup.Name+": "+order.why(c))
		}
	}
}

func whyTransparent(c *compared) string {
	return fmt.Sprintf("deviates by %.2f dB (RMS on the ERB-rate axis), most by %s at %s",
		c.tone.RMS, signed(c.tone.Largest), hertzText(c.tone.LargestHz))
}

func whyMatched(c *compared) string {
	for _, f := range c.report.Findings {
		if f.Rule == safety.RuleMatch && f.Verdict == c.match() {
			return f.Verdict.String() + ", " + f.Says
		}
	}
	return c.match().String()
}

func whySafe(c *compared) string {
	worst := gravest(c.report.Findings)
	if c.report.Verdict == safety.OK || len(worst) == 0 {
		return "ok, nothing to be cautious about in the numbers given"
	}
	return fmt.Sprintf("%s, %s: %s", worst[0].Verdict, worst[0].Rule, worst[0].Says)
}
