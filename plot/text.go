package plot

import (
	"image/color"
	"sort"
	"strings"
	"unicode"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Type sizes in points, for a figure printed at its own width.
const (
	titleSize = 11
	labelSize = 9
	tickSize  = 8
	noteSize  = 7.5
)

var (
	ink   = color.NRGBA{0x22, 0x22, 0x22, 0xff}
	faint = color.NRGBA{0x55, 0x55, 0x55, 0xff}
	alarm = color.NRGBA{0xa8, 0x1c, 0x0b, 0xff}
	white = color.NRGBA{0xff, 0xff, 0xff, 0xff}
)

// handler sets plain text in the fonts that gonum/plot carries with it, so
// that a figure does not depend on the fonts of the machine.
var handler = text.Plain{Fonts: font.DefaultCache}

// sans returns the style of all text: left aligned, resting on its baseline
// unless the caller says otherwise.
func sans(size float64, clr color.Color) text.Style {
	return text.Style{
		Color:   clr,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)},
		Handler: handler,
	}
}

func bold(size float64, clr color.Color) text.Style {
	sty := sans(size, clr)
	sty.Font.Weight = xfont.WeightBold
	return sty
}

// centred moves the anchor of a style to the middle of the small letters.
func centred(sty text.Style) text.Style {
	sty.YAlign = draw.YCenter
	return sty
}

// write draws s with the middle of its left edge at pt.
func write(c draw.Canvas, sty text.Style, pt vg.Point, s string) {
	// The handler centres ascent and descent; the eye centres the letters
	// above the baseline.
	pt.Y += sty.FontExtents().Descent
	c.FillText(centred(sty), pt, s)
}

// clean makes a string from outside safe to draw: valid UTF-8 on one line,
// without characters that an XML document must not hold.
func clean(s string) string {
	s = strings.ToValidUTF8(s, "?")
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case !unicode.IsPrint(r):
			return '?'
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

// elide shortens s to a width by leaving out its middle: both ends of a part's
// path or of a setup's name tell it from its neighbours.
func elide(sty text.Style, s string, width vg.Length) string {
	if sty.Width(s) <= width {
		return s
	}
	letters := []rune(s)
	short := func(keep int) string {
		head := (keep + 1) / 2
		return string(letters[:head]) + "…" + string(letters[len(letters)-keep+head:])
	}
	tooLong := sort.Search(len(letters), func(keep int) bool { return sty.Width(short(keep)) > width })
	return short(max(tooLong-1, 0))
}

// wrap breaks s into at most limit lines of at most a width, between words.
// What is left over goes into the last line, elided.
func wrap(sty text.Style, s string, width vg.Length, limit int) []string {
	var lines []string
	line := ""
	words := strings.Fields(s)
	for i, word := range words {
		if len(lines) == limit-1 {
			rest := strings.TrimSpace(line + " " + strings.Join(words[i:], " "))
			return append(lines, elide(sty, rest, width))
		}
		word = elide(sty, word, width)
		switch {
		case line == "":
			line = word
		case sty.Width(line+" "+word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
