package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/cmplx"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// reactiveBench joins loads of few parts to a valve stage, whose source
// impedance is a resistance that goes with the tap, and to a solid-state one.
// One name has what RFC 4180 quotes.
const reactiveBench = `
sweep: {from: 20 Hz, to: 20 kHz, per_octave: 24}
amplifiers:
  head: {stage: valve, rated_power: 40 W, taps: [4 ohm, 8 ohm, 16 ohm], tap: 8 ohm, damping_factor: 0.8}
  desk: {stage: solid-state, rated_power: 100 W, tap: 8 ohm, output_impedance: 0.1 ohm}
loads:
  plain: {resistor: 8 ohm, power_rating: 200 W}
  shaped:
    series:
      - {resistor: 6.2 ohm}
      - parallel: [{resistor: 33 ohm}, {inductor: 20 mH, dcr: 0.8 ohm}, {capacitor: 120 uF}]
      - parallel: [{resistor: 24 ohm}, {inductor: 1 mH}]
drivers: {twelve: {re: 6.5 ohm, fs: 78 Hz, qms: 8.2, qes: 0.92}}
setups:
  reference: {amplifier: head, load: plain}
  "shaped, \"plain\" beside": {amplifier: head, tap: 4 ohm, load: {parallel: [shaped, plain]}}
  driver: {amplifier: head, load: twelve}
  wrong: {amplifier: desk, load: {parallel: [plain, {resistor: 2 ohm, power_rating: 10 W}]}}
`

// circuit is a setup worked by hand: the load and the source impedance.
type circuit struct {
	load   func(s complex128) complex128
	source complex128
}

func shaped(s complex128) complex128 {
	return 6.2 + 1/(1.0/33+1/(0.8+s*20e-3)+s*120e-6) + 1/(1.0/24+1/(s*1e-3))
}

// byHand is what the setups of reactiveBench are by the rules of series and
// parallel and, for the driver in free air, by Small (J. Audio Eng. Soc. 20
// (1972) 383): Re + Res ∥ Lces ∥ Cmes, with Res = Re·Qms/Qes,
// Lces = Re/(2π·fs·Qes) and Cmes = Qes/(2π·fs·Re). A valve stage's source
// impedance is tap over damping factor (IEC 60268-3).
var byHand = map[string]circuit{
	"reference":              {func(complex128) complex128 { return 8 }, 8 / 0.8},
	`shaped, "plain" beside`: {func(s complex128) complex128 { return 1 / (1/shaped(s) + 1.0/8) }, 4 / 0.8},
	"driver": {func(s complex128) complex128 {
		const ws = 2 * math.Pi * 78
		return 6.5 + 1/(complex(0.92/(6.5*8.2), 0)+ws*0.92/6.5/s+s*0.92/(ws*6.5))
	}, 8 / 0.8},
	"wrong": {func(complex128) complex128 { return 1.6 }, 0.1},
}

// records reads a CSV answer and checks its head.
func records(t *testing.T, a answered, head string) [][]string {
	t.Helper()
	a.wants(t, exitOK)
	all, err := csv.NewReader(strings.NewReader(a.stdout)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(all[0], ","); got != head {
		t.Fatalf("columns %s, want %s", got, head)
	}
	return all[1:]
}

// numbers reads the cells of a row behind the name.
func numbers(t *testing.T, row []string) (x []float64) {
	t.Helper()
	for _, cell := range row[1:] {
		v, err := strconv.ParseFloat(cell, 64)
		if err != nil || strings.ContainsAny(cell, ", ") {
			t.Fatalf("%q: %v", cell, err)
		}
		x = append(x, v)
	}
	return x
}

// agree fails unless two numbers agree to ten significant digits; of levels
// and angles, which pass through zero, to ten digits after the point.
func agree(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-10*max(1, math.Abs(want))) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// step returns the i-th point of a sweep from 20 Hz.
func step(i, perOctave int) float64 { return 20 * math.Exp2(float64(i)/float64(perOctave)) }

func TestCurveNumbers(t *testing.T) {
	names := []string{"plain", "shaped", "driver", `shaped, "plain" beside`}
	loads := []func(complex128) complex128{byHand["reference"].load, shaped, byHand["driver"].load, byHand[`shaped, "plain" beside`].load}
	rows := records(t, ask(reactiveBench, append([]string{"curve", "-", "--format", "csv"}, names...)...),
		"name,frequency_hz,magnitude_ohm,phase_deg,resistance_ohm,reactance_ohm")
	const points = 240 // 24·log2(1000) = 239.2
	if len(rows) != points*len(names) {
		t.Fatalf("%d rows", len(rows))
	}
	for i, row := range rows {
		x, k := numbers(t, row), i/points
		z := loads[k](complex(0, 2*math.Pi*step(i%points, 24)))
		if row[0] != names[k] {
			t.Fatalf("row %d: %s", i, row[0])
		}
		for j, want := range []float64{step(i%points, 24), cmplx.Abs(z), cmplx.Phase(z) * 180 / math.Pi, real(z), imag(z)} {
			agree(t, row[0]+" at "+row[1]+" Hz", x[j], want)
		}
	}
}

// The columns of compare: what is seen, H = Z/(Z+Zs), and the difference of H
// from that of the reference but for a constant.
func TestCompareNumbers(t *testing.T) {
	rows := records(t, ask(reactiveBench, "compare", "-", "--format", "csv"), "setup,frequency_hz,seen_ohm,seen_deg,terminal_db,deviation_db")
	const points = 240
	if len(rows) != points*len(byHand) {
		t.Fatalf("%d rows", len(rows))
	}
	offsets := map[string]float64{}
	for i, row := range rows {
		c, ok := byHand[row[0]]
		if !ok {
			t.Fatalf("setup %q", row[0])
		}
		hz := step(i%points, 24)
		z := c.load(complex(0, 2*math.Pi*hz))
		level := 20 * math.Log10(cmplx.Abs(z/(z+c.source)))
		x := numbers(t, row)
		for j, want := range []float64{hz, cmplx.Abs(z), cmplx.Phase(z) * 180 / math.Pi, level} {
			agree(t, row[0]+" at "+row[1]+" Hz", x[j], want)
		}
		offset := level - 20*math.Log10(8/18.0) - x[4]
		if i%points == 0 {
			offsets[row[0]] = offset
		}
		agree(t, row[0]+": level offset at "+row[1]+" Hz", offset, offsets[row[0]])
	}
	for name, offset := range offsets {
		if want := matched(byHand[name], byHand["reference"]); math.Abs(offset-want) > 0.02 {
			t.Errorf("%s: level offset %g dB, K-weighted by hand %g", name, offset, want)
		}
	}
}

// matched is the level of a setup over that of another from 60 Hz to 10 kHz,
// in dB, weighted by the filters that ITU-R BS.1770 tabulates for 48 kHz.
// The program's own weighting has no sampling rate: hence the 0.02 dB.
func matched(c, ref circuit) float64 {
	level := func(c circuit) (sum float64) {
		for i := range 240 {
			hz := step(i, 24)
			if hz < 60 || hz > 10e3 {
				continue
			}
			z := c.load(complex(0, 2*math.Pi*hz))
			d := cmplx.Exp(complex(0, -2*math.Pi*hz/48e3))
			shelf := (1.53512485958697 - 2.69169618940638*d + 1.19839281085285*d*d) / (1 - 1.69065929318241*d + 0.73248077421585*d*d)
			pass := (1 - 2*d + d*d) / (1 - 1.99004745483398*d + 0.99007225036621*d*d)
			h := cmplx.Abs(shelf * pass * z / (z + c.source))
			sum += h * h
		}
		return sum
	}
	return 10 * math.Log10(level(c)/level(ref))
}

// value returns what stands in a JSON answer at a path of keys and indices.
func value(t *testing.T, a answered, path ...any) any {
	t.Helper()
	var v any
	if err := json.Unmarshal([]byte(a.stdout), &v); err != nil {
		t.Fatal(err)
	}
	for _, step := range path {
		switch s := step.(type) {
		case string:
			m, ok := v.(map[string]any)
			if v, ok = m[s], ok && m[s] != nil; !ok {
				t.Fatalf("no %q on the way %v", s, path)
			}
		case int:
			l, ok := v.([]any)
			if !ok || s >= len(l) {
				t.Fatalf("no item %d on the way %v", s, path)
			}
			v = l[s]
		}
	}
	return v
}

func number64(t *testing.T, a answered, path ...any) float64 {
	t.Helper()
	x, ok := value(t, a, path...).(float64)
	if !ok {
		t.Fatalf("%v is no number", path)
	}
	return x
}

// The keys of compare's JSON, and that they say the same as the CSV.
func TestCompareJSON(t *testing.T) {
	const name = `shaped, "plain" beside`
	a := ask(reactiveBench, "compare", "-", "--format", "json", "reference", name)
	a.wants(t, exitOK)
	if value(t, a, "reference") != "reference" || number64(t, a, "listening_band_hz", 0) != 60 || number64(t, a, "listening_band_hz", 1) != 10e3 {
		t.Errorf("reference and band in\n%.200s", a.stdout)
	}
	if value(t, a, "setups", 0, "name") != "reference" || value(t, a, "setups", 1, "name") != name {
		t.Fatalf("setups in\n%.200s", a.stdout)
	}
	var seen, deviation, hz []float64
	for _, row := range records(t, ask(reactiveBench, "compare", "-", "--format", "csv", name), "setup,frequency_hz,seen_ohm,seen_deg,terminal_db,deviation_db") {
		x := numbers(t, row)
		hz, seen = append(hz, x[0]), append(seen, x[1])
		if x[0] < 60 || x[0] > 10e3 {
			x[4] = 0
		}
		deviation = append(deviation, x[4])
	}
	at := func(path ...any) float64 { t.Helper(); return number64(t, a, append([]any{"setups", 1}, path...)...) }
	low, high := slices.Index(seen, slices.Min(seen)), slices.Index(seen, slices.Max(seen))
	agree(t, "lowest", at("seen", "lowest_ohm"), seen[low])
	agree(t, "its frequency", at("seen", "lowest_hz")/hz[low], 1)
	agree(t, "highest", at("seen", "highest_ohm"), seen[high])
	agree(t, "its frequency", at("seen", "highest_hz")/hz[high], 1)
	agree(t, "tap", at("match", "tap_ohm"), 4)
	if v := value(t, a, "setups", 1, "match", "verdict"); v != "ok" && v != "caution" && v != "danger" {
		t.Errorf("verdict %v", v)
	}
	largest := 0
	for i, d := range deviation {
		if math.Abs(d) > math.Abs(deviation[largest]) {
			largest = i
		}
	}
	agree(t, "largest", at("deviation", "largest_db"), deviation[largest])
	agree(t, "its frequency", at("deviation", "largest_hz")/hz[largest], 1)
	if rms := at("deviation", "rms_db"); rms <= 0 || rms > math.Abs(deviation[largest]) {
		t.Errorf("RMS %g dB with a largest of %g dB", rms, deviation[largest])
	}
	at("deviation", "level_offset_db")
	if kind := value(t, a, "setups", 1, "deviation", "features", 0, "kind"); !slices.Contains([]any{"hump", "dip", "low shelf", "high shelf"}, kind) {
		t.Errorf("kind of feature: %v", kind)
	}
	for _, key := range []string{"frequency_hz", "height_db", "width_octaves"} {
		at("deviation", "features", 0, key)
	}
}

// The keys of check's JSON; the power in a resistor across a stage is worked
// by hand: E²·R/(R+Zs)² with E set so that 8 ohm get the rated power.
func TestCheckJSON(t *testing.T) {
	a := ask(reactiveBench, "check", "-", "--format", "json", "reference", "wrong")
	a.wants(t, exitDanger)
	for i, want := range []string{"reference", "wrong"} {
		if got := value(t, a, "setups", i, "name"); got != want {
			t.Errorf("setup %d is %v", i, got)
		}
		for _, key := range []string{"verdict", "rule", "says", "source"} {
			if s, _ := value(t, a, "setups", i, "findings", 0, key).(string); s == "" {
				t.Errorf("findings of %s: no %s", want, key)
			}
		}
	}
	if v := value(t, a, "setups", 1, "verdict"); v != "danger" {
		t.Errorf("1.6 ohm on a stage for 8 ohm: %v", v)
	}
	agree(t, "40 W into the resistor of the tap's rating", number64(t, a, "setups", 0, "parts", 0, "power_w"), 40)
	agree(t, "its rating", number64(t, a, "setups", 0, "parts", 0, "rating_w"), 200)
	emf := math.Sqrt(100*8) / 8 * 8.1
	for i, r := range []float64{8, 2} {
		volts := emf * 1.6 / 1.7
		agree(t, "parallel resistor", number64(t, a, "setups", 1, "parts", i, "power_w"), volts*volts/r)
	}
	agree(t, "rating", number64(t, a, "setups", 1, "parts", 1, "rating_w"), 10)
	unrated := ask("amplifiers: {a: {stage: valve, rated_power: 1 W, tap: 8 ohm, damping_factor: 1}}\nsetups: {s: {amplifier: a, load: {resistor: 8 ohm}}}\n",
		"check", "-", "--format", "json")
	unrated.wants(t, exitOK, `"rating_w": null`)
}

// The flags of the sweep override the bench: points from·2^(i/per octave) up
// to and including the end.
func TestSweepFlags(t *testing.T) {
	for _, command := range []string{"curve - plain", "compare - reference --from 60 --to 10kHz"} {
		args := append(strings.Fields(command), "--format", "csv", "--from", "50 Hz", "--to", "12.8 kHz", "--per-octave", "3")
		a := ask(reactiveBench, args...)
		a.wants(t, exitOK)
		rows, err := csv.NewReader(strings.NewReader(a.stdout)).ReadAll()
		if err != nil || len(rows) != 1+25 { // 12800 = 50·2^8
			t.Fatalf("%s: %d rows, %v", command, len(rows), err)
		}
		agree(t, "first", numbers(t, rows[1])[0], 50)
		agree(t, "second", numbers(t, rows[2])[0], 50*math.Cbrt(2))
		agree(t, "last", numbers(t, rows[25])[0]/12800, 1)
	}
}

// Of the new reference nothing deviates, and the others deviate from it.
func TestReferenceFlag(t *testing.T) {
	a := ask(reactiveBench, "compare", "-", "--reference", "driver", "--format", "json")
	a.wants(t, exitOK)
	if value(t, a, "reference") != "driver" || value(t, a, "setups", 0, "name") != "driver" || number64(t, a, "setups", 0, "deviation", "rms_db") != 0 {
		t.Errorf("%.400s", a.stdout)
	}
	if number64(t, a, "setups", 1, "deviation", "rms_db") == 0 {
		t.Error("the old reference does not deviate from the new one")
	}
	ask(reactiveBench, "compare", "-", "--reference", "driver").wants(t, exitOK, "Reference: driver.")
}
