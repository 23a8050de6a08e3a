// Package report sets a build log as one self-contained HTML page and as
// Markdown with its figures beside it.
//
// A [Document] is sections of blocks: paragraphs, lists, tables, figures and
// code. All of its text is plain: what looks like markup in it is escaped. The
// pictures alone are trusted, so they must come from a package that escapes
// what it draws. The page has no scripts and asks for nothing from a network;
// the same document gives the same bytes.
package report

import (
	"strings"
	"unicode"
)

// A Document is a page.
type Document struct {
	Title    string
	Summary  string   // a sentence or two below the title
	Cautions []string // set apart above everything else
	Sections []Section
}

// A Section is a heading and what stands below it.
type Section struct {
	Heading string
	Blocks  []Block
}

// A Block is one of its fields.
type Block struct {
	Text   string
	List   []Item
	Table  *Table
	Figure *Figure
	Code   string
}

// An Item is an entry of a list, with a verdict before it and a source behind
// it if there are such.
type Item struct {
	Verdict string // "ok", "caution" or "danger"
	Text    string
	Source  string
}

// A Table has as many cells in each row as in its head. On a narrow screen a
// row becomes a list of its cells, the first as its heading.
type Table struct {
	Head []string
	Rows [][]string
}

// A Figure is a picture.
type Figure struct {
	File    string // beside the Markdown version, such as tone.svg
	SVG     []byte // an svg element; trusted
	Caption string
}

// Figures returns the figures of d in order.
func (d *Document) Figures() []*Figure {
	var all []*Figure
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if b.Figure != nil {
				all = append(all, b.Figure)
			}
		}
	}
	return all
}

// plain returns text as it may be shown: valid UTF-8, control characters and
// those that turn the direction of writing replaced. Lines are kept.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case r == '\r':
			return -1
		case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == unicode.ReplacementChar:
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(s, string(unicode.ReplacementChar)))
}
