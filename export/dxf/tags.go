package dxf

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// tag is one pair of group code and value; line is where its code stands.
type tag struct {
	code  int
	value string
	line  int
}

func (t tag) is(code int, value string) bool { return t.code == code && t.value == value }

// Limits of a file that is read: beyond them it is none of ours.
const (
	maxFileBytes = 64 << 20
	maxLineBytes = 4096
)

// scan splits a file into tags. Blanks round a code are allowed, as other
// programs pad it; line ends may be LF or CRLF.
func scan(r io.Reader) ([]tag, error) {
	limited := &io.LimitedReader{R: r, N: maxFileBytes + 1}
	in := bufio.NewScanner(limited)
	in.Buffer(make([]byte, 0, maxLineBytes), maxLineBytes)
	var tags []tag
	line, code := 0, 0
	for in.Scan() {
		line++
		text := in.Text()
		if line%2 == 1 {
			n, err := strconv.Atoi(strings.TrimSpace(text))
			if err != nil || n < 0 {
				return nil, &ReadError{line, fmt.Sprintf("group code %.40q is not a whole number", text)}
			}
			code = n
			continue
		}
		for i := range len(text) {
			if text[i] < ' ' || text[i] > '~' {
				return nil, &ReadError{line, "holds a byte that is not printable ASCII"}
			}
		}
		tags = append(tags, tag{code, text, line - 1})
	}
	switch err := in.Err(); {
	case err == bufio.ErrTooLong:
		return nil, &ReadError{line + 1, fmt.Sprintf("is longer than %d bytes", maxLineBytes)}
	case err != nil:
		return nil, fmt.Errorf("dxf: %w", err)
	case limited.N == 0:
		return nil, &ReadError{line, fmt.Sprintf("the file is larger than %d MB", maxFileBytes>>20)}
	case line%2 == 1:
		return nil, &ReadError{line, "a group code without a value"}
	}
	return tags, nil
}
