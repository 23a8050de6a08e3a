package document

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Limits of what is read.
const (
	MaxSize   = 1 << 20 // bytes in a file
	MaxDepth  = 64      // mappings and lists within each other
	MaxValues = 100_000 // keys and values in a file, with aliases written out
)

// A Document is a file that has been read, and the mistakes found in it so far.
type Document struct {
	file     string
	root     *node
	mistakes []Mistake
	compared int // words, in search of suggestions
	// The mappings that were opened, in their order, and by place.
	opened []*Fields
	fields map[place]*Fields
}

// A place tells a node from its copies under other paths.
type place struct {
	node *node
	path string
}

// Read reads r, which was opened from file, and parses it. Errors are those of
// r and of [Parse].
func Read(file string, r io.Reader) (*Document, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, err
	}
	return Parse(file, data)
}

// Parse reads a YAML document, file being the name for messages. If the file
// cannot be read as one, the error is of type [*Error]; mistakes that leave
// something to decode are kept for [Document.Err].
func Parse(file string, data []byte) (*Document, error) {
	d := &Document{file: file, fields: map[place]*Fields{}}
	if len(data) > MaxSize {
		return nil, d.fail(1, 1, fmt.Sprintf("more than %d bytes", MaxSize), fmt.Sprintf("a file of at most %d bytes", MaxSize))
	}
	if err := d.checkText(string(data)); err != nil {
		return nil, err
	}
	tree, err := d.parseYAML(string(data))
	if err != nil {
		return nil, err
	}
	b := builder{doc: d}
	if d.root = b.build(tree); b.err != nil {
		return nil, b.err
	}
	return d, nil
}

// Root returns the document's outermost value.
func (d *Document) Root() Value { return Value{doc: d, node: d.root} }

// Err returns an [*Error] that holds all mistakes found so far: those that
// were recorded and every key that was not asked for in a mapping of which
// fields were. It returns nil if there are none.
func (d *Document) Err() error {
	mistakes := d.mistakes[:len(d.mistakes):len(d.mistakes)]
	for _, f := range d.opened {
		mistakes = append(mistakes, f.mistakes()...)
	}
	return newError(mistakes)
}

// fail returns a mistake as the only one.
func (d *Document) fail(line, column int, found, expected string) error {
	return newError([]Mistake{{File: d.file, Line: line, Column: column, Found: found, Expected: expected}})
}

// checkText reports the first character that no text file has.
func (d *Document) checkText(s string) error {
	line, column := 1, 1
	for i, r := range s {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(s[i:]); size == 1 {
				return d.fail(line, column, fmt.Sprintf("the byte 0x%02x", s[i]), "text in UTF-8")
			}
		}
		misplaced := r == '\uFEFF' && i > 0 || r == '\uFFFE' || r == '\uFFFF'
		if misplaced || unicode.IsControl(r) && !strings.ContainsRune("\t\r\n", r) {
			return d.fail(line, column, fmt.Sprintf("the control character %U", r), "text")
		}
		if column++; r == '\n' {
			line, column = line+1, 1
		}
	}
	return nil
}

// parseYAML returns the only document of s.
func (d *Document) parseYAML(s string) (*yaml.Node, error) {
	decoder := yaml.NewDecoder(strings.NewReader(s))
	tree, err := decodeNode(decoder)
	switch {
	case errors.Is(err, io.EOF) || err == nil && isEmpty(tree):
		return nil, d.fail(1, 1, "an empty file", "keys and values")
	case err != nil:
		return nil, d.syntaxError(s, err)
	}
	second, err := decodeNode(decoder)
	switch {
	case errors.Is(err, io.EOF):
		return tree.Content[0], nil
	case err != nil:
		return nil, d.syntaxError(s, err)
	}
	return nil, d.fail(second.Line, second.Column, "the beginning of a second document", "one document in a file")
}

func isEmpty(tree *yaml.Node) bool {
	return len(tree.Content) == 0 || tree.Content[0].Kind == yaml.ScalarNode && tree.Content[0].Value == "" && tree.Content[0].Tag == "!!null"
}

// decodeNode returns the next document. What the YAML library leaves as a
// panic becomes an error.
func decodeNode(d *yaml.Decoder) (n *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			n, err = nil, fmt.Errorf("yaml: %v", r)
		}
	}()
	n = new(yaml.Node)
	return n, d.Decode(n)
}
