package report

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Markdown writes the document as CommonMark with the tables that many readers
// of it know. Nothing is written after an error.
func (d *Document) Markdown(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s\n", escape(d.Title))
	if d.Summary != "" {
		fmt.Fprintf(&b, "\n%s\n", escape(d.Summary))
	}
	if len(d.Cautions) > 0 {
		b.WriteString("\n> **Before you build**\n>\n")
		for _, c := range d.Cautions {
			fmt.Fprintf(&b, "> - %s\n", escape(c))
		}
	}
	for _, s := range d.Sections {
		fmt.Fprintf(&b, "\n## %s\n", escape(s.Heading))
		for _, block := range s.Blocks {
			block.markdown(&b)
		}
	}
	_, err := b.WriteTo(w)
	return err
}

func (b Block) markdown(w *bytes.Buffer) {
	if b.Text != "" {
		fmt.Fprintf(w, "\n%s\n", escape(b.Text))
	}
	if len(b.List) > 0 {
		w.WriteString("\n")
	}
	for _, item := range b.List {
		w.WriteString("- ")
		if item.Verdict != "" {
			fmt.Fprintf(w, "**%s** ", escape(item.Verdict))
		}
		w.WriteString(escape(item.Text))
		if item.Source != "" {
			fmt.Fprintf(w, " *%s*", escape(item.Source))
		}
		w.WriteString("\n")
	}
	if b.Table != nil {
		b.Table.markdown(w)
	}
	if f := b.Figure; f != nil {
		fmt.Fprintf(w, "\n![%s](%s)\n\n*%s*\n", escape(f.Caption), f.File, escape(f.Caption))
	}
	if b.Code != "" {
		text := strings.TrimRight(plain(b.Code), "\n")
		fence := fenceOf(text)
		fmt.Fprintf(w, "\n%syaml\n%s\n%s\n", fence, text, fence)
	}
}

func (t *Table) markdown(w *bytes.Buffer) {
	row := func(cells []string) {
		w.WriteString("|")
		for _, c := range cells {
			fmt.Fprintf(w, " %s |", escape(c))
		}
		w.WriteString("\n")
	}
	w.WriteString("\n")
	row(t.Head)
	w.WriteString("|" + strings.Repeat(" --- |", len(t.Head)) + "\n")
	for _, r := range t.Rows {
		row(r)
	}
}

// fenceOf returns a fence longer than any run of backticks in a text.
func fenceOf(text string) string {
	longest, run := 2, 0
	for _, c := range text {
		if c == '`' {
			run++
			longest = max(longest, run)
		} else {
			run = 0
		}
	}
	return strings.Repeat("`", longest+1)
}

var (
	// Marks within a line. A colon, an at sign and the point after www make
	// links of addresses in some readers.
	special = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "://", "&#58;//", "@", "&#64;",
		`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "|", `\|`, "~", `\~`, "$", `\$`, "#", `\#`, "!", `\!`)
	www = regexp.MustCompile(`(?i)(www)\.`)
	// Marks of a list or of a rule, at the beginning of a line.
	leading = regexp.MustCompile(`^(\d*)([.)]\s|[.)]$|[-+]\s|[-+=]+$|[-=]{2})`)
)

// escape returns text on one line, without meaning as markup.
func escape(s string) string {
	s = special.Replace(strings.Join(strings.Fields(plain(s)), " "))
	s = www.ReplaceAllString(s, "$1&#46;")
	return leading.ReplaceAllString(s, `$1\$2`)
}
