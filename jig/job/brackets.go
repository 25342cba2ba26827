package job

import (
	"fmt"
	"strings"
)

// unclosed looks for the slip behind most syntax errors, which YAML itself tells
// far from its place: a bracket or a quote that is never closed, or a bracket
// closed by one of the other kind. ok is false when there is none. It reads as
// much YAML as a job has: comments, quotes where a value can start, brackets.
func unclosed(lines []string) (at Position, says, remedy string, ok bool) {
	var open []bracket
	for n, line := range lines {
		b, quote, wrong := scanLine(line, n+1, &open)
		switch {
		case quote.at.Line > 0:
			return quote.at, fmt.Sprintf("the quote %c is not closed on its line", quote.r), fmt.Sprintf("add %c", quote.r),
				true
		case wrong:
			if len(open) == 0 {
				return b.at, fmt.Sprintf("%c closes nothing", b.r), "remove it, or put the text in quotes", true
			}
			o := open[len(open)-1]
			return b.at, fmt.Sprintf("%c closes the %c of line %d", b.r, o.r, o.at.Line),
				fmt.Sprintf("write %c", closerOf(o.r)), true
		}
	}
	if len(open) == 0 {
		return Position{}, "", "", false
	}
	o := open[len(open)-1]
	return o.at, fmt.Sprintf("%c is never closed", o.r), fmt.Sprintf("add %c", closerOf(o.r)), true
}

// bracket is a bracket or quote with its place.
type bracket struct {
	r  rune
	at Position
}

func closerOf(r rune) rune {
	if r == '{' {
		return '}'
	}
	return ']'
}

// scanLine takes one line. It returns a bracket that closes wrongly, or a quote
// that the line does not close.
func scanLine(line string, n int, open *[]bracket) (b, quote bracket, wrong bool) {
	var in rune // the quote we are in, 0 outside
	var from Position
	starts := true // a value can start here
	runes := []rune(line)
	for i := 0; i < len(runes); i++ {
		r := runes[i]
		here := Position{n, i + 1}
		switch {
		case in == '"' && r == '\\', in == '\'' && r == '\'' && i+1 < len(runes) && runes[i+1] == '\'':
			i++
		case in != 0:
			if r == in {
				in = 0
			}
		case r == '#' && (i == 0 || runes[i-1] == ' ' || runes[i-1] == '\t'):
			return bracket{}, bracket{}, false
		case starts && (r == '"' || r == '\''):
			in, from, starts = r, here, false
		case (r == '{' || r == '[') && (starts || len(*open) > 0):
			*open = append(*open, bracket{r, here})
			starts = true
		case (r == '}' || r == ']') && (starts || len(*open) > 0):
			if len(*open) == 0 || closerOf((*open)[len(*open)-1].r) != r {
				return bracket{r, here}, bracket{}, true
			}
			*open = (*open)[:len(*open)-1]
			starts = false
		case r == ' ' || r == '\t':
		case strings.ContainsRune(":-?", r) && (i+1 == len(runes) || runes[i+1] == ' '), r == ',' && len(*open) > 0:
			starts = true
		default:
			starts = false
		}
	}
	if in != 0 {
		return bracket{}, bracket{in, from}, false
	}
	return bracket{}, bracket{}, false
}
