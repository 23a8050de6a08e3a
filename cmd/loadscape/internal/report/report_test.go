package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
)

// evil is text that would be markup in one of the forms.
var evil = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `</style><script>`, `' onload='x`, `{{.Title}}`,
	`</code></pre><b>`, "[click](javascript:x)", "![x](http://example.org/x.png)", "`x`", "```\n# heading", "| a | b |",
	"https://example.org", "www.example.org", "Www.example.org", "a@example.org", "*bold*", "_it_", "~~no~~", "$x$", "&lt;b&gt;", "&#60;", `\<b\>`,
	"# heading", "- item", "1. item", "2) item", "---", "===", "+ item", "> quote", "<!-- -->", "]]>", "\u202egnp", "a\x00b\x1b[31m",
}

const picture = `<svg xmlns="http://www.w3.org/2000/svg" width="1pt" height="1pt"></svg>`

func hostile(s string) *Document {
	return &Document{
		Title: s, Summary: s, Cautions: []string{s},
		Sections: []Section{{s, []Block{
			{Text: s}, {List: []Item{{"ok", s, s}, {Text: s}}}, {Table: &Table{[]string{s, s}, [][]string{{s, s}}}},
			{Figure: &Figure{"x.svg", []byte(picture), s}}, {Code: s},
		}}},
	}
}

func render(t *testing.T, write func(io.Writer) error) string {
	t.Helper()
	var b strings.Builder
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// shape returns the elements and names of attributes of a page, which must be
// well-formed, and the text in it.
func shape(t *testing.T, html string) (elements, text string) {
	t.Helper()
	var shape, all strings.Builder
	d := xml.NewDecoder(strings.NewReader(html))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return shape.String(), all.String()
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, html)
		}
		switch token := token.(type) {
		case xml.StartElement:
			shape.WriteString("<" + token.Name.Local)
			for _, a := range token.Attr {
				shape.WriteString(" " + a.Name.Local)
			}
			shape.WriteString(">")
		case xml.CharData:
			all.Write(token)
		case xml.Comment:
			shape.WriteString("<!>")
		}
	}
}

// Whatever the text, the page has the elements and attributes that it has
// with harmless text, and shows the text as it is.
func TestHTMLHoldsNoForeignMarkup(t *testing.T) {
	want, _ := shape(t, render(t, hostile("text").HTML))
	for _, s := range evil {
		html := render(t, hostile(s).HTML)
		got, text := shape(t, html)
		if got != want {
			t.Errorf("%q changed the elements:\n%s\n%s", s, got, want)
		}
		if n := strings.Count(text, plain(s)); n < 10 {
			t.Errorf("%q stands %d times in the text, expected at least 10", s, n)
		}
	}
}

func TestHTMLIsSelfContained(t *testing.T) {
	html := render(t, hostile("text").HTML)
	html = strings.ReplaceAll(html, "http://www.w3.org/2000/svg", "")
	for _, bad := range []string{"<script", "<link", "<iframe", "@import", "url(", "http:", "https:", " src="} {
		if strings.Contains(html, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if handler := regexp.MustCompile(`<[^>]*\son\w+=`).FindString(html); handler != "" {
		t.Errorf("the page holds %q", handler)
	}
	if !regexp.MustCompile(`<meta name="viewport" content="width=device-width`).MatchString(html) || !strings.Contains(html, "@media print") {
		t.Error("the page has no rules for a telephone or for print")
	}
}

// Each line of Markdown keeps the form it has with harmless text.
func TestMarkdownHoldsNoForeignMarkup(t *testing.T) {
	// What CommonMark and its common extensions take for markup in a line.
	markup := regexp.MustCompile("(?i)(^|[^\\\\])([`*_\\[\\]<>|~$#!]|://|www\\.|@|&)|^([-+=]+$|[-+] |\\d+[.)] )")
	entities := regexp.MustCompile(`\\\\|&(amp|lt|gt|#46|#58|#64);`)
	for _, s := range evil {
		if got := escape(s); markup.MatchString(entities.ReplaceAllString(got, "")) {
			t.Errorf("escape(%q) = %q", s, got)
		}
	}
	lines := strings.Count(render(t, hostile("text").Markdown), "\n")
	for _, s := range evil {
		md := render(t, hostile(s).Markdown)
		if got := strings.Count(md, "\n"); got != lines+strings.Count(s, "\n") { // those of the code
			t.Errorf("%q: %d lines, expected %d", s, got, lines)
		}
		if strings.Contains(md, "\x00") || strings.Contains(md, "\x1b") || strings.Contains(md, "\u202e") {
			t.Errorf("%q: control characters are left", s)
		}
	}
}

func TestEscapeKeepsPlainText(t *testing.T) {
	for in, want := range map[string]string{
		"4.7 Ω at 20 Hz": "4.7 Ω at 20 Hz", "+3.8 dB": "+3.8 dB", "-1": "-1", "ash-412 (target)": "ash-412 (target)",
		"1. one": `1\. one`, "- one": `\- one`, "---": `\---`, "a_b": `a\_b`, "R & D <x>": "R &amp; D &lt;x&gt;", " a \n b ": "a b",
	} {
		if got := escape(in); got != want {
			t.Errorf("escape(%q) = %q, expected %q", in, got, want)
		}
	}
}

// A fence is longer than any run of backticks in the code (CommonMark 0.31,
// section 4.5).
func TestFence(t *testing.T) {
	for code, want := range map[string]string{"x": "```", "``": "```", "```": "````", "a````b`": "`````"} {
		if got := fenceOf(code); got != want {
			t.Errorf("fenceOf(%q) = %q, expected %q", code, got, want)
		}
	}
}

func TestFiguresAndErrors(t *testing.T) {
	d := hostile("x")
	if f := d.Figures(); len(f) != 1 || f[0].File != "x.svg" {
		t.Errorf("figures %v", f)
	}
	if !strings.Contains(render(t, d.HTML), picture) {
		t.Error("the page lacks the picture")
	}
	if !strings.Contains(render(t, d.Markdown), "![x](x.svg)") {
		t.Error("the Markdown version lacks the picture")
	}
	var b bytes.Buffer
	d.Sections[0].Blocks = []Block{{Table: &Table{[]string{"one"}, [][]string{{"a", "b"}}}}}
	if err := d.HTML(&b); err == nil || b.Len() > 0 {
		t.Errorf("a row longer than its head: error %v, %d bytes written", err, b.Len())
	}
}
