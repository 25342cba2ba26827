package dxfread

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// tag is one group: a code and its value.
type tag struct {
	code  int
	value string // without the spaces about it
	line  int    // of the code
}

// scanner yields the tags of a text. A copy of it reads the same text again from there.
type scanner struct {
	rest string
	line int // lines read
}

// next returns the next tag; ok is false at the end of the text. Comments (code 999) are passed over.
func (s *scanner) next() (t tag, ok bool, err error) {
	for {
		at := s.line + 1
		code, ok := s.cut()
		if !ok || code == "" && strings.TrimSpace(s.rest) == "" {
			return tag{}, false, nil
		}
		n, err := strconv.Atoi(code)
		if err != nil {
			return tag{}, false, &Error{at, fmt.Sprintf("want a group code, a whole number, got %s", quoted(code)), saveAgain}
		}
		value, ok := s.cut()
		if !ok {
			return tag{}, false, &Error{at, "the file ends after a group code: it is cut short", saveAgain}
		}
		if n != 999 {
			return tag{n, value, at}, true, nil
		}
	}
}

// cut takes one line off the text.
func (s *scanner) cut() (string, bool) {
	if s.rest == "" {
		return "", false
	}
	line, rest, _ := strings.Cut(s.rest, "\n")
	s.rest = rest
	s.line++
	if n := len(line); n > 0 && graphic(line[0]) && graphic(line[n-1]) {
		return line, true
	}
	return strings.TrimSpace(line), true
}

// graphic reports whether a byte is a visible ASCII character: most lines need no trimming.
func graphic(c byte) bool { return c > ' ' && c < 0x7f }

// quoted shows the start of what was read.
func quoted(s string) string {
	const shown = 24 // characters, as much as a reader needs to find it again
	if r := []rune(s[:min(len(s), 4*shown)]); len(r) > shown {
		s = string(r[:shown]) + "..."
	}
	return strconv.Quote(s)
}

// raw is an entity as its tags.
type raw struct {
	kind  string
	line  int
	tags  []tag
	fault string // the first thing found wrong with it
}

// mostTags bounds one entity: 100 000 vertices of a polyline with five tags each, 20 MB.
const mostTags = 500_000

// entity reads the entity whose kind is the tag 0, up to the next tag 0, which it returns.
func (s *scanner) entity(head tag) (e raw, next tag, ok bool, err error) {
	e = raw{kind: strings.ToUpper(head.value), line: head.line}
	embedded := false
	for {
		t, ok, err := s.next()
		if err != nil || !ok || t.code == 0 {
			return e, t, ok, err
		}
		// Since R2018 some entities carry another one, whose codes mean other things.
		if embedded = embedded || t.code == 101; embedded {
			continue
		}
		if len(e.tags) == mostTags {
			return e, t, false, &Error{head.line, "more than " + strconv.Itoa(mostTags) + " groups in one " + e.kind, fewer}
		}
		e.tags = append(e.tags, t)
	}
}

// text returns the value of the first tag with this code.
func (e *raw) text(code int) (string, bool) {
	for _, t := range e.tags {
		if t.code == code {
			return t.value, true
		}
	}
	return "", false
}

// largest bounds coordinates in the file's unit: 10 km in mm. Beyond it lies no drawing of a board, and within it
// float64 holds a millionth of a millimetre.
const largest = 1e7

// value reads a number of the entity; a broken one is its fault.
func (e *raw) value(t tag) float64 {
	v, err := strconv.ParseFloat(t.value, 64)
	switch {
	case err == nil && math.Abs(v) <= largest:
		return v
	case err == nil || strings.Contains(err.Error(), "range"):
		e.wrong("line %d: %s (code %d) is beyond %g", t.line+1, quoted(t.value), t.code, float64(largest))
	case strings.Contains(t.value, ","):
		e.wrong("line %d: %s (code %d) has a decimal comma; DXF takes a point", t.line+1, quoted(t.value), t.code)
	default:
		e.wrong("line %d: want a number for code %d, got %s", t.line+1, t.code, quoted(t.value))
	}
	return 0
}

func (e *raw) wrong(format string, args ...any) {
	if e.fault == "" {
		e.fault = fmt.Sprintf(format, args...)
	}
}

// number returns the number with this code, or the given one where there is none.
func (e *raw) number(code int, otherwise float64) float64 {
	for _, t := range e.tags {
		if t.code == code {
			return e.value(t)
		}
	}
	return otherwise
}

// need returns the number with this code, which must be there.
func (e *raw) need(code int, what string) float64 {
	if _, ok := e.text(code); !ok {
		e.wrong("no %s (code %d)", what, code)
	}
	return e.number(code, 0)
}

// whole returns the whole number with this code; 0 where there is none.
func (e *raw) whole(code int) int { return int(e.number(code, 0)) }

// list returns every number with this code, in order.
func (e *raw) list(code int) []float64 {
	var out []float64
	for _, t := range e.tags {
		if t.code == code {
			out = append(out, e.value(t))
		}
	}
	return out
}

// plain returns a name or text as people see it: \U+XXXX is the character of that number, and what is not UTF-8 is
// taken for Windows-1252, which in its upper half is Latin-1.
func plain(s string) string {
	if !utf8.ValidString(s) {
		r := make([]rune, len(s))
		for i := range len(s) {
			r[i] = rune(s[i])
		}
		s = string(r)
	}
	var out strings.Builder
	for {
		before, after, found := strings.Cut(s, `\U+`)
		out.WriteString(before)
		if !found {
			return out.String()
		}
		if s = after; len(s) >= 4 {
			if n, err := strconv.ParseUint(s[:4], 16, 16); err == nil {
				out.WriteRune(rune(n))
				s = s[4:]
				continue
			}
		}
		out.WriteString(`\U+`)
	}
}
