package plot

import (
	"flag"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
)

var galleryDir = flag.String("gallery", "", "write every figure in every format to this directory")

// sweep returns the frequencies from·2^(i/perOctave) up to and including to.
func sweep(from, to float64, perOctave int) []float64 {
	var hz []float64
	for i := 0; ; i++ {
		f := from * math.Exp2(float64(i)/float64(perOctave))
		if f > to*(1+1e-9) {
			return hz
		}
		hz = append(hz, f)
	}
}

// speaker is an invented loudspeaker: a series resistance, a resonance and a
// semi-inductance.
func speaker(name string, hz []float64, re, peak, fs, q, ke float64) Curve {
	c := Curve{Name: name, Hz: hz}
	for _, f := range hz {
		w := 2 * math.Pi * f
		z := complex(re, 0) +
			complex(peak, 0)/complex(1, q*(f/fs-fs/f)) +
			1/(1/(complex(ke, 0)*cmplx.Sqrt(complex(0, w)))+1/complex(0, w*0.9e-3)+1.0/140)
		c.Z = append(c.Z, z)
	}
	return c
}

func resistor(name string, hz []float64, r float64) Curve {
	c := Curve{Name: name, Hz: hz}
	for range hz {
		c.Z = append(c.Z, complex(r, 0))
	}
	return c
}

// divider is the level in dB of a load behind a source resistance, relative to
// its mean.
func divider(name string, c Curve, source float64) Trace {
	t := Trace{Name: name, Hz: c.Hz}
	mean := 0.0
	for _, z := range c.Z {
		db := 20 * math.Log10(cmplx.Abs(z/(z+complex(source, 0))))
		t.Y = append(t.Y, db)
		mean += db / float64(len(c.Z))
	}
	for i := range t.Y {
		t.Y[i] -= mean
	}
	return t
}

func minusTrace(name string, a, b Trace) Trace {
	t := Trace{Name: name, Hz: a.Hz}
	for i := range a.Y {
		t.Y = append(t.Y, a.Y[i]-b.Y[i])
	}
	return t
}

// listening is the band that most figures mark.
var listening = Interval{Name: "listening band", From: 60, To: 10e3}

// gallery returns one figure of each kind, of invented data.
func gallery(t testing.TB) map[string]*Figure {
	t.Helper()
	hz := sweep(20, 20e3, 48)
	ash := speaker("ash-412, closed", hz, 6.5, 48, 108, 6.1, 0.035)
	pine := speaker("pine-212, open back", hz, 5.8, 35, 78, 5.0, 0.052)
	shaped := speaker("shaped-8", hz, 6.8, 24, 95, 2.4, 0.030)
	plain := resistor("plain-8", hz, 8)
	figures := map[string]*Figure{}
	keep := func(name string, f *Figure, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		figures[name] = f
	}

	curves := []Curve{ash, pine, shaped, plain}
	f, err := Impedance("What the output stage sees", curves, Linear)
	keep("impedance", f, err)
	f, err = Impedance("What the output stage sees, on a logarithmic scale", curves[:3], Log)
	keep("impedance-log", f, err)
	f, err = ReactancePlane("Resistance and reactance", curves[:3])
	keep("plane", f, err)

	reference := divider("", ash, 8.9)
	setups := []Trace{
		minusTrace("dummy-alone", divider("", plain, 8.9), reference),
		minusTrace("shaped load, re-amped", divider("", shaped, 8.9), reference),
		minusTrace("both: shaped load beside the cabinet", divider("", pine, 4.2), reference),
		minusTrace("quiet: 12 dB L-pad", divider("", ash, 3.1), reference),
	}
	keep("deviation", Deviation("Tone of four setups", "cab-alone", setups, listening), nil)
	keep("one-deviation", Deviation("Tone of one setup", "cab-alone", setups[1:2], listening), nil)

	keep("power", PowerShare("Where the power of “both” goes", []PartPower{
		{"shaped-8/series resistor", 14.2, 28.1, 100, ""},
		{"shaped-8/parallel/resistor", 5.1, 9.9, 0, ""},
		{"shaped-8/parallel/inductor", 0.62, 1.21, 0.9, ""},
		{"shaped-8/second parallel group/resistor, 24 Ω, wire wound", 2.0, 4.1, 25, ""},
		{"ash-412/speaker 1", 4.4, 8.8, 30, ""},
		{"cable", 0.021, 0.043, 0, "a cable"},
	}), nil)

	clean := func(c Curve) Trace {
		t := Trace{Name: c.Name, Hz: c.Hz}
		for _, z := range c.Z {
			m := cmplx.Abs(z) / 8
			t.Y = append(t.Y, 40*real(z)/cmplx.Abs(z)*math.Min(m, 1/m))
		}
		return t
	}
	keep("clean", CleanPower("How loud before it clips", []Trace{clean(ash), clean(shaped), clean(plain)}, 40), nil)

	ask := func(drop float64) Trace {
		t := Trace{Name: fmt.Sprintf("asked for at −%.0f dB", drop), Hz: hz}
		for _, f := range hz {
			l := math.Log2(f / 1000)
			y := drop * 0.012 * l * l
			if l > 0 {
				y = drop * 0.01 * (1.2*l*l - 0.9*math.Exp(-(l-1.7)*(l-1.7)*2))
			}
			t.Y = append(t.Y, y)
		}
		return t
	}
	dev := setups[3]
	dev.Name = "deviation of quiet"
	keep("loudness", Loudness("What the ear asks for", []Trace{ask(12), ask(24), ask(36)}, []Trace{dev}, listening), nil)

	var steps []Trace
	for i := range 8 {
		d := divider(fmt.Sprintf("−%d dB", 3*i), ash, 8.9-float64(i))
		steps = append(steps, minusTrace(d.Name, d, reference))
	}
	keep("steps", Steps("Eight steps of one attenuator", decibels("Deviation from no attenuation"), steps, listening), nil)

	measured, fitted := noisy(ash), ash
	measured.Name, fitted.Name = "measured", "fitted"
	coherence := make([]float64, len(hz))
	for i, f := range hz {
		coherence[i] = 1 - 0.7*math.Exp(-math.Pow(math.Log2(f/50)/0.05, 2)) - 0.4*math.Pow(f/20e3, 6)
	}
	f, err = Fit("A cabinet measured and fitted", measured, fitted, coherence)
	keep("fit", f, err)

	tol := spreadOf(setups[1])
	keep("tolerance", tol.Figure("Ten thousand builds of one load", decibels("Deviation"), listening), nil)

	keep("front", Front("How many parts are worth it", Axis{Label: "RMS deviation", Unit: "dB"}, []Trade{
		{1, 3.4, ""}, {3, 1.62, "3 parts, 1.6 dB"}, {4, 1.1, ""}, {5, 0.82, ""},
		{7, 0.41, "7 parts, 0.4 dB"}, {8, 0.36, ""}, {10, 0.33, ""},
	}, 4), nil)

	var many []Trace
	for i := range 14 {
		d := divider(fmt.Sprintf("setup %d with a name that somebody made rather long", i+1), ash, 1+float64(i))
		many = append(many, minusTrace(d.Name, d, reference))
	}
	keep("many", Deviation("Fourteen setups", "cab-alone", many, listening), nil)
	return figures
}

func noisy(c Curve) Curve {
	rng := rand.New(rand.NewPCG(1, 2))
	out := Curve{Name: c.Name, Hz: c.Hz}
	for i := range c.Z {
		e := complex(1+0.01*rng.NormFloat64(), 0.01*rng.NormFloat64())
		out.Z = append(out.Z, c.Z[i]*e)
	}
	return out
}

func spreadOf(m Trace) Tolerance {
	t := Tolerance{
		Hz: m.Hz, Median: m.Y, InnerName: "middle half of the builds", OuterName: "nine tenths of the builds",
		TargetName: "target",
	}
	for i, y := range m.Y {
		w := 0.25 + 0.2*math.Abs(y)
		t.InnerLow, t.InnerHigh = append(t.InnerLow, y-w/2), append(t.InnerHigh, y+w/2)
		t.OuterLow, t.OuterHigh = append(t.OuterLow, y-1.3*w), append(t.OuterHigh, y+1.3*w)
		t.Target = append(t.Target, 0.15*math.Sin(float64(i)/40))
		t.LimitLow, t.LimitHigh = append(t.LimitLow, -2), append(t.LimitHigh, 2)
	}
	return t
}

func TestGalleryEncodes(t *testing.T) {
	for name, f := range gallery(t) {
		for _, format := range []Format{SVG, PNG, PDF} {
			picture, err := f.render(format)
			if err != nil {
				t.Errorf("%s as %s: %v", name, format, err)
				continue
			}
			if *galleryDir == "" {
				continue
			}
			file := filepath.Join(*galleryDir, name+"."+string(format))
			if err := os.WriteFile(file, picture, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// What goes by another rating than power is not called unrated.
func TestPowerOtherwise(t *testing.T) {
	for _, x := range []struct {
		p    PartPower
		want string
	}{
		{PartPower{Rated: 2, Overdriven: 4, Otherwise: "rated 6 A"}, "4 W, rated 6 A"},
		{PartPower{Rated: 2, Overdriven: 4}, "4 W, unrated"},
		{PartPower{Rated: 2, Overdriven: 4, Rating: 10, Otherwise: "x"}, "4 W of 10 W"},
	} {
		if got, _ := x.p.verdict(); got != x.want {
			t.Errorf("%+v: %q, want %q", x.p, got, x.want)
		}
	}
}
