package document

import (
	"strconv"
	"strings"
)

// A path is written as the steps that lead from the root to a value.

// keyStep returns the step to the value of a key, which is quoted if it could
// be misread and shortened if it is long.
func keyStep(key string) string {
	const longest = 60
	odd := func(r rune) bool {
		return !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || strings.ContainsRune("_-/+", r))
	}
	if len(key) > longest || strings.ContainsFunc(key, odd) {
		key = quote(key)
	}
	return "." + key
}

// indexStep returns the step to an item of a list.
func indexStep(i int) string { return "[" + strconv.Itoa(i) + "]" }

// pathOf joins steps.
func pathOf(steps ...string) string {
	return strings.TrimPrefix(strings.Join(steps, ""), ".")
}
