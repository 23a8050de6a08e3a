// Package hearing holds what the comparison of two sounds needs to know about
// the ear: the K-weighting of loudness meters, the resolution of the ear along
// the frequency axis, and the contours of equal loudness.
//
// # K-weighting
//
// [KWeight] is the power weight of Recommendation ITU-R BS.1770-4: a shelf for
// the head (Table 1) and a high pass (Table 2), given there as two digital
// sections at a sample rate of 48 kHz and evaluated here on the unit circle.
// Beyond half that rate the formula would only mirror what is below it. The
// weight keeps its value at 24 kHz instead, where its slope is zero anyway.
//
// # Resolution
//
// [ERB] is the equivalent rectangular bandwidth of the auditory filter and
// [ERBRate] the number of such bands below a frequency, both after Glasberg
// and Moore, Hearing Research 47 (1990) 103, for a young listener at moderate
// level. [ERBWeights] and [KWeights] turn sums over a frequency grid into
// means over a band that do not depend on where the points of the grid lie.
//
// # Equal loudness
//
// [PressureLevel], [LoudnessLevel] and [Boost] follow ISO 226:2023, which
// describes pure tones in a free field from the front, heard with both ears by
// listeners of 18 to 25 years. It gives three parameters at each of 29
// frequencies. Between them each parameter is interpolated over log frequency
// by a monotone cubic (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5
// (1984) 300) and enters the formula of the standard. So a contour passes
// through the table, leaves the range of two neighbours there by half a dB at
// most (just above 10 kHz), and never crosses the next contour. The standard
// covers 20 phon to 90 phon from 20 Hz to 4 kHz and 20 phon to 80 phon above
// that up to 12.5 kHz; anything else is a [*RangeError].
//
// Music is not a pure tone; the contours say which way the balance shifts with
// the level and about how far, not what one listener will want.
package hearing
