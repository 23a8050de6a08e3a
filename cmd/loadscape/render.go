package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// table writes aligned columns and the prose between them. The first error is
// kept for the end.
type table struct {
	w    io.Writer
	rows [][]string
	err  error
}

func newTable(w io.Writer) *table { return &table{w: w} }

func (t *table) print(s string) {
	if t.err == nil {
		_, t.err = io.WriteString(t.w, s)
	}
}

// title writes a line underlined by a rule.
func (t *table) title(s string) {
	if s != "" {
		t.print(s + "\n" + strings.Repeat("─", utf8.RuneCountInString(s)) + "\n")
	}
}

// say writes a line of text.
func (t *table) say(format string, args ...any) {
	t.print(fmt.Sprintf(format, args...) + "\n")
}

// row adds a row to the table in hand.
func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

// end writes the table in hand, its columns as wide as they need to be.
func (t *table) end() error {
	var width []int
	for _, r := range t.rows {
		for i, c := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, r := range t.rows {
		var line strings.Builder
		for i, c := range r {
			line.WriteString(c)
			line.WriteString(strings.Repeat(" ", width[i]-utf8.RuneCountInString(c)+2))
		}
		t.print(strings.TrimRight(line.String(), " ") + "\n")
	}
	t.rows = nil
	return t.err
}

// paragraph writes text with a hanging indent, wrapped at the given width.
func (t *table) paragraph(first, text string) {
	const width = 96
	indent := strings.Repeat(" ", utf8.RuneCountInString(first))
	line := first
	length := utf8.RuneCountInString(first)
	start := length
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		if length > start && length+1+n > width {
			t.say("%s", line)
			line, length = indent, start
		}
		if length > start {
			line += " "
			length++
		}
		line += word
		length += n
	}
	t.say("%s", line)
}

// tidy writes CSV, one observation a row.
type tidy struct {
	w   *csv.Writer
	err error
}

func newCSV(w io.Writer, columns ...string) *tidy {
	t := &tidy{w: csv.NewWriter(w)}
	t.err = t.w.Write(columns)
	return t
}

// row writes a name and numbers.
func (t *tidy) row(name string, numbers ...float64) {
	cells := []string{name}
	for _, x := range numbers {
		cells = append(cells, number(x))
	}
	t.cells(cells...)
}

func (t *tidy) cells(cells ...string) {
	if t.err == nil {
		t.err = t.w.Write(cells)
	}
}

// number returns x to twelve digits.
func number(x float64) string { return strconv.FormatFloat(x+0, 'g', 12, 64) }

func (t *tidy) end() error {
	t.w.Flush()
	if t.err != nil {
		return t.err
	}
	return t.w.Error()
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// hertzText returns a frequency to three digits: "92 Hz", "1.25 kHz".
func hertzText(f float64) string {
	if f >= 999.5 {
		return fmt.Sprintf("%.3g kHz", f/1000)
	}
	return fmt.Sprintf("%.3g Hz", f)
}

// decibels returns 20·log10 of a magnitude.
func decibels(magnitude float64) float64 { return 20 * math.Log10(magnitude) }
