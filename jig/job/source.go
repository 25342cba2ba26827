package job

import (
	"fmt"
	"strings"
	"unicode"
)

// source is the text of a job file and where its keys stand.
type source struct {
	lines []string
	at    map[string]Position // dotted path -> its value, or its key for a section in lines
}

func newSource(text string) *source {
	return &source{lines: splitLines(text), at: map[string]Position{}}
}

// splitLines splits at every line break that YAML knows: LF, CR, CR LF, NEL, LS
// and PS, so that line numbers agree with the parser's.
//
// Reference: YAML 1.1, section 4.1.4, "Line Break Characters".
func splitLines(text string) []string {
	var lines []string
	start := 0
	for i, r := range text {
		switch r {
		case '\n':
			if i > 0 && text[i-1] == '\r' {
				start = i + 1
				continue
			}
			lines = append(lines, text[start:i])
			start = i + 1
		case '\r', '\u0085', '\u2028', '\u2029':
			lines = append(lines, text[start:i])
			start = i + len(string(r))
		}
	}
	return append(lines, text[start:])
}

// Pos returns where the key with the dotted path stands in the file. A key that
// the file leaves to its default has the place of the nearest section around it
// that the file has. The zero Position means that there is none, or that the job
// was not read from text.
func (j *Job) Pos(path string) Position {
	if j.src == nil {
		return Position{}
	}
	for path != "" {
		if p, ok := j.src.at[path]; ok {
			return p
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return Position{}
}

// IsGiven reports whether the file itself has the key with the dotted path.
func (j *Job) IsGiven(path string) bool {
	if j.src == nil {
		return false
	}
	_, ok := j.src.at[path]
	return ok
}

// excerptWidth is how much of a source line is shown, in characters: what fits a
// terminal of 80 columns beside the line number.
const excerptWidth = 65

// excerpt returns the source line at p and a line with a caret below it, or ""
// when p is no place in the text. Long lines are cut round the place. Tabs count
// as one column, as in the position; characters that do not print show as "?".
func (s *source) excerpt(p Position) string {
	if s == nil || p.Line < 1 || p.Line > len(s.lines) || p.Column < 1 {
		return ""
	}
	line := []rune(s.lines[p.Line-1])
	at := min(p.Column-1, len(line))
	from := 0
	if at >= excerptWidth-8 {
		from = at - excerptWidth/2
	}
	to := min(len(line), from+excerptWidth)
	shown := make([]rune, 0, excerptWidth)
	for _, r := range line[from:to] {
		switch {
		case r == '\t':
			r = ' '
		case !unicode.IsPrint(r):
			r = '?'
		}
		shown = append(shown, r)
	}
	text, pad := string(shown), at-from
	if from > 0 {
		text, pad = "..."+text, pad+3
	}
	if to < len(line) {
		text += "..."
	}
	return fmt.Sprintf("%6d | %s\n       | %s^\n", p.Line, strings.TrimRight(text, " "), strings.Repeat(" ", pad))
}
