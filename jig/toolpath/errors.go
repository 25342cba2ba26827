package toolpath

import (
	"fmt"
	"math"
	"strings"
)

// InputError reports a figure that cannot be meant or cannot be cut.
type InputError struct {
	Place string  // hole, slot or move concerned; may be empty
	What  string  // which figure, in trade words, with its unit
	Got   float64 // as given
	Want  string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s%s is %.6g; want %s", placed(e.Place), e.What, e.Got, e.Want)
}

// ToolError reports a tool that does not go into the hole it is meant to mill, or
// that is not the drill of the hole.
type ToolError struct {
	Place          string
	ToolMM, HoleMM float64 // diameters
	Why            string  // what would do
}

func (e *ToolError) Error() string {
	return fmt.Sprintf("%stool of %.4g mm for a width of %.4g mm: %s", placed(e.Place), e.ToolMM, e.HoleMM, e.Why)
}

// PathError reports a move of a program that must not be run.
type PathError struct {
	Move int // index into Program.Moves; -1: the program as a whole
	Why  string
}

func (e *PathError) Error() string {
	if e.Move < 0 {
		return e.Why
	}
	return fmt.Sprintf("move %d %s", e.Move, e.Why)
}

// Faults is everything found wrong at once. errors.As finds each fault in it.
type Faults []error

// maxTold bounds the message; the slice holds all.
const maxTold = 6

func (f Faults) Error() string {
	var told []string
	for i, e := range f {
		if i == maxTold {
			told = append(told, fmt.Sprintf("and %d more", len(f)-i))
			break
		}
		told = append(told, e.Error())
	}
	return "toolpath: " + strings.Join(told, "; ")
}

// Unwrap lets errors.As and errors.Is look at every fault.
func (f Faults) Unwrap() []error { return f }

func placed(s string) string {
	if s == "" {
		return ""
	}
	return s + ": "
}

// faults collects.
type faults struct{ list Faults }

func (f *faults) add(e error) { f.list = append(f.list, e) }

// within tells a figure outside least..most or not a number.
func (f *faults) within(place, what string, x, least, most float64) bool {
	if x >= least && x <= most { // false for NaN
		return true
	}
	want := fmt.Sprintf("%.6g to %.6g", least, most)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		want = "a finite number, " + want
	}
	f.add(&InputError{place, what, x, want})
	return false
}

// err returns what was collected, or nil.
func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	return f.list
}
