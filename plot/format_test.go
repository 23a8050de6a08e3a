package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
)

func TestFormatOf(t *testing.T) {
	for file, want := range map[string]Format{
		"x.svg": SVG, "dir.png/x.pdf": PDF, "X.PNG": PNG, "a.b.Svg": SVG,
	} {
		if got, err := FormatOf(file); got != want || err != nil {
			t.Errorf("FormatOf(%q) = %q, %v", file, got, err)
		}
	}
	for _, file := range []string{"x.jpg", "x", "", "x.", "x.svgz"} {
		_, err := FormatOf(file)
		if err == nil || !strings.Contains(err.Error(), ".svg, .png or .pdf") {
			t.Errorf("FormatOf(%q): error %v does not list the formats", file, err)
		}
	}
}

// texts parses a picture as XML and returns the text in it.
func texts(svg []byte) (string, error) {
	dec := xml.NewDecoder(bytes.NewReader(svg))
	var out strings.Builder
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch tok := tok.(type) {
		case xml.CharData:
			out.Write(tok)
		case xml.StartElement:
			if !strings.Contains(" svg g path text ", " "+tok.Name.Local+" ") {
				return "", errors.New("unexpected element " + tok.Name.Local)
			}
		}
	}
}

func TestPicturesAreValid(t *testing.T) {
	for name, f := range gallery(t) {
		svg, err := f.render(SVG)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(svg, []byte("<svg ")) {
			t.Errorf("%s: SVG starts with %q", name, svg[:20])
		}
		if text, err := texts(svg); err != nil || !strings.Contains(text, f.Title) {
			t.Errorf("%s: SVG %v, or no title", name, err)
		}

		raster, err := f.render(PNG)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(raster))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		sheet := f.layOut()
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		if w != 1063 || math.Abs(float64(h)-sheet.h.Points()*150/72) > 0.5 {
			t.Errorf("%s: PNG of %d × %d, expected 18 cm at 150 dpi", name, w, h)
		}

		pdf, err := f.render(PDF)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(pdf, []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(pdf), []byte("%%EOF")) {
			t.Errorf("%s: no PDF header or trailer", name)
		}
		if bytes.Contains(pdf, []byte("Date")) {
			t.Errorf("%s: PDF holds a date", name)
		}
	}
}

// The offsets in the cross-reference table still meet their objects after
// the dates have been blanked.
func TestPDFOffsets(t *testing.T) {
	pdf, err := gallery(t)["power"].render(PDF)
	if err != nil {
		t.Fatal(err)
	}
	entries := regexp.MustCompile(`(?m)^(\d{10}) 00000 n`).FindAllSubmatch(pdf, -1)
	if len(entries) < 5 {
		t.Fatalf("%d objects", len(entries))
	}
	for i, e := range entries {
		at := 0
		for _, d := range e[1] {
			at = 10*at + int(d-'0')
		}
		if !regexp.MustCompile(`^\d+ 0 obj`).Match(pdf[at:]) {
			t.Errorf("object %d: %q at its offset", i+1, pdf[at:at+10])
		}
	}
}

func TestEncodeIsDeterministic(t *testing.T) {
	first, second := gallery(t), gallery(t)
	for name := range first {
		for _, format := range []Format{SVG, PNG, PDF} {
			a, err := first[name].render(format)
			if err != nil {
				t.Fatal(err)
			}
			b, err := second[name].render(format)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a, b) {
				t.Errorf("%s: two %s files differ", name, format)
			}
		}
	}
}

// hostile are names as a file from a stranger might hold them.
var hostile = []string{
	`<script>alert(1)</script>`,
	`R&D "quoted" 'single'`,
	`</text></svg><img src=x onerror=alert(1)>`,
	"]]>&#x0;\x00\x07\nsecond line\u2028third",
	"broken \xff\xfe UTF-8",
	`<text style="font-family:Liberation Sans;font-variant:normal;`,
	"right \u202e to left, emoji 🎸, 漢字",
	"",
	strings.Repeat("long ", 300),
}

func TestNamesAreEscaped(t *testing.T) {
	hz, y := []float64{20, 200, 2000}, []float64{1, 2, 3}
	for _, name := range hostile {
		f := &Figure{
			Title: name,
			Notes: []string{name},
			Panels: []Panel{{
				X: Frequency(), Y: Axis{Label: name, Unit: name},
				Items: []Item{
					Line{Name: name, X: hz, Y: y},
					Interval{Name: name, From: 60, To: 600},
					Tags{Y: y[:1], Text: []string{name}},
					Note{X: 100, Y: 2, Text: name},
				},
			}, {
				X: Axis{Label: "Power", Unit: "W"}, Y: Axis{Names: []string{name}},
				Items: []Item{Bars{Name: name, Values: y[:1], Thick: 0.5}},
			}},
		}
		for _, format := range []Format{SVG, PNG, PDF} {
			picture, err := f.render(format)
			if err != nil {
				t.Errorf("%.40q as %s: %v", name, format, err)
				continue
			}
			if format != SVG {
				continue
			}
			if _, err := texts(picture); err != nil {
				t.Errorf("%q: %v", name, err)
			}
			if bytes.Contains(picture, []byte("<script")) || bytes.Contains(picture, []byte("<img")) {
				t.Errorf("%q: markup of the name is markup of the picture", name)
			}
		}
	}
}

// The fonts hold every letter that the figures use by themselves.
func TestFontsHoldOurLetters(t *testing.T) {
	for _, sty := range []struct{ size float64 }{{tickSize}, {titleSize}} {
		for _, style := range []func() string{
			func() string { return known(handler.Fonts.Lookup(sans(sty.size, ink).Font, 10), letters) },
			func() string { return known(handler.Fonts.Lookup(bold(sty.size, ink).Font, 10), letters) },
		} {
			if got := style(); got != letters {
				t.Errorf("fonts render %q as %q", letters, got)
			}
		}
	}
}

const letters = "Ω ° µ − … · × ± ≤ ≥ ² ³ ½ “ ” – é ß č Ж ω □"

type failing struct{ wrote bool }

func (f *failing) Write([]byte) (int, error) { f.wrote = true; return 0, io.ErrShortWrite }

func TestEncodeReportsTheWriter(t *testing.T) {
	f := CleanPower("", []Trace{{"a", []float64{20, 40}, []float64{1, 2}}}, 3)
	if err := f.Encode(&failing{}, SVG); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("error %v, want that of the writer", err)
	}
	w := &failing{}
	f.Panels[0].Items = append(f.Panels[0].Items, Rule{Y: math.NaN()})
	if err := f.Encode(w, SVG); err == nil || w.wrote {
		t.Errorf("error %v, wrote %t: want an error before any writing", err, w.wrote)
	}
	if err := f.Encode(w, "gif"); err == nil || w.wrote {
		t.Errorf("unknown format: error %v, wrote %t", err, w.wrote)
	}
}

// A panic while drawing is an error that names the figure.
type rude struct{ Rule }

func (rude) draw(pen) { panic("rude") }

func TestPanicsBecomeErrors(t *testing.T) {
	f := CleanPower("title", []Trace{{"a", []float64{20, 40}, []float64{1, 2}}}, 3)
	f.Panels[0].Items = append(f.Panels[0].Items, rude{})
	if err := f.Encode(io.Discard, SVG); err == nil || !strings.Contains(err.Error(), `"title": cannot be drawn: rude`) {
		t.Errorf("error %v", err)
	}
}
