package main

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	"loadscape/network"
	"loadscape/thielesmall"
)

// A recordedJig makes the recording of an invented driver behind a resistor:
// what the two channels hold, and what is wrong with them.
type recordedJig struct {
	source  []float64
	device  network.OnePort
	series  float64 // ohm
	before  bool    // the other channel is before the resistor
	swapped bool    // channels exchanged at their inputs
	gain    float64 // of the first input over the second; 0: 1
	noise   float64 // RMS over full scale
}

const sampling = 48000

var recordedDriver = thielesmall.Driver{
	Name: "recorded", Re: 6.5, Fs: 78, Qms: 8.2, Qes: 0.92,
	VoiceCoil: thielesmall.SemiInductance{Leb: 0.05e-3, Le: 0.8e-3, Ke: 0.04, Rss: 150},
}

// risingSweep returns a sweep that rises exponentially from 15 Hz to 22 kHz
// between two half seconds of silence.
func risingSweep(seconds float64) []float64 {
	n := int(seconds * sampling)
	x := make([]float64, n+sampling*3/2)
	k := math.Log(22e3/15.0) / seconds
	for i := range n {
		fade := min(1, float64(i)/(0.05*sampling), float64(n-i)/(0.005*sampling))
		x[sampling/2+i] = fade * math.Sin(2*math.Pi*15/k*math.Expm1(k*float64(i)/sampling))
	}
	return x
}

// steadyNoise returns pink noise: of equal power in every octave above 10 Hz.
func steadyNoise(rng *rand.Rand, seconds float64) []float64 {
	n := int(seconds * sampling)
	spectrum := make([]complex128, n/2+1)
	for k := 1; k < len(spectrum); k++ {
		hz := float64(k) / seconds
		spectrum[k] = complex(rng.NormFloat64(), rng.NormFloat64()) / complex(math.Sqrt(max(hz, 10)), 0)
	}
	return fourier.NewFFT(n).Sequence(nil, spectrum)
}

// record returns a WAV file of 24 bits and two channels.
func (j recordedJig) record(t *testing.T, rng *rand.Rand) string {
	t.Helper()
	fft := fourier.NewFFT(len(j.source))
	spectrum := fft.Coefficients(nil, j.source)
	hz := make([]float64, len(spectrum)-1)
	for k := range hz {
		hz[k] = sampling * float64(k+1) / float64(len(j.source))
	}
	z, err := network.Impedance(j.device, hz)
	if err != nil {
		t.Fatal(err)
	}
	device, other := make([]complex128, len(spectrum)), make([]complex128, len(spectrum))
	for k := range hz {
		current := spectrum[k+1] / (z[k] + complex(j.series, 0))
		device[k+1], other[k+1] = current*z[k], current*complex(j.series, 0)
		if j.before {
			other[k+1] = spectrum[k+1]
		}
	}
	a, b := fft.Sequence(nil, device), fft.Sequence(nil, other)
	if j.swapped {
		a, b = b, a
	}
	for i := range a {
		a[i] *= cmp.Or(j.gain, 1)
	}
	peak := max(slices.Max(a), -slices.Min(a), slices.Max(b), -slices.Min(b))
	for i := range a {
		a[i] = 0.9*a[i]/peak + j.noise*rng.NormFloat64()
		b[i] = 0.9*b[i]/peak + j.noise*rng.NormFloat64()
	}
	return inFile(t, "recording.wav", wav24(a, b))
}

// wav24 returns a WAVE file of two channels of 24-bit integers.
func wav24(a, b []float64) string {
	var data bytes.Buffer
	for i := range a {
		for _, v := range []float64{a[i], b[i]} {
			n := int32(math.Round(min(max(v, -1), 1) * (1<<23 - 1)))
			data.Write([]byte{byte(n), byte(n >> 8), byte(n >> 16)})
		}
	}
	var out bytes.Buffer
	u32 := func(v int) { binary.Write(&out, binary.LittleEndian, uint32(v)) }
	u16 := func(v int) { binary.Write(&out, binary.LittleEndian, uint16(v)) }
	out.WriteString("RIFF")
	u32(36 + data.Len())
	out.WriteString("WAVEfmt ")
	u32(16)
	u16(1)
	u16(2)
	u32(sampling)
	u32(sampling * 6)
	u16(6)
	u16(24)
	out.WriteString("data")
	u32(data.Len())
	out.Write(data.Bytes())
	return out.String()
}

// offBy returns the largest relative error of a table that was written, from
// 30 Hz to 15 kHz. The truth is the circuit inside the recording.
func offBy(t *testing.T, file string, truth network.OnePort) float64 {
	t.Helper()
	table := readBack(t, file)
	z, err := network.Impedance(truth, table.Hz)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for i, hz := range table.Hz {
		if hz >= 30 && hz <= 15e3 {
			worst = max(worst, cmplx.Abs(table.Z[i]/z[i]-1))
		}
	}
	return worst
}

// A driver inside a recording with noise at −60 dB comes out within 0.5 %,
// however it was recorded.
func TestMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2026))
	sweep, noise := risingSweep(8), steadyNoise(rng, 20)
	base := recordedJig{source: sweep, device: recordedDriver, series: 10, noise: 1e-3}
	before, steady, unequal, exchanged := base, base, base, base
	before.before = true
	steady.source = noise
	unequal.gain = 1.07
	exchanged.gain, exchanged.swapped = 1.07, true
	known := unequal
	known.device = network.Resistor{Ohms: 8.2}
	for _, test := range []struct {
		name string
		rec  recordedJig
		args []string
	}{
		{"across", base, nil},
		{"before", before, []string{"--sense", "before"}},
		{"noise", steady, []string{"--method", "noise"}},
		{"swapped", unequal, []string{"--swapped", exchanged.record(t, rng)}},
		{"known", unequal, []string{"--known", known.record(t, rng), "--known-ohms", "8R2"}},
		{"second channel", recordedJig{source: sweep, device: recordedDriver, series: 10, noise: 1e-3, swapped: true}, []string{"--device-channel", "2"}},
	} {
		out := filepath.Join(t.TempDir(), "out.csv")
		a := ask("", append([]string{"measure", test.rec.record(t, rng), "--resistor", "10 ohm", "-o", out}, test.args...)...)
		a.wants(t, 0)
		if a.code != 0 {
			continue
		}
		e := offBy(t, out, recordedDriver)
		t.Logf("%s: off by %.3f %% %s", test.name, 100*e, a.stderr)
		if e > 5e-3 {
			t.Errorf("%s: off by %.2f %%, want 0.5 %%", test.name, 100*e)
		}
	}
}

// The answer for the eye says how it was found, where it is doubtful and what
// is dangerous.
func TestMeasureTable(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2027))
	rec := recordedJig{source: steadyNoise(rng, 4), device: recordedDriver, series: 10, noise: 0.05}.record(t, rng)
	figure := filepath.Join(t.TempDir(), "figure.svg")
	a := ask("", "measure", rec, "--resistor", "10 ohm", "--method", "noise", "--from", "50 Hz", "--to", "5k", "--figure", figure)
	a.wants(t, 2, "--to")
	a = ask("", "measure", rec, "--resistor", "10 ohm", "--method", "noise", "--from", "50", "--to", "5 kHz", "--per-octave", "12", "--figure", figure)
	a.wants(t, 0, "recording\n", "80, from 50 Hz to", "coherence", "Series resistor 10 ohm, channel 1 across the device, channel 2 across the resistor; noise",
		"Channels taken as equal", "note: coherence under 0.95 from", "lethal voltages", "qualified technician")
	svg, err := os.ReadFile(figure)
	if err != nil || !strings.Contains(string(svg), "Coherence") {
		t.Errorf("no strip of coherence in the figure (%v)", err)
	}
	ask("", "measure", "--help").wants(t, 0, "lethal voltages", "headphone output")
}

func TestMeasureMistakes(t *testing.T) {
	silent := inFile(t, "silent.wav", wav24(make([]float64, 3*sampling), make([]float64, 3*sampling)))
	text := inFile(t, "text.wav", "Hz,ohm\n20,8\n")
	for _, test := range []struct {
		code int
		want string
		args []string
	}{
		{2, "--resistor is missing: expected the series resistance", []string{silent}},
		{2, "--resistor: ", []string{silent, "--resistor", "10"}},
		{2, "--sense behind: expected across or before", []string{silent, "--resistor", "10 ohm", "--sense", "behind"}},
		{2, "--method music: expected sweep or noise", []string{silent, "--resistor", "10 ohm", "--method", "music"}},
		{2, "--device-channel 3", []string{silent, "--resistor", "10 ohm", "--device-channel", "3"}},
		{2, "--known and --known-ohms", []string{silent, "--resistor", "10 ohm", "--known", silent}},
		{2, "--from: ", []string{silent, "--resistor", "10 ohm", "--from", "-20"}},
		{2, "below 24000 Hz, half the sampling rate", []string{silent, "--resistor", "10 ohm", "--to", "30 kHz"}},
		{2, "coherence of 2", []string{silent, "--resistor", "10 ohm", "--poor-coherence", "2"}},
		{2, "no signal", []string{silent, "--resistor", "10 ohm"}},
		{2, text + ": transfer: not a WAVE file", []string{text, "--resistor", "10 ohm"}},
		{3, "no such file", []string{"absent.wav", "--resistor", "10 ohm"}},
		{3, "no such file", []string{silent, "--resistor", "10 ohm", "--swapped", "absent.wav"}},
	} {
		ask("", append([]string{"measure"}, test.args...)...).wants(t, test.code, "loadscape: ", test.want)
	}
}
