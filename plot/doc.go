// Package plot draws the figures of loadscape: impedance, tone, power and
// loudness against frequency, in SVG, PNG or PDF.
//
// A [Figure] is a stack of panels. A [Panel] has two axes and holds items:
// [Line], [Points], [Band], [Interval], [Rule], [Bars], [Tags] and [Note]. The
// constructors ([Impedance], [Deviation], [Fit] and so on) compose these and
// return a Figure that the caller may still amend before it is encoded.
//
// Series are told apart three ways at once: by colour, by dash pattern and by
// marker shape, so a figure survives a grey print and a colour-blind reader.
// A name has one look throughout a figure. The legend stands below the
// panels, where it hides nothing.
//
// Data are plain slices in SI units: hertz, ohm, watt, and decibels or degrees
// where the axis says so. They are checked when the figure is encoded: an
// empty series, a NaN, slices of different lengths, or a frequency that is
// not above zero or does not increase is an error that names the series.
// A figure only reads the slices it is given.
//
// The same figure always gives the same bytes.
package plot
