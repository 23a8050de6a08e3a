package main

import (
	"bytes"
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loadscape/network/measured"
)

// answered is what the program did.
type answered struct {
	code           int
	stdout, stderr string
}

// ask runs the program with something on standard input.
func ask(stdin string, args ...string) answered {
	var out, err bytes.Buffer
	code := run(args, strings.NewReader(stdin), &out, &err)
	return answered{code, out.String(), err.String()}
}

// wants checks an answer for its exit code and for texts in either stream.
func (a answered) wants(t *testing.T, code int, texts ...string) {
	t.Helper()
	if a.code != code {
		t.Errorf("exit code %d, want %d\n%s%s", a.code, code, a.stdout, a.stderr)
	}
	for _, s := range texts {
		if !strings.Contains(a.stdout+a.stderr, s) {
			t.Errorf("want %q in\n%s%s", s, a.stdout, a.stderr)
		}
	}
}

// inFile writes a file and returns its name.
func inFile(t *testing.T, name, text string) string {
	t.Helper()
	name = filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// readBack reads a table that the program wrote.
func readBack(t *testing.T, file string) *measured.Table {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := measured.Read(f, file, measured.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// european is a table as a program elsewhere might write it: 3-4-5 triangles
// are 5 ohm at 53.13 degrees.
const european = `Messung;;
f [kHz];R [Ohm];X [Ohm]
1,0;3,0;4,0
0,1;8;0
10;3;-4
10;3;-4
`

func TestTable(t *testing.T) {
	a := ask("", "table", inFile(t, "cab.txt", european))
	a.wants(t, 0, "cab\n───\n", "3, from 100 Hz to 10 kHz", "5 ohm at 1 kHz", "8 ohm at 100 Hz", "53.1°",
		"note: line 4: 100 Hz after 1000 Hz: rows sorted", "10000 Hz stands on 2 lines")
	if a.stderr != "" {
		t.Errorf("told twice: %s", a.stderr)
	}
	ask(european, "table", "-").wants(t, 0, "measured\n────────\n", "from 100 Hz to 10 kHz")
}

// Every form that is written reads back as the same impedance.
func TestTableRoundTrip(t *testing.T) {
	source := inFile(t, "cab.txt", european)
	for _, args := range [][]string{
		{"out.csv"},
		{"out.s1p"},
		{"out.ts"},
		{"out.S1P", "--touchstone-parameter", "S", "--touchstone-format", "MA", "--touchstone-unit", "kHz", "--touchstone-resistance", "8.2 ohm"},
		{"out.ts", "--touchstone-parameter", "Y", "--touchstone-format", "DB", "--touchstone-version", "2.0"},
		{"out.s1p", "--touchstone-version", "2.0"},
	} {
		out := filepath.Join(t.TempDir(), args[0])
		a := ask("", append([]string{"table", source, "--name", "triangle", "-o", out}, args[1:]...)...)
		a.wants(t, 0, "note: line 4")
		if a.stdout != "" {
			t.Errorf("%q on standard output", a.stdout)
		}
		got := readBack(t, out)
		for i, want := range []complex128{8, 3 + 4i, 3 - 4i} {
			if hz := math.Pow(10, float64(i+2)); math.Abs(got.Hz[i]-hz) > 1e-9*hz || cmplx.Abs(got.Z[i]-want) > 1e-9 {
				t.Errorf("%v: %g at %g Hz, want %g at %g", args, got.Z[i], got.Hz[i], want, hz)
			}
		}
	}
}

func TestTableTouchstone(t *testing.T) {
	a := ask(european, "table", "-", "--format", "touchstone", "--touchstone-resistance", "1 ohm", "--name", "cab")
	if want := "! cab\n# HZ Z RI R 1\n100 8 0\n1000 3 4\n10000 3 -4\n"; a.stdout != want {
		t.Errorf("%q, want %q", a.stdout, want)
	}
	ask("Hz,ohm,deg,coherence\n10,8,0,1\n20,8,0,0.9\n", "table", "-", "--format", "touchstone").
		wants(t, 0, "no place for the coherence")
}

func TestTableJSON(t *testing.T) {
	a := ask("Hz,ohm,deg,coherence\n10,5,90,1\n20,8,100,0.5\n", "table", "-", "--format", "json", "--name", "x")
	var got struct {
		Name     string
		Derived  bool `json:"phase_derived"`
		Points   []map[string]float64
		Warnings []struct{ Says string }
	}
	if err := json.Unmarshal([]byte(a.stdout), &got); err != nil {
		t.Fatal(err)
	}
	if p := got.Points; got.Name != "x" || got.Derived || len(p) != 2 || p[0]["frequency_hz"] != 10 || math.Abs(p[0]["reactance_ohm"]-5) > 1e-9 || p[1]["coherence"] != 0.5 {
		t.Errorf("%+v", got)
	}
	if len(got.Warnings) != 1 || !strings.Contains(got.Warnings[0].Says, "negative resistance at 20 Hz") {
		t.Errorf("%+v", got.Warnings)
	}
}

func TestTableDerivedPhase(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("Hz ohm\n")
	for _, f := range []string{"10", "20", "40", "80", "160", "320", "640", "1280", "2560"} {
		rows.WriteString(f + " 8\n")
	}
	a := ask(rows.String(), "table", "-", "--figure", filepath.Join(t.TempDir(), "f.svg"))
	a.wants(t, 0, "0° to 0°, computed from the magnitude", "note: no phase given")
}

func TestTableMistakes(t *testing.T) {
	bad := inFile(t, "bad.csv", "Hz,ohm\n20,8\n30,eight\n")
	good := inFile(t, "good.csv", "Hz,ohm,deg\n20,8,0\n30,8,0\n")
	for _, test := range []struct {
		code int
		want string
		args []string
	}{
		{2, bad + ":3:4: ", []string{bad}},
		{3, "no such file", []string{"absent.csv"}},
		{3, "is a directory", []string{t.TempDir()}},
		{3, "write", []string{good, "-o", filepath.Join(t.TempDir(), "none", "x.csv")}},
		{2, "--format yaml: expected table, csv", []string{good, "--format", "yaml"}},
		{2, "--figure", []string{good, "--figure", "x.gif"}},
		{2, "--touchstone-resistance", []string{good, "--touchstone-resistance", "0 ohm"}},
		{2, `Touchstone version "3"`, []string{good, "--touchstone-version", "3"}},
		{2, `parameter "H"`, []string{good, "--touchstone-parameter", "H"}},
		{2, "do not answer to the header", []string{good, "--header", "kHz, ohm"}},
		{2, "expected loadscape table FILE", nil},
	} {
		ask("", append([]string{"table"}, test.args...)...).wants(t, test.code, "loadscape: ", test.want)
	}
}
