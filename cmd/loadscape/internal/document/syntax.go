package document

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	yamlLine   = regexp.MustCompile(`^line (\d+): (.*)`)
	yamlAnchor = regexp.MustCompile(`^unknown anchor '(.*)' referenced$`)
)

// syntaxError returns the mistake that the YAML library reports as err.
func (d *Document) syntaxError(text string, err error) error {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	line, column := 1, 1
	if m := yamlLine.FindStringSubmatch(message); m != nil {
		line, _ = strconv.Atoi(m[1])
		message = m[2]
	}
	// The library's parser, unlike its scanner, counts lines from zero.
	if strings.HasPrefix(message, "did not find expected") {
		line++
	}
	if m := yamlAnchor.FindStringSubmatch(message); m != nil {
		line, column = locate(text, "*"+m[1])
		return d.fail(line, column, "the alias "+quote("*"+m[1]), "an alias whose anchor stands before it")
	}
	lines := strings.Split(text, "\n")
	line = min(line, len(lines))
	if tab := tabIndented(lines, line); tab > 0 {
		return d.fail(tab, 1, "a tab", "lines indented with spaces")
	}
	return d.fail(line, column, "a syntax error, "+message, `YAML such as "key: value" or "{key: value}"`)
}

// locate returns the place of the first occurrence of s.
func locate(text, s string) (line, column int) {
	i := max(0, strings.Index(text, s))
	before := text[:i]
	return 1 + strings.Count(before, "\n"), 1 + len([]rune(before[strings.LastIndex(before, "\n")+1:]))
}

// tabIndented returns the line at or just before or after the given one that
// is indented with a tab, or 0.
func tabIndented(lines []string, line int) int {
	for _, n := range []int{line, line - 1, line + 1} {
		if n < 1 || n > len(lines) {
			continue
		}
		rest := strings.TrimLeft(lines[n-1], " ")
		if strings.HasPrefix(rest, "\t") && strings.TrimSpace(rest) != "" {
			return n
		}
	}
	return 0
}
