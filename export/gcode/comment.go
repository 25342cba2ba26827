package gcode

import (
	"regexp"
	"strings"
	"unicode"

	"reseat/export/latin"
)

// commentRunes is the most characters of text on one comment line. With its marks
// a line stays below the 126 that fit a small controller's serial buffer and below
// Marlin's 96 (recalled).
const commentRunes = 90

// spelled holds what people write and seven bits do not hold, and what a
// controller or sender would act upon even inside a comment:
//
//   - grbl takes ! ? ~ out of the stream as commands wherever they stand
//     (github.com/gnea/grbl wiki, "Grbl v1.1 Commands", real-time commands);
//   - a semicolon inside parentheses, or a parenthesis, would end or nest a comment;
//   - % ends a file for some, * begins a checksum for Marlin.
var spelled = strings.NewReplacer(
	"!", ".", "?", ".", "~", "about ", ";", ",", "(", "[", ")", "]", "%", " percent", "*", "x",
	"Ø", "dia ",
	"–", "-", "—", "-", "−", "-", "×", "x", "·", ".", "±", "+-", "°", " deg", "µ", "u", "μm", "um",
	"≤", "<=", "≥", ">=", "→", "->", "½", "1/2", "¼", "1/4", "¾", "3/4", "‘", "'", "’", "'", "“", "\"", "”", "\"",
)

// programEnd finds the words that make a known sender stop, even in a comment
// (github.com/Denvi/Candle/issues/344), such as the name of a screw.
var programEnd = regexp.MustCompile(`(?i)\b(M)(0*(?:2|30))\b`)

// active finds the beginnings that LinuxCNC acts upon: (MSG, ...), (LOGOPEN, ...),
// ;py, ... (LinuxCNC, G-code overview, "Comments", "Messages", "Probe logging").
var active = regexp.MustCompile(`(?i)^\s*(?:msg|debug|print|log|logopen|logappend|logclose|probeopen|probeclose|abort|py)\b`)

// clean returns text that is safe inside a comment of either style: printable
// seven-bit characters, none that nests, ends or commands anything. What has no
// spelling becomes an underscore.
func clean(s string) string {
	s = latin.Spell(spelled.Replace(s))
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			return ' '
		case r > '~':
			return '_'
		}
		return r
	}, s)
	s = strings.Join(strings.Fields(s), " ")
	s = programEnd.ReplaceAllString(s, "$1 $2")
	if active.MatchString(s) {
		s = "- " + s
	}
	return s
}

// wrap cuts clean text into lines of at most commentRunes. A line that would
// begin with an active word gets a dash before it, as clean does.
func wrap(s string) []string {
	var lines []string
	line := ""
	flush := func() {
		if line == "" {
			return
		}
		if active.MatchString(line) {
			line = "- " + line
		}
		lines = append(lines, line)
		line = ""
	}
	const room = commentRunes - 2 // for that dash
	for _, word := range strings.Fields(s) {
		if line != "" && len(line)+1+len(word) > room {
			flush()
		}
		for len(word) > room {
			flush()
			line, word = word[:room], word[room:]
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	flush()
	return lines
}
