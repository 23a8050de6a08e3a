package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"loadscape/network/hearing"
)

// correctBench has one resonance behind a source of resistance, and the same
// source with a resistor.
const correctBench = `
sweep: {from: 20 Hz, to: 20 kHz, per_octave: 48}
amplifiers: {amp: {stage: solid-state, rated_power: 50 W, tap: 8 ohm, output_impedance: 6 ohm}}
loads:
  flat: {resistor: 8 ohm}
  hump: {series: [{resistor: 8 ohm}, {parallel: [{resistor: 40 ohm}, {inductor: 11.5 mH}, {capacitor: 220 uF}]}]}
setups:
  plain: {amplifier: amp, load: flat}
  again: {amplifier: amp, load: flat}
  resonant: {amplifier: amp, load: hump}
reference: plain
`

// correctOf runs the command on a bench, which may be text, and returns what
// it writes.
func correctOf(t *testing.T, bench string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	file, text := bench, ""
	if strings.Contains(bench, "\n") {
		file, text = "-", bench
	}
	var out, errs strings.Builder
	code = run(append([]string{"correct", file}, args...), strings.NewReader(text), &out, &errs)
	return out.String(), errs.String(), code
}

type correctAnswer struct {
	Setup, Reference string
	SampleRate       float64 `json:"sample_rate_hz"`
	Level            float64 `json:"level_db"`
	Bands            []struct {
		Kind         string
		Hz           float64 `json:"frequency_hz"`
		Gain         float64 `json:"gain_db"`
		Q            float64
		Coefficients struct{ B0, B1, B2, A1, A2 float64 }
	}
	Before    float64 `json:"rms_before_db"`
	After     float64 `json:"rms_after_db"`
	Largest   float64 `json:"largest_left_db"`
	LargestHz float64 `json:"largest_left_hz"`
}

func correctJSON(t *testing.T, bench string, args ...string) (a correctAnswer) {
	t.Helper()
	out, errs, code := correctOf(t, bench, append(args, "--format", "json")...)
	if code != exitOK {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// correctCSV returns the columns of numbers of a CSV answer.
func correctCSV(t *testing.T, bench string, args ...string) (hz, deviation, correction, left []float64) {
	t.Helper()
	out, errs, code := correctOf(t, bench, append(args, "--format", "csv")...)
	if code != exitOK {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	records, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(records[0], ","); got != "setup,frequency_hz,deviation_db,correction_db,left_db" {
		t.Errorf("columns %s", got)
	}
	for _, r := range records[1:] {
		for i, column := range []*[]float64{&hz, &deviation, &correction, &left} {
			x, err := strconv.ParseFloat(r[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			*column = append(*column, x)
		}
	}
	return hz, deviation, correction, left
}

// The load R in series with a resonance of Rp, L, C behind a source Rs divides
// the voltage by a rational function of second order: a peak with
// A/Q = (R+Rp)/(R·Qp) and 1/(A·Q) = (R+Rs+Rp)/((R+Rs)·Qp), worked by hand. The
// band that undoes it has the opposite gain.
func TestCorrectFindsResonance(t *testing.T) {
	const r, rs, rp, l, c = 8, 6, 40, 11.5e-3, 220e-6
	qp := rp * math.Sqrt(c/l)
	over, under := (r+rp)/(r*qp), (r+rs+rp)/((r+rs)*qp)
	hz, gain, q := 1/(2*math.Pi*math.Sqrt(l*c)), 20*math.Log10(over/under), 1/math.Sqrt(over*under)

	a := correctJSON(t, correctBench, "resonant", "--sample-rate", "192 kHz")
	if len(a.Bands) != 1 {
		t.Fatalf("%d bands, want the one that is there: %+v", len(a.Bands), a.Bands)
	}
	b := a.Bands[0]
	if b.Kind != "peak" || math.Abs(b.Hz/hz-1) > 1e-3 || math.Abs(b.Gain+gain) > 0.01 || math.Abs(b.Q/q-1) > 5e-3 {
		t.Errorf("%+v, want a peak at %.2f Hz of %.3f dB, Q %.4f", b, hz, -gain, q)
	}
	if a.Setup != "resonant" || a.Reference != "plain" || a.SampleRate != 192e3 || a.Before < 0.5 || a.After > 1e-4 {
		t.Errorf("%+v", a)
	}
}

// decibelsOf returns the level of a section of second order on the unit circle.
func decibelsOf(b0, b1, b2, a1, a2, hz, rate float64) float64 {
	z := cmplx.Exp(complex(0, 2*math.Pi*hz/rate))
	z2 := z * z
	h := (complex(b0, 0)*z2 + complex(b1, 0)*z + complex(b2, 0)) / (z2 + complex(a1, 0)*z + complex(a2, 0))
	return 20 * math.Log10(cmplx.Abs(h))
}

const attic = "../../testdata/attic.yaml"

// The coefficients, evaluated on the unit circle, are the correction that the
// curves show, and what is left amounts to what is reported.
func TestCorrectCoefficients(t *testing.T) {
	for _, rate := range []string{"44.1 kHz", "48 kHz", "96000"} {
		args := []string{"open-back", "--bands", "5", "--sample-rate", rate}
		a := correctJSON(t, attic, args...)
		hz, deviation, correction, left := correctCSV(t, attic, args...)
		for i, f := range hz {
			db := a.Level
			for _, b := range a.Bands {
				k := b.Coefficients
				db += decibelsOf(k.B0, k.B1, k.B2, k.A1, k.A2, f, a.SampleRate)
			}
			if math.Abs(db-correction[i]) > 1e-6 || math.Abs(left[i]-deviation[i]-correction[i]) > 1e-9 {
				t.Fatalf("%s: at %g Hz sections give %g dB, correction %g; deviation %g, left %g", rate, f, db, correction[i], deviation[i], left[i])
			}
		}
		weights, err := hearing.ERBWeights(nil, hz, hearing.Band{})
		if err != nil {
			t.Fatal(err)
		}
		var before, after, largest float64
		for i, w := range weights {
			before, after = before+w*deviation[i]*deviation[i], after+w*left[i]*left[i]
			if hz[i] >= 60 && hz[i] <= 10e3 {
				largest = math.Max(largest, math.Abs(left[i]))
			}
		}
		if math.Abs(math.Sqrt(before)-a.Before) > 1e-9 || math.Abs(math.Sqrt(after)-a.After) > 1e-6 || math.Abs(largest-math.Abs(a.Largest)) > 1e-9 {
			t.Errorf("%s: RMS %.4f before, %.4f after, largest %.4f; reported %+v", rate, math.Sqrt(before), math.Sqrt(after), largest, a)
		}
		if a.After > a.Before/5 {
			t.Errorf("%s: %d bands leave %.3f of %.3f dB", rate, len(a.Bands), a.After, a.Before)
		}
	}
}

// The table prints the digits that a listener needs: read back from it, the
// sections respond as the ones of the JSON answer do.
func TestCorrectTable(t *testing.T) {
	out, _, code := correctOf(t, attic, "dummy-alone", "--sample-rate", "192 kHz")
	if code != exitOK {
		t.Fatalf("exit code %d", code)
	}
	a := correctJSON(t, attic, "dummy-alone", "--sample-rate", "192 kHz")
	for _, want := range []string{
		"dummy-alone corrected towards cab-alone between 60 Hz and 10 kHz",
		fmt.Sprintf("RMS deviation: %.2f dB before, %.2f dB after", a.Before, a.After),
		"Sections of second order at 192 kHz, a0 = 1",
		"before a stage\nthat is overdriven", "loadscape check", "harms hearing",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	_, sections, ok := strings.Cut(out, "a2\n")
	if !ok {
		t.Fatalf("no sections in\n%s", out)
	}
	for i, b := range a.Bands {
		var n int
		var k [5]float64
		line, rest, _ := strings.Cut(sections, "\n")
		if _, err := fmt.Sscan(line, &n, &k[0], &k[1], &k[2], &k[3], &k[4]); err != nil || n != i+1 {
			t.Fatalf("line %q: %v", line, err)
		}
		sections = rest
		for hz := 20.0; hz < 20e3; hz *= 1.3 {
			c := b.Coefficients
			printed := decibelsOf(k[0], k[1], k[2], k[3], k[4], hz, a.SampleRate)
			exact := decibelsOf(c.B0, c.B1, c.B2, c.A1, c.A2, hz, a.SampleRate)
			if math.Abs(printed-exact) > 1e-4 {
				t.Errorf("band %d at %g Hz: printed %g dB, exactly %g", n, hz, printed, exact)
			}
		}
	}
}

// More bands leave less, and no band goes past what was allowed.
func TestCorrectOptions(t *testing.T) {
	last := math.Inf(1)
	for bands := 1; bands <= 4; bands++ {
		a := correctJSON(t, attic, "open-back", "--bands", strconv.Itoa(bands))
		if len(a.Bands) > bands || a.After >= last {
			t.Errorf("at most %d bands: %d leave %.3f dB, fewer leave %.3f", bands, len(a.Bands), a.After, last)
		}
		last = a.After
	}
	for _, b := range correctJSON(t, attic, "open-back", "--max-gain", "3 dB").Bands {
		if math.Abs(b.Gain) > 3+1e-9 {
			t.Errorf("band of %g dB, at most 3 allowed", b.Gain)
		}
	}
	if a := correctJSON(t, attic, "cab-alone", "--reference", "dummy-alone"); a.Reference != "dummy-alone" || a.Before < 1 {
		t.Errorf("%+v", a)
	}
}

func TestCorrectNothing(t *testing.T) {
	out, errs, code := correctOf(t, correctBench, "again")
	if code != exitOK || !strings.Contains(out, "0 of at most 4 bands.\nWhat is left is not worth another band.") || strings.Contains(out, "a2") {
		t.Errorf("exit code %d, %s\n%s", code, errs, out)
	}
	if a := correctJSON(t, correctBench, "again"); a.Bands == nil || len(a.Bands) != 0 || a.Before > 1e-12 {
		t.Errorf("%+v", a)
	}
}

func TestCorrectFigure(t *testing.T) {
	file := filepath.Join(t.TempDir(), "correction.svg")
	if _, errs, code := correctOf(t, attic, "dummy-alone", "--figure", file); code != exitOK {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	svg, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"dummy-alone", "correction", "what is left", "listening band"} {
		if !strings.Contains(string(svg), want) {
			t.Errorf("no %q in the figure", want)
		}
	}
}

func TestCorrectErrors(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "expected loadscape correct BENCH SETUP"},
		{[]string{"plain"}, "plain is the reference itself"},
		{[]string{"resonnant"}, `did you mean "resonant"?`},
		{[]string{"resonant", "--bands", "0"}, "--bands 0: expected 1 to 16"},
		{[]string{"resonant", "--bands", "17"}, "--bands 17: expected 1 to 16"},
		{[]string{"resonant", "--bands", "many"}, "--bands"},
		{[]string{"resonant", "--sample-rate", "20 kHz"}, "--sample-rate 20 kHz: expected more than twice 10 kHz"},
		{[]string{"resonant", "--sample-rate", "-48 kHz"}, "--sample-rate -48 kHz: expected more than twice"},
		{[]string{"resonant", "--sample-rate", "Inf"}, "--sample-rate: found"},
		{[]string{"resonant", "--sample-rate", "48 ms"}, "--sample-rate: found"},
		{[]string{"resonant", "--max-gain", "0"}, "--max-gain: found"},
		{[]string{"resonant", "--max-gain", "-6 dB"}, "--max-gain: found"},
		{[]string{"resonant", "--max-gain", "100.5 dB"}, "expected a level above zero and up to 100 dB"},
		{[]string{"resonant", "--max-gain", "NaN"}, "--max-gain: found"},
		{[]string{"resonant", "--reference", "none"}, "--reference: no setup"},
		{[]string{"resonant", "--figure-type", "seen"}, "--figure-type seen: expected correction"},
	} {
		out, errs, code := correctOf(t, correctBench, c.args...)
		if code != exitUsage || out != "" || !strings.Contains(errs, c.want) {
			t.Errorf("correct %v: exit code %d, answer %q, error %q; want it to say %q", c.args, code, out, errs, c.want)
		}
	}
	// The most bands that are accepted can also be had.
	if _, errs, code := correctOf(t, correctBench, "resonant", "--bands", "16"); code != exitOK {
		t.Errorf("16 bands: exit code %d, %s", code, errs)
	}
}
