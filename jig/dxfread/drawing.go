package dxfread

import (
	"fmt"
	"strings"

	"reseat/jig/geom"
)

// Drawing is what a file holds that a contour can be made of.
type Drawing struct {
	Units    Units
	Entities []Entity
	Paper    int // entities on paper layouts, left out
	Unseen   int // entities marked invisible, left out

	hidden map[string]bool // layers that are off or frozen, by name in capitals
}

// IsHidden reports whether the file has a layer switched off or frozen.
func (d Drawing) IsHidden(layer string) bool { return d.hidden[strings.ToUpper(layer)] }

// Units is the length unit of a drawing.
type Units struct {
	Name   string  `json:"name"`        // "mm", "inches", ...; "none" where the file states none
	MM     float64 `json:"mm_per_unit"` // one unit in millimetres; where the file states none, what was assumed
	Inches bool    `json:"-"`           // the file states no unit, but that its measurements are English
}

// Entity is one entity of a drawing. Coordinates are the file's, in the file's unit.
type Entity struct {
	Type, Layer, Handle string // handle: hexadecimal as written, empty where the file has none
	Block               string // the block that it came from, empty for an entity of its own
	Line                int    // of the file, where the entity begins
	Edges               []geom.Edge
	Text                string   // of TEXT and MTEXT
	At                  geom.Vec // where the text stands; where the entity begins
	Problem             string   // why it has no edges; empty where nothing is wrong
	Annotation          bool     // it describes the drawing and is no part of its contours
	Guessed             bool     // a spline through fit points alone, which programs draw otherwise near its ends
}

// String names the entity: "LINE 2A, line 310".
func (e Entity) String() string {
	s := e.Type
	if e.Handle != "" {
		s += " " + e.Handle
	}
	if e.Block != "" {
		s += fmt.Sprintf(" of block %q", e.Block)
	}
	return fmt.Sprintf("%s, line %d", s, e.Line)
}

// Error is why a text is not read as a drawing.
type Error struct {
	Line  int // of the file; 0 where it is about the whole
	Says  string
	Would string // what would do
}

// Error returns what is wrong, where, and what would do.
func (e *Error) Error() string {
	s := e.Says
	if e.Line > 0 {
		s = fmt.Sprintf("line %d: %s", e.Line, s)
	}
	return s + "; " + e.Would
}

// What would do.
const (
	saveAgain = "save the drawing again as text DXF (R2000 or R12)"
	fewer     = "save the outline's layer alone, as lines, arcs and polylines"
)
