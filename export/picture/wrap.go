package picture

import "strings"

// withUnits joins a unit to the number before it, so that no line begins with one.
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

// Wrap breaks s into lines of width w at spaces, in letters h high, both mm; a word that is
// too long is broken behind a hyphen, or anywhere where it has none.
func Wrap(s string, h, w float64) []string {
	var lines []string
	for _, word := range withUnits(strings.Fields(s)) {
		if n := len(lines); n > 0 && TextWidth(lines[n-1]+" "+word, h) <= w {
			lines[n-1] += " " + word
			continue
		}
		rs := []rune(word)
		for len(rs) > 1 && TextWidth(string(rs), h) > w {
			k := len(rs) - 1
			for k > 1 && TextWidth(string(rs[:k]), h) > w {
				k--
			}
			for j := k; j > 1; j-- {
				if strings.ContainsRune("-_/", rs[j-1]) {
					k = j
					break
				}
			}
			lines = append(lines, string(rs[:k]))
			rs = rs[k:]
		}
		lines = append(lines, string(rs))
	}
	return lines
}
