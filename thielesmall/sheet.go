package thielesmall

import (
	"fmt"
	"math"
)

// Sheet holds values that follow from the others of a [Driver]. They are not
// used but to find out whether a data sheet contradicts itself: see
// [Driver.Check]. Zero means not stated.
type Sheet struct {
	Mms         float64 // kg, moving mass with its air load
	Cms         float64 // m/N
	Rms         float64 // N·s/m
	Bl          float64 // N/A
	Qts         float64
	Sensitivity float64 // dB re 20 µPa, 1 W into the rated impedance, 1 m, half space
}

func (s Sheet) check(c *checker) {
	c.optional("mms", s.Mms, "kg")
	c.optional("cms", s.Cms, "m/N")
	c.optional("rms", s.Rms, "N s/m")
	c.optional("bl", s.Bl, "T m")
	c.optional("qts", s.Qts, "")
	c.optional("sensitivity", s.Sensitivity, "dB")
}

// tolerance is the disagreement that is put down to rounding and to the spread
// of production.
const tolerance = 0.10

// Check returns what is doubtful about the driver: every value of its sheet
// that is more than 10 % off the one that follows from the others (for the
// sensitivity, 10 % of sound pressure), and models beyond their usual range.
func (d Driver) Check() []Warning {
	var w []Warning
	compare := func(name string, stated, follows, scale float64, unit string) {
		if stated != 0 && !(math.Abs(stated-follows) <= tolerance*follows) {
			w = append(w, d.contradiction(name, stated*scale, follows*scale, unit))
		}
	}
	compare("qts", d.Sheet.Qts, d.Qts(), 1, "")
	if d.Absolute() {
		m := d.Mechanics()
		compare("mms", d.Sheet.Mms, m.Mms, 1e3, " g")
		compare("cms", d.Sheet.Cms, m.Cms, 1e3, " mm/N")
		compare("rms", d.Sheet.Rms, m.Rms, 1, " N s/m")
		compare("bl", d.Sheet.Bl, m.Bl, 1, " T m")
	}
	if s := d.Sheet.Sensitivity; s != 0 && d.Vas != 0 {
		if follows := d.Sensitivity(); math.Abs(s-follows) > 20*math.Log10(1+tolerance) {
			w = append(w, d.contradiction("sensitivity", s, follows, " dB"))
		}
	}
	return append(w, d.checkModels()...)
}

func (d Driver) contradiction(name string, stated, follows float64, unit string) Warning {
	return Warning{Contradiction, d.title(), fmt.Sprintf("the data sheet states %s %.4g%s, its other values give %.4g%s", name, stated, unit, follows, unit)}
}

func (d Driver) checkModels() []Warning {
	var w []Warning
	if (d.Vas != 0) != (d.Sd != 0) {
		w = append(w, Warning{Limit, d.title(), "only one of vas and sd is given: without the other it can only be used in free air or an infinite baffle"})
	}
	s, ok := d.Suspension.(Creep)
	if !ok || s.Lambda == 0 {
		return w
	}
	if s.Lambda < 0.02 || s.Lambda > 0.2 {
		w = append(w, Warning{Limit, d.title(), fmt.Sprintf("creep of %.3g is outside the usual 0.02 to 0.2", s.Lambda)})
	}
	q := 1 / (1/d.Qms + s.lossFactor())
	return append(w, Warning{Assumption, d.title(), fmt.Sprintf("the loss of the creep is added to that of qms: at fs the mechanical Q is %.3g and not %.3g; a measured qms contains both", q, d.Qms)})
}
