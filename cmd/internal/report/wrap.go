package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// lineWide is how many characters a line of the summary has at most, and deep by how much
// what belongs to a line is indented.
const (
	lineWide = 110
	deep     = "    "
)

// wrapped prints text behind a first indent, and what does not fit on one line behind
// another. A word that is wider than a line stands alone.
func wrapped(w io.Writer, first, rest, text string) {
	line, empty := first, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWide {
			fmt.Fprintln(w, line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	fmt.Fprintln(w, line)
}

// oneLine cuts text to a line's width.
func oneLine(text string) string {
	r := []rune(text)
	if len(r) <= lineWide {
		return text
	}
	return strings.TrimRight(string(r[:lineWide-4]), " ,;:.") + " ..."
}
