package plot

import (
	"fmt"
	"image/color"
	"math"
	"slices"
)

// A PartPower is what one part turns into heat, in watt.
type PartPower struct {
	Name       string
	Rated      float64 // while the amplifier delivers its rated power
	Overdriven float64 // while it is driven into its limits
	Rating     float64 // of the part; zero if it has none
	// Otherwise says what a part goes by that has no power rating and needs
	// none, such as "rated 6 A".
	Otherwise string
}

// PowerShare draws the power in each part of one setup as bars, and a mark at
// each rating. A part without a rating is said to be unrated, never fine.
func PowerShare(title string, parts []PartPower) *Figure {
	dark, light := Series(0), Series(1)
	light.Color = color.NRGBA{0xc9, 0xc4, 0xe6, 0xff}
	upright := Look{Color: ink, Marker: Upright}
	rated := Bars{Name: "at rated power", Offset: -0.17, Thick: 0.3, Look: &dark}
	driven := Bars{Name: "overdriven", Offset: 0.17, Thick: 0.3, Look: &light}
	rating := Points{Name: "rating of the part", Look: &upright}
	tags := Tags{}
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = p.Name
		rated.Values, driven.Values = append(rated.Values, p.Rated), append(driven.Values, p.Overdriven)
		if p.Rating > 0 {
			rating.X, rating.Y = append(rating.X, p.Rating), append(rating.Y, float64(i))
		}
		text, clr := p.verdict()
		tags.Y, tags.Text, tags.Colors = append(tags.Y, float64(i)), append(tags.Text, text), append(tags.Colors, clr)
	}
	x := Axis{Label: "Power", Unit: "W", Holds: []float64{0}}
	items := []Item{rated, driven, tags}
	if len(rating.X) > 0 {
		items = append(items, rating)
		x.Holds = append(x.Holds, 1.02*slices.Max(rating.X))
	}
	return &Figure{Title: title, Panels: []Panel{{
		X:      x,
		Y:      Axis{Names: names},
		Height: math.Max(2, 0.95*float64(len(parts))),
		Items:  items,
	}}}
}

// verdict puts the larger power beside the rating.
func (p PartPower) verdict() (string, color.Color) {
	most := math.Max(p.Rated, p.Overdriven)
	switch {
	case p.Rating <= 0 && p.Otherwise != "":
		return watts(most) + ", " + p.Otherwise, ink
	case p.Rating <= 0:
		return watts(most) + ", unrated", faint
	case most > p.Rating:
		return watts(most) + ", over its " + watts(p.Rating), alarm
	}
	return fmt.Sprintf("%s of %s", watts(most), watts(p.Rating)), ink
}

// watts writes a power with three digits.
func watts(w float64) string {
	switch {
	case w == 0:
		return "0 W"
	case math.Abs(w) < 0.1:
		return fmt.Sprintf("%.3g mW", w*1e3)
	case math.Abs(w) >= 1e3:
		return fmt.Sprintf("%.4g W", w)
	}
	return fmt.Sprintf("%.3g W", w)
}

// CleanPower draws the largest clean power into each load, in watt, under a
// line at the rated power of the amplifier; without a line if that is zero.
func CleanPower(title string, loads []Trace, rated float64) *Figure {
	line := plain
	line.Dashes = []float64{5, 3}
	rule := Rule{Name: "rated power, " + watts(rated), Y: rated, Look: &line}
	items := lineItems(loads)
	if rated > 0 {
		items = append([]Item{rule}, items...)
	}
	return &Figure{Title: title, Panels: []Panel{{
		X:     Frequency(),
		Y:     Axis{Label: "Largest clean power", Unit: "W", Holds: []float64{0, 1.02 * rated}},
		Items: items,
	}}}
}
