// Package transfer turns recordings of a measurement into impedances.
//
// The device is fed through a known resistor R, and two channels are recorded:
// the voltage u across the device and either the voltage across the resistor
// or the voltage before it. With H the ratio of u to the other channel,
//
//	Z = R·H          other channel across the resistor
//	Z = R·H/(1 − H)  other channel before the resistor
//
// [Jig] holds that arrangement and its calibration, [ReadWAV] reads a
// recording, and [Estimate] finds the ratio of any two channels, by either of
// two methods:
//
//   - [CrossSpectra]: H = S_xy/S_xx from spectra averaged over overlapping
//     segments (Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70), with the
//     coherence γ² = |S_xy|²/(S_xx·S_yy) (Bendat and Piersol, Random Data). For
//     noise that goes on throughout. Noise of its own in x makes |H| too small
//     by its share of the power of x.
//   - [Deconvolution]: H = Y/X of the whole recording, brought into the time
//     domain, cut to the length of the response and brought back. For sweeps:
//     what the device distorts arrives ahead of the response of a sweep that
//     rises logarithmically and is cut away (Müller and Massarani, J. Audio
//     Eng. Soc. 49 (2001) 443). The share of Y's power that H explains stands
//     for the coherence.
//
// Both give points on a logarithmic axis. A point is the middle of a parabola
// over frequency that, times X, is fitted to Y in a fraction of an octave (the
// local polynomial method: Pintelon and Schoukens, System Identification: A
// Frequency Domain Approach, 2012, ch. 7). That averages noise without
// flattening resonances.
//
// Frequencies are in hertz, impedances in ohms, the time factor is e^{+jωt}.
package transfer
