package export

import (
	"fmt"
	"strings"
)

// NameError is an output name that cannot be a plain file in a directory. It is a
// fault of the program, not of the user's input.
type NameError struct {
	Name   string
	Reason string
}

func (e *NameError) Error() string {
	return fmt.Sprintf("export: output name %q %s", e.Name, e.Reason)
}

// DirError is a directory that cannot be written into.
type DirError struct {
	Dir    string
	Reason string // what is wrong and what would do
	Err    error  // the system's own words; may be nil
}

func (e *DirError) Error() string {
	s := fmt.Sprintf("export: directory %s: %s", e.Dir, e.Reason)
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

func (e *DirError) Unwrap() error { return e.Err }

// Foreign is one place that is taken by something the tool did not write.
type Foreign struct {
	Name   string
	Reason string
}

// ForeignFileError lists every output whose place is taken. Nothing was written.
type ForeignFileError struct {
	Dir   string
	Files []Foreign // in the order of the outputs; at least one
}

func (e *ForeignFileError) Error() string {
	var list []string
	for _, f := range e.Files {
		list = append(list, f.Name+" "+f.Reason)
	}
	them := "them"
	if len(list) == 1 {
		them = "it"
	}
	return fmt.Sprintf("export: %s: nothing written to directory %s; move or delete %s, or choose another directory (-o DIR)",
		strings.Join(list, "; "), e.Dir, them)
}

// WriteError is a step that failed while writing. Files not yet renamed are as
// they were; temporary files have been removed.
type WriteError struct {
	Name string   // the output that failed
	Done []string // outputs already in place, whole
	Err  error
}

func (e *WriteError) Error() string {
	s := fmt.Sprintf("export: writing %s: %v", e.Name, e.Err)
	if len(e.Done) > 0 {
		s += " (already replaced, whole: " + strings.Join(e.Done, ", ") + ")"
	}
	return s
}

func (e *WriteError) Unwrap() error { return e.Err }

// ExistsError is a file that WriteNew would have had to overwrite.
type ExistsError struct{ Path string }

func (e *ExistsError) Error() string {
	return fmt.Sprintf("export: %s exists already and is never overwritten: choose another name, or move it away", e.Path)
}
