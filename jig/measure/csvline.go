package measure

import (
	"strings"
	"unicode/utf8"

	"reseat/jig/spelling"
)

// field is one field of a CSV line with its column, counted in characters from 1.
type field struct {
	text   string
	column int
}

// split takes a line apart at its commas. A field in double quotes may hold
// commas; blanks around a field are dropped. Fields do not run over lines.
func split(line string) []field {
	var out []field
	column := 1
	for {
		end := fieldEnd(line)
		raw := line[:end]
		lead := len(raw) - len(strings.TrimLeft(raw, " \t"))
		out = append(out, field{unquote(strings.TrimSpace(raw)), column + lead})
		if end == len(line) {
			return out
		}
		column += utf8.RuneCountInString(raw) + 1
		line = line[end+1:]
	}
}

// fieldEnd returns the index of the comma that ends the first field.
func fieldEnd(line string) int {
	quoted := false
	for i := range len(line) {
		switch {
		case line[i] == '"':
			quoted = !quoted
		case line[i] == ',' && !quoted:
			return i
		}
	}
	return len(line)
}

func unquote(s string) string {
	if len(s) >= 2 && s[0] == '"' && s[len(s)-1] == '"' {
		return strings.TrimSpace(strings.ReplaceAll(s[1:len(s)-1], `""`, `"`))
	}
	return s
}

// nearest returns the name that differs from word by at most two letters added,
// dropped, changed or swapped, and by less than half its length; "" when none does.
func nearest(word string, names []string) string {
	best, bestD := "", 3
	for _, n := range names {
		if d := spelling.Distance(word, n); d < bestD && 2*d <= len(n) {
			best, bestD = n, d
		}
	}
	return best
}
