package thielesmall

import (
	"math"
	"strings"
	"testing"

	"loadscape/network"
)

// The sheet of an invented driver that agrees with itself: its mechanics by
// Small's relations, worked by hand to four digits with γp = 141855 Pa.
var sheet = Driver{
	Name: "sheet", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92, Vas: 51e-3, Sd: 522e-4,
	Sheet: Sheet{Mms: 31.56e-3, Cms: 1.319e-4, Rms: 1.886, Bl: 10.45, Qts: 0.8272, Sensitivity: 96.3},
}

func TestSheetThatAgrees(t *testing.T) {
	if w := sheet.Check(); len(w) != 0 {
		t.Errorf("warnings %v", w)
	}
	m := sheet.Mechanics()
	for _, x := range []struct{ got, want float64 }{
		{m.Mms, sheet.Sheet.Mms}, {m.Cms, sheet.Sheet.Cms}, {m.Rms, sheet.Sheet.Rms}, {m.Bl, sheet.Sheet.Bl}, {sheet.Qts(), sheet.Sheet.Qts},
	} {
		if math.Abs(x.got-x.want) > 5e-4*x.want {
			t.Errorf("%.5g, worked by hand %.5g", x.got, x.want)
		}
	}
}

// Each value, on both sides of ten per cent.
func TestSheetThatContradictsItself(t *testing.T) {
	m := sheet.Mechanics()
	for name, x := range map[string]struct {
		field   func(*Sheet) *float64
		follows float64
	}{
		"mms": {func(s *Sheet) *float64 { return &s.Mms }, m.Mms},
		"cms": {func(s *Sheet) *float64 { return &s.Cms }, m.Cms},
		"rms": {func(s *Sheet) *float64 { return &s.Rms }, m.Rms},
		"bl":  {func(s *Sheet) *float64 { return &s.Bl }, m.Bl},
		"qts": {func(s *Sheet) *float64 { return &s.Qts }, sheet.Qts()},
	} {
		for off, warns := range map[float64]bool{0.89: true, 0.91: false, 1.09: false, 1.11: true} {
			d := sheet
			d.Sheet = Sheet{}
			*x.field(&d.Sheet) = off * x.follows
			w := d.Check()
			if (len(w) == 1) != warns {
				t.Errorf("%s at %g of what follows: %v", name, off, w)
			}
			if warns && (w[0].Kind != Contradiction || !strings.Contains(w[0].Says, name)) {
				t.Errorf("%s: %v", name, w[0])
			}
		}
	}
	for off, warns := range map[float64]bool{-0.9: true, -0.8: false, 0.8: false, 0.9: true} {
		d := sheet
		d.Sheet = Sheet{Sensitivity: d.Sensitivity() + off}
		if w := d.Check(); (len(w) == 1) != warns {
			t.Errorf("sensitivity %+g dB off: %v", off, w)
		}
	}
}

func TestContradictionNamesBothValues(t *testing.T) {
	d := sheet
	d.Sheet = Sheet{Bl: 13}
	want := "driver sheet: the data sheet states bl 13 T m, its other values give 10.45 T m"
	if w := d.Check(); len(w) != 1 || w[0].String() != want {
		t.Errorf("%v, want %q", w, want)
	}
}

// What cannot be compared is not: without Vas and Sd the sheet stands alone.
func TestSheetWithoutVas(t *testing.T) {
	d := sheet
	d.Vas, d.Sd = 0, 0
	d.Sheet = Sheet{Mms: 1, Cms: 1, Rms: 1, Bl: 100, Sensitivity: 200}
	if w := d.Check(); len(w) != 0 {
		t.Errorf("warnings %v", w)
	}
}

func TestCheckOfModelsAndBoxes(t *testing.T) {
	half := small
	half.Sd = 0
	creeping := small
	creeping.Suspension = Creep{0.3}
	usual := small
	usual.Suspension = Creep{0.2}
	vented := Vented{Volume: 0.1, Tuning: 60}
	tight := vented
	tight.LeakageQ = 7
	for _, x := range []struct {
		what string
		w    []Warning
		want map[WarningKind]int
	}{
		{"half known", half.Check(), map[WarningKind]int{Limit: 1}},
		{"much creep", creeping.Check(), map[WarningKind]int{Limit: 1, Assumption: 1}},
		{"usual creep", usual.Check(), map[WarningKind]int{Assumption: 1}},
		{"leaks by default", inBox(vented, small).Check(), map[WarningKind]int{Assumption: 1}},
		{"leaks given", inBox(tight, small).Check(), nil},
		{"open back", inBox(OpenBack{Volume: 0.1, Opening: 0.1}, small).Check(), map[WarningKind]int{Limit: 2}},
		{"free air", inBox(nil, small).Check(), map[WarningKind]int{Limit: 1}},
		{"infinite baffle", inBox(InfiniteBaffle{}, small).Check(), nil},
		{"small box", inBox(Closed{Volume: 3e-3}, small).Check(), map[WarningKind]int{Limit: 1}},
		{"box that is just large enough", inBox(Closed{Volume: 3.6e-3}, small).Check(), nil},
		{"long port", inBox(Vented{Volume: 0.05, Port: Port{Diameter: 0.1, Length: 0.5}, LeakageQ: 7}, small).Check(), map[WarningKind]int{Limit: 1}},
		{"equal drivers once", inBox(InfiniteBaffle{}, network.Series{half, half, half}).Check(), map[WarningKind]int{Limit: 1}},
	} {
		got := map[WarningKind]int{}
		for _, w := range x.w {
			got[w.Kind]++
		}
		if len(got) != len(x.want) || got[Limit] != x.want[Limit] || got[Assumption] != x.want[Assumption] {
			t.Errorf("%s: %v", x.what, x.w)
		}
	}
}

// Quarter wave of 0.464 m, the edge of a cube of 100 L, at 343.2 m/s: 185 Hz.
func TestOpenBackSaysHowFarItHolds(t *testing.T) {
	w := inBox(OpenBack{Volume: 0.1, Opening: 0.1}, small).Check()
	if !strings.Contains(w[0].Says, "185 Hz") {
		t.Errorf("%v", w[0])
	}
}

// The Q that the warning about creep names is that of the circuit: |Z| at fs
// is Re·(1 + Q/Qes), but for the detuning by the creep's own reactance.
func TestCreepLowersTheQ(t *testing.T) {
	d := small
	d.Suspension = Creep{0.1}
	q := 1 / (1/d.Qms + Creep{0.1}.lossFactor())
	peak := 0.0
	for f := 29.0; f < 31; f += 0.01 {
		peak = max(peak, real(impedance(t, d, f)[0]))
	}
	if want := d.Re * (1 + q/d.Qes); math.Abs(peak-want) > 5e-3*want {
		t.Errorf("peak of %.4f ohm, the Q of %.4f gives %.4f", peak, q, want)
	}
}
