package sheet

import (
	"strings"

	"reseat/export/picture"
)

// withUnits joins a unit to the figure before it, so that no line begins with one.
func withUnits(words []string) []string {
	var out []string
	for _, w := range words {
		switch strings.TrimRight(w, ".,;:)") {
		case "%", "mm", "°C":
			if n := len(out); n > 0 && strings.ContainsAny(out[n-1][len(out[n-1])-1:], "0123456789") {
				out[n-1] += " " + w
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// wrap breaks s into at most n lines of width w at spaces; a word that is too
// long is broken anywhere. The last line is shortened when text is left over.
// n <= 0 means as many lines as it takes.
func wrap(s string, h, w float64, n int) []string {
	var lines []string
	line := ""
	flush := func() {
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
	}
	words := withUnits(strings.Fields(s))
	for i := 0; i < len(words); i++ {
		word := words[i]
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if n > 0 && len(lines) == n-1 && picture.TextWidth(joined, h) > w {
			rest := strings.Join(append([]string{joined}, words[i+1:]...), " ")
			return append(lines, picture.Shorten(rest, h, w))
		}
		if picture.TextWidth(joined, h) <= w {
			line = joined
			continue
		}
		flush()
		for picture.TextWidth(word, h) > w && !(n > 0 && len(lines) == n-1) {
			rs := []rune(word)
			k := len(rs) - 1
			for k > 1 && picture.TextWidth(string(rs[:k]), h) > w {
				k--
			}
			if k < 1 {
				break
			}
			lines = append(lines, string(rs[:k]))
			word = string(rs[k:])
		}
		line = word
		if n > 0 && len(lines) == n-1 && picture.TextWidth(line, h) > w {
			rest := strings.Join(append([]string{line}, words[i+1:]...), " ")
			return append(lines, picture.Shorten(rest, h, w))
		}
	}
	flush()
	return lines
}
