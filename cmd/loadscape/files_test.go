package main

import (
	"bytes"
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// only fails unless a directory holds the given files and nothing else.
func only(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(names, " ") {
		t.Errorf("the directory holds %q, want %q", got, names)
	}
}

func contents(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// An answer in a file is that on standard output, in the form that the file's
// name or --format asks for.
func TestOutputFile(t *testing.T) {
	for _, command := range []string{"curve", "compare", "check"} {
		code := map[string]int{"check": exitDanger}[command]
		for name, format := range map[string]string{"a.csv": "csv", "a.CSV": "csv", "a.json": "json", "a.txt": "table", "a": "table"} {
			file := filepath.Join(t.TempDir(), name)
			a := ask(smallBench, command, "-", "-o", file)
			a.wants(t, code)
			if a.stdout != "" {
				t.Errorf("%s -o %s: on standard output %.60q", command, name, a.stdout)
			}
			want := ask(smallBench, command, "-", "--format", format).stdout
			if got := contents(t, file); got != want || got == "" {
				t.Errorf("%s -o %s: not the answer as %s:\n%.200s", command, name, format, got)
			}
			only(t, filepath.Dir(file), name)
		}
		file := filepath.Join(t.TempDir(), "a.csv")
		ask(smallBench, command, "-", "--output", file, "--format", "json").wants(t, code)
		if !json.Valid([]byte(contents(t, file))) {
			t.Errorf("%s: --format does not outweigh the name of the file", command)
		}
	}
}

// An existing file is replaced by a complete answer, and by nothing else.
func TestExistingFile(t *testing.T) {
	dir := t.TempDir()
	answer, figure := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.svg")
	keep := func() {
		t.Helper()
		for _, f := range []string{answer, figure} {
			if err := os.WriteFile(f, []byte("old"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	keep()
	for _, args := range []string{
		"compare - nonesuch", "compare - --from 2kHz --to 1kHz", "compare - --format xml", "compare - --reference nonesuch",
		"compare - sound",             // nothing to draw
		"curve - nonesuch", "check -", // which setup to draw
	} {
		a := ask(smallBench, append(strings.Fields(args), "-o", answer, "--figure", figure)...)
		if a.code != exitUsage {
			t.Errorf("%s: exit code %d", args, a.code)
		}
		if contents(t, answer) != "old" || contents(t, figure) != "old" {
			t.Errorf("%s: a file was touched by what was refused", args)
		}
	}
	// The figure cannot be written, so the answer is not either.
	ask(smallBench, "curve", "-", "-o", answer, "--figure", filepath.Join(dir, "nodir", "b.svg")).wants(t, exitFile, "nodir")
	if contents(t, answer) != "old" {
		t.Error("the answer was written without its figure")
	}
	only(t, dir, "a.csv", "b.svg")
	ask(smallBench, "curve", "-", "-o", answer, "--figure", figure).wants(t, exitOK)
	if contents(t, answer) == "old" || contents(t, figure) == "old" {
		t.Error("a file was not replaced")
	}
	only(t, dir, "a.csv", "b.svg")
}

func TestUnwritable(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, output := range []string{filepath.Join(dir, "none", "a.csv"), filepath.Join(file, "a.csv"), dir} {
		a := ask(smallBench, "curve", "-", "-o", output)
		a.wants(t, exitFile, output)
		if a.stdout != "" {
			t.Errorf("-o %s: on standard output %.60q", output, a.stdout)
		}
	}
	only(t, dir, "file")
}

// What is not a regular file, such as a device, is written to and not replaced.
func TestDevice(t *testing.T) {
	ask(smallBench, "curve", "-", "-o", os.DevNull).wants(t, exitOK)
	if info, err := os.Stat(os.DevNull); err != nil || info.Mode().IsRegular() {
		t.Errorf("%s is now %v, %v", os.DevNull, info.Mode(), err)
	}
}

// Every figure that a command draws, in every format.
func TestFigures(t *testing.T) {
	for args, types := range map[string][]string{
		"curve -": {"impedance", "reactance"}, "compare -": {"deviation", "seen"}, "check - wrong": {"power", "clean"}, "check -": {"clean"},
	} {
		for _, kind := range types {
			for ext, begins := range map[string]string{".svg": "<svg ", ".png": "\x89PNG", ".pdf": "%PDF-"} {
				file := filepath.Join(t.TempDir(), "figure"+ext)
				a := ask(reactiveBench, append(strings.Fields(args), "--figure", file, "--figure-type", kind)...)
				if a.code > exitDanger || a.stdout == "" {
					t.Errorf("%s, %s: exit code %d, %s", args, kind, a.code, a.stderr)
					continue
				}
				drawn := contents(t, file)
				if !strings.HasPrefix(drawn, begins) {
					t.Errorf("%s, %s%s: begins with %.20q", args, kind, ext, drawn)
				}
				if _, err := png.Decode(bytes.NewReader([]byte(drawn))); ext == ".png" && err != nil {
					t.Errorf("%s, %s: %v", args, kind, err)
				}
				if ext == ".svg" && strings.HasPrefix(args, "compare") && !strings.Contains(drawn, "wrong") {
					t.Errorf("%s, %s: the curve is not named", args, kind)
				}
			}
		}
	}
}

// The same bench gives the same answer and the same figure.
func TestDeterministic(t *testing.T) {
	draw := func() string {
		file := filepath.Join(t.TempDir(), "f.svg")
		a := ask(reactiveBench, "compare", "-", "--figure", file)
		return a.stdout + contents(t, file)
	}
	if first, second := draw(), draw(); first != second {
		t.Error("two runs differ")
	}
}
