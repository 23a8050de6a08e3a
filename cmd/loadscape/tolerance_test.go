package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// spreadBench has a divider whose spread is plain, a load with a resonance,
// and a setup of each kind.
const spreadBench = `title: Spread
sweep: {from: 20 Hz, to: 20 kHz, per_octave: 6}
amplifiers: {head: {stage: valve, rated_power: 20 W, tap: 8 ohm, output_impedance: 8 ohm}}
attenuators: {arm: {circuit: {parts: [{resistor: 4 ohm, tolerance: 10 %, from: in, to: out}, {resistor: 100 ohm, from: out, to: common}]}}}
loads:
  exact: {resistor: 8 ohm}
  single: {resistor: 8 ohm, tolerance: 10 %}
  shaped:
    series:
      - {resistor: 6.2 ohm, tolerance: 5 %}
      - parallel: [{resistor: 27 ohm}, {inductor: 10 mH, dcr: 0.5 ohm, tolerance: 10 %}, {capacitor: 150 uF, tolerance: 20 %}]
setups:
  direct: {amplifier: head, load: shaped}
  padded: {amplifier: head, attenuator: arm, load: shaped}
reference: direct
`

type spreadAnswer struct {
	Name        string
	Builds      int
	Seed        uint64
	DeviationOf string  `json:"deviation_of"`
	Sigmas      float64 `json:"sigmas"`
	Within      *struct {
		Builds   int
		Share    float64
		Interval [2]float64 `json:"interval_95"`
	}
	Worst struct {
		Number  int
		Largest float64 `json:"largest_db"`
		RMS     float64 `json:"rms_db"`
		Parts   map[string]float64
	} `json:"worst_build"`
	Corner struct {
		Largest float64 `json:"largest_db"`
		RMS     float64 `json:"rms_db"`
		Parts   map[string]float64
	} `json:"worst_corner"`
	AllCorners bool `json:"all_corners"`
	Parts      []struct {
		Name      string
		Tolerance float64
		RMS       float64 `json:"rms_db"`
		Share     float64
	}
	Exact     []string               `json:"exact_parts"`
	Hz        []float64              `json:"frequency_hz"`
	Impedance struct{ P5 []float64 } `json:"impedance_ohm"`
}

func spreadOf(t *testing.T, args ...string) (r spreadAnswer) {
	t.Helper()
	a := ask(spreadBench, append([]string{"tolerance", "-", "--format", "json"}, args...)...)
	a.wants(t, exitOK)
	if err := json.Unmarshal([]byte(a.stdout), &r); err != nil {
		t.Fatalf("%v in %.300s", err, a.stdout)
	}
	return r
}

// A uniform resistor of 8 ohm and 10 % is within 0.5 dB in the share of its
// tolerance that 10^(±0.5/20) cuts out, and worst at 7.2 ohm.
func TestToleranceInNumbers(t *testing.T) {
	r := spreadOf(t, "single", "--limit", "0.5 dB", "--builds", "20000", "--seed", "9")
	share := (math.Pow(10, 0.5/20) - math.Pow(10, -0.5/20)) / 0.2
	if r.Within == nil || r.Within.Interval[0] > share || r.Within.Interval[1] < share || r.Within.Builds != int(math.Round(20000*r.Within.Share)) {
		t.Errorf("within: %+v, want %g", r.Within, share)
	}
	if math.Abs(r.Corner.Largest-20*math.Log10(0.9)) > 1e-9 || r.Corner.Parts["single"] != 0.9 || !r.AllCorners {
		t.Errorf("worst corner: %+v", r.Corner)
	}
	if r.Builds != 20000 || r.Seed != 9 || r.DeviationOf != "impedance" || r.Worst.Number < 1 || r.Worst.Number > 20000 {
		t.Errorf("%+v", r)
	}
	for i := range r.Hz {
		// Four standard errors of a percentile, √(p(1−p)/n) over the density.
		if math.Abs(r.Impedance.P5[i]-8*0.91) > 4*1.6*math.Sqrt(0.05*0.95/20000)+0.005 {
			t.Errorf("5th percentile %g ohm at %g Hz, want 7.28", r.Impedance.P5[i], r.Hz[i])
		}
	}
}

func TestToleranceOfSetups(t *testing.T) {
	direct := spreadOf(t, "direct", "--builds", "500")
	if direct.DeviationOf != "tone" || len(direct.Parts) != 3 || direct.Within != nil || direct.Sigmas != 0 {
		t.Errorf("%+v", direct)
	}
	if want := []string{"shaped/parallel/resistor"}; fmt.Sprint(direct.Exact) != fmt.Sprint(want) {
		t.Errorf("exact parts %q, want %q", direct.Exact, want)
	}
	sum := 0.0
	for i, p := range direct.Parts {
		sum += p.Share
		if i > 0 && p.RMS > direct.Parts[i-1].RMS {
			t.Errorf("%s matters more than the one before it", p.Name)
		}
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("shares add to %g", sum)
	}
	padded := spreadOf(t, "padded", "--builds", "500", "--distribution", "normal", "--sigmas", "2", "--judge-by", "rms")
	if len(padded.Parts) != 4 || len(padded.Exact) != 2 || padded.Sigmas != 2 {
		t.Errorf("%+v", padded)
	}
	if padded.Worst.RMS > padded.Corner.RMS {
		t.Errorf("worst build %g dB RMS, worst corner %g", padded.Worst.RMS, padded.Corner.RMS)
	}
}

func TestToleranceSeeds(t *testing.T) {
	args := []string{"tolerance", "-", "direct", "--builds", "300"}
	first := ask(spreadBench, args...)
	if again := ask(spreadBench, args...); again.stdout != first.stdout {
		t.Error("the same seed gives another answer")
	}
	if one := ask(spreadBench, append(args, "--seed", "1")...); one.stdout != first.stdout {
		t.Error("the default seed is not 1")
	}
	if other := ask(spreadBench, append(args, "--seed", "2")...); other.stdout == first.stdout {
		t.Error("another seed gives the same answer")
	}
}

func TestToleranceTable(t *testing.T) {
	a := ask(spreadBench, "tolerance", "-", "padded", "--builds", "200", "--limit", "2 dB")
	a.wants(t, exitOK, "200 builds", "any value within its tolerance", "seed 1", "100 % of the builds (200) have a largest deviation within 2 dB",
		"Worst build, number", "Worst corner, of all corners", "Taken as exact, for want of a stated tolerance:", "shaped/parallel/resistor",
		"Never run a valve amplifier without a load")
	if a.stderr != "" || strings.Contains(a.stdout, "\r") {
		t.Errorf("not on a terminal, and yet %q", a.stderr)
	}
}

func TestToleranceCSV(t *testing.T) {
	a := ask(spreadBench, "tolerance", "-", "shaped", "--builds", "200", "--format", "csv")
	a.wants(t, exitOK)
	rows, err := csv.NewReader(strings.NewReader(a.stdout)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 61 || len(rows[0]) != 14 {
		t.Fatalf("%d rows of %d", len(rows), len(rows[0]))
	}
	for _, row := range rows[1:] {
		var x []float64
		for _, cell := range row[1:] {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			x = append(x, v)
		}
		for i := 3; i <= 6; i++ {
			if x[i] < x[i-1] || x[i+5] < x[i+4] {
				t.Errorf("percentiles do not rise in %v", row)
			}
		}
		if db := 20 * math.Log10(x[2]/x[1]); math.Abs(db-x[7]) > 1e-9 {
			t.Errorf("%v: 5th percentile is %g dB", row, db)
		}
	}
}

func TestToleranceFigures(t *testing.T) {
	for _, kind := range []string{"deviation", "impedance", "parts"} {
		for _, name := range []string{"direct", "single"} {
			file := filepath.Join(t.TempDir(), kind+".svg")
			ask(spreadBench, "tolerance", "-", name, "--builds", "50", "--limit", "1 dB", "--figure-type", kind, "--figure", file).wants(t, exitOK)
			if text := contents(t, file); !strings.HasSuffix(strings.TrimSpace(text), "</svg>") {
				t.Errorf("%s of %s is no whole figure", kind, name)
			}
		}
	}
}

func TestToleranceRefusals(t *testing.T) {
	for args, want := range map[string]string{
		"exact":                          "exact: tolerance: no part states a tolerance",
		"shapde":                         `nothing on the bench is called "shapde": expected one of exact, single, shaped, direct, padded (did you mean "shaped"?)`,
		"single --builds 0":              "--builds 0: expected 1 to 100000000",
		"single --builds -5":             "--builds -5: expected 1 to 100000000",
		"single --builds 200000000":      "200000000 builds: expected 1 to 100000000",
		"single --seed -1":               "--seed",
		"single --distribution gaussian": "--distribution gaussian: expected uniform or normal",
		"single --sigmas 0":              "--sigmas 0: expected 1 to 6",
		"single --judge-by peak":         "--judge-by peak: expected largest or rms",
		"single --limit 1ohm":            "--limit: found \"1ohm\"",
		"single --limit 0dB":             "--limit: found",
		"single --per-octave 600":        "expected at most 5000",
		"single --from 100Hz":            "not covered",
		"single --figure-type ear":       "expected deviation or impedance or parts",
	} {
		a := ask(spreadBench, append([]string{"tolerance", "-"}, strings.Fields(args)...)...)
		a.wants(t, exitUsage, want)
		if a.stdout != "" {
			t.Errorf("%s: answered %.100q", args, a.stdout)
		}
	}
}

// An interrupt leaves what was there as it was.
func TestToleranceInterrupted(t *testing.T) {
	dir := t.TempDir()
	figure, answer := filepath.Join(dir, "a.svg"), filepath.Join(dir, "b.csv")
	if err := os.WriteFile(answer, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(50*time.Millisecond, cancel)
	root := newRoot()
	var out, errs bytes.Buffer
	root.SetIn(strings.NewReader(spreadBench))
	root.SetOut(&out)
	root.SetErr(&errs)
	root.SetArgs([]string{"tolerance", "-", "direct", "--builds", "50000000", "--figure", figure, "-o", answer})
	err := root.ExecuteContext(ctx)
	if err == nil || err.Error() != "interrupted: nothing was written" || errors.Is(err, errDanger) {
		t.Errorf("error %v", err)
	}
	only(t, dir, "b.csv")
	if text := contents(t, answer); text != "mine" || out.Len()+errs.Len() > 0 {
		t.Errorf("%q is in the file, %q and %q were written", text, out.String(), errs.String())
	}
}

func TestProgressIsForTerminals(t *testing.T) {
	var out bytes.Buffer
	p := &progress{w: &out, total: 200}
	for done := range 201 {
		p.show(done)
	}
	p.clear()
	if text := out.String(); strings.Count(text, "\r") != 101 || !strings.Contains(text, " 50 % of 200 builds") || !strings.HasSuffix(text, "\r\x1b[K") {
		t.Errorf("%q", text)
	}
	file, err := os.Create(filepath.Join(t.TempDir(), "log"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	for _, w := range []interface{ Write([]byte) (int, error) }{&out, file} {
		if newProgress(w, 10).w != nil {
			t.Errorf("a bar for %T", w)
		}
	}
}
