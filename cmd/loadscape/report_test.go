package main

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const workbench = "../../testdata/workbench.yaml"

// reported runs report and returns the files that it wrote.
func reported(t *testing.T, stdin string, args ...string) map[string]string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "log")
	var out, notes bytes.Buffer
	if code := run(append([]string{"report", "-o", dir, "--builds", "200"}, args...), strings.NewReader(stdin), &out, &notes); code != exitOK || out.Len() > 0 {
		t.Fatalf("report %v: exit %d, %q, %s", args, code, out.String(), notes.String())
	}
	files := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = string(data)
	}
	return files
}

// elements returns the names of the elements of a document, which must be well
// formed, and its text.
func elements(t *testing.T, doc string) (names map[string]int, text string) {
	t.Helper()
	var all strings.Builder
	names = map[string]int{}
	d := xml.NewDecoder(strings.NewReader(doc))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return names, all.String()
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			names[token.Name.Local]++
		case xml.CharData:
			all.Write(token)
		}
	}
}

func TestReportOfWorkbench(t *testing.T) {
	files := reported(t, "", workbench)
	want := []string{"bench.yaml", "impedance.svg", "index.html", "parts.csv", "report.md", "schematic.svg", "tone.svg"}
	if got := slices.Sorted(mapKeys(files)); !slices.Equal(got, want) {
		t.Fatalf("files %v, expected %v", got, want)
	}
	source, err := os.ReadFile(workbench)
	if err != nil {
		t.Fatal(err)
	}
	if files["bench.yaml"] != string(source) {
		t.Error("the bench file is not the one that was read")
	}
	names, text := elements(t, files["index.html"])
	if names["svg"] != 3 || names["script"] > 0 || names["link"] > 0 || names["img"] > 0 {
		t.Errorf("elements %v", names)
	}
	for _, form := range []string{text, files["report.md"]} {
		for _, want := range []string{"What was asked", "Schematic", "Parts", "Coils to wind", "Impedance", "Tone", "How builds spread", "Is it safe", "The bench file",
			"larch-412", "lethal voltages", "qualified technician", "nine tenths of 200 builds", "Heat in all", "lowest impedance", string(source)[:60]} {
			if !strings.Contains(form, want) {
				t.Errorf("%q is missing", want)
			}
		}
	}
	for _, name := range []string{"impedance.svg", "tone.svg", "schematic.svg"} {
		elements(t, files[name])
		if !strings.Contains(files["report.md"], "]("+name+")") || !strings.Contains(files["index.html"], files[name]) {
			t.Errorf("%s is not in both forms", name)
		}
	}
	outside := regexp.MustCompile(`(src|href)="[^#]|url\(|@import`)
	if s := outside.FindString(files["index.html"]); s != "" {
		t.Errorf("the page asks for something from outside: %q", s)
	}
}

func mapKeys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// The same bench gives the same bytes, whatever the number of cores.
func TestReportIsDeterministic(t *testing.T) {
	first := reported(t, "", workbench)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for name, data := range reported(t, "", workbench) {
		if data != first[name] {
			t.Errorf("%s differs between two runs", name)
		}
	}
}

// simpleBench has a load whose parts bear what Ohm's law says: 10 ohm and 30
// ohm in series on a source of no impedance that brings 40 W into 40 ohm, 1 A.
const simpleBench = `title: Simple
sweep: {from: 20 Hz, to: 20 kHz, per_octave: 6}
amplifiers: {desk: {stage: solid-state, rated_power: 40 W, tap: 40 ohm, output_impedance: 0 ohm}}
loads:
  pair:
    series:
      - {resistor: 10 ohm, power_rating: 50 W}
      - {resistor: 30 ohm, tolerance: 5 %, power_rating: 200 W}
  coil: {series: [{resistor: 8 ohm}, {inductor: 1 mH, dcr: 0.5 ohm}, {capacitor: 100 uF}]}
  knot: {circuit: {between: [in, gnd], parts: [{resistor: 4 ohm, from: in, to: a}, {inductor: 2 mH, from: a, to: gnd}, {resistor: 9 ohm, from: a, to: gnd}]}}
setups:
  first: {amplifier: desk, load: pair}
  other: {amplifier: desk, load: coil}
  third: {amplifier: desk, load: {parallel: [knot, pair]}}
reference: first
`

func partRows(t *testing.T, text string) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var parts []map[string]string
	for _, r := range rows[1:] {
		p := map[string]string{}
		for i, c := range r {
			p[rows[0][i]] = c
		}
		parts = append(parts, p)
	}
	return parts
}

func TestReportParts(t *testing.T) {
	value := func(p map[string]string, column string, want, tolerance float64) {
		t.Helper()
		if got, err := strconv.ParseFloat(p[column], 64); err != nil || math.Abs(got-want) > tolerance*want {
			t.Errorf("%s of %s is %q, expected %g", column, p["mark"], p[column], want)
		}
	}
	parts := partRows(t, reported(t, simpleBench, "-", "--load", "pair")["parts.csv"])
	if len(parts) != 2 {
		t.Fatalf("%d parts, expected 2", len(parts))
	}
	for i, ohms := range []float64{10, 30} {
		p := parts[i]
		value(p, "value", ohms, 1e-9)
		value(p, "rated_power_w", ohms, 1e-9) // 1 A
		value(p, "overdriven_power_w", 2*ohms, 1e-9)
		value(p, "overdriven_current_a", math.Sqrt2, 1e-9)
		value(p, "overdriven_peak_voltage_v", 2*ohms, 1e-9)
		if p["mark"] != "R"+strconv.Itoa(i+1) || p["verdict"] == "danger" {
			t.Errorf("part %v", p)
		}
	}
	// The coil keeps the resistance stated, by the thinnest gauge that does.
	parts = partRows(t, reported(t, simpleBench, "-", "--load", "coil")["parts.csv"])
	marks := []string{parts[0]["mark"], parts[1]["mark"], parts[2]["mark"]}
	if !slices.Equal(marks, []string{"R1", "L1", "C1"}) {
		t.Errorf("marks %v", marks)
	}
	ohms, _ := strconv.ParseFloat(parts[1]["coil_resistance_ohm"], 64)
	if ohms <= 0.5*0.75 || ohms > 0.5*1.02 {
		t.Errorf("a coil of %g ohm for one of 0.5 ohm", ohms)
	}
	if parts[0]["verdict"] != "caution" {
		t.Errorf("an unrated part is judged %q", parts[0]["verdict"])
	}
}

// Parts are found wherever the setup has the load, and a circuit lists the
// nodes of its parts.
func TestReportOfCircuit(t *testing.T) {
	files := reported(t, simpleBench, "-", "--load", "knot")
	parts := partRows(t, files["parts.csv"])
	for i, want := range []string{"in to a", "a to gnd", "a to gnd"} {
		if parts[i]["between"] != want {
			t.Errorf("part %d lies between %q, expected %q", i, parts[i]["between"], want)
		}
		if w, _ := strconv.ParseFloat(parts[i]["overdriven_current_a"], 64); w <= 0 {
			t.Errorf("part %d carries nothing", i)
		}
	}
	if !strings.Contains(files["schematic.svg"], "R1 to R2") || !strings.Contains(files["report.md"], "No part of the load states a tolerance") {
		t.Error("the circuit or what is missing is not told")
	}
}

// A setup with the target in place of the load differs from itself by nothing.
func TestReportAgainstItself(t *testing.T) {
	files := reported(t, simpleBench, "-", "--load", "pair", "--target", "pair")
	if !strings.Contains(files["report.md"], "off by 0 %") || !strings.Contains(files["report.md"], "the largest deviation is none") {
		t.Error("a load differs from itself")
	}
}

func TestReportMeasured(t *testing.T) {
	table := filepath.Join(t.TempDir(), "pair.csv")
	if err := os.WriteFile(table, []byte("frequency_hz,magnitude_ohm,phase_deg\n50,44,0\n500,44,0\n5000,44,0\n9000,44,0\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	files := reported(t, simpleBench, "-", "--load", "pair", "--measured", table)
	if !strings.Contains(files["report.md"], "At the 3 frequencies measured") || !strings.Contains(files["report.md"], "off the computed load by 10 %") {
		t.Error("44 ohm measured of 40 ohm are not told to be off by 10 %")
	}
	if !strings.Contains(files["impedance.svg"], ">measured<") {
		t.Error("the measurement is not drawn")
	}
}

// A table that was computed of the very load, at frequencies of its own, is off
// by nothing, on the flanks of a resonance too.
func TestReportMeasuredExactly(t *testing.T) {
	table := filepath.Join(t.TempDir(), "stand-in.csv")
	var out, notes bytes.Buffer
	if code := run([]string{"curve", workbench, "stand-in", "--per-octave", "7", "-o", table}, nil, &out, &notes); code != exitOK {
		t.Fatal(notes.String())
	}
	md := reported(t, "", workbench, "--measured", table)["report.md"]
	found := regexp.MustCompile(`off the computed load by (\S+) %`).FindStringSubmatch(md)
	if found == nil {
		t.Fatal("the measurement is not compared")
	}
	const digits = 1e-8 // % of a table of twelve digits
	if off, err := strconv.ParseFloat(found[1], 64); err != nil || off > digits {
		t.Errorf("off by %s %%", found[1])
	}
}

// Names and titles of a bench that would be markup or a formula stay text.
func TestReportOfHostileBench(t *testing.T) {
	const evil = `<script>alert(1)</script>`
	name := `"=cmd|<img src=x onerror=alert(1)>![x](mailto:a@b.c)"`
	hostile := strings.NewReplacer("title: Simple", "title: '"+evil+" [x](javascript:y) </title>'", "pair", name, "first", `"<b onload=x>"`).Replace(simpleBench) +
		"# ```\n# </code></pre>" + evil + "\n"
	files := reported(t, hostile, "-")
	plain := reported(t, simpleBench, "-")
	for _, file := range []string{"index.html", "schematic.svg", "impedance.svg", "tone.svg"} {
		got, _ := elements(t, files[file])
		want, _ := elements(t, plain[file])
		for _, e := range []string{"script", "img", "b", "pre", "title", "a"} {
			if got[e] != want[e] {
				t.Errorf("%s: %d elements %s, expected %d", file, got[e], e, want[e])
			}
		}
	}
	prose, _, _ := strings.Cut(files["report.md"], "````yaml")
	markup := regexp.MustCompile(`<|://|\w@|[^\\]\]\((mailto|javascript)`)
	if s := markup.FindString(prose); s != "" {
		t.Errorf("the Markdown version holds %q", s)
	}
	files = reported(t, hostile, "-", "--setup", "<b onload=x>")
	for _, p := range partRows(t, files["parts.csv"]) {
		if !strings.HasPrefix(p["part"], "'=") {
			t.Errorf("a spreadsheet takes %q for a formula", p["part"])
		}
	}
}

func TestReportErrors(t *testing.T) {
	dir := t.TempDir()
	taken := filepath.Join(dir, "file")
	if err := os.WriteFile(taken, []byte("kept"), 0o644); err != nil {
		t.Fatal(err)
	}
	log := filepath.Join(dir, "log")
	for _, x := range []struct {
		code int
		args []string
		says string
	}{
		{exitUsage, []string{"-"}, "output"},
		{exitUsage, []string{"-", "-o", ""}, "directory"},
		{exitUsage, []string{"-", "-o", log, "--load", "nonesuch"}, "nonesuch"},
		{exitUsage, []string{"-", "-o", log, "--setup", "nonesuch"}, "nonesuch"},
		{exitUsage, []string{"-", "-o", log, "--setup", "first", "--load", "coil"}, "is not coil"},
		{exitUsage, []string{"-", "-o", log, "--target", "nonesuch"}, "nonesuch"},
		{exitUsage, []string{"-", "-o", log, "--builds", "0"}, "--builds 0"},
		{exitUsage, []string{"-", "-o", log, "--measured", taken}, "--measured"},
		{exitFile, []string{"-", "-o", log, "--measured", filepath.Join(dir, "none.csv")}, "none.csv"},
		{exitFile, []string{"-", "-o", taken}, "directory"},
		{exitFile, []string{"-", "-o", filepath.Join(dir, "no", "such")}, "such"},
		{exitFile, []string{filepath.Join(dir, "none.yaml"), "-o", log}, "none.yaml"},
	} {
		var out, notes bytes.Buffer
		code := run(append([]string{"report"}, x.args...), strings.NewReader(simpleBench), &out, &notes)
		if code != x.code || !strings.Contains(notes.String(), x.says) {
			t.Errorf("%v: exit %d, %q; expected %d and %q", x.args, code, notes.String(), x.code, x.says)
		}
	}
	entries, err := os.ReadDir(dir)
	if data, e := os.ReadFile(taken); e != nil || string(data) != "kept" || err != nil || len(entries) != 1 {
		t.Errorf("something was written: %v", entries)
	}
}

// An existing directory keeps what is not part of the report.
func TestReportIntoExistingDirectory(t *testing.T) {
	dir := t.TempDir()
	for name, data := range map[string]string{"notes.txt": "mine", "parts.csv": "old"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out, notes bytes.Buffer
	if code := run([]string{"report", "-", "-o", dir, "--builds", "10"}, strings.NewReader(simpleBench), &out, &notes); code != exitOK {
		t.Fatalf("exit %d: %s", code, notes.String())
	}
	mine, _ := os.ReadFile(filepath.Join(dir, "notes.txt"))
	parts, _ := os.ReadFile(filepath.Join(dir, "parts.csv"))
	if string(mine) != "mine" || !strings.HasPrefix(string(parts), "mark,") {
		t.Errorf("notes %q, parts %.20q", mine, parts)
	}
	if hidden, _ := filepath.Glob(filepath.Join(dir, ".*")); len(hidden) > 0 {
		t.Errorf("left behind: %v", hidden)
	}
}

// A new directory that cannot be completed does not appear.
func TestWriteDirectoryIsAllOrNothing(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "log")
	if err := writeDirectory(dir, []writtenFile{{"first", []byte("1")}, {"no/such", nil}}); err == nil {
		t.Fatal("a file in a directory that is not there was written")
	}
	if left, _ := os.ReadDir(parent); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := writeDirectory(dir+"/", []writtenFile{{"first", []byte("1")}}); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(dir); err != nil || info.Mode().Perm() != 0o755 {
		t.Errorf("%v, %v", info, err)
	}
}

// A bench file of somebody's own is not replaced.
func TestReportKeepsAnotherBench(t *testing.T) {
	dir := t.TempDir()
	own := filepath.Join(dir, "bench.yaml")
	if err := os.WriteFile(own, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	var out, notes bytes.Buffer
	if code := run([]string{"report", "-", "-o", dir, "--builds", "10"}, strings.NewReader(simpleBench), &out, &notes); code != exitFile {
		t.Errorf("exit %d: %s", code, notes.String())
	}
	if data, _ := os.ReadFile(own); string(data) != "mine" {
		t.Errorf("bench.yaml is %q", data)
	}
}

// A part in danger is never listed as ok: of two copies the harder one counts,
// and what holds a driver is not a build.
func TestReportListsTheHardestCopy(t *testing.T) {
	const head = "drivers: {d: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, rated_power: 10 W}}\n" +
		"loads: {b: {resistor: 8 ohm, power_rating: 60 W}, c: {parallel: [b, {series: [{resistor: 8 ohm, power_rating: 900 W}, b]}]}, mix: {series: [{resistor: 4 ohm}, d]}}\n" +
		"amplifiers: {a: {stage: solid-state, rated_power: 40 W, tap: 8 ohm, output_impedance: 0.1 ohm}}\n" +
		"setups: {s: {amplifier: a, load: c}, m: {amplifier: a, load: mix}}\n"
	dir := filepath.Join(t.TempDir(), "log")
	var out, notes bytes.Buffer
	if code := run([]string{"report", "-", "--load", "c", "--setup", "s", "-o", dir, "--builds", "10"}, strings.NewReader(head), &out, &notes); code != exitOK {
		t.Fatalf("exit %d: %s", code, notes.String())
	}
	parts, _ := os.ReadFile(filepath.Join(dir, "parts.csv"))
	if !strings.Contains(string(parts), "danger") {
		t.Errorf("the copy straight across 40 W is not in danger: %s", parts)
	}
	notes.Reset()
	if code := run([]string{"report", "-", "--load", "mix", "--setup", "m", "-o", dir + "2", "--builds", "10"}, strings.NewReader(head), &out, &notes); code != exitUsage || !strings.Contains(notes.String(), "holds d") {
		t.Errorf("exit %d: %s", code, notes.String())
	}
}
