package plot

import (
	"fmt"
	"image/color"
	"math"
	"testing"
)

// linear returns the components of sRGB (IEC 61966-2-1) as light.
func linear(c color.NRGBA) [3]float64 {
	var out [3]float64
	for i, v := range []uint8{c.R, c.G, c.B} {
		x := float64(v) / 255
		if x <= 0.04045 {
			out[i] = x / 12.92
		} else {
			out[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return out
}

func luminance(l [3]float64) float64 { return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2] }

// lab converts linear sRGB to CIELAB at white point D65 (ISO/CIE 11664-4).
func lab(l [3]float64) [3]float64 {
	x := (0.4124*l[0] + 0.3576*l[1] + 0.1805*l[2]) / 0.9505
	y := luminance(l)
	z := (0.0193*l[0] + 0.1192*l[1] + 0.9505*l[2]) / 1.0890
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
}

// vision holds matrices on linear sRGB for normal sight and for complete
// protan, deutan and tritan deficiency: Machado, Oliveira and Fernandes, "A
// Physiologically-based Model for Simulation of Color Vision Deficiency"
// (2009), severity 1.0; figures from memory.
var vision = map[string][9]float64{
	"normal": {1, 0, 0, 0, 1, 0, 0, 0, 1},
	"protan": {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
	"deutan": {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
	"tritan": {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
}

func seen(c color.NRGBA, m [9]float64) [3]float64 {
	l := linear(c)
	var out [3]float64
	for i := range out {
		v := m[3*i]*l[0] + m[3*i+1]*l[1] + m[3*i+2]*l[2]
		out[i] = math.Min(1, math.Max(0, v))
	}
	return lab(out)
}

func TestPaletteKeepsApart(t *testing.T) {
	for eyes, m := range vision {
		for i, a := range palette {
			for j, b := range palette[:i] {
				p, q := seen(a, m), seen(b, m)
				d := math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
				if d < 20 {
					t.Errorf("colours %d and %d are %.1f apart for %s vision, want 20", i, j, d, eyes)
				}
			}
		}
	}
}

// Web Content Accessibility Guidelines 2.2, success criterion 1.4.11: graphical
// objects have a contrast of at least 3:1 against what is next to them; and
// 1.4.3: text one of 4.5:1.
func TestContrastOnWhite(t *testing.T) {
	contrast := func(c color.NRGBA) float64 { return 1.05 / (luminance(linear(c)) + 0.05) }
	for i, c := range palette {
		if r := contrast(c); r < 3 {
			t.Errorf("colour %d has contrast %.2f, want 3", i, r)
		}
	}
	for i := range 9 {
		if r := contrast(Ramp(i, 9).Color); r < 3 {
			t.Errorf("ramp colour %d has contrast %.2f, want 3", i, r)
		}
	}
	for i, c := range []color.NRGBA{ink, faint, alarm} {
		if r := contrast(c); r < 4.5 {
			t.Errorf("text colour %d has contrast %.2f, want 4.5", i, r)
		}
	}
}

func TestPaletteNeighboursDifferInGrey(t *testing.T) {
	for i := 1; i < len(palette); i++ {
		a, b := lab(linear(palette[i]))[0], lab(linear(palette[i-1]))[0]
		if math.Abs(a-b) < 15 {
			t.Errorf("lightness of colours %d and %d is %.0f and %.0f", i-1, i, b, a)
		}
	}
}

func TestRampGetsLighter(t *testing.T) {
	last := -1.0
	for i := range 12 {
		if l := lab(linear(Ramp(i, 12).Color))[0]; l <= last {
			t.Errorf("member %d has lightness %.1f after %.1f", i, l, last)
		} else {
			last = l
		}
	}
}

func TestLooksDiffer(t *testing.T) {
	seen := map[string]int{}
	for i := range 360 {
		key := fmt.Sprint(Series(i))
		if j, ok := seen[key]; ok {
			t.Fatalf("series %d looks like series %d", i, j)
		}
		seen[key] = i
	}
	for i := range 5 {
		a, b := Series(i), Series(i+1)
		if a.Marker == b.Marker || fmt.Sprint(a.Dashes) == fmt.Sprint(b.Dashes) || a.Color == b.Color {
			t.Errorf("series %d and %d share colour, dash or marker", i, i+1)
		}
	}
}
