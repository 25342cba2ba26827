package reading

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Fault says what is wrong at a place and what would do, lines and columns counted from
// 1, columns in characters; line 0 is the whole file.
func Fault(file string, line, column int, says, remedy string) error {
	place := file
	if line > 0 {
		place = fmt.Sprintf("%s:%d:%d", file, line, column)
	}
	return fmt.Errorf("%s: %s (%s)", place, says, remedy)
}

// Lines gives each the lines of a text file, without their ends and without a byte order
// mark, until it returns false. The error is a file of more than most bytes, one that is
// not text, or a character that would steer a terminal instead of being seen on it.
func Lines(file string, data []byte, most int, each func(number int, line string) bool) error {
	switch {
	case len(data) > most:
		return Fault(file, 0, 0, fmt.Sprintf("is %d bytes long", len(data)),
			fmt.Sprintf("a readings file has at most %d", most))
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return Fault(file, 0, 0, "is not text", "save the readings as CSV in UTF-8")
	}
	number := 0
	for line := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
		number++
		line = strings.TrimRight(line, "\r\n")
		if i := strings.IndexFunc(line, unprintable); i >= 0 {
			r, _ := utf8.DecodeRuneInString(line[i:])
			return Fault(file, number, utf8.RuneCountInString(line[:i])+1, fmt.Sprintf("the control character %U", r),
				"save the readings as plain text")
		}
		if !each(number, line) {
			return nil
		}
	}
	return nil
}

func unprintable(r rune) bool {
	return r != '\t' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)
}

// Field is one field of a CSV line with its column, counted in characters from 1.
type Field struct {
	Text   string
	Column int
}

// Split takes a line apart at its separators. A field in double quotes may hold
// some; blanks around a field are dropped. Fields do not run over lines.
func Split(line string, separator byte) []Field {
	out, column := make([]Field, 0, strings.Count(line, string(separator))+1), 1
	for {
		quoted, end := false, 0
		for ; end < len(line) && (quoted || line[end] != separator); end++ {
			quoted = quoted != (line[end] == '"')
		}
		raw := line[:end]
		lead := len(raw) - len(strings.TrimLeft(raw, " \t"))
		text := strings.TrimSpace(raw)
		if len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"' {
			text = strings.TrimSpace(strings.ReplaceAll(text[1:len(text)-1], `""`, `"`))
		}
		out = append(out, Field{text, column + lead})
		if end == len(line) {
			return out
		}
		column += utf8.RuneCountInString(raw) + 1
		line = line[end+1:]
	}
}
