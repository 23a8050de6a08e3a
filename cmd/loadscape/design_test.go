package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loadscape/cmd/loadscape/internal/bench"
	"loadscape/network"
)

// designBench holds a closed cabinet of four drivers with semi-inductance and
// creep, an amplifier whose source impedance is the cabinet's rated one, and a
// second tap. All invented.
const designBench = `drivers:
  marlow-12:
    {re: 6.5 ohm, fs: 78 Hz, qms: 8.2, qes: 0.92, vas: 51 L, sd: 522 cm2, rated_power: 60 W, rated_impedance: 8 ohm,
     voice_coil: {semi_inductance: {leb: 0.05 mH, le: 0.8 mH, ke: 0.04, rss: 150 ohm}}, suspension: {creep: 0.08}}
cabinets:
  ash-412: {driver: marlow-12, count: 4, wiring: series-parallel, rated_impedance: 8 ohm,
            enclosure: {closed: {volume: 110 L, leakage_q: 10, fill_factor: 1.1}}}
amplifiers:
  head: {stage: valve, rated_power: 40 W, taps: [4 ohm, 8 ohm], tap: 8 ohm, output_impedance: 8 ohm}
setups:
  cab: {amplifier: head, load: ash-412}
`

// onBench writes a bench file and returns its name.
func onBench(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "bench.yaml")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// designOf runs the command and returns what it writes.
func designOf(t *testing.T, text string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs strings.Builder
	code = run(append([]string{"design", onBench(t, text)}, args...), strings.NewReader(""), &out, &errs)
	return out.String(), errs.String(), code
}

// withLoad returns a bench with a load that was designed, and a setup for it.
func withLoad(t *testing.T, fragment string) string {
	t.Helper()
	_, load, ok := strings.Cut(fragment, "loads:\n")
	if !ok {
		t.Fatalf("no loads in %q", fragment)
	}
	return designBench + "  load: {amplifier: head, load: ash-412-load}\nloads:\n" + load
}

// The cabinet is followed within 5 % RMS of impedance and 0.5 dB RMS of tone
// from 60 Hz to 10 kHz by at most ten parts with preferred values and coils as
// wound. What the program says of its load is held against the load as read
// from its own piece of a bench file, by curve, compare and check.
func TestDesignOfAClosedCabinet(t *testing.T) {
	out, stderr, code := designOf(t, designBench, "--target", "ash-412", "--amplifier", "cab", "--format", "json")
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	var r struct {
		Design struct {
			Parts     int
			Impedance float64 `json:"impedance_error"`
			Tone      float64 `json:"tone_rms_db"`
		}
		Front []struct {
			Parts int
			Score float64
		}
		Parts    []struct{ Name string }
		Cautions []string
		Bench    string
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if r.Design.Parts > 10 || len(r.Parts) != r.Design.Parts || r.Design.Impedance > 0.05 || r.Design.Tone > 0.5 {
		t.Errorf("%d parts listed, design %+v", len(r.Parts), r.Design)
	}
	if len(r.Cautions) == 0 || len(r.Front) < 5 {
		t.Errorf("%d cautions, front of %d", len(r.Cautions), len(r.Front))
	}
	text := withLoad(t, r.Bench)
	if got := impedanceError(t, text); math.Abs(got-r.Design.Impedance) > 1e-3 {
		t.Errorf("the load as read is off by %g, the design says %g", got, r.Design.Impedance)
	}
	if got := toneOfLoad(t, text); got > 0.5 || math.Abs(got-r.Design.Tone) > 5e-3 {
		t.Errorf("compare tells %g dB of tone, the design %g", got, r.Design.Tone)
	}
	checkRatings(t, text)
}

// impedanceError returns the RMS relative error of the load over log frequency
// from 60 Hz to 10 kHz.
func impedanceError(t *testing.T, text string) float64 {
	t.Helper()
	b, err := bench.Read("bench", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	hz, err := network.Sweep{From: 60, To: 10e3, PerOctave: 100}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	target, err := curveOf(b, "ash-412", hz)
	if err != nil {
		t.Fatal(err)
	}
	load, err := curveOf(b, "ash-412-load", hz)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i := range hz {
		sum += math.Pow(cmplx.Abs(load.z[i]/target.z[i]-1), 2)
	}
	return math.Sqrt(sum / float64(len(hz)))
}

// toneOfLoad returns the RMS deviation that compare tells.
func toneOfLoad(t *testing.T, text string) float64 {
	t.Helper()
	var out, errs strings.Builder
	if code := run([]string{"compare", onBench(t, text), "load", "--format", "json"}, strings.NewReader(""), &out, &errs); code != exitOK {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	var r struct {
		Setups []struct {
			Name      string
			Deviation struct {
				RMS float64 `json:"rms_db"`
			}
		}
	}
	if err := json.Unmarshal([]byte(out.String()), &r); err != nil {
		t.Fatal(err)
	}
	for _, s := range r.Setups {
		if s.Name == "load" {
			return s.Deviation.RMS
		}
	}
	t.Fatalf("no setup of the load in %s", out.String())
	return 0
}

// checkRatings holds the suggested ratings to what check says of every part.
func checkRatings(t *testing.T, text string) {
	t.Helper()
	var out, errs strings.Builder
	run([]string{"check", onBench(t, text), "load", "--format", "json"}, strings.NewReader(""), &out, &errs)
	var r struct {
		Setups []struct {
			Findings []struct{ Verdict, Rule, Says string }
		}
	}
	if err := json.Unmarshal([]byte(out.String()), &r); err != nil {
		t.Fatal(err)
	}
	rated := 0
	for _, f := range r.Setups[0].Findings {
		if strings.HasSuffix(f.Rule, " rating") {
			rated++
			if f.Verdict != "ok" {
				t.Errorf("%s: %s", f.Verdict, f.Says)
			}
		}
	}
	if rated < 5 {
		t.Errorf("only %d findings on ratings", rated)
	}
}

// Half the impedance for half the tap is the same load with R and L halved, C
// doubled and windings of half the resistance, but for what the coils differ.
func TestDesignScaled(t *testing.T) {
	values := func(args ...string) map[string][]string {
		out, stderr, code := designOf(t, designBench, append(args, "--target", "ash-412", "--amplifier", "cab", "--max-parts", "4", "--series", "any", "--format", "csv")...)
		if code != exitOK {
			t.Fatalf("exit code %d: %s", code, stderr)
		}
		records, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if len(records) != 5 || len(records[0]) != 33 || records[0][2] != "value" || records[0][8] != "rated_power_w" {
			t.Fatalf("%d rows of %d columns: %v", len(records), len(records[0]), records[0])
		}
		rows := map[string][]string{}
		for _, r := range records[1:] {
			rows[r[0]] = r
		}
		return rows
	}
	whole, half := values(), values("--scale", "0.5")
	for _, c := range []struct {
		part  string
		ratio float64
	}{{"series resistor", 0.5}, {"tank 1 inductor", 0.5}, {"tank 1 capacitor", 2}} {
		if got := parse(t, half[c.part][2]) / parse(t, whole[c.part][2]); math.Abs(got/c.ratio-1) > 0.15 {
			t.Errorf("%s: %g times, want about %g", c.part, got, c.ratio)
		}
	}
	// The power in the series resistor hardly depends on the scale.
	if got := parse(t, half["series resistor"][8]) / parse(t, whole["series resistor"][8]); math.Abs(got-1) > 0.1 {
		t.Errorf("power %g times", got)
	}
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	var x float64
	if err := json.Unmarshal([]byte(s), &x); err != nil {
		t.Fatalf("%q: %v", s, err)
	}
	return x
}

// A load with a shunt can be read back, a measured table can be the target, and
// the same question has the same answer.
func TestDesignOfAMeasuredTable(t *testing.T) {
	table := filepath.Join(t.TempDir(), "table.csv")
	var errs strings.Builder
	if code := run([]string{"curve", onBench(t, designBench), "ash-412", "-o", table}, nil, &errs, &errs); code != exitOK {
		t.Fatal(errs.String())
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "bench.yaml")
	for name, content := range map[string]string{"table.csv": string(data), "bench.yaml": "loads:\n  ash-412: {measured: table.csv}\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	ask := func(figure, kind string) string {
		out, load := filepath.Join(dir, kind+".yaml"), []string{"design", file, "--target", "ash-412", "--shunt", "220 ohm", "--max-parts", "7", "--wire", "12 AWG"}
		var errs strings.Builder
		if code := run(append(load, "-o", out, "--figure", filepath.Join(dir, figure), "--figure-type", kind), nil, &errs, &errs); code != exitOK {
			t.Fatalf("exit code %d: %s", code, errs.String())
		}
		for _, name := range []string{out, filepath.Join(dir, figure)} {
			if info, err := os.Stat(name); err != nil || info.Size() == 0 {
				t.Errorf("%s: %v", name, err)
			}
		}
		text, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	first, second := ask("a.svg", figureImpedance), ask("b.svg", figureFront)
	if first != second {
		t.Errorf("two answers to one question:\n%s\n%s", first, second)
	}
	if !strings.Contains(first, "resistor: 220 ohm") {
		t.Errorf("no shunt in\n%s", first)
	}
	if got := impedanceError(t, withLoad(t, first)); got > 0.09 {
		t.Errorf("seven parts with a shunt are off by %g", got)
	}
}

func TestDesignTable(t *testing.T) {
	out, stderr, code := designOf(t, designBench, "--target", "ash-412", "--max-parts", "4", "--series", "resistor=E24,inductor=E12", "--power", "20 W", "--name", "box")
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	for _, want := range []string{
		"for a nominal amplifier of 20 W with a source impedance of 8 ohm", "What each part brings", "taken",
		"rounded one by one", "Coils without a core", "Heat in all", "common practice, no source",
		"  box:\n    rated_impedance: 8 ohm\n", "lethal voltages", "note: off by",
	} {
		if !strings.Contains(strings.ReplaceAll(out, "\n", " "), strings.ReplaceAll(want, "\n", " ")) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

func TestDesignMistakes(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"", `required flag(s) "target" not set`},
		{"--target ash-41", `did you mean "ash-412"?`},
		{"--target ash-412 --amplifier cabs", `did you mean "cab"?`},
		{"--target ash-412 --amplifier cab --tap 16ohm", "one of the taps 4, 8 ohm"},
		{"--target ash-412 --amplifier cab --scale 2", "one of the taps 4, 8 ohm (--tap chooses another)"},
		{"--target ash-412 --scale 0", "--scale 0: expected a number from 0.01 to 100"},
		{"--target ash-412 --scale NaN", "--scale NaN"},
		{"--target ash-412 --max-parts 0", "--max-parts 0: expected 1 to 16"},
		{"--target ash-412 --max-parts 99", "at most 99 parts: expected 1 to 16"},
		{"--target ash-412 --parts -1", "-1 parts: expected 1 to 10"},
		{"--target ash-412 --series E13", "--series E13: expected any, stock, E3"},
		{"--target ash-412 --series coil=E12", "--series coil: expected resistor, inductor or capacitor"},
		{"--target ash-412 --series resistor=", "expected any, stock, E3"},
		{"--target ash-412 --wire 3kg", `--wire "3kg": expected a gauge such as 16 AWG`},
		{"--target ash-412 --wire 10mm", "wire of 10 mm: expected 0.05 to 6 mm"},
		{"--target ash-412 --shunt -4ohm", "--shunt"},
		{"--target ash-412 --power 0W", "--power"},
		{"--target ash-412 --tone-limit 5", "--tone-limit"},
		{"--target ash-412 --impedance-limit 200%", "impedance error 2: expected 1e-6 to 1"},
		{"--target ash-412 --from 8kHz", "two octaves or more"},
		{"--target ash-412 --format xml", "--format xml: expected"},
		{"--target ash-412 --figure a.svg --figure-type bars", "--figure-type bars: expected impedance or front"},
	} {
		out, stderr, code := designOf(t, designBench, strings.Fields(c.args)...)
		if code != exitUsage || out != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("design %s: exit code %d, %q, want %q", c.args, code, stderr, c.want)
		}
	}
	var errs strings.Builder
	if code := run([]string{"design", "no-such.yaml", "--target", "x"}, nil, &errs, &errs); code != exitFile {
		t.Errorf("exit code %d without a file: %s", code, errs.String())
	}
}

// A design from the stock of the bench takes nothing that is not listed there.
func TestDesignFromStock(t *testing.T) {
	bench := "stock: {resistors: [4.7 ohm, 5.6 ohm, 22 ohm, 33 ohm], capacitors: [100 uF, 150 uF]}\n" +
		"loads: {target: {series: [{resistor: 6 ohm}, {parallel: [{resistor: 30 ohm}, {inductor: 10 mH}, {capacitor: 130 uF}]}]}}\n"
	var stdout, stderr bytes.Buffer
	args := []string{"design", "-", "--target", "target", "--series", "stock", "--max-parts", "4", "--format", "json"}
	if code := run(args, strings.NewReader(bench), &stdout, &stderr); code != exitOK {
		t.Fatal(stderr.String())
	}
	var answer struct {
		Parts []struct {
			Kind  string  `json:"kind"`
			Value float64 `json:"value"`
		} `json:"parts"`
	}
	if err := json.Unmarshal(stdout.Bytes(), &answer); err != nil {
		t.Fatal(err)
	}
	listed := map[string][]float64{"resistor": {4.7, 5.6, 22, 33}, "capacitor": {100e-6, 150e-6}}
	looked := 0
	for _, p := range answer.Parts {
		if values, ok := listed[p.Kind]; ok {
			looked++
			if !slices.Contains(values, p.Value) {
				t.Errorf("%s of %g is not in stock", p.Kind, p.Value)
			}
		}
	}
	if looked == 0 {
		t.Errorf("no resistor or capacitor in %s", stdout.String())
	}
	stderr.Reset()
	if code := run([]string{"design", "-", "--target", "target", "--series", "inductor=stock"}, strings.NewReader(bench), &stdout, &stderr); code != exitUsage || !strings.Contains(stderr.String(), "no stock of inductors") {
		t.Errorf("exit code %d: %s", code, stderr.String())
	}
}

// A name that a bench file could not hold is refused before any work.
func TestNamesThatNoBenchHolds(t *testing.T) {
	for _, args := range [][]string{
		{"design", "-", "--target", "x", "--name", "../a"},
		{"identify", "no-such-table.csv", "--name", "a\nb"},
	} {
		var stdout, stderr bytes.Buffer
		if code := run(args, strings.NewReader(""), &stdout, &stderr); code != exitUsage || !strings.Contains(stderr.String(), "without slashes and line breaks") {
			t.Errorf("%q: exit code %d, %s", args, code, stderr.String())
		}
	}
}
