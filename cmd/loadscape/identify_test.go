package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
	"loadscape/network/measured"
	"loadscape/thielesmall"
)

// curveFile writes the impedance of a circuit as a table and returns its name.
func curveFile(t *testing.T, p network.OnePort) string {
	t.Helper()
	hz, err := network.Sweep{From: 10}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	z, err := network.Impedance(p, hz)
	if err != nil {
		t.Fatal(err)
	}
	var s strings.Builder
	if err := measured.WriteCSV(&s, &measured.Table{Hz: hz, Z: z}); err != nil {
		t.Fatal(err)
	}
	return inFile(t, "curve.csv", s.String())
}

// fragmentOff identifies a curve, loads the piece of a bench file that is
// written beside it, and returns by how much that is off the truth, and the
// piece itself.
func fragmentOff(t *testing.T, truth network.OnePort, args ...string) (float64, string) {
	t.Helper()
	table := curveFile(t, truth)
	file := filepath.Join(filepath.Dir(table), "piece.yaml")
	a := ask("", append([]string{"identify", table, "--name", "it", "-o", file}, args...)...)
	if a.code != 0 {
		t.Fatalf("exit code %d: %s", a.code, a.stderr)
	}
	b, err := bench.Open(file)
	text, _ := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	p, err := b.OnePort("it")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	hz, _ := network.Sweep{From: 10, PerOctave: 37}.Frequencies()
	got, err := network.Impedance(p, hz)
	if err != nil {
		t.Fatal(err)
	}
	want, err := network.Impedance(truth, hz)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for i := range hz {
		worst = max(worst, cmplx.Abs(got[i]/want[i]-1))
	}
	return worst, string(text)
}

// What is written for a bench loads, and computes the curve that it was
// identified from. The truth is the circuit of the driver.
func TestIdentifyFragment(t *testing.T) {
	d := thielesmall.Driver{Name: "it", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92}
	for _, coil := range []thielesmall.VoiceCoil{
		nil,
		thielesmall.Inductance{Le: 0.6e-3},
		thielesmall.Ladder{L1: 0.2e-3, Rungs: []thielesmall.Rung{{L: 0.9e-3, R: 7.5}}},
		thielesmall.PowerLaw{K: 0.03, N: 0.66},
		thielesmall.SplitPowerLaw{Kr: 0.002, Xr: 0.8, Ki: 0.006, Xi: 0.75},
		thielesmall.SemiInductance{Leb: 0.05e-3, Le: 0.8e-3, Ke: 0.04, Rss: 150},
	} {
		d.VoiceCoil = coil
		e, text := fragmentOff(t, d)
		// Six digits are written, of which those of fs count 2Q times.
		if e > 2e-5 || !strings.HasPrefix(text, "# identified from ") || !strings.Contains(text, "\ndrivers:\n  it:\n") {
			t.Errorf("%s: off by %.2g\n%s", coilLabel(coil), e, text)
		}
	}
	d.Suspension = thielesmall.Creep{Lambda: 0.1}
	if e, text := fragmentOff(t, d); e > 2e-5 || !strings.Contains(text, "suspension: {creep: ") {
		t.Errorf("creep: off by %.2g\n%s", e, text)
	}
}

// Several resonances make a load of parts where parts can do it.
func TestIdentifyLoad(t *testing.T) {
	resonator := func(ohms, henries, farads float64) network.OnePort {
		return network.Parallel{network.Resistor{Ohms: ohms}, network.Inductor{Henries: henries}, network.Capacitor{Farads: farads}}
	}
	two := network.Series{network.Resistor{Ohms: 6.2}, resonator(40, 30e-3, 400e-6), resonator(30, 4e-3, 200e-6)}
	for name, coil := range map[string]network.Series{
		"inductance": {network.Inductor{Henries: 0.5e-3}},
		"ladder":     {network.Inductor{Henries: 0.1e-3}, network.Parallel{network.Inductor{Henries: 1e-3}, network.Resistor{Ohms: 8}}},
		"power_law":  {network.Single{Kind: "power_law", Element: network.PowerLaw{K: 0.03, N: 0.66}}},
		"semi_inductance": {network.Inductor{Henries: 0.05e-3}, network.Parallel{
			network.Single{Kind: "power_law", Element: network.PowerLaw{K: 0.04, N: 0.5}}, network.Inductor{Henries: 0.8e-3}, network.Resistor{Ohms: 150}}},
	} {
		e, text := fragmentOff(t, append(append(network.Series{}, two...), coil...), "--voice-coil", name, "--rungs", "1", "--skew", "never", "--creep", "never")
		if e > 2e-5 || !strings.Contains(text, "\nloads:\n  it:\n    series:\n") {
			t.Errorf("%s: off by %.2g\n%s", name, e, text)
		}
	}
	// A vented cabinet's resonances are skewed: the curve itself is the load.
	vented := thielesmall.Cabinet{
		Name:      "it",
		Wiring:    thielesmall.Driver{Name: "d", Re: 6, Fs: 50, Qms: 7, Qes: 0.5, Vas: 0.1, Sd: 0.05, VoiceCoil: thielesmall.Inductance{Le: 0.5e-3}},
		Enclosure: thielesmall.Vented{Volume: 0.08, Tuning: 50},
	}
	if e, text := fragmentOff(t, vented); e > 0.01 || !strings.Contains(text, "measured: ") || !strings.Contains(text, "extend: model") {
		t.Errorf("vented: off by %.2g\n%s", e, text)
	}
}

// Names that YAML would take for something else, and hostile names of files.
func TestIdentifyNames(t *testing.T) {
	table, err := os.ReadFile(curveFile(t, recordedDriver))
	if err != nil {
		t.Fatal(err)
	}
	file := inFile(t, "a\n#b: c.csv", string(table))
	for _, name := range []string{"12", "yes", "a: b", "# x", "it's", "ü"} {
		a := ask("", "identify", file, "--name", name, "--format", "bench", "--voice-coil", "semi_inductance", "--creep", "never")
		b, err := bench.Read("piece", []byte(a.stdout))
		if err != nil {
			t.Errorf("%q: %v\n%s%s", name, err, a.stdout, a.stderr)
			continue
		}
		if _, err := b.OnePort(name); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// values returns those of a CSV answer by source and name.
func csvValues(t *testing.T, text string) map[string]float64 {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != "source,parameter,unit,value,standard_error" {
		t.Errorf("header %s", got)
	}
	values := map[string]float64{}
	for _, r := range rows[1:] {
		if values[r[0]+"/"+r[1]], err = strconv.ParseFloat(r[3], 64); err != nil {
			t.Error(err)
		}
	}
	return values
}

// bare is a driver without a voice coil whose mechanics are those of the
// worked examples below.
func bare(fs, qms, qes float64) network.OnePort {
	return thielesmall.Driver{Name: "d", Re: 6, Fs: fs, Qms: qms, Qes: qes}
}

// Small, J. Audio Eng. Soc. 20 (1972): three points of the curve of a driver
// with re 6 ohm, fs 30 Hz, qms 5 and qes 0.4, worked by hand.
func TestIdentifyThreePoints(t *testing.T) {
	a := ask("", "identify", curveFile(t, bare(30, 5, 0.4)), "--format", "csv")
	a.wants(t, 0)
	v := csvValues(t, a.stdout)
	for name, want := range map[string]float64{"re": 6, "fs": 30, "qms": 5, "qes": 0.4, "qts": 1 / 2.7, "res": 75} {
		if got := v["fit/"+name]; math.Abs(got/want-1) > 1e-6 {
			t.Errorf("fit: %s = %g, want %g", name, got, want)
		}
		// The peak is between rows that are a 48th of an octave apart.
		if got, ok := v["three points/"+name]; ok && math.Abs(got/want-1) > 0.01 {
			t.Errorf("three points: %s = %g, want %g", name, got, want)
		}
	}
	if _, ok := v["three points/qms"]; !ok {
		t.Error("no three-point values")
	}
}

// Added mass and test box (Small 1972; IEC 60268-5), worked by hand: 62 g that
// resonate at 29 Hz do so at 23.806740 Hz with 30 g more, and have a Vas of
// 79.66 L with 0.0340 m² where ρc² is 1.4 · 101.325 kPa; a driver of 30 Hz and qes 0.4 that
// has 56.124861 Hz and 0.748331 in 40 L has a Vas of 100 L.
func TestIdentifyMechanics(t *testing.T) {
	heavier := math.Sqrt(92.0 / 62)
	a := ask("", "identify", curveFile(t, bare(29, 5, 0.4)), "--second", curveFile(t, bare(23.806740, 5*heavier, 0.4*heavier)),
		"--added-mass", "30 g", "--sd", "0.0340 m2", "--format", "csv")
	a.wants(t, 0)
	v := csvValues(t, a.stdout)
	bl := math.Sqrt(2 * math.Pi * 29 * 0.062 * 6 / 0.4)
	for name, want := range map[string]float64{"mms": 0.062, "vas": 0.07966, "bl": bl} {
		if got := v["second curve/"+name]; math.Abs(got/want-1) > 1e-4 {
			t.Errorf("added mass: %s = %g, want %g", name, got, want)
		}
	}
	free, boxed := curveFile(t, bare(30, 5, 0.4)), curveFile(t, bare(56.124861, 5*0.748331/0.4, 0.748331))
	a = ask("", "identify", free, "--second", boxed, "--test-box", "40 L", "--format", "csv")
	a.wants(t, 0)
	v = csvValues(t, a.stdout)
	if got := v["second curve/vas"]; math.Abs(got/0.1-1) > 1e-5 {
		t.Errorf("test box: Vas %g m³, want 0.1", got)
	}
	if got, ok := v["second curve/mms"]; ok {
		t.Errorf("test box without an area: mms %g", got)
	}
	a = ask("", "identify", free, "--second", boxed, "--test-box", "40 L", "--sd", "340 cm2")
	a.wants(t, 0, "From the second curve, in a box of 40 L", "vas", "    vas: ", "    sd: 340 cm2", "    mms: ", "    bl: ")
}

func TestIdentifyTable(t *testing.T) {
	figure := filepath.Join(t.TempDir(), "fit.svg")
	table := curveFile(t, recordedDriver)
	a := ask("", "identify", table, "--figure", figure, "--name", "recorded")
	a.wants(t, 0, "recorded\n────────\n", "voice coil semi_inductance: off by", "standard error", "three points", "Models tried: less by BIC is better",
		"inductance", "its maker says", "For a bench file:\n\n# identified from", "\ndrivers:\n")
	if a.stderr != "" {
		t.Errorf("told twice: %s", a.stderr)
	}
	svg, err := os.ReadFile(figure)
	if err != nil || !strings.Contains(string(svg), "Residual") {
		t.Errorf("no residual in the figure (%v)", err)
	}
	a = ask("", "identify", table, "--re", "6.5 ohm", "--voice-coil", "semi_inductance", "--criterion", "aicc", "--from", "15 Hz", "--to", "15 kHz", "--magnitude-noise", "2 %", "--phase-noise", "2", "--noise-known", "--bumps", "-1", "--skew", "never", "--resonances", "1")
	a.wants(t, 0, "6.5 ohm", "held", "478 frequencies from 15.2 Hz to 14.9 kHz")
}

func TestIdentifyJSON(t *testing.T) {
	a := ask("", "identify", curveFile(t, recordedDriver), "--format", "json", "--name", "x")
	a.wants(t, 0)
	var got struct {
		Name, Bench string
		VoiceCoil   string `json:"voice_coil"`
		Values      []struct {
			Parameter string
			Value     float64
			Error     *float64 `json:"standard_error"`
		}
		Models []struct {
			VoiceCoil string `json:"voice_coil"`
			Criterion float64
		}
		Points   []struct{ Deviation float64 }
		Warnings []string
	}
	if err := json.Unmarshal([]byte(a.stdout), &got); err != nil {
		t.Fatal(err)
	}
	if got.Name != "x" || got.VoiceCoil != "semi_inductance" || got.Models[0].VoiceCoil != got.VoiceCoil || len(got.Models) < 5 || len(got.Points) < 400 || got.Warnings == nil {
		t.Errorf("%+v", got)
	}
	if v := got.Values[0]; v.Parameter != "re" || math.Abs(v.Value-6.5) > 1e-5 || v.Error == nil {
		t.Errorf("%+v", v)
	}
	var piece struct{ Drivers map[string]any }
	if err := yaml.Unmarshal([]byte(got.Bench), &piece); err != nil || piece.Drivers["x"] == nil {
		t.Errorf("%v\n%s", err, got.Bench)
	}
}

// The demo table is the cabinet pine-212 of the demo bench with noise of 1 %
// and 1°: the fit finds what was put in. Two drivers in parallel have half the
// resistance and half the voice coil of one, which has 6.3 ohm, 0.25 mH, and
// 0.9 mH beside 7.5 ohm.
func TestIdentifyDemo(t *testing.T) {
	a := ask("", "identify", "../../testdata/pine-212.csv", "--format", "csv")
	a.wants(t, 0)
	v := csvValues(t, a.stdout)
	for name, want := range map[string]float64{"re": 3.15, "l1": 0.125e-3, "rung-1/l": 0.45e-3, "rung-1/r": 3.75} {
		if got := v["fit/"+name]; math.Abs(got/want-1) > 0.02 {
			t.Errorf("%s = %g, want %g", name, got, want)
		}
	}
	// The load that is written lies in another directory than the table.
	file := filepath.Join(t.TempDir(), "piece.yaml")
	table, err := filepath.Abs("../../testdata/pine-212.csv")
	if err != nil {
		t.Fatal(err)
	}
	ask("", "identify", table, "-o", file).wants(t, 0)
	if _, err := bench.Open(file); err != nil {
		t.Error(err)
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	ask(string(data), "identify", "-", "--format", "bench", "--name", "pine").
		wants(t, 0, `# identified from "standard input"`, "measured: pine.csv")
}

func TestIdentifyMistakes(t *testing.T) {
	good := curveFile(t, recordedDriver)
	flat := inFile(t, "flat.csv", "Hz,ohm,deg\n10,8,0\n20,8,0\n40,8,0\n80,8,0\n160,8,0\n320,8,0\n640,8,0\n1280,8,0\n2560,8,0\n5120,8,0\n10240,8,0\n20480,8,0\n")
	for _, test := range []struct {
		code int
		want string
		args []string
	}{
		{3, "no such file", []string{"absent.csv"}},
		{3, "no such file", []string{good, "--second", "absent.csv", "--added-mass", "30 g"}},
		{2, flat + ": identify: ", []string{flat}},
		{2, "--second and --added-mass or --test-box belong together", []string{good, "--second", good}},
		{2, "--second and --added-mass or --test-box belong together", []string{good, "--added-mass", "30 g"}},
		{2, "expected one of them", []string{good, "--second", good, "--added-mass", "30 g", "--test-box", "40 L"}},
		{2, "--added-mass: ", []string{good, "--second", good, "--added-mass", "30"}},
		{2, "expected a lower one with the mass", []string{good, "--second", good, "--added-mass", "30 g"}},
		{2, "expected a higher one in the box", []string{good, "--second", good, "--test-box", "40 L"}},
		{2, "--criterion cic: expected bic or aicc", []string{good, "--criterion", "cic"}},
		{2, "--creep maybe: expected judge, never or always", []string{good, "--creep", "maybe"}},
		{2, "voice coil \"coil\": expected one of none, inductance", []string{good, "--voice-coil", "coil"}},
		{2, "7 resonances: expected from 1 to 6", []string{good, "--resonances", "7"}},
		{2, "--phase-noise -1", []string{good, "--phase-noise", "-1"}},
		{2, "--sd: ", []string{good, "--sd", "340"}},
		{2, "--figure-type curve: expected fit", []string{good, "--figure-type", "curve"}},
	} {
		ask("", append([]string{"identify"}, test.args...)...).wants(t, test.code, "loadscape: ", test.want)
	}
}
