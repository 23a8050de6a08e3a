package bench

import (
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/measured"
	"loadscape/thielesmall"
)

// speaker is an invented driver, and box an invented load; their impedances
// come from the circuit, not from a table.
var (
	speaker = thielesmall.Driver{
		Name: "speaker", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92,
		VoiceCoil: thielesmall.SemiInductance{Leb: 0.05e-3, Le: 0.8e-3, Ke: 0.04, Rss: 150},
	}
	box = network.Series{
		network.Resistor{Ohms: 6.2},
		network.Parallel{network.Resistor{Ohms: 24}, network.Inductor{Henries: 1e-3}},
	}
)

// table returns the CSV of an impedance from one frequency to another, 48
// points an octave.
func table(t *testing.T, p network.OnePort, from, to float64) string {
	t.Helper()
	hz, err := network.Sweep{From: from, To: to}.Frequencies()
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
	return s.String()
}

// onBench returns the bench of a text that stands beside files.
func onBench(t *testing.T, text string, files map[string]string) (*Bench, error) {
	t.Helper()
	dir := t.TempDir()
	files["bench.yaml"] = text
	for name, data := range files {
		name = filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return Open(filepath.Join(dir, "bench.yaml"))
}

// worstBetween returns the largest relative difference of a load of the bench
// and the truth.
func worstBetween(t *testing.T, b *Bench, name string, truth network.OnePort, from, to float64) float64 {
	t.Helper()
	hz, err := network.Sweep{From: from, To: to, PerOctave: 31}.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.OnePort(name)
	if err != nil {
		t.Fatal(err)
	}
	got, err := network.Impedance(p, hz)
	if err != nil {
		t.Fatal(err)
	}
	want, err := network.Impedance(truth, hz)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for i := range got {
		worst = max(worst, cmplx.Abs(got[i]/want[i]-1))
	}
	return worst
}

// A measured load stands wherever a load may: by itself, in groups, in a
// circuit, in a setup. The truth is the circuit that the table was made from.
func TestMeasured(t *testing.T) {
	b, err := onBench(t, `
loads:
  alone: {measured: tables/speaker.csv, rated_impedance: 8 ohm, power_rating: 60 W}
  doubled: {parallel: [{measured: tables/speaker.csv}, alone]}
  meshed: {circuit: {between: [in, gnd], parts: [{resistor: 2 ohm, from: in, to: a}, {measured: tables/speaker.csv, from: a, to: gnd}]}}
amplifiers: {amp: {stage: valve, rated_power: 40 W, tap: 8 ohm, damping_factor: 1}}
setups: {direct: {amplifier: amp, load: {measured: tables/speaker.csv}}}
`, map[string]string{"tables/speaker.csv": table(t, speaker, 20, 20e3)})
	if err != nil {
		t.Fatal(err)
	}
	for name, truth := range map[string]network.OnePort{
		"alone":   speaker,
		"doubled": network.Parallel{speaker, speaker},
		"meshed":  network.Series{network.Resistor{Ohms: 2}, speaker},
		"direct":  speaker,
	} {
		// A peak may stand half a step h between two rows and is cut off by a
		// monotone cubic: Z falls by (2Q·h/2)²/2 there, with h = ln 2/48.
		sag := math.Pow(speaker.Qms*math.Ln2/48, 2) / 2
		if e := worstBetween(t, b, name, truth, 20, 19.5e3); e > sag {
			t.Errorf("%s: off by %.2g", name, e)
		}
	}
	p, _ := b.OnePort("alone")
	if n := p.(network.Named); n.RatedImpedance != 8 || n.OnePort.(network.Single).Rating.Power != 60 {
		t.Errorf("ratings are lost: %+v", n)
	}
	if len(b.Warnings) > 0 {
		t.Errorf("warnings: %q", b.Warnings)
	}
	hz, _ := b.Sweep.Frequencies()
	if _, err := b.Setups[0].Run(hz); err != nil {
		t.Error(err)
	}
}

// Beyond its table a curve goes on with a model. The truth is the circuit that
// the table is a piece of.
func TestMeasuredExtended(t *testing.T) {
	for _, test := range []struct {
		name     string
		truth    network.OnePort
		from, to float64
		within   float64
		says     string
	}{
		{"loudspeaker", speaker, 30, 8e3, 0.01, "a loudspeaker's model goes on"},
		{"dummy load", box, 50, 5e3, 1e-3, "a rational function goes on"},
		{"resistor", network.Resistor{Ohms: 8}, 100, 1100, 1e-9, "a rational function goes on"},
	} {
		b, err := onBench(t, "loads: {it: {measured: it.csv, extend: model}}\n",
			map[string]string{"it.csv": table(t, test.truth, test.from, test.to)})
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		e := worstBetween(t, b, "it", test.truth, 10, 30e3)
		t.Logf("%s: off by %.2g from 10 Hz to 30 kHz", test.name, e)
		if e > test.within {
			t.Errorf("%s: off by %.2g, want %.2g", test.name, e, test.within)
		}
		if len(b.Warnings) != 1 || !strings.Contains(b.Warnings[0], test.says) {
			t.Errorf("%s: warnings %q", test.name, b.Warnings)
		}
		if err := b.Covers([]float64{1, 50e3}); err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}

// Outside of its table a curve that is not extended stops, at the bench's own
// sweep and at one that a flag widens.
func TestMeasuredRange(t *testing.T) {
	speaker := table(t, speaker, 30, 15e3)
	_, err := onBench(t, "loads: {it: {series: [{resistor: 1 ohm}, {measured: it.csv}]}}\n", map[string]string{"it.csv": speaker})
	wantMistake(t, err, "bench.yaml:1:", "loads.it.series[1].measured: found a table from 30 to 14", "for a sweep from 20 to", "extend: model")

	b, err := onBench(t, `
sweep: {from: 30 Hz, to: 10 kHz}
loads: {it: {series: [{resistor: 1 ohm}, {measured: it.csv}]}}
amplifiers: {amp: {stage: solid-state, rated_power: 10 W, tap: 8 ohm, output_impedance: 0 ohm}}
setups: {s: {amplifier: amp, load: {measured: it.csv}}}
`, map[string]string{"it.csv": speaker})
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		hz   []float64
		want string
	}{
		{[]float64{30, 14e3}, ""},
		{[]float64{29.9, 14e3}, "it: measured: 29.9 to 14000 Hz asked for: expected frequencies from 30 to"},
		{[]float64{30, 16e3}, "the range of the measured curve it.csv; or extend: model"},
	} {
		if err := b.Covers(test.hz); err == nil != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v: %v, want %q", test.hz, err, test.want)
		}
	}
	delete(b.loads, "it")
	if err := b.Covers([]float64{20, 14e3}); err == nil || !strings.HasPrefix(err.Error(), "s: ") {
		t.Errorf("load within a setup: %v", err)
	}
	// The circuit itself gives no answer either.
	if z, err := network.Impedance(b.Setups[0].Links[0].Load, []float64{20}); err == nil {
		t.Errorf("%v at 20 Hz", z)
	}
}

// The ends of a table may be those of the sweep, rounded to four digits.
func TestMeasuredRounded(t *testing.T) {
	for _, test := range []struct {
		from, to string
		covers   bool
	}{
		{"20", "20000", true}, {"20.009", "19900", true}, {"20.02", "20000", false}, {"20", "19880", false},
	} {
		_, err := onBench(t, "loads: {it: {measured: it.csv}}\n",
			map[string]string{"it.csv": "Hz,ohm,deg\n" + test.from + ",8,0\n" + test.to + ",8,0\n"})
		if err == nil != test.covers {
			t.Errorf("from %s to %s: %v", test.from, test.to, err)
		}
	}
}

func TestMeasuredOptions(t *testing.T) {
	both := "name,Hz,ohm,deg\nleft,10,4,0\nleft,30000,4,0\nright,10,8,0\nright,30000,8,0\n"
	b, err := onBench(t, `
loads:
  right: {measured: both.csv, curve: right}
  bare: {measured: bare.txt, header: "kHz, resistance, reactance"}
`, map[string]string{"both.csv": both, "bare.txt": "0.01 3 4\n30 3 4\n"})
	if err != nil {
		t.Fatal(err)
	}
	if e := worstBetween(t, b, "right", network.Resistor{Ohms: 8}, 20, 20e3); e > 1e-9 {
		t.Errorf("right: off by %g", e)
	}
	p, _ := b.OnePort("bare")
	if z, err := network.Impedance(p, []float64{500}); err != nil || cmplx.Abs(z[0]-(3+4i)) > 1e-9 {
		t.Errorf("bare: %v, %v", z, err)
	}
}

// What is doubtful in a table is told with the bench.
func TestMeasuredWarnings(t *testing.T) {
	var derived strings.Builder
	derived.WriteString("Hz,ohm\n")
	for i := range 40 {
		fmt.Fprintf(&derived, "%g,8\n", 10*math.Exp2(float64(i)*0.3))
	}
	active := filepath.Join(t.TempDir(), "active.csv")
	if err := os.WriteFile(active, []byte("Hz,ohm,deg\n10,8,0\n100,8,95\n1000,8,91\n3000,8,0\n2000,8,-100\n30000,8,0\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := onBench(t, "loads: {active: {measured: "+active+"}, derived: {measured: derived.csv}}\n", map[string]string{"derived.csv": derived.String()})
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(b.Warnings, "\n")
	for _, want := range []string{
		"active.csv: lies outside the directory of the bench file",
		"active.csv: line 6: 2000 Hz after 3000 Hz: rows sorted",
		"active.csv: negative resistance at 100, 1000, 2000 Hz: no passive device has one",
		"derived.csv: no phase given: computed from the magnitude",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no warning %q in\n%s", want, all)
		}
	}
}

func TestListHz(t *testing.T) {
	var points []measured.Point
	for i := range 9 {
		points = append(points, measured.Point{Hz: float64(10 * (i + 1))})
	}
	for n, want := range map[int]string{
		1: "10 Hz", 6: "10, 20, 30, 40, 50, 60 Hz", 7: "7 frequencies, 10, 20, 30, 40, 50, 60, … 70 Hz", 9: "9 frequencies, 10, 20, 30, 40, 50, 60, … 90 Hz",
	} {
		if got := listHz(points[:n]); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}

func TestMeasuredMistakes(t *testing.T) {
	good := table(t, box, 20, 20e3)
	for _, test := range []struct {
		load string
		want []string
	}{
		{"{measured: bad.csv}", []string{"bench.yaml:1:", "loads.it.measured: found a table that cannot be read (", "bad.csv:3:6: ", "the file of a measured impedance"}},
		{"{measured: short.csv}", []string{"short.csv:2:1: 1 rows: expected at least two"}},
		{"{measured: two.csv}", []string{"loads.it.measured", "left, right"}},
		{"{measured: absent.csv}", []string{"loads.it.measured: found a table that cannot be read (no such file or directory)"}},
		{"{measured: .}", []string{"loads.it.measured: found a table that cannot be read (not a regular file)"}},
		{"{measured: \"a\\0b\"}", []string{"loads.it.measured"}},
		{"{measured: ''}", []string{"loads.it.measured: found an empty text"}},
		{"{measured: [good.csv]}", []string{"loads.it.measured: found a list"}},
		{"{measured: good.csv, extend: yes}", []string{"loads.it.extend", "expected model"}},
		{"{measured: good.csv, header: 'kHz, ohm'}", []string{"loads.it.measured", "do not answer to the header"}},
		{"{measured: good.csv, power_rating: 60 ohm}", []string{"loads.it.power_rating"}},
		{"{measured: good.csv, extent: model}", []string{"loads.it.extent", `did you mean "extend"`}},
		{"{measured: active.csv, extend: model}", []string{"loads.it.extend: found a table that no passive model follows"}},
	} {
		_, err := onBench(t, "loads: {it: "+test.load+"}\n", map[string]string{
			"good.csv":   good,
			"bad.csv":    "Hz,ohm,deg\n20,8,0\n2000,eight,0\n",
			"short.csv":  "Hz,ohm,deg\n20,8,0\n",
			"two.csv":    "name,Hz,ohm,deg\nleft,20,4,0\nright,20,8,0\n",
			"active.csv": "Hz,ohm,deg\n30,8,170\n300,8,170\n1000,8,170\n3000,8,170\n",
		})
		wantMistake(t, err, test.want...)
	}
}

func wantMistake(t *testing.T, err error, parts ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("no mistake: want %q", parts)
		return
	}
	for _, p := range parts {
		if !strings.Contains(err.Error(), p) {
			t.Errorf("%v\nwant %q", err, p)
		}
	}
}
