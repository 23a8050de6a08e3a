package plot

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A SymbolKind is what a symbol stands for.
type SymbolKind int

// The symbols. What has none of its own is a box that holds a Z.
const (
	ResistorSymbol SymbolKind = iota
	InductorSymbol
	CapacitorSymbol
	ImpedanceSymbol
)

// A Symbol is a part and the lines of text beside it, the first of which is
// its bold mark, such as R1.
type Symbol struct {
	Kind  SymbolKind
	Lines []string
}

// texts returns the lines beside a symbol as they are drawn.
func (s Symbol) texts() (texts []string, width vg.Length) {
	for i, line := range s.Lines {
		sty := s.style(i)
		text := elide(sty, clean(line), widestText)
		texts, width = append(texts, text), max(width, sty.Width(text))
	}
	return texts, width
}

func (s Symbol) style(line int) draw.TextStyle {
	if line == 0 {
		return bold(labelSize, ink)
	}
	return sans(tickSize, faint)
}

func (s Symbol) size() extent {
	_, width := s.texts()
	return extent{
		left:   symbolHalf + symbolGap,
		right:  symbolHalf + symbolGap + width + symbolGap,
		height: max(symbolLength+2*symbolLead, vg.Length(len(s.Lines))*textPitch+symbolGap),
	}
}

func (s Symbol) check() error {
	if s.Kind < ResistorSymbol || s.Kind > ImpedanceSymbol {
		return fault("", "has a symbol of unknown kind %d", s.Kind)
	}
	return nil
}

func (s Symbol) draw(b board, x, top, bottom vg.Length) {
	mid := (top + bottom) / 2
	upper, lower := mid+symbolLength/2, mid-symbolLength/2
	b.SetLineStyle(draw.LineStyle{Color: ink, Width: 1.3})
	switch s.Kind {
	case InductorSymbol:
		b.Stroke(halfTurns(x, upper, lower))
	case CapacitorSymbol:
		const half = 2.5 // of the gap between the plates
		upper, lower = mid+half, mid-half
		for _, y := range []vg.Length{upper, lower} {
			b.StrokeLine2(draw.LineStyle{Color: ink, Width: 1.8}, x-symbolHalf-2, y, x+symbolHalf+2, y)
		}
	default:
		b.Stroke(vg.Rectangle{Min: vg.Point{X: x - symbolHalf, Y: lower}, Max: vg.Point{X: x + symbolHalf, Y: upper}}.Path())
		if s.Kind == ImpedanceSymbol {
			sty := sans(labelSize, ink)
			write(b.Canvas, sty, vg.Point{X: x - sty.Width("Z")/2, Y: mid}, "Z")
		}
	}
	b.vertical(x, top, upper)
	b.vertical(x, lower, bottom)
	texts, _ := s.texts()
	for i, text := range texts {
		y := mid + textPitch*(vg.Length(len(texts)-1)/2-vg.Length(i))
		write(b.Canvas, s.style(i), vg.Point{X: x + symbolHalf + symbolGap, Y: y}, text)
	}
}

// halfTurns returns the four half circles of an inductor.
func halfTurns(x, upper, lower vg.Length) vg.Path {
	const turns = 4
	r := (upper - lower) / (2 * turns)
	var p vg.Path
	for i := range turns {
		p = arc(p, vg.Point{X: x, Y: upper - r*vg.Length(2*i+1)}, r, math.Pi/2, -math.Pi)
	}
	return p
}
