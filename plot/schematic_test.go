package plot_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"strings"
	"testing"

	"loadscape/plot"
)

// cabinetLike is a load with a resonance and a rising end.
func cabinetLike() plot.Circuit {
	r := func(lines ...string) plot.Symbol { return plot.Symbol{Kind: plot.ResistorSymbol, Lines: lines} }
	l := func(lines ...string) plot.Symbol { return plot.Symbol{Kind: plot.InductorSymbol, Lines: lines} }
	c := func(lines ...string) plot.Symbol { return plot.Symbol{Kind: plot.CapacitorSymbol, Lines: lines} }
	return plot.SeriesCircuit{
		r("R1", "6.2 Ω", "200 W"),
		plot.ParallelCircuit{r("R2", "27 Ω", "100 W"), l("L1", "10 mH", "6 A"), c("C1", "150 µF", "100 V")},
		plot.ParallelCircuit{r("R3", "15 Ω", "50 W"), l("L2", "330 µH", "6 A")},
		plot.Symbol{Kind: plot.ImpedanceSymbol, Lines: []string{"Z1", "k = 0.03"}},
	}
}

func encode(t *testing.T, s plot.Schematic, f plot.Format) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := s.Encode(&buf, f); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestSchematicSVG(t *testing.T) {
	s := plot.Schematic{Title: "a load", Circuit: cabinetLike()}
	svg := encode(t, s, plot.SVG)
	if !bytes.Equal(svg, encode(t, s, plot.SVG)) {
		t.Error("the same schematic gave other bytes")
	}
	texts, elements := elementsOf(t, svg)
	for _, want := range []string{"R1", "6.2 Ω", "200 W", "L1", "10 mH", "C1", "150 µF", "R3", "L2", "Z1", "Z"} {
		if !texts[want] {
			t.Errorf("the text %q is missing", want)
		}
	}
	for _, bad := range []string{"script", "image", "use", "foreignObject", "a"} {
		if elements[bad] > 0 {
			t.Errorf("there is an element %s", bad)
		}
	}
}

// elementsOf returns the texts and the count of the elements of a well-formed
// document.
func elementsOf(t *testing.T, svg []byte) (texts map[string]bool, elements map[string]int) {
	t.Helper()
	texts, elements = map[string]bool{}, map[string]int{}
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, elements
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.StartElement:
			elements[token.Name.Local]++
		case xml.CharData:
			texts[strings.TrimSpace(string(token))] = true
		}
	}
}

func TestSchematicEscapes(t *testing.T) {
	const evil = `<script>alert(1)</script>" onload="x`
	s := plot.Schematic{Title: evil, Circuit: plot.Symbol{Lines: []string{"R1", `</text><a href="x">`, "\x00]]>&amp;"}}}
	_, elements := elementsOf(t, encode(t, s, plot.SVG))
	if elements["script"] > 0 || elements["a"] > 0 {
		t.Errorf("text became markup: %v", elements)
	}
}

// A branch in parallel makes the drawing wider, one in series higher.
func TestSchematicSize(t *testing.T) {
	one := plot.Symbol{Lines: []string{"R1", "8 Ω"}}
	size := func(c plot.Circuit) (w, h int) {
		img, err := png.Decode(bytes.NewReader(encode(t, plot.Schematic{Circuit: c}, plot.PNG)))
		if err != nil {
			t.Fatal(err)
		}
		return img.Bounds().Dx(), img.Bounds().Dy()
	}
	w, h := size(one)
	sw, sh := size(plot.SeriesCircuit{one, one})
	pw, ph := size(plot.ParallelCircuit{one, one})
	if sw != w || sh <= h || pw <= w || ph <= h || ph >= sh {
		t.Errorf("alone %d×%d, series %d×%d, parallel %d×%d", w, h, sw, sh, pw, ph)
	}
}

func TestSchematicErrors(t *testing.T) {
	var many plot.SeriesCircuit
	for range 1000 {
		many = append(many, plot.Symbol{Lines: []string{"R"}})
	}
	for name, c := range map[string]plot.Circuit{
		"nothing": nil, "no series": plot.SeriesCircuit{}, "no parallel": plot.SeriesCircuit{plot.ParallelCircuit{}},
		"missing": plot.ParallelCircuit{nil}, "unknown": plot.Symbol{Kind: 99}, "too high": many,
	} {
		var buf bytes.Buffer
		if err := (plot.Schematic{Circuit: c}).Encode(&buf, plot.SVG); err == nil || buf.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes; expected an error and nothing written", name, err, buf.Len())
		}
	}
	if err := (plot.Schematic{Circuit: plot.Symbol{}}).Encode(io.Discard, "gif"); err == nil {
		t.Error("an unknown format was written")
	}
	for _, f := range []plot.Format{plot.SVG, plot.PNG, plot.PDF} {
		encode(t, plot.Schematic{Circuit: plot.Symbol{}}, f)
	}
}
