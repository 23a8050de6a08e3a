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

// threeRows is what the texts of TestTextNotations hold: frequency, magnitude
// and phase in degrees.
var threeRows = [][3]float64{{20.5, 8.25, 30}, {1000, 6.5, 0}, {20000, 24, 61.5}}

// The same table in the notations that are found in the wild.
func TestTextNotations(t *testing.T) {
	for name, text := range map[string]string{
		"blanks":                "20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"aligned":               "   20.5     8.25   30\n 1000.0     6.50    0\n20000.0    24.00   61.5",
		"tabs":                  "20.5\t8.25\t30\n1000\t6.5\t0\n20000\t24\t61.5\n",
		"commas":                "20.5,8.25,30\n1000,6.5,0\n20000,24,61.5\n",
		"commas and blanks":     "20.5, 8.25, 30\n1000, 6.5, 0\n20000, 24, 61.5\n",
		"comma at the end":      "20.5,8.25,30,\n1000,6.5,0,\n20000,24,61.5,\n",
		"semicolons":            "20.5;8.25;30\n1000;6.5;0\n20000;24;61.5\n",
		"decimal comma, semi":   "20,5;8,25;30\n1000;6,5;0\n20000;24;61,5\n",
		"decimal comma, tab":    "20,5\t8,25\t30\n1000\t6,5\t0\n20000\t24\t61,5\n",
		"decimal comma, blanks": "20,5 8,25 30\n1000 6,5 0\n20000 24 61,5\n",
		"decimal comma, quoted": "\"20,5\",\"8,25\",\"30\"\n\"1000\",\"6,5\",\"0\"\n\"20000\",\"24\",\"61,5\"\n",
		"exponents":             "2.05e1 8.25E0 3e+1\n1e3 6.5 0\n2.0E4 24 61.5\n",
		"CR LF":                 "20.5 8.25 30\r\n1000 6.5 0\r\n20000 24 61.5\r\n",
		"CR":                    "20.5 8.25 30\r1000 6.5 0\r20000 24 61.5",
		"byte order mark":       "\ufeff20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"UTF-16":                utf16("20.5 8.25 30\r\n1000 6.5 0\r\n20000 24 61.5\r\n"),
		"comments":              "# a\n; b\n* c\n// d\n! e\n\n20.5 8.25 30\n# between\n1000 6.5 0\n20000 24 61.5\n",
		"header":                "Frequency (Hz),Impedance (ohm),Phase (deg)\n20.5,8.25,30\n1000,6.5,0\n20000,24,61.5\n",
		"header of blanks":      "Freq (Hz)   |Z| (Ohms)   Phase (°)\n20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"header, bare units":    "Freq Hz   Impedance magnitude Ohm   Phase deg\n20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"header in a comment":   "* measured on the bench\n* Freq(Hz) Z(Ohm) Phase(deg)\n20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"header of units":       "Hz;Ω;°\n20.5;8.25;30\n1000;6.5;0\n20000;24;61.5\n",
		"units below names":     "f\tZ\targ Z\nkHz\tkΩ\trad\n0.0205\t0.00825\t0.5235987755982988\n1\t0.0065\t0\n20\t0.024\t1.0733774899765127\n",
		"kHz, mohm, rad":        "f/kHz;|Z|/mOhm;phi/rad\n0.0205;8250;0.5235987755982988\n1;6500;0\n20;24000;1.0733774899765127\n",
		"MHz, Mohm":             "f [MHz];|Z| [MOhm];phi [deg]\n0.0000205;0.00000825;30\n0.001;0.0000065;0\n0.02;0.000024;61.5\n",
		"other order":           "phase_deg,magnitude_ohm,frequency_hz\n30,8.25,20.5\n0,6.5,1000\n61.5,24,20000\n",
		"rectangular":           "Hz,Re(Z),Im(Z)\n20.5,7.144709581221619,4.125\n1000,6.5,0\n20000,11.451810246230602,21.09161070388717\n",
		"ours":                  "name,frequency_hz,magnitude_ohm,phase_deg,resistance_ohm,reactance_ohm\n\"a, b\",20.5,8.25,30,7.144709581221619,4.125\n\"a, b\",1000,6.5,0,6.5,0\n\"a, b\",20000,24,61.5,11.451810246230602,21.09161070388717\n",
		"unsorted":              "20000 24 61.5\n20.5 8.25 30\n1000 6.5 0\n",
		"descending":            "20000 24 61.5\n1000 6.5 0\n20.5 8.25 30\n",
		"repeated":              "20.5 8.25 30\n1000 6.4 0\n1000 6.6 0\n20000 24 61.5\n",
		"zero hertz":            "0 6 0\n20.5 8.25 30\n1000 6.5 0\n20000 24 61.5\n",
		"Windows-1252":          "f (Hz);Z;Phase (\xb0)\n20,5;8,25;30\n1000;6,5;0\n20000;24;61,5\n",
		"a column more":         "f,Z,phase,note\n20.5,8.25,30,x\n1000,6.5,0,y\n20000,24,61.5,z\n",
		"title":                 "Cabinet of the attic\nf,Z,phase\n20.5,8.25,30\n1000,6.5,0\n20000,24,61.5\n",
	} {
		t.Run(name, func(t *testing.T) {
			table, err := Read(strings.NewReader(text), "z.txt", Options{})
			if err != nil {
				t.Fatal(err)
			}
			if table.PhaseDerived || len(table.Hz) != len(threeRows) {
				t.Fatalf("derived %t, rows %v", table.PhaseDerived, table.Hz)
			}
			for i, row := range threeRows {
				want := cmplx.Rect(row[1], row[2]*math.Pi/180)
				if math.Abs(table.Hz[i]/row[0]-1) > 1e-15 || cmplx.Abs(table.Z[i]-want) > 1e-14*row[1] {
					t.Errorf("row %d: %v Hz %v ohm, want %v %v", i, table.Hz[i], table.Z[i], row[0], want)
				}
			}
		})
	}
}

func utf16(s string) string {
	out := []byte{0xff, 0xfe}
	for _, c := range []byte(s) {
		out = append(out, c, 0)
	}
	return string(out)
}

// Everything that was settled is told, with its line.
func TestTextWarnings(t *testing.T) {
	const header = "Hz,ohm,deg\n"
	for _, c := range []struct{ text, want string }{
		{header + "20,8,0\n30,8,0\n", ""},
		{"20,8,0\n30,8,0\n", "line 1: no header: columns taken as frequency in Hz, magnitude in ohm, phase in degrees"},
		{header + "20,8,0\n40,8,0\n30,8,0\n", "line 4: 30 Hz after 40 Hz: rows sorted by frequency"},
		{header + "40,8,0\n20,8,0\n", "line 2: frequencies descend: rows reversed"},
		{header + "20,8,0\n\n30,9,0\n30,9,0\n", "line 5: 30 Hz stands on 2 lines, first on line 4: their mean is used"},
		{header + "0,6,0\n20,8,0\n30,9,0\n", "line 2: row at 0 Hz skipped: it has no place on a logarithmic axis"},
		{"Hz,ohm,deg,SPL\n20,8,0,90\n30,9,0,91\n", "line 1: column \"SPL\" is not read"},
		{"attic\nHz,ohm,deg\n20,8,0\n30,9,0\n", "line 1: \"attic\" skipped: it stands above the header"},
		{"Hz,mag,deg,R,X\n20,8,0,8,0\n30,9,0,8,0\n", "line 3: magnitude of 9 ohm beside resistance and reactance of 8 ohm: the latter are used"},
	} {
		table, err := ReadText(strings.NewReader(c.text), "z.txt", Options{})
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		var got []string
		for _, w := range table.Warnings {
			got = append(got, w.String())
		}
		if strings.Join(got, "\n") != c.want {
			t.Errorf("%q:\n got %q\nwant %q", c.text, got, c.want)
		}
	}
}

func TestWarningsAreBounded(t *testing.T) {
	text := "Hz,ohm,deg\n20,8,0\n30,8,0\n" + strings.Repeat("0,8,0\n", 1000)
	table, err := ReadText(strings.NewReader(text), "z.txt", Options{})
	if err != nil || len(table.Warnings) != maxWarnings+1 {
		t.Errorf("%d warnings, error %v: want %d", len(table.Warnings), err, maxWarnings+1)
	}
}

// Every malformed table is an error with line and column.
func TestTextErrors(t *testing.T) {
	const header = "Hz,ohm,deg\n"
	for _, c := range []struct{ text, want string }{
		{"", "z.txt:1:1: no line of numbers"},
		{"# only\n# comments\n", "z.txt:3:1: no line of numbers"},
		{header, "z.txt:2:1: no line of numbers"},
		{header + "20,8,0\n", "z.txt:2:1: 1 rows: expected at least two"},
		{header + "20,8,0\n20,8,0\n", "z.txt:3:1: 1 rows: expected at least two"},
		{header + "20,8,0\n30,x,0\n", `z.txt:3:4: "x": expected a number`},
		{header + "20,8,0\n  30, x,0\n", `z.txt:3:7: "x": expected a number`},
		{header + "20,8,0\n30,,0\n", `z.txt:3:4: "": expected a number`},
		{header + "20,8,0\n30,8\n", "z.txt:3:1: 2 columns: expected 3"},
		{header + "20,8,0\n30,8,0,1\n", "z.txt:3:1: 4 columns: expected 3"},
		{header + "20,8,0\n30,NaN,0\n", `z.txt:3:4: "NaN": expected a finite number`},
		{header + "20,8,0\n30,1e999,0\n", `z.txt:3:4: "1e999": expected a finite number`},
		{header + "20,8,0\n-30,8,0\n", "z.txt:3:1: frequency -30 Hz"},
		{header + "20,8,0\n30,-8,0\n", "z.txt:3:4: magnitude of -8 ohm"},
		{header + "20,8,0\n30,0,0\n", "z.txt:3:4: impedance of 0 ohm"},
		{"Hz;R;X\n20;8;0\n30;0;0\n", "z.txt:3:4: impedance of 0 ohm"},
		{"20,5;8.25\n30,5;8.5\n", `z.txt:1:1: "20,5": expected a number`},
		{"f;Betrag;Phase\n20;8;0\n30;8;0\n", `z.txt:1:1: "f;Betrag;Phase": expected numbers, a comment, or a header of 3 columns`},
		{"Hz,ohm,phse\n20,8,0\n30,8,0\n", `z.txt:1:8: column "phse" not understood`},
		{"Hz,Magnitude (dB),deg\n20,8,0\n30,8,0\n", `z.txt:1:4: unit of column "Magnitude (dB)"`},
		{"Hz,ohm,Phase (ohm)\n20,8,0\n30,8,0\n", `z.txt:1:8: unit of column "Phase (ohm)"`},
		{"Hz,R,phase\n20,8,0\n30,8,0\n", `z.txt:1:4: column "R": expected resistance and reactance together`},
		{"Hz,ohm,ohm\n20,8,0\n30,8,0\n", `z.txt:1:8: column "ohm": expected one column of that kind`},
		{"20\n30\n", "z.txt:1:1: 1 columns without a header"},
		{"20 8 0 1\n30 8 0 1\n", "z.txt:1:1: 4 columns without a header"},
		{"Hz,ohm,coherence\n20,8,1\n30,8,1.5\n", "z.txt:3:6: coherence of 1.5"},
		{"20 8 0\n30\x008 0\n", "z.txt:2:3: a zero byte"},
		{"Hz ohm\n20 8\n30 9\n", "z.txt:3:1: 2 magnitudes: expected at least 8"},
		{"name,Hz,R,X\na,20,8,0\nb,20,8,0\n", "z.txt:3:1: several curves (a, b)"},
	} {
		_, err := ReadText(strings.NewReader(c.text), "z.txt", Options{})
		var syntax *SyntaxError
		if !errors.As(err, &syntax) || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestTextOptions(t *testing.T) {
	const two = "name,frequency_hz,resistance_ohm,reactance_ohm\na,20,8,1\na,30,8,2\nb,20,4,1\nb,30,4,2\n"
	table, err := ReadText(strings.NewReader(two), "z.csv", Options{Curve: "b"})
	if err != nil || table.Name != "b" || len(table.Z) != 2 || table.Z[1] != 4+2i {
		t.Errorf("curve b: %+v, %v", table, err)
	}
	if _, err := ReadText(strings.NewReader(two), "z.csv", Options{Curve: "c"}); err == nil || !strings.Contains(err.Error(), `no curve "c": expected one of a, b`) {
		t.Errorf("curve c: %v", err)
	}
	table, err = ReadText(strings.NewReader("1 8 2\n2 8 3\n"), "z.txt", Options{Header: "kHz, resistance, reactance"})
	if err != nil || table.Hz[1] != 2000 || table.Z[1] != 8+3i {
		t.Errorf("header given: %+v, %v", table, err)
	}
	if _, err = ReadText(strings.NewReader("1 8\n2 8\n"), "z.txt", Options{Header: "kHz, resistance, reactance"}); err == nil {
		t.Error("header of three for two columns: no error")
	}
}

func TestPhaseIsDerivedWhereThereIsNone(t *testing.T) {
	var text strings.Builder
	hz := logHz(20, 20e3, 48)
	z := networks["inductance"].at(hz)
	for i := range hz {
		text.WriteString(number(hz[i]) + " " + number(cmplx.Abs(z[i])) + "\n")
	}
	table, err := ReadText(strings.NewReader(text.String()), "z.txt", Options{})
	if err != nil || !table.PhaseDerived {
		t.Fatalf("derived %t, error %v", table.PhaseDerived, err)
	}
	for i := range hz {
		if cmplx.Abs(table.Z[i]-z[i]) > 0.005*cmplx.Abs(z[i]) {
			t.Fatalf("%g Hz: %v, want %v", hz[i], table.Z[i], z[i])
		}
	}
}

func TestCSVRoundTrip(t *testing.T) {
	hz := logHz(20, 20e3, 12)
	want := &Table{Name: `vented, "big"`, Hz: hz, Z: networks["vented"].at(hz), Coherence: ones(len(hz))}
	want.Coherence[3] = 0.875
	var file bytes.Buffer
	if err := WriteCSV(&file, want); err != nil {
		t.Fatal(err)
	}
	got, err := Read(&file, "z.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Name != want.Name || got.PhaseDerived || len(got.Warnings) != 0 {
		t.Errorf("name %q, derived %t, warnings %v", got.Name, got.PhaseDerived, got.Warnings)
	}
	for i := range hz {
		if got.Hz[i] != hz[i] || got.Z[i] != want.Z[i] || got.Coherence[i] != want.Coherence[i] {
			t.Fatalf("row %d: %v %v, want %v %v", i, got.Hz[i], got.Z[i], hz[i], want.Z[i])
		}
	}
}

func FuzzText(f *testing.F) {
	for _, pattern := range []string{"testdata/*.txt", "testdata/*.csv"} {
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
		table, err := ReadText(strings.NewReader(text), "fuzz", Options{})
		checkRead(t, table, err)
	})
}

// checkRead checks that a reader returned a sound table, or an error with its
// place, and that the table is written and interpolated.
func checkRead(t *testing.T, table *Table, err error) {
	if err != nil {
		if syntax := (*SyntaxError)(nil); !errors.As(err, &syntax) || syntax.Line < 1 || syntax.Column < 1 {
			t.Fatalf("error without a place: %v", err)
		}
		return
	}
	if err := table.Check(); err != nil {
		t.Fatal(err)
	}
	curve, err := NewCurve(table)
	if err != nil {
		t.Fatal(err)
	}
	low, high := curve.Range()
	for _, hz := range []float64{low, math.Sqrt(low) * math.Sqrt(high), high} {
		if z, err := curve.Impedance(2 * math.Pi * hz); err != nil || cmplx.IsNaN(z) || cmplx.IsInf(z) {
			t.Fatalf("%g Hz: %v, %v", hz, z, err)
		}
	}
	var out bytes.Buffer
	if err := WriteTouchstone(&out, table, TouchstoneOptions{Version: "2.0"}); err != nil {
		t.Fatal(err)
	}
	again, err := ReadTouchstone(&out, "again")
	if err != nil || len(again.Hz) != len(table.Hz) {
		t.Fatalf("read back: %v", err)
	}
}
