package transfer

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"golang.org/x/image/riff"
)

// A Recording is sampled sound.
type Recording struct {
	Rate     float64     // samples per second
	Channels [][]float64 // of equal length; full scale is ±1
}

// Limits of a recording.
const (
	MaxFrames   = 1 << 24 // 349 s at 48 kHz
	MaxChannels = 32
)

// ReadWAV reads a WAVE file: integer samples of 8, 16, 24 or 32 bits, or
// floating-point samples of 32 or 64, also in the extensible form.
func ReadWAV(r io.Reader) (*Recording, error) {
	form, chunks, err := riff.NewReader(r)
	if err != nil || form != (riff.FourCC{'W', 'A', 'V', 'E'}) {
		return nil, fmt.Errorf("transfer: not a WAVE file: expected one that begins with RIFF and WAVE")
	}
	var format *wavFormat
	for {
		id, length, data, err := chunks.Next()
		switch {
		case errors.Is(err, io.EOF):
			return nil, fmt.Errorf("transfer: the WAVE file ends without a data chunk")
		case err != nil:
			return nil, fmt.Errorf("transfer: WAVE file broken off or malformed: %w", err)
		case id == riff.FourCC{'f', 'm', 't', ' '}:
			if format, err = readFormat(data); err != nil {
				return nil, err
			}
		case id == riff.FourCC{'d', 'a', 't', 'a'}:
			if format == nil {
				return nil, fmt.Errorf("transfer: WAVE file with data before their format")
			}
			return format.read(data, length)
		}
	}
}

// wavFormat is how the samples of a WAVE file are stored.
type wavFormat struct {
	rate     uint32
	channels int
	bytes    int // of a sample
	decode   func(b []byte) float64
}

// The format tags of the WAVE format.
const (
	tagInteger    = 1
	tagFloat      = 3
	tagExtensible = 0xFFFE
)

// readFormat reads the fmt chunk.
func readFormat(r io.Reader) (*wavFormat, error) {
	var b [40]byte
	n, err := io.ReadFull(r, b[:])
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) || n < 16 {
		return nil, fmt.Errorf("transfer: WAVE file with a format chunk of %d bytes: expected 16 or more", n)
	}
	u16 := func(i int) int { return int(binary.LittleEndian.Uint16(b[i:])) }
	tag := u16(0)
	if tag == tagExtensible {
		tag = u16(24) // the first bytes of the sub-format; 0 if the chunk is too short
	}
	f := &wavFormat{channels: u16(2), rate: binary.LittleEndian.Uint32(b[4:]), bytes: u16(14) / 8}
	f.decode = decoders[sampleKind{tag, u16(14)}]
	switch {
	case f.decode == nil:
		return nil, fmt.Errorf("transfer: WAVE file with format tag %d and %d bits: expected integers of 8, 16, 24 or 32 bits, or floating point of 32 or 64", tag, u16(14))
	case f.channels < 1 || f.channels > MaxChannels:
		return nil, fmt.Errorf("transfer: WAVE file of %d channels: expected 1 to %d", f.channels, MaxChannels)
	case f.rate < 1000 || f.rate > 10e6:
		return nil, fmt.Errorf("transfer: WAVE file of %d samples per second: expected 1000 to 10000000", f.rate)
	case u16(12) != f.channels*f.bytes:
		return nil, fmt.Errorf("transfer: WAVE file with frames of %d bytes: expected %d for %d channels of %d bytes", u16(12), f.channels*f.bytes, f.channels, f.bytes)
	}
	return f, nil
}

type sampleKind struct{ tag, bits int }

// decoders turn the bytes of a sample, little-endian, into a number of which
// full scale is ±1. Integers of 8 bits are unsigned.
var decoders = map[sampleKind]func(b []byte) float64{
	{tagInteger, 8}:  func(b []byte) float64 { return (float64(b[0]) - 128) / (1 << 7) },
	{tagInteger, 16}: func(b []byte) float64 { return float64(int16(binary.LittleEndian.Uint16(b))) / (1 << 15) },
	{tagInteger, 24}: func(b []byte) float64 {
		return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
	},
	{tagInteger, 32}: func(b []byte) float64 { return float64(int32(binary.LittleEndian.Uint32(b))) / (1 << 31) },
	{tagFloat, 32}:   func(b []byte) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b))) },
	{tagFloat, 64}:   func(b []byte) float64 { return math.Float64frombits(binary.LittleEndian.Uint64(b)) },
}

// read reads the data chunk of a length in bytes.
func (f *wavFormat) read(r io.Reader, length uint32) (*Recording, error) {
	frame := uint32(f.channels * f.bytes)
	frames := length / frame
	switch {
	case length%frame != 0:
		return nil, fmt.Errorf("transfer: WAVE file with %d bytes of data: expected whole frames of %d bytes", length, frame)
	case frames > MaxFrames:
		return nil, fmt.Errorf("transfer: WAVE file of %d frames: expected at most %d", frames, MaxFrames)
	}
	rec := &Recording{Rate: float64(f.rate), Channels: make([][]float64, f.channels)}
	const block = 4096
	buffer := make([]byte, block*frame)
	for done := uint32(0); done < frames; {
		b := buffer[:min(block, frames-done)*frame]
		if _, err := io.ReadFull(r, b); err != nil {
			return nil, fmt.Errorf("transfer: WAVE file broken off within the %d frames that it announces: %w", frames, err)
		}
		for i := 0; i < len(b); i += f.bytes {
			v := f.decode(b[i:])
			if math.IsNaN(v) || math.Abs(v) > maxSample {
				return nil, fmt.Errorf("transfer: WAVE file with a sample of %g: expected up to 1 in magnitude", v)
			}
			c := i / f.bytes % f.channels
			rec.Channels[c] = append(rec.Channels[c], v)
		}
		done += uint32(len(b)) / frame
	}
	return rec, nil
}

// maxSample bounds floating-point samples: some programs write integers in
// that format, but nothing is larger than those of 32 bits.
const maxSample = 1 << 32

// clips tells whether a channel was driven to full scale and stayed there.
func clips(x []float64) bool {
	const fullScale, run = 0.9999, 3
	n := 0
	for i, v := range x {
		if math.Abs(v) < fullScale || i > 0 && v != x[i-1] {
			n = 0
		}
		if n++; n >= run && math.Abs(v) >= fullScale {
			return true
		}
	}
	return false
}
