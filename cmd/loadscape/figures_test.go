package main

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "draw the README's figures anew")

// readmeFigures are the pictures of README.md and the commands that draw them.
var readmeFigures = map[string]string{
	"curves.svg":    "curve attic.yaml ash-412 pine-212 plain-8 shaped-8",
	"plane.svg":     "curve attic.yaml ash-412 shaped-8 --figure-type reactance",
	"deviation.svg": "compare attic.yaml",
	"power.svg":     "check attic.yaml both",
	"loss.svg":      "compare evening.yaml --figure-type loss",
	"ear.svg":       "compare evening.yaml wide-open pad reamped --figure-type ear",
	"tolerance.svg": "tolerance workbench.yaml stand-in",
}

// reportFigures are the pictures of README.md that a report draws, and their
// names in its directory.
var reportFigures = map[string]string{"schematic.svg": "schematic.svg", "build.svg": "impedance.svg"}

const reportCommand = "report workbench.yaml --load stand-in --target larch-412 --setup build -o"

// The pictures in the README are those that the program draws. Floating point
// differs in the last place between processors, so only that on which they
// were drawn is held to them byte by byte.
func TestReadmeFigures(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log")
	runIn(t, append(strings.Fields(reportCommand), log))
	for name, from := range reportFigures {
		keep(t, name, filepath.Join(log, from))
	}
	for name, command := range readmeFigures {
		t.Run(name, func(t *testing.T) {
			drawn := filepath.Join(t.TempDir(), name)
			runIn(t, strings.Fields(strings.Replace(command, ".yaml", ".yaml --figure "+drawn, 1)))
			keep(t, name, drawn)
		})
	}
}

// runIn runs a command on a bench of testdata.
func runIn(t *testing.T, args []string) {
	t.Helper()
	args[1] = filepath.Join("../../testdata", args[1])
	var stderr bytes.Buffer
	if code := run(args, nil, io.Discard, &stderr); code != exitOK {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
}

// keep holds a picture of the README to the one that was drawn, or keeps that.
func keep(t *testing.T, name, drawn string) {
	t.Helper()
	got, err := os.ReadFile(drawn)
	if err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join("../../testdata/figures", name)
	if *update {
		if err := os.WriteFile(kept, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOARCH == "amd64" && !bytes.Equal(got, want) {
		t.Errorf("%s is not what the program draws; draw it anew with go test ./cmd/loadscape -run Figures -update", kept)
	}
}
