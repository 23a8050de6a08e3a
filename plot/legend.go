package plot

import (
	"reflect"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A cast gives each name of a figure its look, and its place among the lines.
type cast struct {
	looks map[string]Look
	slot  map[string]int
	slots int
}

func (f *Figure) cast() cast {
	c := cast{looks: map[string]Look{}, slot: map[string]int{}}
	free := 0
	for _, p := range f.Panels {
		for _, item := range p.Items {
			name := item.title()
			if _, known := c.looks[name]; !known && item.look() == nil {
				c.looks[name] = Series(free)
				free++
			}
			line, ok := item.(Line)
			if _, known := c.slot[name]; ok && !known && !line.Plain {
				c.slot[name] = c.slots
				c.slots++
			}
		}
	}
	return c
}

func (c cast) look(item Item) Look {
	if l := item.look(); l != nil {
		return *l
	}
	return c.looks[item.title()]
}

// An entry of the legend: one name, and the items that bear it.
type entry struct {
	name  string
	items []Item
}

// entries lists the names of the figure in the order of their appearance,
// each with one item of every kind.
func (f *Figure) entries() []entry {
	var list []entry
	index := map[string]int{}
	seen := map[string]bool{}
	for _, p := range f.Panels {
		for _, item := range p.Items {
			name := item.title()
			kind := name + "\n" + reflect.TypeOf(item).Name()
			if name == "" || seen[kind] {
				continue
			}
			seen[kind] = true
			i, known := index[name]
			if !known {
				i = len(list)
				index[name] = i
				list = append(list, entry{name: name})
			}
			list[i].items = append(list[i].items, item)
		}
	}
	return list
}

// A legend is set in columns of equal width.
type legend struct {
	entries []entry
	cast    cast
	columns int
	column  vg.Length
}

const (
	sampleWidth = 30
	sampleGap   = 5
	columnGap   = 16
	legendPitch = 13
)

var legendStyle = sans(labelSize-0.5, ink)

func (f *Figure) legend(cast cast, width vg.Length) legend {
	l := legend{entries: f.entries(), cast: cast}
	room := width - sampleWidth - sampleGap
	widest := vg.Length(0)
	for i := range l.entries {
		l.entries[i].name = elide(legendStyle, l.entries[i].name, room)
		widest = max(widest, legendStyle.Width(l.entries[i].name))
	}
	l.column = sampleWidth + sampleGap + widest + columnGap
	l.columns = max(1, min(len(l.entries), int((width+columnGap)/l.column)))
	return l
}

func (l legend) height() vg.Length {
	if len(l.entries) == 0 {
		return 0
	}
	rows := (len(l.entries) + l.columns - 1) / l.columns
	return vg.Length(rows)*legendPitch + 5
}

// draw writes the legend downwards from a height.
func (l legend) draw(c draw.Canvas, top vg.Length) {
	for i, e := range l.entries {
		x := edge + vg.Length(i%l.columns)*l.column
		y := top - legendPitch*(vg.Length(i/l.columns)+0.5)
		box := vg.Rectangle{
			Min: vg.Point{X: x, Y: y - legendPitch/2 + 1.5},
			Max: vg.Point{X: x + sampleWidth, Y: y + legendPitch/2 - 1.5},
		}
		for _, item := range e.items {
			pn := pen{Canvas: draw.Canvas{Canvas: c.Canvas, Rectangle: box}, slots: l.cast.slots}
			pn.look = l.cast.look(item)
			item.sample(pn)
		}
		write(c, legendStyle, vg.Point{X: x + sampleWidth + sampleGap, Y: y}, e.name)
	}
}
