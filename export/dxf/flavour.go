package dxf

import (
	"fmt"
	"strings"
)

// Flavour is the dialect of a file: its year, and what its contours are made of. The
// shapes, their order and their layers are the same in each.
type Flavour string

// The flavours. Every program that cuts reads one of them.
const (
	R2000     Flavour = "r2000"      // LWPOLYLINE with bulges: what most programs read
	R12       Flavour = "r12"        // POLYLINE with bulges: old controllers and cutters
	LinesArcs Flavour = "lines-arcs" // LINE, ARC and CIRCLE alone: programs that lose polylines or their bulges
)

// Flavours are all of them, the default first.
var Flavours = []Flavour{R2000, R12, LinesArcs}

// FlavourError is a name that is no flavour's.
type FlavourError struct{ Read string }

func (e *FlavourError) Error() string {
	return fmt.Sprintf("no DXF flavour %q; want r2000, r12 or lines-arcs", e.Read)
}

// String, Set and Type let a flavour be the value of a flag.
func (f *Flavour) String() string { return string(*f) }

// Set reads a flavour's name. Errors: *FlavourError.
func (f *Flavour) Set(text string) error {
	for _, k := range Flavours {
		if strings.EqualFold(text, string(k)) {
			*f = k
			return nil
		}
	}
	return &FlavourError{text}
}

// Type is the word for a flavour in a command's help.
func (f *Flavour) Type() string { return "flavour" }
