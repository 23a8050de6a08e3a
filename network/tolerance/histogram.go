package tolerance

import (
	"math"
	"sync/atomic"
)

// The bins of a histogram are even in asinh(x/unit), x in dB.
const (
	unit    = 0.1 // dB
	perUnit = 200 // bins in a step of one of asinh
	middle  = 1800
	bins    = 2*middle + 1 // up to ±405 dB; what lies beyond is counted at the ends
)

// A histogram counts builds by their distance in dB from the nominal one. Any
// number of goroutines may add to it.
type histogram [bins]uint32

func (h *histogram) add(x float64) {
	i := middle + int(math.Round(perUnit*math.Asinh(x/unit)))
	atomic.AddUint32(&h[min(max(i, 0), bins-1)], 1)
}

// edge returns the lower edge of bin i.
func edge(i int) float64 { return unit * math.Sinh((float64(i-middle)-0.5)/perUnit) }

// centre returns the middle of bin i.
func centre(i int) float64 { return unit * math.Sinh(float64(i-middle)/perUnit) }

// quantile returns the value below which a share p of the n builds lies.
// Within a bin builds are taken as evenly spread.
func (h *histogram) quantile(p float64, n int) float64 {
	rank, below := p*float64(n), 0.0
	for i, c := range h {
		count := float64(c)
		if c > 0 && below+count >= rank {
			low, high := edge(i), edge(i+1)
			return low + (high-low)*(rank-below)/count
		}
		below += count
	}
	return edge(bins)
}

// deviation returns the standard deviation of the n builds.
func (h *histogram) deviation(n int) float64 {
	mean, square := 0.0, 0.0
	for i, c := range h {
		mean += float64(c) * centre(i)
	}
	mean /= float64(n)
	for i, c := range h {
		if c > 0 {
			d := centre(i) - mean
			square += float64(c) * d * d
		}
	}
	return math.Sqrt(square / float64(n))
}
