package plot

import (
	gonum "gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Figure is a stack of panels under a title, with the legend and notes
// below. Neighbouring panels with the same x axis share its range, and only
// the lowest is labelled.
type Figure struct {
	Title  string
	Panels []Panel
	Notes  []string // small print under the legend
	Width  float64  // in cm, 6 to 200; zero means 18. The height follows.
}

// A Panel is one pair of axes and what is drawn on it.
type Panel struct {
	X, Y   Axis
	Height float64 // of the data area in cm, 1 to 200; zero means 7
	Equal  bool    // a unit of x is as long as a unit of y
	Items  []Item
}

const (
	edge     = 6 // points of blank around the figure
	leading  = 1.35
	panelGap = 7

	titleLines = 3
	noteLines  = 8 // of each note
)

func (f *Figure) width() vg.Length {
	if f.Width == 0 {
		return 18 * vg.Centimeter
	}
	return vg.Length(f.Width) * vg.Centimeter
}

func (p Panel) height() vg.Length {
	if p.Height == 0 {
		return 7 * vg.Centimeter
	}
	return vg.Length(p.Height) * vg.Centimeter
}

// A sheet is a figure laid out: everything but ink.
type sheet struct {
	w, h   vg.Length
	title  []string
	plots  []*gonum.Plot
	boxes  []vg.Rectangle // of the plots, from the bottom left of the sheet
	legend legend
	notes  []string
}

// layOut places the parts of a figure that has been checked.
func (f *Figure) layOut() *sheet {
	cast := f.cast()
	s := &sheet{w: f.width()}
	inner := s.w - 2*edge
	s.title = wrap(bold(titleSize, ink), clean(f.Title), inner, titleLines)
	for _, note := range f.Notes {
		s.notes = append(s.notes, wrap(sans(noteSize, faint), clean(note), inner, noteLines)...)
	}
	s.legend = f.legend(cast, inner)

	frames := f.frames()
	heights := f.fit(s, frames, cast, inner)
	s.h = 2*edge + s.titleHeight() + s.legend.height() + s.notesHeight()
	for _, h := range heights {
		s.h += h + panelGap
	}
	top := s.h - edge - s.titleHeight()
	for i, h := range heights {
		s.boxes[i].Min.Y, s.boxes[i].Max.Y = top-h, top
		top -= h + panelGap
	}
	return s
}

// fit builds the plots of the figure, aligns their data areas left and right,
// and returns the height of each. Panels of equal scale are built again, as
// their ranges follow from the size of the data area, which follows from the
// width of the labels.
func (f *Figure) fit(s *sheet, frames []frame, cast cast, inner vg.Length) []vg.Length {
	const rounds = 4
	var heights []vg.Length
	for range rounds {
		s.plots, s.boxes, heights = nil, nil, nil
		var left, right vg.Length
		for i, p := range f.Panels {
			s.plots = append(s.plots, p.plot(frames[i], cast))
			m := margins(s.plots[i])
			left, right = max(left, m.left), max(right, m.right)
			heights = append(heights, p.height()+m.bottom+m.top)
		}
		again := false
		for i, p := range f.Panels {
			m := margins(s.plots[i])
			s.plots[i].Y.Label.Padding += left - m.left
			s.boxes = append(s.boxes, vg.Rectangle{
				Min: vg.Point{X: edge},
				Max: vg.Point{X: edge + inner - (right - m.right)},
			})
			if p.Equal {
				frames[i].equalise(inner-left-right, p.height())
				again = true
			}
		}
		if !again {
			break
		}
	}
	return heights
}

type insets struct{ left, right, bottom, top vg.Length }

// margins returns the room that axes and labels take around the data.
func margins(p *gonum.Plot) insets {
	const big = 1000
	all := draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: big, Y: big}}}
	data := p.DataCanvas(all)
	return insets{data.Min.X, big - data.Max.X, data.Min.Y, big - data.Max.Y}
}

func (s *sheet) titleHeight() vg.Length {
	if len(s.title) == 0 {
		return 0
	}
	return vg.Length(len(s.title))*titleSize*leading + 4
}

func (s *sheet) notesHeight() vg.Length {
	return vg.Length(len(s.notes)) * noteSize * leading
}

// draw inks the sheet.
func (s *sheet) draw(c draw.Canvas) {
	c.SetColor(white)
	c.Fill(c.Rectangle.Path())
	lines(c, bold(titleSize, ink), s.title, s.h-edge)
	for i, p := range s.plots {
		p.Draw(draw.Canvas{Canvas: c.Canvas, Rectangle: s.boxes[i]})
	}
	s.legend.draw(c, edge+s.notesHeight()+s.legend.height())
	lines(c, sans(noteSize, faint), s.notes, edge+s.notesHeight())
}

// lines writes lines of text downwards from a height.
func lines(c draw.Canvas, sty draw.TextStyle, text []string, top vg.Length) {
	pitch := sty.Font.Size * leading
	for i, line := range text {
		write(c, sty, vg.Point{X: edge, Y: top - pitch*(vg.Length(i)+0.5)}, line)
	}
}
