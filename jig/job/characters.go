package job

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// byteOrderMark may stand at the start of UTF-8 text and means nothing there.
const byteOrderMark = "\ufeff"

// screen looks at the bytes before they are taken for YAML: too many, not text,
// not UTF-8, or with characters that YAML forbids. It returns the first fault,
// or nil. A later stage may then rely on well-formed text.
func screen(file string, data []byte, what string) *Problem {
	whole := func(says, remedy string) *Problem { return &Problem{File: file, Says: says, Remedy: remedy} }
	switch {
	case len(data) > MaxFileBytes:
		return whole(fmt.Sprintf("has %d bytes; a %s has at most %d", len(data), what, MaxFileBytes),
			"is this the "+what+"?")
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return whole("is UTF-16 text", "save it as UTF-8")
	case bytes.IndexByte(data, 0) >= 0:
		return whole(fmt.Sprintf("is not text: byte %d is zero", bytes.IndexByte(data, 0)), "is this the "+what+"?")
	}
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		fault := func(says, remedy string) *Problem {
			before := splitLines(string(data[:i]))
			at := Position{len(before), utf8.RuneCountInString(before[len(before)-1]) + 1}
			return &Problem{File: file, Pos: at, Says: says, Remedy: remedy}
		}
		switch {
		case r == utf8.RuneError && n <= 1:
			return fault(fmt.Sprintf("byte %#02x is not UTF-8 text", data[i]), "save the file as UTF-8")
		case !allowedRune(r):
			return fault(fmt.Sprintf("the control character %U cannot stand in a %s", r, what), "remove it")
		}
		i += n
	}
	return nil
}

// allowedRune reports whether YAML lets r stand in a stream.
//
// Reference: YAML 1.1, section 4.1.1, production c-printable.
func allowedRune(r rune) bool {
	switch {
	case r == '\t', r == '\n', r == '\r', r == 0x85:
		return true
	case r == 0xfeff:
		return false
	}
	return r >= 0x20 && r <= 0x7e || r >= 0xa0 && r <= 0xd7ff || r >= 0xe000 && r <= 0xfffd || r >= 0x10000 &&
		r <= 0x10ffff
}
