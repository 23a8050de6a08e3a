package quantity

import (
	"strconv"
	"strings"
)

// Format writes a value, given in the unit that [Parse] returns, with a unit
// whose prefix leaves one to three digits before the point where there is such
// a unit: "4.7 kohm", "51 L". It gives the stated number of significant
// digits, and all that are needed to read the same value back if digits is 0;
// zeros at the end are left out. A value that is not finite is written as
// [strconv.FormatFloat] writes it, which Parse does not read.
func Format(v float64, d Dimension, digits int) string {
	ladder := d.kind().ladder
	if digits < 0 {
		panic("quantity: negative number of digits")
	}
	text, exponent, finite := scientific(v, digits)
	if !finite {
		return with(text, canonical(d))
	}
	unit := ladder[0]
	for _, u := range ladder {
		if spellings[d][u].exponent <= exponent {
			unit = u
		}
	}
	if v == 0 {
		unit = canonical(d)
	}
	shift := exponent - spellings[d][unit].exponent
	if v != 0 && (shift > 5 || shift < -4) {
		unit = canonical(d)
		exponent -= spellings[d][unit].exponent
		return with(text+"e"+strconv.Itoa(exponent), unit)
	}
	return with(shifted(text, shift), unit)
}

// canonical returns the unit of the ladder that has no prefix, or the lowest.
func canonical(d Dimension) string {
	ladder := d.kind().ladder
	for _, u := range ladder {
		if spellings[d][u].exponent == 0 {
			return u
		}
	}
	return ladder[0]
}

// with joins a number and a unit.
func with(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// scientific returns v as a mantissa with one digit before the point and no
// zeros at its end, and the exponent of ten.
func scientific(v float64, digits int) (mantissa string, exponent int, finite bool) {
	s := strconv.FormatFloat(v, 'e', digits-1, 64)
	mantissa, power, finite := strings.Cut(s, "e")
	if !finite {
		return s, 0, false
	}
	if strings.Contains(mantissa, ".") {
		mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	}
	if mantissa == "-0" {
		mantissa = "0"
	}
	exponent, _ = strconv.Atoi(power)
	return mantissa, exponent, true
}

// shifted moves the point of a mantissa with one digit before it by places to
// the right.
func shifted(mantissa string, places int) string {
	sign, body := scanSign(mantissa)
	if sign != "-" {
		sign = ""
	}
	digits := strings.Replace(body, ".", "", 1)
	switch point := 1 + places; {
	case point <= 0:
		return sign + "0." + strings.Repeat("0", -point) + digits
	case point < len(digits):
		return sign + digits[:point] + "." + digits[point:]
	default:
		return sign + digits + strings.Repeat("0", point-len(digits))
	}
}
