package wire

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// AWG is an American wire gauge of ASTM B258: 36, 35, … 1, then 0 for gauge 0,
// −1 for 00, −2 for 000 and −3 for 0000.
type AWG int

// The gauges of ASTM B258.
const (
	Thickest AWG = -3
	Thinnest AWG = 56
)

// ParseAWG reads a gauge such as "16", "16 AWG", "AWG 16", "00" or "2/0".
func ParseAWG(s string) (AWG, error) {
	text := strings.ToUpper(strings.TrimSpace(s))
	text = strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(text, "AWG"), "AWG"))
	bad := fmt.Errorf("wire: gauge %q: expected 0000 (or 4/0) to %d AWG", s, Thinnest)
	if zeros, ok := strings.CutSuffix(text, "/0"); ok {
		if len(zeros) == 1 && zeros >= "1" && zeros <= "4" {
			return '1' - AWG(zeros[0]), nil
		}
		return 0, bad
	}
	if text != "" && strings.Trim(text, "0") == "" && len(text) <= 4 {
		return AWG(1 - len(text)), nil
	}
	n, err := strconv.ParseUint(text, 10, 8)
	if err != nil || AWG(n) > Thinnest || strings.HasPrefix(text, "0") {
		return 0, bad
	}
	return AWG(n), nil
}

// String returns the gauge as the standard writes it: "16 AWG", "00 AWG".
func (g AWG) String() string {
	if g <= 0 && g >= Thickest {
		return strings.Repeat("0", 1-int(g)) + " AWG"
	}
	return strconv.Itoa(int(g)) + " AWG"
}

// Diameter returns 0.127 mm·92^((36−n)/39) in metres.
func (g AWG) Diameter() float64 {
	return 0.127e-3 * math.Pow(92, float64(36-g)/39)
}

// Area returns the cross-section in m².
func (g AWG) Area() float64 { return Wire{Diameter: g.Diameter()}.Area() }

// areas are the nominal cross-sections of IEC 60228 in mm².
var areas = []float64{
	0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185,
	240, 300, 400, 500, 630, 800, 1000, 1200, 1400, 1600, 1800, 2000, 2500,
}

// StandardArea returns the smallest nominal cross-section of IEC 60228 that is
// not under area, in m², and whether there is one.
func StandardArea(area float64) (float64, bool) {
	for _, a := range areas {
		if a*1e-6 >= area*(1-1e-12) {
			return a * 1e-6, true
		}
	}
	return 0, false
}
