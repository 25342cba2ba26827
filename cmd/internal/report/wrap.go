package report

import (
	"io"
	"reseat/cmd/internal/command"
	"strings"
)

// lineWide is how many characters a line of the summary has at most, and deep by how much
// what belongs to a line is indented.
const (
	lineWide = 110
	deep     = "    "
)

// wrapped prints text over lines of that width.
func wrapped(w io.Writer, first, rest, text string) {
	command.Paragraph(w, lineWide, first, rest, text)
}

// oneLine cuts text to a line's width.
func oneLine(text string) string {
	r := []rune(text)
	if len(r) <= lineWide {
		return text
	}
	return strings.TrimRight(string(r[:lineWide-4]), " ,;:.") + " ..."
}
