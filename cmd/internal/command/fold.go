package command

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"
)

// Fold is a writer of text for people: a line that is wider than a terminal is broken at
// spaces, and what follows is indented below where the line's text begins. What begins with
// a brace or a bracket is a record for a program, and stays as it is.
type Fold struct {
	To     io.Writer
	Colour bool   // the words of verdicts are coloured
	rest   []byte // of a line that has not ended
	begun  bool
	record bool
}

func (f *Fold) Write(p []byte) (int, error) {
	if !f.begun && len(p) > 0 {
		f.begun, f.record = true, p[0] == '{' || p[0] == '['
	}
	if f.record {
		return f.To.Write(p)
	}
	f.rest = append(f.rest, p...)
	for {
		i := bytes.IndexByte(f.rest, '\n')
		if i < 0 {
			return len(p), nil
		}
		line := string(f.rest[:i])
		f.rest = f.rest[i+1:]
		if err := f.line(line); err != nil {
			return len(p), err
		}
	}
}

// Flush writes a last line that has no end.
func (f *Fold) Flush() {
	f.To.Write(f.rest) // an error is the underlying writer's to remember
	f.rest = nil
}

func (f *Fold) line(line string) error {
	var b bytes.Buffer
	isCommand := strings.HasPrefix(strings.TrimLeft(line, " "), "$ ") // to be copied whole
	if utf8.RuneCountInString(line) <= Wide() || isCommand {
		b.WriteString(line + "\n")
	} else {
		hang := hangOf(line)
		Paragraph(&b, line[:hang], strings.Repeat(" ", utf8.RuneCountInString(line[:hang])), line[hang:])
	}
	text := b.String()
	if f.Colour {
		first, rest, _ := strings.Cut(text, "\n")
		text = coloured(first) + "\n" + rest
	}
	_, err := io.WriteString(f.To, text)
	return err
}

// hangOf is the length in bytes of what a line's text stands behind: its indent, a mark or a
// number of a list, and a label with two spaces or more after it.
func hangOf(line string) int {
	indent := len(line) - len(strings.TrimLeft(line, " "))
	text := line[indent:]
	if i := strings.Index(text, " "); i > 0 && (text[:i] == "-" || strings.HasSuffix(text[:i], ".") && i <= 3) {
		return indent + i + 1
	}
	if i := strings.Index(text, "  "); i > 0 && indent+i < Wide()/2 {
		label := line[:indent+i]
		return len(label) + len(line[len(label):]) - len(strings.TrimLeft(line[len(label):], " "))
	}
	return indent
}
