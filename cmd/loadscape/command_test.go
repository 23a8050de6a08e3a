package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loadscape/network/safety"
)

// smallBench has a sound setup and one that is a danger: a valve stage whose
// 4 ohm tap sees 32 ohm.
const smallBench = `title: Small
sweep: {from: 20 Hz, to: 20 kHz, per_octave: 6}
amplifiers: {head: {stage: valve, rated_power: 20 W, taps: [4 ohm, 8 ohm], tap: 8 ohm, damping_factor: 1}}
loads:
  plain: {resistor: 8 ohm, power_rating: 100 W}
  high: {resistor: 32 ohm, power_rating: 100 W}
setups:
  sound: {amplifier: head, load: plain}
  wrong: {amplifier: head, tap: 4 ohm, load: high}
reference: sound
`

func TestExitCodes(t *testing.T) {
	none := filepath.Join(t.TempDir(), "none.yaml")
	for _, x := range []struct {
		code  int
		stdin string
		args  string
	}{
		{exitOK, "", ""},
		{exitOK, "", "--help"},
		{exitOK, "", "version"},
		{exitOK, "", "new"},
		{exitOK, "", "completion bash"},
		{exitOK, smallBench, "compare -"},
		{exitOK, smallBench, "curve -"},
		{exitOK, smallBench, "check - sound"},
		{exitDanger, smallBench, "check -"},
		{exitDanger, smallBench, "check - wrong --format json"},
		{exitDanger, smallBench, "check - wrong --format csv"},
		{exitUsage, "titel: x\n", "compare -"},
		{exitUsage, "", "compare -"},
		{exitUsage, "", "compare"},
		{exitUsage, "", "version extra"},
		{exitUsage, "", "comapre x.yaml"},
		{exitUsage, smallBench, "compare - --formt csv"},
		{exitUsage, smallBench, "compare - --format xml"},
		{exitUsage, smallBench, "compare - --figure x.gif"},
		{exitUsage, smallBench, "compare - --figure-type nonesuch"},
		{exitUsage, smallBench, "compare - --reference nonesuch"},
		{exitUsage, smallBench, "compare - nonesuch"},
		{exitUsage, smallBench, "check - nonesuch"},
		{exitUsage, smallBench, "curve - nonesuch"},
		{exitUsage, smallBench, "curve - --from 20k"},
		{exitUsage, smallBench, "curve - --from 2kHz --to 1kHz"},
		{exitUsage, smallBench, "curve - --per-octave -1"},
		{exitUsage, smallBench, "curve - --per-octave many"},
		{exitUsage, "loads: {a: {resistor: 8 ohm}}\n", "compare -"},
		{exitFile, "", "compare " + none},
		{exitFile, "", "check " + t.TempDir()},
		{exitFile, smallBench, "curve - -o " + filepath.Join(none, "x.csv")},
		{exitFile, smallBench, "curve - --figure " + filepath.Join(none, "x.svg")},
		{exitFile, "", "new " + filepath.Join(none, "x.yaml")},
	} {
		a := ask(x.stdin, strings.Fields(x.args)...)
		if a.code != x.code {
			t.Errorf("%s: exit code %d, want %d\n%s", x.args, a.code, x.code, a.stderr)
		}
		refused := x.code == exitUsage || x.code == exitFile
		if refused && (a.stdout != "" || a.stderr == "") {
			t.Errorf("%s: refused, with %q on standard output and %q on standard error", x.args, a.stdout, a.stderr)
		}
		if !refused && (a.stdout == "" || a.stderr != "" && a.stderr != safety.Cautions+"\n") {
			t.Errorf("%s: answered, with %q on standard output and %q on standard error", x.args, a.stdout, a.stderr)
		}
		if strings.Contains(a.stderr, "internal error") {
			t.Errorf("%s: %s", x.args, a.stderr)
		}
	}
}

// Notes on what is doubtful go to standard error: a script reads the answer.
func TestNotesAreNotAnswers(t *testing.T) {
	const vented = "drivers: {d: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, vas: 50 L, sd: 500 cm2}}\n" +
		"cabinets: {k: {driver: d, enclosure: {vented: {volume: 50 L, tuning: 60 Hz}}}}\n"
	a := ask(vented, "curve", "-", "--format", "csv")
	a.wants(t, exitOK, "note: cabinet k: vented: leakage_q is not given: 7 is taken")
	if strings.Contains(a.stdout, "note") || !strings.HasPrefix(a.stdout, "name,frequency_hz,") {
		t.Errorf("answer:\n%.200s", a.stdout)
	}
}

func TestRefusals(t *testing.T) {
	for args, want := range map[string]string{
		"compare - sond":                 `no setup on the bench is called "sond": expected one of sound, wrong (did you mean "sound"?)`,
		"compare - --reference wron":     `--reference: no setup on the bench is called "wron": expected one of sound, wrong (did you mean "wrong"?)`,
		"curve - plian":                  `nothing on the bench is called "plian": expected one of plain, high, sound, wrong (did you mean "plain"?)`,
		"curve - --format xml":           "--format xml: expected table, csv or json",
		"curve - --figure-type x":        "--figure-type x: expected impedance or reactance",
		"curve - --figure x.gif":         "expected .svg, .png or .pdf",
		"curve - --from 20W":             `--from: found "20W", a power; expected a frequency such as 82 Hz or 2.5 kHz`,
		"compare - --to low":             `--to: found "low", which does not begin with a number; expected a frequency such as 82 Hz or 2.5 kHz`,
		"check - --figure x.svg":         "the power in the parts is drawn for one setup: name one of sound, wrong",
		"compare - sound --figure x.svg": "nothing to draw: expected a setup other than the reference sound",
	} {
		ask(smallBench, strings.Fields(args)...).wants(t, exitUsage, want)
	}
}

// Mistakes in a bench name it as it was named.
func TestMistakesNameTheFile(t *testing.T) {
	ask("titel: x\n", "curve", "-").wants(t, exitUsage, `standard input:1:1: titel: found the unknown key "titel"; `, `(did you mean "title"?)`)
	file := inFile(t, "b.yaml", "loads:\n  a: {resistor: 8}\n  b: {inductor: 1}\n")
	ask("", "curve", file).wants(t, exitUsage, file+":2:17: loads.a.resistor: ", "\n"+file+":3:17: loads.b.inductor: ")
}

// The help of every command tells what it is for and names every flag, with
// its default where there is one.
func TestHelp(t *testing.T) {
	for _, c := range newRoot().Commands() {
		a := ask("", c.Name(), "--help")
		a.wants(t, exitOK, "Usage:\n  loadscape "+c.Name())
		if c.Short == "" {
			t.Errorf("%s has no short help", c.Name())
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" {
				t.Errorf("%s --%s has no help", c.Name(), f.Name)
			}
			a.wants(t, exitOK, "--"+f.Name)
		})
		ask("", "help", c.Name()).wants(t, exitOK, a.stdout)
		ask("", "--help").wants(t, exitOK, "  "+c.Name()+" ", c.Short)
	}
}

// Every example of the help is a command that there is, with flags that there
// are.
func TestHelpExamples(t *testing.T) {
	root := newRoot()
	for _, c := range root.Commands() {
		for line := range strings.Lines(c.Example) {
			words := strings.Fields(line)
			if len(words) < 2 || words[0] != "loadscape" {
				t.Errorf("%s: example %q", c.Name(), line)
				continue
			}
			found, rest, err := root.Find(words[1:])
			if err != nil || found.Name() != c.Name() {
				t.Errorf("%s: example %q runs %v, %v", c.Name(), line, found, err)
			} else if err := found.ParseFlags(rest); err != nil && !errors.Is(err, pflag.ErrHelp) {
				t.Errorf("%s: example %q: %v", c.Name(), line, err)
			}
		}
	}
}

func TestCompletion(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		ask("", "completion", shell).wants(t, exitOK, "loadscape")
	}
	a := ask("", cobra.ShellCompRequestCmd, "c")
	for _, command := range []string{"check", "compare", "curve"} {
		if !strings.Contains(a.stdout, command+"\t") {
			t.Errorf("no %s among the completions\n%s", command, a.stdout)
		}
	}
}

func TestVersion(t *testing.T) {
	a := ask("", "version")
	a.wants(t, exitOK)
	if words := strings.Fields(a.stdout); len(words) < 3 || words[0] != "loadscape" || words[1] != release || !strings.HasPrefix(words[len(words)-1], "go") {
		t.Errorf("%q", a.stdout)
	}
}

// What "new" writes loads, compares, is safe but for what it says, and is
// never written over what is there.
func TestNew(t *testing.T) {
	file := filepath.Join(t.TempDir(), "bench.yaml")
	a := ask("", "new", file)
	a.wants(t, exitOK, "loadscape compare "+file)
	if a.stdout != "" {
		t.Errorf("on standard output: %q", a.stdout)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if printed := ask("", "new"); printed.stdout != string(text) {
		t.Error("what is printed is not what is written")
	}
	for _, command := range []string{"compare", "curve"} {
		ask("", command, file).wants(t, exitOK)
	}
	if err := os.WriteFile(file, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	ask("", "new", file).wants(t, exitUsage, file+" is there already", "--force")
	if kept, _ := os.ReadFile(file); string(kept) != "mine" {
		t.Errorf("a file that was there is now %q", kept)
	}
	ask("", "new", file, "--force").wants(t, exitOK)
	if forced, _ := os.ReadFile(file); string(forced) != string(text) {
		t.Errorf("by force: %.60q", forced)
	}
}
