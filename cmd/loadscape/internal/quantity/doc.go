// Package quantity reads and writes quantities with units, such as "6.5 ohm",
// "220uF", "4R7" or "0.9 mm".
//
// [Parse] turns text into a number in SI units, [Format] turns such a number
// into text with the prefix that suits it. What a text may say depends on the
// [Dimension] that is asked for.
//
// # Grammar
//
//	quantity    = number [ blanks ] unit
//	number      = [ sign ] digits [ "." digits ] [ ("e" | "E") [ sign ] digits ]
//	letter code = digits letter digits            resistances only
//
// A unit is never left out, but that plain numbers have none and a [Ratio] may
// be written as a number or with "%". Case counts: m is milli, M is mega.
// Prefixes that no such part has, a megahenry say, are not accepted, since they
// are slips of the shift key. Micro may be written u, µ (U+00B5) or μ
// (U+03BC), the unit of resistance ohm, Ω (U+03A9) or Ω (U+2126), squares and
// cubes m2, m² or m^2. A letter code is that of IEC 60062, with R, K, M, G or T
// at the place of the decimal point; a small k is taken as well, and a letter
// may follow a number in place of the unit: 4R7, R47, 1k2, 47R, 4.7k.
//
// The decimal exponent of a prefix is added to that of the number before it is
// rounded, so that "220 uF" is the float64 that 220e-6 reads as.
//
// Units outside the SI are the inch, foot, ounce and pound (exact: NIST Special
// Publication 811), the litre, the bar and the degree Celsius. Temperatures
// stay in degrees Celsius.
package quantity
