package quantity

import (
	"math"
	"strconv"
	"strings"
)

// A decimal is the text of a number: mantissa·10^exponent.
type decimal struct {
	mantissa string // sign, digits and at most one point
	exponent int
}

// Exponents are held within bounds that leave no doubt about the outcome.
const hugeExponent = 100000

// scanNumber takes a decimal number off the beginning of s.
func scanNumber(s string) (n decimal, rest string, ok bool) {
	sign, body := scanSign(s)
	i := digits(body)
	count := i
	if i < len(body) && body[i] == '.' {
		more := digits(body[i+1:])
		count += more
		i += 1 + more
	}
	if count == 0 {
		return n, s, false
	}
	n.mantissa = sign + body[:i]
	n.exponent, rest = scanExponent(body[i:])
	return n, rest, true
}

// scanSign takes a sign, which may be the minus of typographers, off s.
func scanSign(s string) (sign, rest string) {
	for _, minus := range []string{"-", "−"} {
		if rest, ok := strings.CutPrefix(s, minus); ok {
			return "-", rest
		}
	}
	return "", strings.TrimPrefix(s, "+")
}

// scanExponent takes a decimal exponent off s, if there is a whole one.
func scanExponent(s string) (exponent int, rest string) {
	if s == "" || s[0]|0x20 != 'e' {
		return 0, s
	}
	sign, body := scanSign(s[1:])
	n := digits(body)
	if n == 0 {
		return 0, s
	}
	exponent, err := strconv.Atoi(body[:n])
	if err != nil || exponent > hugeExponent {
		exponent = hugeExponent
	}
	if sign == "-" {
		exponent = -exponent
	}
	return exponent, body[n:]
}

// digits returns how many decimal digits s begins with.
func digits(s string) int {
	return len(s) - len(strings.TrimLeft(s, "0123456789"))
}

// scanLetterCode reads a letter code of IEC 60062 with the letter between
// digits or before them.
func scanLetterCode(s string) (decimal, bool) {
	i := strings.IndexAny(s, "RkKMGT")
	if i < 0 {
		return decimal{}, false
	}
	whole, fraction := s[:i], s[i+1:]
	if digits(whole) != len(whole) || fraction == "" || digits(fraction) != len(fraction) {
		return decimal{}, false
	}
	return decimal{whole + "." + fraction, spellings[Resistance][s[i:i+1]].exponent}, true
}

// in returns the number taken to the SI, and whether it is one: neither too
// large for a float64 nor rounded to zero.
func (n decimal) in(s scale) (float64, bool) {
	// The error is that of overflow, which the result shows.
	v, _ := strconv.ParseFloat(n.mantissa+"e"+strconv.Itoa(n.exponent+s.exponent), 64)
	zero := strings.Trim(n.mantissa, "+-.0") == ""
	if s.factor != 0 {
		v *= s.factor
	}
	if zero {
		return 0, true
	}
	return v, v != 0 && !math.IsInf(v, 0)
}
