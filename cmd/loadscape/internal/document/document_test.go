package document

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// mistakesOf returns what Parse, decode and Err find wrong, one on each line.
func mistakesOf(text string, decode func(Value)) string {
	d, err := Parse("f", []byte(text))
	if err == nil {
		decode(d.Root())
		err = d.Err()
	}
	if err == nil {
		return ""
	}
	return err.Error()
}

// ignore opens nothing, so that only what is wrong with the YAML is found.
func ignore(Value) {}

func TestSyntax(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"unclosed brace":     {"x: 1\na: {b: 1\nc: 2\n", "f:2:1: found a syntax error, did not find expected ',' or '}'; expected YAML such as \"key: value\" or \"{key: value}\""},
		"stray brace":        {"x: 1\ny: 2\nz: }\nw: 1\n", "f:3:1: found a syntax error, did not find expected node content;"},
		"wrong bracket":      {"x: 1\ny: 2\nz: {a: 1]\n", "f:3:1: found a syntax error, did not find expected ',' or '}';"},
		"list in mapping":    {"x: 1\ny: 2\n- a\n", "f:3:1: found a syntax error, did not find expected key;"},
		"two colons":         {"x: 1\ny: 2\na: b: c\n", "f:3:1: found a syntax error, mapping values are not allowed in this context;"},
		"two colons, line 1": {"a: b: c\n", "f:1:1: found a syntax error, mapping values"},
		"no colon":           {"x: 1\nfoo\nbar: 1\n", "f:2:1: found a syntax error, could not find expected ':';"},
		"reserved sign":      {"x: 1\ny: 2\nz: @a\n", "f:3:1: found a syntax error, found character that cannot start any token;"},
		"open quote":         {"a: 1\nb: 'x\n", "f:2:1: found a syntax error, found unexpected end of stream;"},
		"bad escape":         {"a: 1\nb: \"\\q\"\n", "f:2:1: found a syntax error, found unknown escape character;"},
		"tab":                {"a:\n\tb: 2\n", "f:2:1: found a tab; expected lines indented with spaces"},
		"tab, deeper":        {"a:\n  b: 2\n\tc: 2\n", "f:3:1: found a tab; expected lines indented with spaces"},
		"directive":          {"%FOO\n---\na: 1\n", "f:1:1: found a syntax error, found unknown directive name;"},
		"unknown anchor":     {"a: 1\nb: [c, *x]\n", "f:2:8: found the alias \"*x\"; expected an alias whose anchor stands before it"},
		"second document":    {"a: 1\n---\nb: 1\n", "f:2:1: found the beginning of a second document; expected one document in a file"},
		"bad second":         {"a: 1\n---\nb: [\n", "f:4:1: found a syntax error,"},
		"empty":              {"", "f:1:1: found an empty file; expected keys and values"},
		"only a comment":     {"# nothing\n", "f:1:1: found an empty file;"},
		"only a marker":      {"---\n", "f:1:1: found an empty file;"},
		"Latin-1":            {"a: 1\nb: 20 \xb0C\n", "f:2:7: found the byte 0xb0; expected text in UTF-8"},
		"UTF-16":             {"\xff\xfea\x00", "f:1:1: found the byte 0xff; expected text in UTF-8"},
		"NUL":                {"a: 1\nb: \x00\n", "f:2:4: found the control character U+0000; expected text"},
		"escape sequence":    {"a: \x1b[31m", "f:1:4: found the control character U+001B; expected text"},
		"misplaced mark":     {"a: \ufeff", "f:1:4: found the control character U+FEFF; expected text"},
		"noncharacter":       {"a: \uffff", "f:1:4: found the control character U+FFFF; expected text"},
	} {
		if got := mistakesOf(test.text, ignore); !strings.HasPrefix(got, test.want) {
			t.Errorf("%s: %s\nwant %s", name, got, test.want)
		}
	}
}

func TestTreeMistakes(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"duplicate key":     {"a: {b: 1, c: 2, b: 3}\na: 1\n", "f:1:17: a: found the key \"b\" again; expected each key once (it is on line 1)\nf:2:1: found the key \"a\" again; expected each key once (it is on line 1)"},
		"quoted duplicate":  {"b: 1\n'b': 2\n", "f:2:1: found the key \"b\" again; expected each key once (it is on line 1)"},
		"merge key":         {"a: &x {b: 1}\nc:\n  <<: *x\n", "f:3:3: c: found the merge key <<; expected the keys written out"},
		"list as key":       {"? [a]\n: b\n", "f:1:3: found a key that is a mapping, a list or an alias; expected a key that is a plain word"},
		"alias as key":      {"a: &x b\n*x : c\n", "f:2:1: found a key that is a mapping, a list or an alias;"},
		"empty key":         {"a: {'': 1}\n", "f:1:5: a: found an empty key;"},
		"tag":               {"a: !!int 1\nb: !kind {c: 1}\n", "f:1:4: a: found the tag \"!!int\"; expected a value without a tag\nf:2:4: b: found the tag \"!kind\"; expected a value without a tag"},
		"tag on a key":      {"!!str a: 1\n", "f:1:1: found the tag \"!!str\"; expected a key without a tag"},
		"alias in itself":   {"a: &x [1, *x]\n", "f:1:11: a[1][1]: found the alias \"*x\" within what it stands for; expected an alias outside it"},
		"alias in mapping":  {"a: &x {b: *x}\n", "f:1:11: a.b.b: found the alias \"*x\" within what it stands for;"},
		"quoted merge sign": {"'<<': 1\n", ""},
		"byte order mark":   {"\ufeffa: 1\n", ""},
		"one document":      {"---\na: 1\n...\n", ""},
	} {
		if got := mistakesOf(test.text, ignore); test.want == "" && got != "" || !strings.HasPrefix(got, test.want) {
			t.Errorf("%s: %s\nwant %s", name, got, test.want)
		}
	}
}

// Each limit at the last file that it allows and the first that it does not.
func TestLimits(t *testing.T) {
	nested := func(n int) string { return strings.Repeat("[", n) + "a" + strings.Repeat("]", n) }
	comment := func(n int) string { return "a: 1\n#" + strings.Repeat("x", n-7) + "\n" }
	items := func(n int) string { return "[" + strings.Repeat("a,", n-1) + "]" }
	for name, test := range map[string]struct {
		good, bad, want string
	}{
		"size":   {comment(MaxSize), comment(MaxSize + 1), "f:1:1: found more than 1048576 bytes; expected a file of at most 1048576 bytes"},
		"depth":  {nested(MaxDepth), nested(MaxDepth + 1), "found more than 64 mappings and lists within each other; expected fewer"},
		"values": {items(MaxValues), items(MaxValues + 1), "found more than 100000 keys and values, with aliases written out; expected fewer"},
	} {
		if got := mistakesOf(test.good, ignore); got != "" {
			t.Errorf("%s: %s", name, got)
		}
		if got := mistakesOf(test.bad, ignore); !strings.Contains(got, test.want) {
			t.Errorf("%s: %s\nwant %s", name, got, test.want)
		}
	}
}

// Aliases of aliases that would be 10^9 values written out.
func TestAliasBomb(t *testing.T) {
	var s strings.Builder
	s.WriteString("a0: &a0 [x,x,x,x,x,x,x,x,x,x]\n")
	for i := 1; i < 9; i++ {
		item := fmt.Sprintf("*a%d", i-1)
		fmt.Fprintf(&s, "a%d: &a%d [%s]\n", i, i, strings.Repeat(item+",", 9)+item)
	}
	if got := mistakesOf(s.String(), ignore); !strings.Contains(got, "more than 100000 keys and values") {
		t.Error(got)
	}
}

// Files that are as large as may be and made to be slow: each must be answered
// in a time that a person does not notice. The test's own timeout judges.
func TestPathologicalFiles(t *testing.T) {
	fill := func(s string) string { return strings.Repeat(s, MaxSize/len(s)) }
	for _, text := range []string{
		fill("["), fill("{"), fill("[{"), fill("- "), fill("? "), fill("a: "), fill("{a: "), fill("\n"), fill("#\n"), fill("'"), fill("&a "), fill("*a "), fill("!"),
		fill("- a\n"), fill("k: v\n"), fill("- #x\n"), fill("a:\n"), fill("\\"), "\"" + fill("\\n"), "|\n" + fill(" \n")[2:], fill("a "), fill("a\n"), fill("%"), fill("--- \n"), fill("a: b: "), "[" + fill("&a *a,")[1:],
	} {
		mistakesOf(text, decodeAnything)
	}
	var distinct strings.Builder
	for i := range MaxValues/2 - 1 {
		fmt.Fprintf(&distinct, "key-%06d: x\n", i)
	}
	text := distinct.String()
	got := mistakesOf(text, decodeAnything)
	if lines := strings.Count(got, "\n"); lines != MaxPrinted || !strings.Contains(got, "more mistakes") {
		t.Errorf("%d lines for a file of mistakes", lines+1)
	}
}

func TestRead(t *testing.T) {
	d, err := Read("f", strings.NewReader("a: 1"))
	if err != nil || d.Root().Fields().Required("a").Text() != "1" || d.Err() != nil {
		t.Error(err, d.Err())
	}
	var e *Error
	if _, err := Read("f", strings.NewReader(strings.Repeat("a", MaxSize+5))); !errors.As(err, &e) {
		t.Error(err)
	}
	if _, err := Read("f", iotest.ErrReader(io.ErrUnexpectedEOF)); err != io.ErrUnexpectedEOF {
		t.Error(err)
	}
}

func TestAlias(t *testing.T) {
	got := mistakesOf("one: &x {a: 1, b: 2}\ntwo: *x\n", func(v Value) {
		f := v.Fields()
		f.Required("one").Fields().Required("a").Integer(1, 1)
		f.Required("one").Fields().Required("b").Integer(2, 2)
		f.Required("two").Fields().Required("a").Integer(1, 1)
	})
	if want := `f:1:16: two.b: found the unknown key "b"; expected a`; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}
