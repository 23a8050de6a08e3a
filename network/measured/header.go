package measured

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// quantity is what a column of a text table holds.
type quantity int

const (
	unknown quantity = iota
	curveName
	frequency
	magnitude
	phase
	resistance
	reactance
	coherence
)

// words are the names of quantities. A weak word counts only where no other
// does: "Z phase" is a phase, "Z" a magnitude.
var (
	words = map[string]quantity{
		"name": curveName, "curve": curveName,
		"f": frequency, "freq": frequency, "frequency": frequency,
		"mag": magnitude, "magnitude": magnitude, "abs": magnitude, "modulus": magnitude, "|z|": magnitude, "zmag": magnitude,
		"phase": phase, "arg": phase, "angle": phase, "phi": phase, "theta": phase, "φ": phase, "θ": phase,
		"r": resistance, "re": resistance, "real": resistance, "resistance": resistance,
		"x": reactance, "im": reactance, "imag": reactance, "imaginary": reactance, "reactance": reactance,
		"coherence": coherence,
	}
	weakWords = map[string]quantity{"z": magnitude, "impedance": magnitude}
)

// unit is a unit, and the quantities that may be given in it, of which it
// means the first where it stands alone.
type unit struct {
	factor float64 // to SI
	of     []quantity
}

var (
	hertz  = []quantity{frequency}
	ohmic  = []quantity{magnitude, resistance, reactance}
	angles = []quantity{phase}

	// The keys are in lower case but for the M of mega, where milli is known too.
	units = map[string]unit{
		"hz": {1, hertz}, "khz": {1e3, hertz}, "mhz": {1e6, hertz},
		"ohm": {1, ohmic}, "ohms": {1, ohmic}, "ω": {1, ohmic},
		"kohm": {1e3, ohmic}, "kohms": {1e3, ohmic}, "kω": {1e3, ohmic},
		"mohm": {1e-3, ohmic}, "mohms": {1e-3, ohmic}, "mω": {1e-3, ohmic},
		"Mohm": {1e6, ohmic}, "Mohms": {1e6, ohmic}, "Mω": {1e6, ohmic},
		"deg": {degree, angles}, "degree": {degree, angles}, "degrees": {degree, angles}, "°": {degree, angles},
		"rad": {1, angles}, "radian": {1, angles}, "radians": {1, angles},
	}
)

const degree = math.Pi / 180

func findUnit(word string) (u unit, ok bool) {
	key := strings.ToLower(word)
	if strings.HasPrefix(word, "M") {
		if u, ok = units["M"+key[1:]]; ok {
			return u, ok
		}
	}
	u, ok = units[key]
	return u, ok
}

// column is a column of a text table.
type column struct {
	field
	quantity quantity
	bare     bool // the quantity was told from the unit alone
	unit     unit
	strange  string // a unit in brackets that is not known
}

// factor returns what a number of the column is multiplied with.
func (c column) factor() float64 {
	switch {
	case c.unit.factor != 0:
		return c.unit.factor
	case c.quantity == phase:
		return degree
	}
	return 1
}

var bracket = regexp.MustCompile(`[(\[]\s*([^)\]]+?)\s*[)\]]`)

// parseColumn reads the header of a column, such as "Frequency (Hz)",
// "phase_deg", "Re(Z)" or "kohm".
func parseColumn(f field) column {
	c := column{field: f}
	var weak quantity
	for _, word := range strings.FieldsFunc(f.text, notOfWord) {
		lower := strings.ToLower(word)
		if u, ok := findUnit(word); ok {
			c.unit = u
		} else if q := weakWords[lower]; q != unknown {
			weak = q
		} else if c.quantity == unknown {
			c.quantity = words[lower]
		}
	}
	if c.quantity == unknown {
		c.quantity = weak
	}
	if in := bracket.FindStringSubmatch(f.text); in != nil && c.unit.of == nil {
		if lower := strings.ToLower(in[1]); words[lower] == unknown && weakWords[lower] == unknown {
			c.strange = in[1]
		}
	}
	return c
}

// notOfWord tells the runes between the words of a column's header.
func notOfWord(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '|' && r != '°'
}

// parseHeader reads the header of a table of n columns (0: any number), split
// as the data are or in another usual way. It is none, and ok is false, unless
// a frequency and a kind of impedance are among the columns.
func parseHeader(l line, sep separator, n int) (columns []column, ok bool) {
	for _, s := range []separator{sep, ',', ';', '\t', wideBlanks, blanks} {
		columns = columns[:0]
		for _, f := range s.split(l.text) {
			columns = appendColumn(columns, parseColumn(f), s)
		}
		for i, c := range columns {
			if c.quantity == unknown && c.unit.of != nil {
				columns[i].quantity, columns[i].bare = c.unit.of[0], true
			}
		}
		if (n == 0 || len(columns) == n) && has(columns, frequency) &&
			(has(columns, magnitude) || has(columns, resistance) || has(columns, reactance)) {
			return columns, true
		}
	}
	return nil, false
}

// appendColumn appends c to the columns. Where blanks separate them, a unit
// behind a name belongs to it.
func appendColumn(columns []column, c column, s separator) []column {
	if last := len(columns) - 1; last >= 0 && (s == blanks || s == wideBlanks) && c.quantity == unknown {
		if p := &columns[last]; p.quantity != unknown && p.unit.of == nil && (c.unit.of != nil || c.strange != "") {
			p.unit, p.strange = c.unit, c.strange
			return columns
		}
	}
	return append(columns, c)
}

// withUnits returns the columns named in one line with the units that stand
// in the line below, or false if these are no such lines.
func withUnits(names, units []column) ([]column, bool) {
	if len(names) != len(units) {
		return nil, false
	}
	columns := slices.Clone(names)
	for i, u := range units {
		if !u.bare || names[i].unit.of != nil {
			return nil, false
		}
		columns[i].unit = u.unit
	}
	return columns, true
}

func has(columns []column, q quantity) bool {
	return slices.ContainsFunc(columns, func(c column) bool { return c.quantity == q })
}

// checkHeader returns what is wrong with a header, and the field it is about.
func checkHeader(columns []column) (at field, err error) {
	seen := map[quantity]bool{}
	for _, c := range columns {
		switch {
		case c.quantity == unknown:
			continue
		case c.strange != "" || c.unit.of != nil && !slices.Contains(c.unit.of, c.quantity):
			return c.field, fmt.Errorf("unit of column %q: expected Hz, kHz or MHz for a frequency, ohm, kohm, mohm or Mohm for an impedance, deg or rad for a phase", c.text)
		case seen[c.quantity]:
			return c.field, fmt.Errorf("column %q: expected one column of that kind", c.text)
		}
		seen[c.quantity] = true
	}
	for _, c := range columns {
		switch {
		case seen[resistance] != seen[reactance] && slices.Contains(ohmic[1:], c.quantity):
			return c.field, fmt.Errorf("column %q: expected resistance and reactance together", c.text)
		case c.quantity == unknown && !seen[phase] && !seen[resistance]:
			return c.field, fmt.Errorf("column %q not understood, and there is no phase: expected phase, or resistance and reactance, or a magnitude alone", c.text)
		}
	}
	return field{}, nil
}
