package measured

import (
	"bytes"
	"errors"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The one-port example of the Touchstone specification (version 1.1, "1-port
// Z-parameter file"; version 2.0 gives the same data unnormalised): parameters
// Z, format MA, reference 75 ohm. The files were typed from memory; the
// magnitudes of the first rows, 74.25, 60 and 53.025 ohm, are confirmed.
func TestTouchstoneSpecificationExample(t *testing.T) {
	magnitude := []float64{74.25, 60, 53.025, 30, 0.75}
	angle := []float64{-4, -22, -45, -62, -89}
	for _, file := range []string{"testdata/example-v1.s1p", "testdata/example-v2.ts"} {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		table, err := Read(bytes.NewReader(data), file, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(table.Z) != len(magnitude) {
			t.Fatalf("%s: %d rows", file, len(table.Z))
		}
		for i, z := range table.Z {
			if math.Abs(cmplx.Abs(z)-magnitude[i]) > 1e-12 || math.Abs(cmplx.Phase(z)/degree-angle[i]) > 1e-9 {
				t.Errorf("%s: row %d: %v, want %g ohm at %g°", file, i, z, magnitude[i], angle[i])
			}
			if want := float64(i+1) * 100e6; table.Hz[i] != want {
				t.Errorf("%s: row %d: %g Hz, want %g", file, i, table.Hz[i], want)
			}
		}
	}
}

// What is written is read back, in every form.
func TestTouchstoneRoundTrip(t *testing.T) {
	hz := logHz(20, 20e3, 12)
	want := &Table{Name: "vented", Hz: hz, Z: networks["vented"].at(hz)}
	for _, version := range []string{"1.1", "2.0"} {
		for _, parameter := range []string{"S", "Y", "Z"} {
			for _, format := range []string{"MA", "DB", "RI"} {
				for _, unit := range []string{"Hz", "kHz", "MHz", "GHz"} {
					o := TouchstoneOptions{version, parameter, format, unit, 8}
					if err := roundTrip(want, o); err != nil {
						t.Errorf("%+v: %v", o, err)
					}
				}
			}
		}
	}
	if err := roundTrip(want, TouchstoneOptions{}); err != nil {
		t.Errorf("defaults: %v", err)
	}
}

func roundTrip(want *Table, o TouchstoneOptions) error {
	var file bytes.Buffer
	if err := WriteTouchstone(&file, want, o); err != nil {
		return err
	}
	got, err := ReadTouchstone(&file, "z.s1p")
	if err != nil {
		return err
	}
	for i, z := range want.Z {
		if math.Abs(got.Hz[i]/want.Hz[i]-1) > 1e-14 || cmplx.Abs(got.Z[i]-z) > 1e-12*cmplx.Abs(z) {
			return errors.New("differs at " + number(want.Hz[i]) + " Hz")
		}
	}
	return nil
}

// Values worked out by hand: S11 of Z in a reference R is (Z−R)/(Z+R).
func TestTouchstoneByHand(t *testing.T) {
	const rows2 = "\n2 0.5 0\n"
	for _, c := range []struct {
		text string
		want complex128
	}{
		{"# Hz S RI R 50\n1 0.5 0" + rows2, 150},
		{"# Hz S MA R 8\n1 0 0" + rows2, 8},
		{"# R 8 RI S Hz\n1 0 1" + rows2, 8i},  // (1+j)/(1−j) = j
		{"# Hz Y RI R 50\n1 2 0" + rows2, 25}, // y = 2, Z = 50/2
		{"# Hz Z RI R 50\n1 2 1 ! remark" + rows2, 100 + 50i},
		{"# hz z db r 10\n1 20 90" + rows2, 100i}, // 20 dB = 10, times 10 ohm
		{"!\n#\n1e-9 0.5 0\n2 0.5 0\n", 150},      // defaults: GHz S MA R 50
		{"[Version] 2.0\n# Hz Y RI\n[Number of Ports] 1\n[Number of Frequencies] 2\n[Reference]\n20\n[Network Data]\n1 0.5 0\n2 0.5 0\n[End]\n", 2},
		{"[Version] 2.0\n# Hz S RI R 7\n[Number of Ports] 1\n[Number of Frequencies] 2\n[Reference] 20\n[Matrix Format] Full\n[Begin Information]\nanything 1 2\n[End Information]\n[Network Data]\n1 0.5 0\n2 0.5 0\n[End]\n", 60},
		{"[Version] 2.0\n# Hz S RI R 7\n[Number of Ports] 1\n[Number of Frequencies] 2\n[Network Data]\n1 0.5 0\n2 0.5 0\n[End]\n", 21},
	} {
		table, err := ReadTouchstone(strings.NewReader(c.text), "z.s1p")
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if table.Hz[0] != 1 || cmplx.Abs(table.Z[0]-c.want) > 1e-12*cmplx.Abs(c.want) {
			t.Errorf("%q: %g Hz %v, want %v", c.text, table.Hz[0], table.Z[0], c.want)
		}
	}
}

func TestTouchstoneErrors(t *testing.T) {
	const v2 = "[Version] 2.0\n# Hz Z RI\n[Number of Ports] 1\n[Number of Frequencies] 2\n"
	for _, c := range []struct{ text, want string }{
		{"", "z.s1p:1:1: 0 rows"},
		{"1 2 3\n", `z.s1p:1:1: "1": expected the option line`},
		{"# Hz Q RI\n", `z.s1p:1:6: "Q": expected a frequency unit`},
		{"# Hz G RI\n", "z.s1p:1:6: G parameters"},
		{"# Hz Z RI R\n", `z.s1p:1:11: "R": expected`},
		{"# Hz Z RI R -50\n", `z.s1p:1:13: reference "-50"`},
		{"# Hz Z RI\n1 8 0\n2 8\n", "z.s1p:3:3: 2 numbers: expected three"},
		{"# Hz Z RI\n1 8 0\n2 8 0 0 0 0 0 0 0\n", "z.s1p:3:7: 9 numbers: expected three"},
		{"# Hz Z RI\n1 8 0\n2 x 0\n", `z.s1p:3:3: "x": expected a number`},
		{"# Hz Z RI\n1 8 0\n-2 8 0\n", "z.s1p:3:1: frequency -2 Hz"},
		{"# Hz Z MA\n1 8 0\n2 -8 0\n", "z.s1p:3:3: -8 0: expected"},
		{"# Hz S MA\n1 0 0\n2 1 0\n", "z.s1p:3:3: an open circuit"},
		{"# Hz Y RI\n1 1 0\n2 0 0\n", "z.s1p:3:3: an open circuit"},
		{"# Hz S RI\n1 0 0\n2 -1 0\n", "z.s1p:3:1: impedance of 0 ohm"},
		{"# Hz Z RI\n1 8 0\n", "z.s1p:2:1: 1 rows"},
		{"# Hz Z RI\n[Version] 2.0\n", "z.s1p:2:1: keyword [Version]: expected it before everything else"},
		{"[Number of Ports] 1\n", "z.s1p:1:1: keyword [number of ports]: expected [Version] 2.0"},
		{"[Version] 3\n", `z.s1p:1:11: version "3": expected 2.0`},
		{"[Version] 2.0\n# Hz Z RI\n[Number of Ports] 2\n", `z.s1p:3:19: "2" ports: expected 1`},
		{"[Version] 2.0\n# Hz Z RI\n[Number of Frequencies] many\n", `z.s1p:3:25: "many": expected the number`},
		{"[Version] 2.0\n# Hz Z RI\n[Noise Data]\n", "z.s1p:3:1: keyword [noise data]"},
		{"[Version] 2.0\n# Hz Z RI\n[Network Data]\n", "z.s1p:3:1: keyword [network data]: expected [number of ports]"},
		{v2 + "1 8 0\n", `z.s1p:5:1: "1": expected the keyword [Network Data]`},
		{v2 + "[Reference]\n[Network Data]\n", "z.s1p:6:1: keyword [network data]: expected the resistance"},
		{v2 + "[Network Data]\n1 8 0\n2 8 0\n", "z.s1p:7:1: the file ends: expected [End]"},
		{v2 + "[Network Data]\n1 8 0\n[End]\n", "z.s1p:7:1: 1 frequencies: expected 2"},
		{v2 + "[Network Data]\n1 8 0\n2 8 0\n[End]\n3 8 0\n", `z.s1p:9:1: "3" after [End]`},
		{v2 + "[Number of Ports] 1\n", "z.s1p:5:1: keyword [number of ports]: expected it once"},
		{v2 + "[Begin Information]\n", "z.s1p:5:1: the file ends: expected [End Information]"},
		{v2 + "[Network\n", "z.s1p:5:1: \"[Network\": expected a keyword"},
	} {
		_, err := ReadTouchstone(strings.NewReader(c.text), "z.s1p")
		var syntax *SyntaxError
		if !errors.As(err, &syntax) || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestWriteTouchstoneRefuses(t *testing.T) {
	table := &Table{Hz: []float64{1, 2}, Z: []complex128{50, 60}}
	for _, o := range []TouchstoneOptions{
		{Version: "3"}, {Parameter: "G"}, {Format: "XY"}, {Unit: "rpm"}, {Reference: -1},
		{Parameter: "S", Format: "DB", Reference: 50}, // a match: −∞ dB
	} {
		if err := WriteTouchstone(&bytes.Buffer{}, table, o); err == nil {
			t.Errorf("%+v: no error", o)
		}
	}
}

func FuzzTouchstone(f *testing.F) {
	for _, pattern := range []string{"testdata/*.s1p", "testdata/*.ts"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("%s: %v, %v", pattern, files, err)
		}
		for _, name := range files {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(data))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		table, err := ReadTouchstone(strings.NewReader(text), "fuzz")
		checkRead(t, table, err)
	})
}
