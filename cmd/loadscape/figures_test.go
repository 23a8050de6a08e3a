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

// The pictures in the README are those that the program draws. Floating point
// differs in the last place between processors, so only that on which they
// were drawn is held to them byte by byte.
func TestReadmeFigures(t *testing.T) {
	const dir = "../../testdata"
	for name, command := range readmeFigures {
		t.Run(name, func(t *testing.T) {
			kept := filepath.Join(dir, "figures", name)
			drawn := filepath.Join(t.TempDir(), name)
			if *update {
				drawn = kept
			}
			args := strings.Fields(strings.Replace(command, ".yaml", ".yaml --figure "+drawn, 1))
			args[1] = filepath.Join(dir, args[1])
			var stderr bytes.Buffer
			if code := run(args, nil, io.Discard, &stderr); code != exitOK {
				t.Fatalf("exit code %d: %s", code, stderr.String())
			}
			got, err := os.ReadFile(drawn)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(kept)
			if err != nil {
				t.Fatal(err)
			}
			if runtime.GOARCH == "amd64" && !bytes.Equal(got, want) {
				t.Errorf("%s is not what the program draws; draw it anew with go test ./cmd/loadscape -run Figures -update", kept)
			}
		})
	}
}
