// Package tone tells what is left of the difference between two responses
// once they are equally loud.
//
// Responses are ratios of voltages against frequency. Loudness is the power of
// a response, K-weighted (ITU-R BS.1770) and averaged over log frequency in a
// listening band. The deviation is the level of the one response over the
// other in dB, less the difference in loudness: positive where the setup is
// stronger than the reference. What it amounts to is averaged on the ERB-rate
// axis of hearing (Glasberg and Moore, Hearing Research 47 (1990)).
//
// A deviation is also told in words, as humps, dips and shelves against its
// plateau, the level at which most of the band lies.
package tone
