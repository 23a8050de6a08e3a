package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// loudnessOf runs the command and returns what it writes.
func loudnessOf(t *testing.T, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs strings.Builder
	code = run(append([]string{"loudness"}, args...), strings.NewReader(""), &out, &errs)
	return out.String(), errs.String(), code
}

// loudnessRows returns the rows of a CSV answer, less its head, as numbers.
func loudnessRows(t *testing.T, text string) [][]float64 {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(records[0], ","); got != "from_phon,to_phon,frequency_hz,from_db,to_db,boost_db" {
		t.Errorf("columns %s", got)
	}
	var rows [][]float64
	for _, r := range records[1:] {
		var row []float64
		for _, cell := range r {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, x)
		}
		rows = append(rows, row)
	}
	return rows
}

// ISO 226:2023, Table B.1, to the tenth of a dB that it gives.
func TestLoudnessContoursPublished(t *testing.T) {
	out, _, code := loudnessOf(t, "90 phon", "80", "60", "40", "20", "--format", "csv")
	if code != exitOK {
		t.Fatalf("exit code %d", code)
	}
	low, _, _ := loudnessOf(t, "80", "40", "20", "--format", "csv")
	type at struct{ phon, hz float64 }
	got := map[at]float64{}
	for _, r := range append(loudnessRows(t, out), loudnessRows(t, low)...) {
		got[at{r[0], r[2]}], got[at{r[1], r[2]}] = r[3], r[4]
	}
	for _, c := range []struct{ phon, hz, db float64 }{
		{20, 20, 89.5}, {20, 12500, 33.0}, {40, 63, 73.0}, {40, 1000, 40.0},
		{40, 8000, 51.6}, {60, 500, 62.1}, {80, 20, 118.9}, {90, 4000, 88.8},
	} {
		if db, ok := got[at{c.phon, c.hz}]; !ok || math.Abs(db-c.db) > 0.05 {
			t.Errorf("%g phon at %g Hz: %.3f dB, want %.1f", c.phon, c.hz, db, c.db)
		}
	}
}

// Boosts worked by another program from formula 1 of ISO 226:2023.
func TestLoudnessBoostPublished(t *testing.T) {
	out, _, _ := loudnessOf(t, "80 phon", "60 phon", "--format", "csv")
	rows := loudnessRows(t, out)
	if len(rows) != 29 {
		t.Errorf("%d rows, want the standard's 29 frequencies", len(rows))
	}
	want := map[float64]float64{20: 10.508, 63: 7.456, 100: 6.043, 250: 3.113, 1000: 0, 4000: -0.803}
	for _, r := range rows {
		if w, ok := want[r[2]]; ok && math.Abs(r[5]-w) > 0.0006 {
			t.Errorf("at %g Hz %.4f dB, want %.3f", r[2], r[5], w)
		}
		if d := (r[4] - r[1]) - (r[3] - r[0]); math.Abs(r[5]-d) > 1e-9 {
			t.Errorf("at %g Hz boost %g dB, the contours differ by %g", r[2], r[5], d)
		}
	}
}

// Turning down in two steps asks for what one step asks for; turning up takes
// it away again.
func TestLoudnessStepsAdd(t *testing.T) {
	boost := func(from, to string) []float64 {
		out, _, _ := loudnessOf(t, from, to, "--format", "csv")
		var db []float64
		for _, r := range loudnessRows(t, out) {
			db = append(db, r[5])
		}
		return db
	}
	whole, first, second, up := boost("78", "52"), boost("78", "63"), boost("63", "52"), boost("52", "78")
	for i := range whole {
		if math.Abs(whole[i]-first[i]-second[i]) > 1e-9 || math.Abs(whole[i]+up[i]) > 1e-9 {
			t.Errorf("row %d: %g dB at once, %g and %g dB in two steps, %g dB back", i, whole[i], first[i], second[i], up[i])
		}
	}
}

func TestLoudnessTable(t *testing.T) {
	out, errs, code := loudnessOf(t, "85", "75", "65 phon")
	if code != exitOK || errs != "" {
		t.Fatalf("exit code %d, %s", code, errs)
	}
	for _, want := range []string{
		"Equal loudness from 85 phon to 75 phon, 65 phon (ISO 226:2023)",
		"Hz    85 phon  75 phon  boost  65 phon  boost\n",
		"\n100   95.9     89.0     +3.0   82.0     +6.1\n",
		"covers no more than 80 phon above 4 kHz: 85 phon is left out from 5 kHz to 12.5 kHz.",
		"pure tones in a free field",
		"Loud sound harms hearing",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	if strings.Contains(out, "\n5000 ") {
		t.Error("a row at 5 kHz, where the standard does not cover 85 phon")
	}
}

// Above 4 kHz only the levels that the standard covers are shown.
func TestLoudnessPartlyCovered(t *testing.T) {
	out, errs, code := loudnessOf(t, "75", "85", "65", "--format", "csv")
	if code != exitOK || !strings.Contains(errs, "note: ISO 226:2023 covers no more than 80 phon above 4 kHz: 85 phon is left out") {
		t.Errorf("exit code %d, %q", code, errs)
	}
	rows := map[float64]int{}
	for _, r := range loudnessRows(t, out) {
		rows[r[1]]++
	}
	if rows[85] != 24 || rows[65] != 29 {
		t.Errorf("%d rows to 85 phon and %d to 65, want 24 and 29", rows[85], rows[65])
	}
	if out, _, _ = loudnessOf(t, "75", "85", "65"); !strings.Contains(out, "\n5000   76.6     -        -      66.2     -0.4\n") {
		t.Errorf("row at 5 kHz:\n%s", out)
	}
}

func TestLoudnessJSON(t *testing.T) {
	out, _, _ := loudnessOf(t, "85", "60", "--format", "json")
	var answer struct {
		Source string
		From   float64 `json:"from_phon"`
		To     []struct {
			To     float64 `json:"to_phon"`
			Points []struct {
				Hz    float64 `json:"frequency_hz"`
				Boost float64 `json:"boost_db"`
			}
		}
		Notes    []string
		Cautions string
	}
	if err := json.Unmarshal([]byte(out), &answer); err != nil {
		t.Fatal(err)
	}
	if answer.Source != "ISO 226:2023" || answer.From != 85 || len(answer.To) != 1 || answer.To[0].To != 60 ||
		len(answer.To[0].Points) != 24 || len(answer.Notes) != 1 || !strings.Contains(answer.Cautions, "hearing") {
		t.Errorf("%+v", answer)
	}
}

func TestLoudnessFigures(t *testing.T) {
	for _, kind := range []string{figureBoost, figureContours} {
		file := filepath.Join(t.TempDir(), "figure.svg")
		if _, errs, code := loudnessOf(t, "75", "85", "65", "--figure", file, "--figure-type", kind); code != exitOK {
			t.Fatalf("%s: exit code %d, %s", kind, code, errs)
		}
		svg, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"65 phon", "85 phon is left out"} {
			if !strings.Contains(string(svg), want) {
				t.Errorf("%s: no %q in the figure", kind, want)
			}
		}
	}
}

func TestLoudnessErrors(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"80", "expected loadscape loudness FROM TO"},
		{"105 80", "105 phon at 20 Hz is outside ISO 226:2023, which covers 20 to 90 phon there"},
		{"80 90.1", "90.1 phon"},
		{"80 60 19.9", "19.9 phon"},
		{"80 0", "0 phon"},
		{"-- 80 -60", "-60 phon"},
		{"80 NaN", "expected a loudness level such as 80 phon"},
		{"80 Inf", "expected a loudness level such as 80 phon"},
		{"80 1e400", "expected a loudness level such as 80 phon"},
		{"80 60dB", "expected a loudness level such as 80 phon"},
		{"80 loud", "expected a loudness level such as 80 phon"},
		{"80 60 --format xml", "--format xml: expected table, csv or json"},
		{"80 60 --figure boost.gif", "--figure"},
		{"80 60 --figure-type steps", "--figure-type steps: expected boost or contours"},
		{"80 60 --from 20", "unknown flag: --from"},
	} {
		out, errs, code := loudnessOf(t, strings.Fields(c.args)...)
		if code != exitUsage || out != "" || !strings.Contains(errs, c.want) {
			t.Errorf("loudness %s: exit code %d, answer %q, error %q; want it to say %q", c.args, code, out, errs, c.want)
		}
	}
}
