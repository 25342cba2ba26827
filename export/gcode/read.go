package gcode

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// maxLines bounds a file that is read: more than ten hours of short moves.
const maxLines = 1 << 20

// Read reads a file as Write writes it, and nothing else: the same words in the
// same order, one style of comments, one number of decimals. It returns the
// program in the coordinates of the file and the options it was written with.
//
// A file does not hold everything. The remarks of the head are in Says, those
// between moves in Steps; Tool, File, Title and Cautions are empty, and TopZ is
// the lowest height that a rapid reaches, at most toolpath.LeastSafeMM below the
// safe height. A file without comments reads as of semicolon style.
//
// The error is *ReadError with the first line that is not as Write would have
// written it, or what r returned.
func Read(r io.Reader) (*toolpath.Program, Options, error) {
	d := reader{in: bufio.NewScanner(r), p: &toolpath.Program{}}
	d.in.Buffer(make([]byte, 0, 4096), 4*maxLine)
	d.in.Split(wholeLines)
	d.file()
	if d.err != nil {
		return nil, Options{}, d.err
	}
	d.p.TopZ = math.Min(d.lowest, d.p.SafeZ-toolpath.LeastSafeMM)
	return d.p, d.o, nil
}

// wholeLines splits into lines that keep their newline; a rest without one is a
// line too.
func wholeLines(data []byte, atEOF bool) (int, []byte, error) {
	for i, b := range data {
		if b == '\n' {
			return i + 1, data[:i+1], nil
		}
	}
	if atEOF && len(data) > 0 {
		return len(data), data, nil
	}
	return 0, nil, nil
}

// reader holds the state between lines. After an error every step does nothing.
type reader struct {
	in   *bufio.Scanner
	n    int    // number of the line at hand
	line string // the line at hand, without its newline
	err  error

	p      *toolpath.Program
	o      Options
	styled bool // a comment was seen
	here   spot
	feed   int64
	lowest float64 // height of a rapid
	lifted bool    // the last move was a lone rapid in Z to the safe height
	idle   bool    // and it went nowhere, as only the file's last lift may
}

func (d *reader) fail(format string, args ...any) {
	if d.err == nil {
		d.err = &ReadError{d.n, fmt.Sprintf(format, args...)}
	}
}

// next takes one line. At the end of the file it fails, unless end is meant.
func (d *reader) next() bool {
	if d.err != nil {
		return false
	}
	d.n++
	if d.n > maxLines {
		d.fail("more than %d lines", maxLines)
		return false
	}
	if !d.in.Scan() {
		if err := d.in.Err(); err != nil && err != bufio.ErrTooLong {
			d.err = fmt.Errorf("gcode: %w", err)
		} else if err != nil {
			d.fail("line is longer than %d characters", maxLine)
		} else {
			d.fail("the file ends too early")
		}
		return false
	}
	raw := d.in.Text()
	d.line = strings.TrimSuffix(raw, "\n")
	switch {
	case d.line == raw:
		d.fail("no newline at the end")
	case len(d.line) > maxLine:
		d.fail("line of %d characters; %d are allowed", len(d.line), maxLine)
	}
	for i := range len(d.line) {
		if c := d.line[i]; c < ' ' || c > '~' {
			d.fail("character %#x is not printable seven-bit", c)
		}
	}
	return d.err == nil
}

func (d *reader) file() {
	for d.next() && d.comment() {
		d.p.Says = append(d.p.Says, d.said())
	}
	for i, want := range preamble {
		if i > 0 && !d.next() {
			return
		}
		if d.err == nil && d.line != want {
			d.fail("got %q, want %s", d.line, want)
		}
	}
	if !d.next() {
		return
	}
	d.path()
	d.start()
	for d.next() && d.line != "M5" {
		if d.comment() {
			d.p.Steps = append(d.p.Steps, toolpath.Step{Move: len(d.p.Moves), Says: d.said()})
			continue
		}
		d.move()
	}
	d.end()
}

// comment reports whether the line is a comment, and fails when it is one that
// this file may not hold.
func (d *reader) comment() bool {
	style := Semicolon
	switch {
	case strings.HasPrefix(d.line, "; "):
	case strings.HasPrefix(d.line, "(") && strings.HasSuffix(d.line, ")"):
		style = Paren
	default:
		return false
	}
	if d.styled && style != d.o.Comments {
		d.fail("a second style of comments")
	}
	d.styled, d.o.Comments = true, style
	if s := d.said(); s == "" || strings.Join(style.mark(s), "\n") != d.line {
		d.fail("comment %q holds what may not stand in one", s)
	}
	return true
}

// said returns the text of a comment.
func (d *reader) said() string {
	if d.o.Comments == Paren {
		return d.line[1 : len(d.line)-1]
	}
	return d.line[2:]
}

// path takes the word of the ngc dialect, if there is one.
func (d *reader) path() {
	switch {
	case d.line == "G61":
		d.o.Dialect = NGC
	case strings.HasPrefix(d.line, "G64 P"):
		d.o.Dialect = NGC
		n := d.number(d.line[5:])
		d.o.BlendMM = d.o.grid().mm(n)
		if d.err == nil && (n <= 0 || d.o.BlendMM > mostBlendMM) {
			d.fail("blending of %g mm", d.o.BlendMM)
		}
	default:
		return
	}
	d.next()
}

// start takes the first lift and the spindle.
func (d *reader) start() {
	w := d.words("G0", "Z")
	if d.err != nil || !d.next() {
		return
	}
	d.here.z = w['Z']
	d.p.SafeZ = d.o.grid().mm(w['Z'])
	d.lowest = d.p.SafeZ
	text, ok := strings.CutPrefix(d.line, "M3 S")
	rpm, good := whole(text)
	if !ok || !good {
		d.fail("got %q, want M3 and a whole S", d.line)
	}
	d.p.SpindleRPM = float64(rpm)
}

// end takes what follows M5. The last move before it is the lift that every file
// ends with, not one of the program.
func (d *reader) end() {
	if d.err != nil {
		return
	}
	n := len(d.p.Moves) - 1
	if n < 1 || !d.lifted {
		d.fail("M5 without the lift to the safe height before it")
		return
	}
	d.p.Moves = d.p.Moves[:n]
	if d.p.Moves[n-1].To.Z < d.p.SafeZ {
		d.fail("the last cut does not end at the safe height")
	}
	for _, s := range d.p.Steps {
		if s.Move >= n {
			d.fail("a remark follows the last cut")
		}
	}
	if !d.next() {
		return
	}
	w := d.words("G0", "XY")
	d.p.Park = geom.Vec{X: d.o.grid().mm(w['X']), Y: d.o.grid().mm(w['Y'])}
	if d.next() && d.line != "M2" {
		d.fail("got %q, want M2", d.line)
	}
	if d.err == nil && d.in.Scan() {
		d.n++
		d.fail("text after the end of the program")
	}
}

// whole reads a whole number above zero, written without sign or leading zero.
func whole(s string) (int64, bool) {
	n, err := strconv.ParseInt(s, 10, 32)
	return n, err == nil && n > 0 && strconv.FormatInt(n, 10) == s
}

// number reads a length as steps of the grid. The first one sets the decimals.
func (d *reader) number(s string) int64 {
	digits := len(s) - 1 - strings.IndexByte(s, '.')
	if strings.IndexByte(s, '.') < 0 {
		digits = 0
	}
	if d.o.Decimals == 0 && digits >= defaultDecimals && digits <= mostDecimals {
		d.o.Decimals = digits
	}
	n, err := strconv.ParseInt(strings.Replace(s, ".", "", 1), 10, 64)
	if err != nil || digits != d.o.Decimals || d.o.Decimals == 0 || d.o.grid().print(n) != s {
		d.fail("cannot read %q as a length", s)
		return 0
	}
	if math.Abs(d.o.grid().mm(n)) > largestMM {
		d.fail("%s mm is no place on a machine", s)
		return 0
	}
	return n
}

// largestMM is the reach of a machine that toolpath.Program.Check allows.
const largestMM = 1e4
