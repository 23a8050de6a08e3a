package transfer

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The files in testdata were written by SoX 14.4.2: 12 frames at 48 kHz of a sine
// of 1 kHz, amplitude ½, on the first channel and one of 3 kHz, amplitude −¼,
// on the second. Those of 24 and 32 bits are in the extensible form.
func TestReadWAV(t *testing.T) {
	for file, step := range map[string]float64{
		"unsigned-integer-8.wav": 1.0 / (1 << 7),
		"signed-integer-16.wav":  1.0 / (1 << 15),
		"signed-integer-24.wav":  1.0 / (1 << 23),
		"signed-integer-32.wav":  1.0 / (1 << 31),
		"floating-point-32.wav":  1.0 / (1 << 25),
		"floating-point-64.wav":  1.0 / (1 << 31), // of the integers it was made from
	} {
		data, err := os.ReadFile(filepath.Join("testdata", file))
		if err != nil {
			t.Fatal(err)
		}
		rec, err := ReadWAV(bytes.NewReader(data))
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if rec.Rate != 48000 || len(rec.Channels) != 2 || len(rec.Channels[0]) != 12 {
			t.Errorf("%s: %g Hz, %d channels", file, rec.Rate, len(rec.Channels))
			continue
		}
		for i := range 12 {
			at := 2 * math.Pi * float64(i) / 48
			for c, want := range []float64{math.Sin(at) / 2, -math.Sin(3*at) / 4} {
				if got := rec.Channels[c][i]; math.Abs(got-want) > 1.01*step {
					t.Errorf("%s: channel %d frame %d: %.10f, want %.10f within %.2g", file, c, i, got, want, step)
				}
			}
		}
	}
}

// chunk returns a chunk of a RIFF file with the padding it needs.
func chunk(id string, data []byte) []byte {
	out := binary.LittleEndian.AppendUint32([]byte(id), uint32(len(data)))
	out = append(out, data...)
	if len(data)%2 == 1 {
		out = append(out, 0)
	}
	return out
}

func riffWAVE(chunks ...[]byte) []byte {
	return chunk("RIFF", append([]byte("WAVE"), bytes.Join(chunks, nil)...))
}

// formatChunk returns a format chunk of the plain form.
func formatChunk(tag, channels, rate, bits int) []byte {
	frame := channels * bits / 8
	var b []byte
	for _, v := range []any{uint16(tag), uint16(channels), uint32(rate), uint32(rate * frame), uint16(frame), uint16(bits)} {
		b, _ = binary.Append(b, binary.LittleEndian, v)
	}
	return chunk("fmt ", b)
}

// encodeWAV returns a file of 64-bit floating-point samples.
func encodeWAV(rate int, channels ...[]float64) []byte {
	var data []byte
	for i := range channels[0] {
		for _, c := range channels {
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(c[i]))
		}
	}
	return riffWAVE(formatChunk(tagFloat, len(channels), rate, 64), chunk("data", data))
}

// The ends of the ranges of integers, and chunks that mean nothing here, one
// of them of odd length.
func TestWAVIntegers(t *testing.T) {
	for bits, c := range map[int]struct {
		data []byte
		want []float64
	}{
		8:  {[]byte{0, 128, 255}, []float64{-1, 0, 127.0 / 128}},
		16: {[]byte{0x00, 0x80, 0, 0, 0xff, 0x7f}, []float64{-1, 0, 32767.0 / 32768}},
		24: {[]byte{0, 0, 0x80, 0, 0, 0, 0xff, 0xff, 0x7f}, []float64{-1, 0, 8388607.0 / 8388608}},
		32: {[]byte{0, 0, 0, 0x80, 0, 0, 0, 0, 0xff, 0xff, 0xff, 0x7f}, []float64{-1, 0, 2147483647.0 / 2147483648}},
	} {
		file := riffWAVE(chunk("LIST", []byte("odd")), formatChunk(tagInteger, 1, 44100, bits), chunk("junk", []byte{1}), chunk("data", c.data))
		rec, err := ReadWAV(bytes.NewReader(file))
		if err != nil {
			t.Errorf("%d bits: %v", bits, err)
			continue
		}
		for i, want := range c.want {
			if rec.Channels[0][i] != want {
				t.Errorf("%d bits: %v, want %v", bits, rec.Channels[0], c.want)
				break
			}
		}
	}
}

func TestWAVErrors(t *testing.T) {
	whole := encodeWAV(48000, []float64{0, 0.5}, []float64{0, -0.5})
	frames := chunk("data", make([]byte, 8))
	for name, c := range map[string]struct {
		file []byte
		want string
	}{
		"empty":          {nil, "not a WAVE file"},
		"text":           {[]byte("20 8 0\n30 9 0\n"), "not a WAVE file"},
		"other form":     {chunk("RIFF", []byte("AVI ")), "not a WAVE file"},
		"no data":        {riffWAVE(formatChunk(1, 2, 48000, 16)), "without a data chunk"},
		"no format":      {riffWAVE(frames), "data before their format"},
		"short format":   {riffWAVE(chunk("fmt ", make([]byte, 8)), frames), "format chunk of 8 bytes"},
		"broken off":     {whole[:len(whole)-3], "broken off"},
		"broken early":   {whole[:30], "format chunk of 10 bytes"},
		"compressed":     {riffWAVE(formatChunk(0x55, 2, 48000, 16), frames), "format tag 85"},
		"12 bits":        {riffWAVE(formatChunk(1, 2, 48000, 12), frames), "12 bits"},
		"no channels":    {riffWAVE(formatChunk(1, 0, 48000, 16), frames), "0 channels"},
		"slow":           {riffWAVE(formatChunk(1, 2, 10, 16), frames), "10 samples per second"},
		"half a frame":   {riffWAVE(formatChunk(1, 2, 48000, 16), chunk("data", make([]byte, 6))), "whole frames of 4"},
		"not a number":   {encodeWAV(48000, []float64{math.NaN()}), "sample of NaN"},
		"extensible":     {riffWAVE(formatChunk(0xFFFE, 2, 48000, 16), frames), "format tag 0"},
		"frame mismatch": {bytes.Replace(whole, []byte{16, 0, 64, 0}, []byte{17, 0, 64, 0}, 1), "frames of 17 bytes"},
	} {
		if _, err := ReadWAV(bytes.NewReader(c.file)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestClips(t *testing.T) {
	for _, c := range []struct {
		x    []float64
		want bool
	}{
		{nil, false},
		{[]float64{0, 1, 0, -1, 1, 1}, false},
		{[]float64{0, 1, 1, 1, 0.5}, true},
		{[]float64{0, -1, -1, -1}, true},
		{[]float64{0.5, 0.5, 0.5, 0.5}, false},
	} {
		if clips(c.x) != c.want {
			t.Errorf("%v: clips %t", c.x, !c.want)
		}
	}
}

func FuzzReadWAV(f *testing.F) {
	files, err := filepath.Glob("testdata/*.wav")
	if err != nil || len(files) == 0 {
		f.Fatal(files, err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rec, err := ReadWAV(bytes.NewReader(data))
		if err != nil {
			return
		}
		for _, c := range rec.Channels {
			if len(c) != len(rec.Channels[0]) || len(c) > len(data) {
				t.Fatalf("%d samples in one channel, %d in another, from %d bytes", len(c), len(rec.Channels[0]), len(data))
			}
			for _, v := range c {
				if math.IsNaN(v) || math.Abs(v) > maxSample {
					t.Fatalf("sample %g", v)
				}
			}
		}
	})
}
