package measured

import (
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// Options guide the readers.
type Options struct {
	// Curve is the name of the curve to read from a file with a column of
	// names. Default: the only one; several are an error that lists them.
	Curve string

	// Header stands for the header of a text table, in the words and units
	// that a header may have, separated by commas: "kHz, resistance,
	// reactance". Default: the file's own; without one, the columns are
	// frequency in Hz, magnitude in ohm and, if there is a third, phase in
	// degrees.
	Header string
}

// Touchstone files are known by the extensions of the standard or, from
// version 2 on, by the keyword that stands first after the comments.
var (
	touchstoneName  = regexp.MustCompile(`(?i)^\.(s\d+p|ts)$`)
	touchstoneBegin = regexp.MustCompile(`(?i)^(\s|!.*\n)*\[version\]`)
)

// Read reads the impedance table of a file. Names that end in .s1p or .ts, and
// text that begins with the keyword [Version], are read with [ReadTouchstone],
// everything else with [ReadText]. The file's name serves messages only.
func Read(r io.Reader, file string, opts Options) (*Table, error) {
	text, err := readAll(r, file)
	if err != nil {
		return nil, err
	}
	if touchstoneName.MatchString(filepath.Ext(file)) || touchstoneBegin.MatchString(text) {
		return readTouchstone(text, file)
	}
	return readText(text, file, opts)
}

// ReadText reads a table of text in columns, separated by commas, semicolons,
// tabs or blanks, with a decimal point or comma. Blank lines and lines that
// begin with # ; * // or ! are skipped. A header above the numbers, which may
// stand in a comment, names the columns and their units: frequency (Hz, kHz,
// MHz), magnitude (ohm, kohm, mohm) and phase (deg, rad), or resistance and
// reactance, and perhaps coherence and name.
func ReadText(r io.Reader, file string, opts Options) (*Table, error) {
	text, err := readAll(r, file)
	if err != nil {
		return nil, err
	}
	return readText(text, file, opts)
}

// ReadTouchstone reads a one-port of the Touchstone file format, version 1.1
// or 2.0: S, Y or Z parameters as magnitude and angle, decibels and angle, or
// real and imaginary part. Of version 1, Y and Z are normalised to the
// reference resistance; of version 2 they are not.
func ReadTouchstone(r io.Reader, file string) (*Table, error) {
	text, err := readAll(r, file)
	if err != nil {
		return nil, err
	}
	return readTouchstone(text, file)
}

// newlines brings the three conventions for the end of a line into one.
var newlines = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// readAll returns the text of r. Its encoding is what a byte order mark says,
// else UTF-8; what is not UTF-8 is taken for Windows-1252, in which older
// programs write the degree sign.
func readAll(r io.Reader, file string) (string, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, err)
	}
	if len(data) > MaxBytes {
		return "", fmt.Errorf("%s: more than %d MiB: expected a table of impedances", file, MaxBytes>>20)
	}
	fallback := encoding.Nop.NewDecoder()
	if !utf8.Valid(data) {
		fallback = charmap.Windows1252.NewDecoder()
	}
	data, _, err = transform.Bytes(unicode.BOMOverride(fallback), data)
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, err)
	}
	text := newlines.Replace(string(data))
	if i := strings.IndexByte(text, 0); i >= 0 {
		line := strings.Count(text[:i], "\n") + 1
		column := utf8.RuneCountInString(text[strings.LastIndexByte(text[:i], '\n')+1:i]) + 1
		return "", &SyntaxError{file, line, column, "a zero byte: expected text"}
	}
	return text, nil
}
