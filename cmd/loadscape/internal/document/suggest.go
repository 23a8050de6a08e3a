package document

import "strings"

// The number of words that are compared in search of suggestions for one
// document, after which it gives none: a file of nothing but mistakes gains
// nothing by them.
const maxCompared = 200_000

// nearest returns the candidate that a misspelt word probably means, the first
// of several equally near, or "" if none is near.
func (d *Document) nearest(word string, candidates []string) string {
	const longest = 64
	d.compared += len(candidates)
	if word == "" || len(word) > longest || d.compared > maxCompared {
		return ""
	}
	best, found := 1+max(1, len(word)/3), ""
	for _, c := range candidates {
		if len(c) > len(word)+best || len(c) < len(word)-best {
			continue
		}
		// A distance of the whole word would be no resemblance.
		if n := distance(plain(word), plain(c)); n < best && n < len(c) {
			best, found = n, c
		}
	}
	return found
}

var separators = strings.NewReplacer("-", "_", " ", "_")

// plain makes words equal that people take for the same.
func plain(s string) string { return separators.Replace(strings.ToLower(s)) }

// distance returns the number of insertions, deletions, replacements and
// exchanges of neighbours that turn a into b (optimal string alignment).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	// Rows of the distances of prefixes: two before, before, this one.
	before2, before, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i := range s {
		before2, before, row = before, row, before2
		row[0] = i + 1
		for j := range t {
			change := before[j]
			if s[i] != t[j] {
				change++
			}
			row[j+1] = min(change, before[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before2[j-1]+1)
			}
		}
	}
	return row[len(t)]
}

// Nearest returns the candidate that a misspelt word probably means, or "".
func Nearest(word string, candidates []string) string {
	return (&Document{}).nearest(word, candidates)
}
