package report

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
)

//go:embed page.html
var pageText string

//go:embed style.css
var style string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"plain": plain,
	"svg":   func(b []byte) template.HTML { return template.HTML(b) },
	"style": func() template.CSS { return template.CSS(style) },
	"add1":  func(i int) int { return i + 1 },
}).Parse(pageText))

// HTML writes the document as one page. Nothing is written after an error.
func (d *Document) HTML(w io.Writer) error {
	var buf bytes.Buffer
	if err := page.Execute(&buf, d); err != nil {
		return err
	}
	_, err := buf.WriteTo(w)
	return err
}
