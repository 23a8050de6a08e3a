package hearing

import "math"

// kRate is the sample rate in hertz of the filters in ITU-R BS.1770-4.
const kRate = 48e3

// A section is a digital filter of second order, with a[0] = 1.
type section struct{ b, a [3]float64 }

// kSections are the filters of ITU-R BS.1770-4, Tables 1 and 2.
var kSections = [...]section{
	{
		b: [3]float64{1.53512485958697, -2.69169618940638, 1.19839281085285},
		a: [3]float64{1, -1.69065929318241, 0.73248077421585},
	},
	{
		b: [3]float64{1, -2, 1},
		a: [3]float64{1, -1.99004745483398, 0.99007225036621},
	},
}

// KWeight returns the K-weighting of ITU-R BS.1770-4 at a frequency in hertz,
// as a factor of power. It is 0 at 0 Hz, 1.172 (+0.69 dB) at 997 Hz, and
// constant above 24 kHz.
func KWeight(hz float64) float64 {
	sin := math.Sin(math.Pi * math.Min(math.Abs(hz), kRate/2) / kRate)
	weight := 1.0
	for _, s := range kSections {
		weight *= power(s.b, sin*sin) / power(s.a, sin*sin)
	}
	return weight
}

// power returns |c0 + c1/z + c2/z²|² at z = e^{jω}, φ = sin²(ω/2). Written in φ
// it keeps its digits at low frequencies, where the terms nearly cancel.
func power(c [3]float64, φ float64) float64 {
	sum := c[0] + c[1] + c[2]
	return sum*sum - 4*φ*(c[0]*c[1]+4*c[0]*c[2]+c[1]*c[2]) + 16*φ*φ*c[0]*c[2]
}
