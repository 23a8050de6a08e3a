package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// quietBench has resistive loads, for which losses can be worked by hand, and
// a cabinet beside and behind a reactive load.
const quietBench = `
listening_level: %LEVEL%
drivers:
  twelve: {re: 6.5 ohm, fs: 78 Hz, qms: 8.2, qes: 0.92, vas: 51 L, sd: 522 cm2, voice_coil: {inductance: 0.6 mH}}
cabinets:
  cab: {driver: twelve, enclosure: {closed: {volume: 30 L}}}
loads:
  plain: {resistor: 8 ohm, power_rating: 400 W}
  shaped: {series: [{resistor: 6 ohm, power_rating: 400 W}, {parallel: [{resistor: 30 ohm, power_rating: 400 W}, {inductor: 12 mH, current_rating: 9 A}, {capacitor: 120 uF}]}]}
attenuators:
  pad: {l_pad: {attenuation: 6 dB, impedance: 8 ohm, power_rating: 400 W}}
  bare: {l_pad: {attenuation: 6 dB, impedance: 8 ohm}}
  switch: {t_pad: {steps: [3 dB, 10 dB], impedance: 8 ohm, power_rating: 400 W}}
amplifiers:
  valves: {stage: valve, rated_power: 40 W, tap: 8 ohm, output_impedance: 9 ohm}
  again: {stage: valve, rated_power: 40 W, tap: 8 ohm, output_impedance: 10 ohm}
  clean: {stage: solid-state, rated_power: 40 W, tap: 8 ohm, output_impedance: 0 ohm}
setups:
  open: {amplifier: valves, load: plain}
  padded: {amplifier: valves, attenuator: pad, load: plain}
  unrated: {amplifier: valves, attenuator: bare, load: plain}
  switched: {amplifier: valves, attenuator: switch, load: plain}
  third: {amplifier: valves, attenuator: switch, step: 10 dB, load: plain}
  beside: {amplifier: valves, load: {parallel: [shaped, cab]}}
  dropped: {amplifier: valves, load: plain, reamp: {amplifier: clean, load: plain, drop: 25 dB}}
  mixed: {amplifier: valves, load: shaped, reamp: {amplifier: again, load: cab, gain: -20 dB}}
`

func quietFile(t *testing.T, level string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "quiet.yaml")
	if err := os.WriteFile(file, []byte(strings.Replace(quietBench, "%LEVEL%", level, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func runQuiet(t *testing.T, want int, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := run(args, nil, &stdout, &stderr); code != want {
		t.Fatalf("%v: exit code %d, want %d: %s", args, code, want, stderr.String())
	}
	return strings.Join(strings.Fields(stdout.String()), " ")
}

// An L-pad of 6 dB into its own resistor takes off 6 dB and shows 8 ohm; the
// load looks back into (9 + 3.9905) ∥ 8.0381 ohm (radio engineers' handbooks
// for the arms; the divider by hand). T-pads of 3 and 10 dB likewise.
func TestAttenuationInNumbers(t *testing.T) {
	var stdout, stderr bytes.Buffer
	if code := run([]string{"compare", quietFile(t, "85 dB"), "--format", "json"}, nil, &stdout, &stderr); code != exitOK {
		t.Fatal(stderr.String())
	}
	var answer struct {
		Setups []struct {
			Name string
			Drop float64 `json:"level_drop_db"`
			Seen struct {
				Lowest float64 `json:"lowest_ohm"`
			}
			Attenuation *struct {
				Loss   float64 `json:"loss_1khz_db"`
				Least  float64 `json:"least_db"`
				Most   float64 `json:"most_db"`
				Source float64 `json:"source_1khz_ohm"`
			}
		}
	}
	if err := json.Unmarshal(stdout.Bytes(), &answer); err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"padded": 6, "switched at 3 dB": 3, "switched at 10 dB": 10, "third": 10}
	found := 0
	for _, s := range answer.Setups {
		loss, ok := want[s.Name]
		if s.Name == "dropped" && math.Abs(s.Drop-25) > 1e-9 {
			t.Errorf("re-amp asked for a drop of 25 dB gives %g dB", s.Drop)
		}
		if !ok {
			continue
		}
		found++
		a := s.Attenuation
		if a == nil || math.Abs(a.Loss-loss) > 1e-9 || a.Most-a.Least > 1e-9 || math.Abs(s.Drop-loss) > 1e-9 || math.Abs(s.Seen.Lowest-8) > 1e-9 {
			t.Errorf("%s: %+v, drop %g dB, sees %g ohm", s.Name, a, s.Drop, s.Seen.Lowest)
		}
		if s.Name == "padded" && math.Abs(a.Source-1/(1/12.9905+1/8.0381)) > 1e-4 {
			t.Errorf("the load looks back into %g ohm", a.Source)
		}
	}
	if found != len(want) {
		t.Errorf("found %d of %d attenuated setups", found, len(want))
	}
}

func TestUnratedPadIsNeverOK(t *testing.T) {
	text := runQuiet(t, exitOK, "check", quietFile(t, "85 dB"), "unrated")
	if !strings.Contains(text, "unrated: CAUTION") || !strings.Contains(text, "state the power rating of path/bare/series") {
		t.Error(text)
	}
}

func TestMixedCurvesAreSaid(t *testing.T) {
	text := runQuiet(t, exitOK, "compare", quietFile(t, "85 dB"))
	for _, want := range []string{
		"two curves share one output: shaped through 9 ohm",
		"cab through 9 ohm",
		"two curves are mixed, one behind the other: shaped through 9 ohm",
		"cab through 10 ohm",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said in %s", want, text)
		}
	}
	if strings.Count(text, "two curves") != 2 {
		t.Errorf("said of more setups than the two: %s", text)
	}
}

// ISO 226:2023, 80 to 60 phon at 100 Hz: 6.043 dB.
func TestEarIsAsked(t *testing.T) {
	bench := quietFile(t, "80 dB")
	text := runQuiet(t, exitOK, "compare", bench, "dropped")
	if !strings.Contains(text, "25.0 dB down from 80 phon it asks for") {
		t.Error(text)
	}
	outside := runQuiet(t, exitOK, "compare", quietFile(t, "105 dB"), "dropped")
	if !strings.Contains(outside, "leaves the range of ISO 226") {
		t.Error(outside)
	}
	if same := runQuiet(t, exitOK, "compare", bench, "beside"); !strings.Contains(same, "against open") {
		t.Error(same)
	}
}

func TestRankings(t *testing.T) {
	bench := quietFile(t, "80 dB")
	for rank, want := range map[string]string{
		"transparency": "By transparency: 1. ",
		"match":        "the stage sees 8 ohm at the lowest",
		"safety":       "unrated: caution, power rating",
	} {
		if text := runQuiet(t, exitOK, "compare", bench, "--rank", rank); !strings.Contains(text, want) {
			t.Errorf("--rank %s: %q is not in %s", rank, want, text)
		}
	}
	runQuiet(t, exitUsage, "compare", bench, "--rank", "beauty")
}
