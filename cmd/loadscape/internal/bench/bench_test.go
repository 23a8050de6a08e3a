package bench

import (
	"errors"
	"io/fs"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loadscape/network"
)

// The benches that come with the program load, and every setup on them and
// every curve can be computed.
func TestBenchesThatComeWithTheProgram(t *testing.T) {
	demos, err := filepath.Glob("../../../../testdata/*.yaml")
	if err != nil || len(demos) == 0 {
		t.Fatalf("no demo: %v", err)
	}
	for _, file := range append(demos, "../../starter.yaml", "testdata/design.yaml") {
		b, err := Open(file)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if len(b.Setups) < 2 || b.Reference == "" {
			t.Errorf("%s: %d setups, reference %q", file, len(b.Setups), b.Reference)
		}
		computes(t, file, b)
	}
}

// computes fails unless every setup and every curve of a bench is a number at
// every frequency of its sweep.
func computes(t *testing.T, file string, b *Bench) {
	t.Helper()
	hz, err := b.Sweep.Frequencies()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range b.Setups {
		r, err := s.Run(hz)
		if err != nil {
			t.Errorf("%s: %s: %v", file, s.Name, err)
			continue
		}
		finite(t, file+": "+s.Name, r.Response, hz)
		finite(t, file+": "+s.Name, r.Links[0].Seen, hz)
	}
	for _, name := range slices.Concat(b.drivers, b.CurveNames(), b.setupNames()) {
		p, err := b.OnePort(name)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		z, err := network.Impedance(p, hz)
		var near *network.Condition
		if err != nil && !errors.As(err, &near) {
			t.Errorf("%s: %s: %v", file, name, err)
		}
		finite(t, file+": "+name, z, hz)
	}
}

func finite(t *testing.T, what string, z []complex128, hz []float64) {
	t.Helper()
	if len(z) != len(hz) {
		t.Errorf("%s: %d values at %d frequencies", what, len(z), len(hz))
	}
	for i, z := range z {
		if cmplx.IsNaN(z) || cmplx.IsInf(z) || z == 0 {
			t.Errorf("%s: %v at %g Hz", what, z, hz[i])
			return
		}
	}
}

// The design's bench is what it says: names, their order, and values that can
// be had without a solver.
func TestDesign(t *testing.T) {
	b, err := Open("testdata/design.yaml")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "curves", b.CurveNames(), []string{"pine-212", "ash-412", "mixed", "plain-8", "shaped-8", "odd"})
	same(t, "setups", b.setupNames(), []string{"cab-alone", "dummy-alone", "both", "quiet", "reamped"})
	same(t, "reference", b.Reference, "cab-alone")
	seen := func(name string, hz float64) complex128 {
		s, err := b.Setup(name)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Run([]float64{hz})
		if err != nil {
			t.Fatal(err)
		}
		return r.Links[0].Seen[0]
	}
	near(t, "a resistor", seen("dummy-alone", 100), 8, 1e-12)
	near(t, "a load box, whatever it is re-amped into", seen("reamped", 1000), shaped8(1000), 1e-9)
	odd, err := b.OnePort("odd")
	if err != nil {
		t.Fatal(err)
	}
	z, err := network.Impedance(odd, []float64{1000})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "odd", z[0], complex(4, 2*math.Pi*1000*2e-3), 1e-12)
}

// shaped8 is the impedance of the design's load by the rules of series and
// parallel.
func shaped8(hz float64) complex128 {
	s := complex(0, 2*math.Pi*hz)
	return 6.2 + 1/(1.0/33+1/(0.8+s*20e-3)+s*220e-6) + 1/(1.0/24+1/(s*1e-3))
}

func TestOpen(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "none.yaml"))
	var missing *fs.PathError
	if !errors.As(err, &missing) || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, err = Open(t.TempDir()); !errors.As(err, &missing) {
		t.Errorf("a directory: %v", err)
	}
	file := filepath.Join(t.TempDir(), "b.yaml")
	if err := os.WriteFile(file, []byte("titel: x\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(file); err == nil || !strings.HasPrefix(err.Error(), file+":1:1: titel: ") {
		t.Errorf("a mistake: %v", err)
	}
}

// What is usable but doubtful is said, and by whose name.
func TestWarnings(t *testing.T) {
	b := read(t, "drivers:\n  a: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, qts: 0.5}\n"+ // 8·1/9 = 0.889
		"  b: {re: 6 ohm, fs: 80 Hz, qms: 8, qes: 1, vas: 50 L, sd: 500 cm2}\ncabinets:\n  k: {driver: b, enclosure: {vented: {volume: 50 L, tuning: 60 Hz}}}\n")
	for _, want := range []string{"driver a: the data sheet states qts 0.5, its other values give 0.8889", "cabinet k: vented: leakage_q is not given: 7 is taken"} {
		if !strings.Contains(strings.Join(b.Warnings, "\n"), want) {
			t.Errorf("no %q among\n%s", want, strings.Join(b.Warnings, "\n"))
		}
	}
	if b = read(t, goodLoads); len(b.Warnings) > 0 {
		t.Errorf("of a plain load: %q", b.Warnings)
	}
}
