// Package tolerance tells how far the builds of a load spread when its parts
// are as exact as their tolerances say: by a Monte Carlo run over many builds,
// by the sensitivity of each part, and by the corners of the tolerance box.
//
// Every part that states a tolerance varies by itself; what varies is its
// resistance, inductance or capacitance, while the winding resistance of an
// inductor and the series resistance of a capacitor stay. Parts that state
// none are taken as exact and are named in [Result.Fixed].
//
// # Deviation
//
// The deviation of a build is taken from the nominal one, in dB at each
// frequency. [Load] takes that of the impedance's magnitude. [Setup] takes
// that of the tone, both equally loud, as package tone defines it: with a
// setup's amplifiers, cables and attenuators and all parts of them that state
// a tolerance. A build is summed up by the largest deviation in the listening
// band and by its RMS over the band on the ERB-rate axis.
//
// # Sampling
//
// Build i draws from a PCG-DXSM generator (O'Neill, HMC-CS-2014-0905) of its
// own, seeded by the seed and i. Counts of builds are whole numbers, so the
// answer is the same on any number of cores, bit for bit.
//
// # Percentiles
//
// Builds are not kept. At each frequency they are counted in bins that are
// even in asinh(x/0.1 dB), x being the distance in dB from the nominal build:
// 0.0005 dB wide at the nominal value, 0.5 % of the distance far from it. A
// percentile is off by no more than the bin in which it lies. That is little beside the
// scatter of sampling: the 5th percentile of 10 000 normal builds has a
// standard error of 2 % of the standard deviation, √(p(1−p)/n) over the
// density there (Kendall and Stuart, The Advanced Theory of Statistics,
// vol. 1, on the large-sample variance of quantiles; from memory). Memory
// grows with the frequencies, not with the builds.
//
// # Where it stops being true
//
// Parts are taken as independent. Those of one batch are not: their errors
// tend to one side, and then the worst case tells more than the bands. The
// worst case looks at corners, each part at one end of its tolerance. A
// magnitude may be most off inside the box instead, so the worst build of a
// run can be worse than the worst corner; both are given.
package tolerance
