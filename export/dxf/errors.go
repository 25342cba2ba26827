package dxf

import (
	"fmt"
	"strings"
)

// Fault is one thing that keeps a sheet from being written.
type Fault struct {
	Shape  int    // index into CutSheet.Shapes; -1: the sheet or a layer
	Layer  string // layer concerned; may be empty
	Reason string
}

// SheetError lists everything that keeps a sheet from being written. Nothing was
// written.
type SheetError struct {
	File   string
	Faults []Fault // at least one
}

// maxTold bounds the message; SheetError.Faults holds all.
const maxTold = 6

func (e *SheetError) Error() string {
	var told []string
	for i, f := range e.Faults {
		if i == maxTold {
			told = append(told, fmt.Sprintf("and %d more", len(e.Faults)-i))
			break
		}
		s := f.Reason
		if f.Layer != "" {
			s = fmt.Sprintf("layer %q: %s", f.Layer, s)
		}
		if f.Shape >= 0 {
			s = fmt.Sprintf("shape %d on %s", f.Shape, s)
		}
		told = append(told, s)
	}
	return fmt.Sprintf("dxf: %s: %s", e.File, strings.Join(told, "; "))
}

// ReadError is a place in a DXF file that is not as Write would have written it.
type ReadError struct {
	Line   int // of the file, from 1
	Reason string
}

func (e *ReadError) Error() string { return fmt.Sprintf("dxf: line %d: %s", e.Line, e.Reason) }
