package job

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
)

// Position is a place in a job file, both counted from 1 in characters. The zero
// Position means no place.
type Position struct{ Line, Column int }

// Problem is one fault of a job file.
type Problem struct {
	File   string
	Pos    Position // zero: the file as a whole
	Path   string   // dotted: "board.width.start", "board.features[2].u"; "" for the file
	Says   string   // what was read, and what is wrong with it
	Remedy string   // what would do; "" when Says tells it
	Err    error    // the cause from elsewhere, or nil

	src *source // of a place in another file than the job's
}

// Error returns the fault on one line: file:line:column: path: what (remedy).
func (p *Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Pos.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", p.Pos.Line, p.Pos.Column)
	}
	if p.File != "" {
		b.WriteString(": ")
	}
	if p.Path != "" {
		b.WriteString(p.Path + ": ")
	}
	b.WriteString(p.Says)
	if p.Remedy != "" {
		b.WriteString(" (" + p.Remedy + ")")
	}
	return b.String()
}

// Unwrap returns the cause, if any.
func (p *Problem) Unwrap() error { return p.Err }

// Problems are all the faults of one job file, in the order of the file. It is
// the error of Parse and Read.
type Problems struct {
	List []*Problem
	More int // faults found beyond those listed

	src *source
}

// Error returns one line per fault.
func (ps *Problems) Error() string {
	lines := make([]string, 0, len(ps.List)+1)
	for _, p := range ps.List {
		lines = append(lines, p.Error())
	}
	if ps.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", ps.More))
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns every fault, so that errors.As and errors.Is look into them.
func (ps *Problems) Unwrap() []error {
	out := make([]error, len(ps.List))
	for i, p := range ps.List {
		out[i] = p
	}
	return out
}

// Detail returns the faults for people: each line of Error followed by the
// source line and a caret under the place.
func (ps *Problems) Detail() string {
	var b strings.Builder
	for _, p := range ps.List {
		b.WriteString(p.Error() + "\n")
		b.WriteString(cmp.Or(p.src, ps.src).excerpt(p.Pos))
	}
	if ps.More > 0 {
		fmt.Fprintf(&b, "and %d more\n", ps.More)
	}
	return b.String()
}

// Fault ties an error from elsewhere to a key of the job: it returns *Problems
// with one fault, placed where the key (or the nearest section around it that
// the file has) stands. A nil error returns nil.
func (j *Job) Fault(path string, err error) error {
	if err == nil {
		return nil
	}
	p := &Problem{File: j.File, Pos: j.Pos(path), Path: path, Says: err.Error(), Err: err}
	return &Problems{List: []*Problem{p}, src: j.src}
}

// Join makes one *Problems of several, in the order given, so that all are told
// with their source lines. Nil errors are left out; other errors become faults
// without a place. It returns nil when nothing is left.
func Join(errs ...error) error {
	out := &Problems{}
	for _, err := range errs {
		var ps *Problems
		switch {
		case err == nil:
		case errors.As(err, &ps):
			out.List = append(out.List, ps.List...)
			out.More += ps.More
			if out.src == nil {
				out.src = ps.src
			}
		default:
			out.List = append(out.List, &Problem{Says: err.Error(), Err: err})
		}
	}
	if len(out.List) == 0 {
		return nil
	}
	return out
}
