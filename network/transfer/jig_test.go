package transfer

import (
	"bytes"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	"loadscape/network/measured"
)

const (
	rate     = 48000
	resistor = 10.0 // of the jig, ohm
)

// response is a filter or an impedance over s = jω.
type response func(s complex128) complex128

// cabinet is an invented loudspeaker: resistance, resonance, voice coil.
func cabinet(s complex128) complex128 {
	w0, q := complex(2*math.Pi*78, 0), complex128(8)
	resonance := 60 * (s * w0 / q) / (s*s + s*w0/q + w0*w0)
	return 6.5 + resonance + 0.05e-3*s + 1/(1/(0.8e-3*s)+1/(0.04*cmplx.Sqrt(s))+1.0/150)
}

func resistance(ohms float64) response {
	return func(complex128) complex128 { return complex(ohms, 0) }
}

// through returns x after a filter; x is taken as periodic.
func (h response) through(x []float64) []float64 {
	fft := fourier.NewFFT(len(x))
	c := fft.Coefficients(nil, x)
	c[0] = 0
	for k := 1; k < len(c); k++ {
		c[k] *= h(complex(0, 2*math.Pi*rate*float64(k)/float64(len(x)))) / complex(float64(len(x)), 0)
	}
	return fft.Sequence(nil, c)
}

// sweep returns an exponential sweep from 15 Hz to 22 kHz with a second of
// silence on either side.
func sweep(seconds float64) []float64 {
	x := make([]float64, int(rate*(seconds+2)))
	n := int(rate * seconds)
	k := math.Log(22e3/15.0) / seconds
	for i := range n {
		fade := min(1, float64(i)/(0.05*rate), float64(n-i)/(0.005*rate))
		x[rate+i] = fade * math.Sin(2*math.Pi*15/k*math.Expm1(k*float64(i)/rate))
	}
	return x
}

// pink returns noise of equal power in every octave above 10 Hz.
func pink(rng *rand.Rand, seconds float64) []float64 {
	x := make([]float64, int(rate*seconds))
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	return response(func(s complex128) complex128 {
		return complex(1/math.Sqrt(max(cmplx.Abs(s)/(2*math.Pi), 10)), 0)
	}).through(x)
}

// bench simulates the jig: source, impedance under test, and what is wrong
// with the channels.
type bench struct {
	source    []float64
	device    response
	series    float64  // ohm; default resistor
	sense     Sense    // where the second channel is
	swapped   bool     // the channels exchanged at their inputs
	gain      response // of the first channel; default 1
	distorted float64  // second harmonic of the device's voltage
	noise     float64  // RMS, of full scale
}

// record returns the recording, at most 0.9 of full scale.
func (b bench) record(rng *rand.Rand) *Recording {
	if b.series == 0 {
		b.series = resistor
	}
	r := complex(b.series, 0)
	u := response(func(s complex128) complex128 { z := b.device(s); return z / (z + r) }).through(b.source)
	v := response(func(s complex128) complex128 { return r / (b.device(s) + r) }).through(b.source)
	if b.sense == BeforeResistor {
		for i := range v {
			v[i] += u[i]
		}
	}
	peak := max(largest(u), largest(v))
	for i := range u {
		u[i] /= peak
		v[i] /= peak
		u[i] += b.distorted * u[i] * u[i]
	}
	first, second := u, v
	if b.swapped {
		first, second = v, u
	}
	if b.gain != nil {
		first = b.gain.through(first)
	}
	scale := 0.9 / max(largest(first), largest(second))
	for i := range first {
		first[i] = first[i]*scale + b.noise*rng.NormFloat64()
		second[i] = second[i]*scale + b.noise*rng.NormFloat64()
	}
	return &Recording{rate, [][]float64{first, second}}
}

func largest(x []float64) float64 {
	m := 0.0
	for _, v := range x {
		m = max(m, math.Abs(v))
	}
	return m
}

// worst returns the largest relative error of a table from 30 Hz to 15 kHz.
func worst(t *measured.Table, z response) (err, at float64) {
	for i, hz := range t.Hz {
		if hz < 30 || hz > 15e3 {
			continue
		}
		want := z(complex(0, 2*math.Pi*hz))
		if e := cmplx.Abs(t.Z[i]-want) / cmplx.Abs(want); e > err {
			err, at = e, hz
		}
	}
	return err, at
}

// measure measures and checks that the cabinet is found within tolerance and
// that there are as many warnings as expected.
func measure(t *testing.T, j Jig, rec *Recording, tolerance float64, warnings ...string) *measured.Table {
	t.Helper()
	table, err := j.Measure(rec)
	if err != nil {
		t.Fatal(err)
	}
	e, at := worst(table, cabinet)
	t.Logf("largest error %.3f %% at %.1f Hz", 100*e, at)
	if e > tolerance {
		t.Errorf("off by %.3f %% at %.1f Hz, want %.3f %%", 100*e, at, 100*tolerance)
	}
	if len(table.Warnings) != len(warnings) {
		t.Errorf("warnings %v, want %d", table.Warnings, len(warnings))
		return table
	}
	for i, w := range warnings {
		if !strings.Contains(table.Warnings[i].String(), w) {
			t.Errorf("warning %q, want %q", table.Warnings[i], w)
		}
	}
	return table
}

const minus60dB = 1e-3

// The whole way: a WAVE file of a known network with noise at −60 dB of full
// scale in both channels, read back and recovered within 0.5 % from 30 Hz to
// 15 kHz.
func TestKnownNetworkThroughWAV(t *testing.T) {
	for name, c := range map[string]struct {
		source []float64
		method Method
	}{
		"sweep, deconvolution": {sweep(8), Deconvolution},
		"noise, cross spectra": {pink(rand.New(rand.NewPCG(11, 12)), 30), CrossSpectra},
	} {
		t.Run(name, func(t *testing.T) {
			rec := bench{source: c.source, device: cabinet, noise: minus60dB}.record(rand.New(rand.NewPCG(1, 2)))
			rec, err := ReadWAV(bytes.NewReader(encodeWAV(rate, rec.Channels...)))
			if err != nil {
				t.Fatal(err)
			}
			measure(t, Jig{Resistor: resistor, Options: Options{Method: c.method}}, rec, 0.005)
		})
	}
}

// Without noise what is left is the error of the methods.
func TestMethodsWithoutNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	rec := bench{source: sweep(8), device: cabinet}.record(rng)
	measure(t, Jig{Resistor: resistor, Options: Options{Method: Deconvolution}}, rec, 3e-4)
	rec = bench{source: pink(rng, 30), device: cabinet}.record(rng)
	measure(t, Jig{Resistor: resistor}, rec, 3e-3)
}

// One per cent of second harmonic is cut away with the gate.
func TestDeconvolutionRejectsDistortion(t *testing.T) {
	rec := bench{source: sweep(10), device: cabinet, distorted: 0.02, noise: 1e-4}.record(rand.New(rand.NewPCG(5, 6)))
	measure(t, Jig{Resistor: resistor, Options: Options{Method: Deconvolution}}, rec, 0.005)
}

// The second channel before the resistor, the device on the second channel.
func TestArrangements(t *testing.T) {
	o := Options{Method: Deconvolution}
	rng := rand.New(rand.NewPCG(7, 8))
	rec := bench{source: sweep(8), device: cabinet, sense: BeforeResistor, noise: 1e-5}.record(rng)
	measure(t, Jig{Resistor: resistor, Sense: BeforeResistor, Options: o}, rec, 1e-3)
	rec.Channels[0], rec.Channels[1] = rec.Channels[1], rec.Channels[0]
	measure(t, Jig{Resistor: resistor, Sense: BeforeResistor, Device: 1, Options: o}, rec, 1e-3)
}

// Channels that differ by 0.4 dB and a low-pass, and a resistor that is 3 %
// off: what each calibration makes of it.
func TestCalibration(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	gain := response(func(s complex128) complex128 { return 1.05 / (1 + s/complex(2*math.Pi*30e3, 0)) })
	const actual, known = 1.03 * resistor, 8.0
	for _, sense := range []Sense{AcrossResistor, BeforeResistor} {
		b := bench{source: sweep(3), device: cabinet, sense: sense, gain: gain, noise: 1e-5}
		exact := b.record(rng)
		b.swapped = true
		swapped := b.record(rng)
		b.swapped, b.device = false, resistance(known)
		exactKnown := b.record(rng)
		b.series = actual
		offKnown := b.record(rng)
		b.device = cabinet
		off := b.record(rng)
		b.swapped = true
		offSwapped := b.record(rng)

		j := Jig{Resistor: resistor, Sense: sense, Options: Options{Method: Deconvolution}}
		table, err := j.Measure(exact)
		if err != nil {
			t.Fatal(err)
		}
		if e, _ := worst(table, cabinet); e < 0.05 {
			t.Errorf("uncalibrated: error of %g only, so that this test shows nothing", e)
		}
		j.Swapped = swapped
		measure(t, j, exact, 1e-3)
		j.Swapped, j.Known, j.KnownOhms = nil, exactKnown, known
		measure(t, j, exact, 1e-3)
		j.Swapped, j.Known = offSwapped, offKnown
		measure(t, j, off, 1e-3)
	}
}

// Interference round 1 kHz is found and told.
func TestPoorCoherenceIsTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	hum := response(func(s complex128) complex128 {
		w0 := complex(2*math.Pi*1000, 0)
		return 1000 * (s * w0 / 50) / (s*s + s*w0/50 + w0*w0)
	})
	rec := bench{source: pink(rng, 20), device: cabinet, noise: 1e-5}.record(rng)
	white := make([]float64, len(rec.Channels[0]))
	for i := range white {
		white[i] = 1e-3 * rng.NormFloat64()
	}
	for i, v := range hum.through(white) {
		rec.Channels[0][i] += v
	}
	table, err := Jig{Resistor: resistor}.Measure(rec)
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Warnings) != 1 || !strings.HasPrefix(table.Warnings[0].Says, "coherence under 0.95 from ") {
		t.Fatalf("warnings %v", table.Warnings)
	}
	for i, hz := range table.Hz {
		if c := table.Coherence[i]; hz > 980 && hz < 1020 && c > 0.5 || (hz < 300 || hz > 3000) && c < 0.95 {
			t.Errorf("%g Hz: coherence %g", hz, c)
		}
	}
}

func TestWarnings(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	rec := bench{source: sweep(8), device: cabinet}.record(rng)
	o := Options{Method: Deconvolution}
	for i := range rec.Channels[1] {
		rec.Channels[1][i] *= -1
	}
	table, err := Jig{Resistor: resistor, Options: o}.Measure(rec)
	if err != nil || len(table.Warnings) != 1 || !strings.Contains(table.Warnings[0].Says, "opposite polarity") {
		t.Errorf("polarity: %v, %v", table.Warnings, err)
	}
	for c, x := range rec.Channels {
		for i := range x {
			rec.Channels[c][i] = max(-1, min(1, 1.3*x[i]))
		}
	}
	table, err = Jig{Resistor: resistor, Options: o}.Measure(rec)
	if err != nil || len(table.Warnings) == 0 || !strings.Contains(table.Warnings[0].Says, "channel 1 is driven to full scale") {
		t.Errorf("clipping: %v, %v", table.Warnings, err)
	}
}

func TestMeasureRefuses(t *testing.T) {
	short := &Recording{rate, [][]float64{make([]float64, 100), make([]float64, 100)}}
	silent := &Recording{rate, [][]float64{make([]float64, 5*rate), make([]float64, 5*rate)}}
	for name, c := range map[string]struct {
		j    Jig
		rec  *Recording
		want string
	}{
		"no resistor":  {Jig{}, silent, "series resistor of 0 ohm"},
		"device":       {Jig{Resistor: 1, Device: 2}, silent, "channel 2"},
		"sense":        {Jig{Resistor: 1, Sense: 2}, silent, "sense 2"},
		"known":        {Jig{Resistor: 1, Known: silent}, silent, "known resistor of 0 ohm"},
		"coherence":    {Jig{Resistor: 1, PoorCoherence: 2}, silent, "coherence of 2"},
		"mono":         {Jig{Resistor: 1}, &Recording{rate, short.Channels[:1]}, "1 channels"},
		"other rate":   {Jig{Resistor: 1, Swapped: &Recording{44100, nil}}, silent, "44100 samples per second"},
		"silent":       {Jig{Resistor: 1}, silent, "no signal"},
		"silent sweep": {Jig{Resistor: 1, Options: Options{Method: Deconvolution}}, silent, "no signal"},
		"short":        {Jig{Resistor: 1}, short, "expected at least 0.8 s"},
		"empty":        {Jig{Resistor: 1}, &Recording{rate, [][]float64{{}, {}}}, "segments of 0 s"},
		"gate":         {Jig{Resistor: 1, Options: Options{Method: Deconvolution, Gate: 4}}, silent, "gate of 4 s"},
		"method":       {Jig{Resistor: 1, Options: Options{Method: 3}}, silent, "method 3"},
		"over Nyquist": {Jig{Resistor: 1, Options: Options{To: 24e3}}, silent, "below 24000 Hz"},
		"per octave":   {Jig{Resistor: 1, Options: Options{PerOctave: -1}}, silent, "-1 points"},
		"bandwidth":    {Jig{Resistor: 1, Options: Options{Bandwidth: 2}}, silent, "2 octaves"},
		"segment":      {Jig{Resistor: 1, Options: Options{Segment: math.NaN()}}, silent, "segments of NaN"},
		"rate":         {Jig{Resistor: 1}, &Recording{0, silent.Channels}, "0 samples per second"},
		"unequal":      {Jig{Resistor: 1}, &Recording{rate, [][]float64{{1}, {1, 2}}}, "of 1 and 2 samples"},
	} {
		if _, err := c.j.Measure(c.rec); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func BenchmarkMeasure(b *testing.B) {
	rng := rand.New(rand.NewPCG(17, 18))
	rec := bench{source: sweep(8), device: cabinet, noise: minus60dB}.record(rng)
	for name, m := range map[string]Method{"cross": CrossSpectra, "deconvolution": Deconvolution} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := (Jig{Resistor: resistor, Options: Options{Method: m}}).Measure(rec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
