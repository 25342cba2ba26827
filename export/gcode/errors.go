package gcode

import (
	"fmt"
	"strings"
)

// Fault is one thing that keeps a program from being written.
type Fault struct {
	Move   int // index into Program.Moves; -1: the program or the options
	Reason string
}

// ProgramError lists everything that keeps a program from being written. Nothing
// was written.
type ProgramError struct {
	File   string
	Faults []Fault // at least one
	Cause  error   // what Program.Check said; may be nil
}

// maxTold bounds the message; ProgramError.Faults holds all.
const maxTold = 6

func (e *ProgramError) Error() string {
	var told []string
	for i, f := range e.Faults {
		if i == maxTold {
			told = append(told, fmt.Sprintf("and %d more", len(e.Faults)-i))
			break
		}
		if f.Move >= 0 {
			told = append(told, fmt.Sprintf("move %d %s", f.Move, f.Reason))
		} else {
			told = append(told, f.Reason)
		}
	}
	return fmt.Sprintf("gcode: %s: %s", e.File, strings.Join(told, "; "))
}

// Unwrap returns what the program's own check found.
func (e *ProgramError) Unwrap() error { return e.Cause }

// ReadError is a place in a file that is not as Write would have written it.
type ReadError struct {
	Line   int // of the file, from 1
	Reason string
}

func (e *ReadError) Error() string { return fmt.Sprintf("gcode: line %d: %s", e.Line, e.Reason) }
