package tolerance

import (
	"context"
	"errors"
	"math"
	"math/cmplx"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"loadscape/network"
	"loadscape/network/chain"
	"loadscape/network/hearing"
	"loadscape/network/stage"
	"loadscape/network/tone"
)

// eightParts is a load of eight parts, one of them exact.
func eightParts(factor func(i int) float64) network.OnePort {
	f := factor
	return network.Named{Name: "shaped", OnePort: network.Series{
		resistor(6.5*f(0), 0.05),
		network.Parallel{resistor(40*f(1), 0.05), inductor(18e-3*f(2), 0.6, 0.1), capacitor(220e-6*f(3), 0.2)},
		network.Parallel{resistor(30*f(4), 0.05), inductor(0.8e-3*f(5), 0, 0.1)},
		network.Parallel{resistor(1, 0), network.Single{
			Kind: "power_law", Element: network.PowerLaw{K: 0.05 * f(6), N: 0.6}, Rating: network.Rating{Tolerance: 0.1},
		}},
	}}
}

func nominally(int) float64 { return 1 }

// padded is a setup with a pad of its own tolerance and a second amplifier.
func padded(load, second network.OnePort, arm float64) chain.Setup {
	valves := stage.Stage{Kind: stage.Valve, RatedPower: 40, DefaultTap: 8, Source: stage.Valves{
		SourceResistance: 4000, Transformer: stage.Transformer{PrimaryImpedance: 5000, PrimaryInductance: 20}}}
	clean := stage.Stage{Kind: stage.SolidState, RatedPower: 100, DefaultTap: 8, Source: stage.OutputImpedance(3)}
	return chain.Setup{Name: "padded", Links: []chain.Link{
		{Stage: valves, Attenuator: network.SeriesArm{OnePort: resistor(arm, 0.1)}, Load: load},
		{Stage: clean, Load: second},
	}}
}

// The slow reference builds the worst build anew from its factors and puts it
// through packages chain and tone.
func TestSetupAgainstChainAndTone(t *testing.T) {
	hz := frequencies(t, 12)
	nominal := padded(eightParts(nominally), network.Series{resistor(8, 0.05), inductor(2e-3, 0, 0.1)}, 4)
	r, err := Setup(context.Background(), nominal, hz, Options{Builds: 300, Seed: 5, Criterion: RMS})
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]float64{}
	for i, p := range r.Parts {
		by[p.Name] = r.Worst.Factors[i]
	}
	const first, second = "first amplifier: shaped/", "second amplifier: series/"
	names := []string{"resistor", "parallel/resistor", "parallel/inductor", "parallel/capacitor",
		"parallel-2/resistor", "parallel-2/inductor", "parallel-3/power_law"}
	of := func(name string) float64 {
		if f, ok := by[name]; ok {
			return f
		}
		t.Fatalf("no part %q among %v", name, by)
		return 0
	}
	built := padded(eightParts(func(i int) float64 { return of(first + names[i]) }),
		network.Series{resistor(8*of(second+"resistor"), 0), inductor(2e-3*of(second+"inductor"), 0, 0)},
		4*of("first amplifier: path/resistor"))
	want, err := built.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	from, err := nominal.Run(hz)
	if err != nil {
		t.Fatal(err)
	}
	c, err := tone.Compare(hz, want.Response, from.Response, hearing.Band{})
	if err != nil {
		t.Fatal(err)
	}
	for k := range hz {
		if math.Abs(c.Deviation[k]-r.Worst.Deviation[k]) > 1e-9 {
			t.Fatalf("%g Hz: %g dB, chain and tone give %g", hz[k], r.Worst.Deviation[k], c.Deviation[k])
		}
		if seen := cmplx.Abs(from.Links[0].Seen[k]); math.Abs(r.Nominal[k]/seen-1) > 1e-12 {
			t.Fatalf("%g Hz: nominally %g ohm, chain gives %g", hz[k], r.Nominal[k], seen)
		}
	}
	if math.Abs(c.RMS-r.Worst.RMS) > 1e-9 || math.Abs(c.Largest-r.Worst.Largest) > 1e-9 || c.LargestHz != r.Worst.LargestHz {
		t.Errorf("worst %g dB RMS, %g dB at %g Hz; tone gives %g, %g at %g",
			r.Worst.RMS, r.Worst.Largest, r.Worst.LargestHz, c.RMS, c.Largest, c.LargestHz)
	}
	if want := []string{"first amplifier: shaped/parallel-3/resistor"}; !reflect.DeepEqual(r.Fixed, want) {
		t.Errorf("exact parts %q, want %q", r.Fixed, want)
	}
}

func TestAnyNumberOfCoresGivesTheSame(t *testing.T) {
	hz := frequencies(t, 6)
	var first *Result
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for _, cores := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(cores)
		r := load(t, eightParts(nominally), hz, Options{Builds: 3000, Seed: 11, Distribution: Normal, Limit: 1})
		if first == nil {
			first = r
		}
		if !reflect.DeepEqual(r, first) {
			t.Errorf("%d cores give another answer than one", cores)
		}
	}
	other := load(t, eightParts(nominally), hz, Options{Builds: 3000, Seed: 12, Distribution: Normal, Limit: 1})
	if reflect.DeepEqual(other.Worst.Factors, first.Worst.Factors) {
		t.Error("another seed gives the same builds")
	}
}

// Of resistors in series each has d ln Z/d ln R = R/ΣR.
func TestSensitivities(t *testing.T) {
	r := load(t, network.Series{resistor(2, 0.01), resistor(6, 0.05), resistor(8, 0)}, frequencies(t, 2), Options{Builds: 10})
	want := []struct {
		name string
		db   float64
	}{{"series/resistor-2", 20 / math.Ln10 * 0.05 * 6 / 16}, {"series/resistor", 20 / math.Ln10 * 0.01 * 2 / 16}}
	square := want[0].db*want[0].db + want[1].db*want[1].db
	for i, w := range want {
		p := r.Parts[i]
		if p.Name != w.name || math.Abs(p.Largest-w.db) > 1e-8 || math.Abs(p.RMS-w.db) > 1e-8 || math.Abs(p.Share-w.db*w.db/square) > 1e-7 {
			t.Errorf("part %d is %q with %g dB, %g dB RMS, share %g; want %q with %g dB", i, p.Name, p.Largest, p.RMS, p.Share, w.name, w.db)
		}
	}
}

// A tone does not hear a resistor that changes with all the rest, and a stiff
// source does not let the load act at all.
func TestStiffSourceHearsNothing(t *testing.T) {
	stiff := stage.Stage{Kind: stage.SolidState, RatedPower: 100, DefaultTap: 8, Source: stage.OutputImpedance(0)}
	s := chain.Setup{Name: "stiff", Links: []chain.Link{{Stage: stiff, Load: eightParts(nominally)}}}
	r, err := Setup(context.Background(), s, frequencies(t, 6), Options{Builds: 100})
	if err != nil {
		t.Fatal(err)
	}
	if r.Corner.RMS > 1e-12 || r.Worst.RMS > 1e-12 {
		t.Errorf("deviation of %g and %g dB behind 0 ohm", r.Corner.RMS, r.Worst.RMS)
	}
}

// Resistors in series are worst all low, however many they are; of a load of
// few parts a loop over all corners finds the same.
func TestCorners(t *testing.T) {
	var many network.Series
	for range allCorners + 3 {
		many = append(many, resistor(1, 0.1))
	}
	r := load(t, many, frequencies(t, 2), Options{Builds: 50})
	if want := 20 * math.Log10(0.9); math.Abs(r.Corner.Largest-want) > 1e-9 || r.AllCorners {
		t.Errorf("worst corner of many parts %g dB, want %g", r.Corner.Largest, want)
	}

	hz := frequencies(t, 6)
	few := load(t, eightParts(nominally), hz, Options{Builds: 2000})
	tolerances := []float64{0.05, 0.05, 0.1, 0.2, 0.05, 0.1, 0.1}
	nominal, err := network.Impedance(eightParts(nominally), hz)
	if err != nil {
		t.Fatal(err)
	}
	most := 0.0
	for corner := range 1 << len(tolerances) {
		z, err := network.Impedance(eightParts(func(i int) float64 {
			return 1 + tolerances[i]*float64(2*(corner>>i&1)-1)
		}), hz)
		if err != nil {
			t.Fatal(err)
		}
		for k, f := range hz {
			if few.Options.Band.Contains(f) {
				most = max(most, math.Abs(20*math.Log10(cmplx.Abs(z[k]/nominal[k]))))
			}
		}
	}
	if math.Abs(math.Abs(few.Corner.Largest)-most) > 1e-9 {
		t.Errorf("worst corner %g dB, a loop over all finds %g", few.Corner.Largest, most)
	}
	if math.Abs(few.Worst.Largest) > most {
		t.Errorf("worst build %g dB is worse than the worst corner %g dB", few.Worst.Largest, most)
	}
}

func TestErrors(t *testing.T) {
	hz := frequencies(t, 6)
	fine := network.Series{resistor(8, 0.05)}
	for name, c := range map[string]struct {
		load network.OnePort
		hz   []float64
		o    Options
		want string
	}{
		"no tolerance":  {network.Series{resistor(8, 0)}, hz, Options{}, "no part states a tolerance"},
		"too much":      {network.Series{resistor(8, 1)}, hz, Options{}, "resistor with a tolerance of 1"},
		"negative":      {network.Series{resistor(8, -0.1)}, hz, Options{}, "resistor with a tolerance of -0.1"},
		"not a number":  {network.Series{resistor(8, math.NaN())}, hz, Options{}, "tolerance of NaN"},
		"no value":      {network.Series{resistor(0, 0.1)}, hz, Options{}, "resistance is 0 ohm"},
		"builds":        {fine, hz, Options{Builds: -1}, "-1 builds"},
		"many builds":   {fine, hz, Options{Builds: MaxBuilds + 1}, "expected 1 to 100000000"},
		"limit":         {fine, hz, Options{Limit: -1}, "limit of -1 dB"},
		"limit NaN":     {fine, hz, Options{Limit: math.NaN()}, "limit of NaN dB"},
		"sigmas":        {fine, hz, Options{Sigmas: 7}, "7 standard deviations"},
		"distribution":  {fine, hz, Options{Distribution: 9}, "Distribution(9)"},
		"criterion":     {fine, hz, Options{Criterion: 9}, "Criterion(9)"},
		"band":          {fine, hz, Options{Band: hearing.Band{From: 1, To: 10}}, "not covered"},
		"one frequency": {fine, hz[:1], Options{}, "at least two frequencies"},
		"frequencies":   {fine, make([]float64, MaxPoints+1), Options{}, "at most 5000"},
		"short":         {network.Series{fine, network.Series{}}, hz, Options{}, "a series of no parts"},
	} {
		if _, err := Load(context.Background(), c.load, c.hz, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	if _, err := Setup(context.Background(), chain.Setup{Name: "bare"}, hz, Options{}); err == nil || !strings.Contains(err.Error(), "bare") {
		t.Errorf("a setup without an amplifier: %v", err)
	}
}

// A sealedBox is a one-port of another package.
type sealedBox struct{ Wiring network.OnePort }

func (sealedBox) Label() string { return "box" }

func (b sealedBox) Lay(c *network.Circuit, path string, x, y network.Node) {
	b.Wiring.Lay(c, path+"/"+b.Wiring.Label(), x, y)
}

func TestHiddenPartsAreSaid(t *testing.T) {
	box := network.Series{resistor(4, 0.05), sealedBox{network.Parallel{resistor(8, 0.1), resistor(8, 0)}}}
	r := load(t, box, frequencies(t, 2), Options{Builds: 10})
	if len(r.Parts) != 1 || len(r.Warnings) != 1 || !strings.Contains(r.Warnings[0], "series/box/parallel/resistor is taken as exact") {
		t.Errorf("parts %v, warnings %v", r.Parts, r.Warnings)
	}
}

func TestCancelEndsTheRun(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	most := 0
	r, err := Load(ctx, eightParts(nominally), frequencies(t, 6), Options{Builds: 1_000_000, Progress: func(done int) {
		most = done
		if done >= 200 {
			cancel()
		}
	}})
	if r != nil || !errors.Is(err, context.Canceled) {
		t.Fatalf("result %v, error %v", r, err)
	}
	if most > 200+chunk*(runtime.GOMAXPROCS(0)+1) {
		t.Errorf("%d builds were done", most)
	}
}

// What is alive after the first builds is all there ever is, and progress
// rises to the end.
func TestMemoryDoesNotGrow(t *testing.T) {
	const builds = 20_000
	alive := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	var early, late uint64
	last := 0
	load(t, eightParts(nominally), frequencies(t, 1), Options{Builds: builds, Progress: func(done int) {
		if done <= last {
			t.Fatalf("progress goes from %d to %d", last, done)
		}
		if last < 1000 && done >= 1000 {
			early = alive()
		}
		if last = done; done == builds {
			late = alive()
		}
	}})
	if last != builds {
		t.Errorf("progress ends at %d", last)
	}
	// A byte for each build would be 19 000.
	if late > early+16_000 {
		t.Errorf("%d bytes are alive after the last build, %d after 1000", late, early)
	}
}

// 10 000 builds of eight parts at 120 frequencies.
func BenchmarkLoad(b *testing.B) {
	hz := frequencies(b, 12)[:120]
	varied := network.Series{
		resistor(6.5, 0.05),
		network.Parallel{resistor(40, 0.05), inductor(18e-3, 0, 0.1), capacitor(220e-6, 0.1)},
		network.Parallel{resistor(30, 0.05), inductor(0.8e-3, 0, 0.1)},
		network.Parallel{resistor(33, 0.05), capacitor(4.7e-6, 0.1)},
	}
	b.ReportAllocs()
	for b.Loop() {
		load(b, varied, hz, Options{Builds: 10_000})
	}
}

// 10 000 builds of a setup with a pad and a second amplifier.
func BenchmarkSetup(b *testing.B) {
	hz := frequencies(b, 12)[:120]
	s := padded(eightParts(nominally), network.Series{resistor(8, 0.05), inductor(2e-3, 0, 0.1)}, 4)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Setup(context.Background(), s, hz, Options{Builds: 10_000}); err != nil {
			b.Fatal(err)
		}
	}
}
