package trace

import (
	"errors"

	"reseat/jig/dxfread"
	"reseat/jig/geom"
)

// Want says what of a drawing is the board.
type Want struct {
	Layer       string  // of the outline and its holes; empty: all layers but the datum's and the features'
	Datum       Datum   // where the board's datum line lies
	Features    string  // layer whose circles are features; empty: none
	GapMM       float64 // ends of entities this far apart are joined; 0: DefaultGapMM
	ToleranceMM float64 // ellipses and splines are replaced by arcs that stay this near; 0: DefaultToleranceMM
	UnitMM      float64 // millimetres to one unit of the file; 0: as the file's header says
}

// Datum says where the datum line lies in the drawing. The zero Datum is the file's X axis.
type Datum struct {
	Points []geom.Vec // the start end and a second point, in the file's coordinates and unit; nil: see Layer
	Layer  string     // of the one line that is the datum line
}

// Board is the board that a drawing shows, in mm in the board frame.
type Board struct {
	Outline  geom.Loop     // counter-clockwise; no arc of more than half a circle
	Holes    []geom.Loop   // clockwise
	Features []Feature     // in the order of u, then v
	Units    dxfread.Units // of the file
	Notes    []Finding     // harmless
}

// Feature is a circle on the features' layer.
type Feature struct {
	Name       string // the text beside it; "feature 1" and so on without one
	At         geom.Vec
	DiameterMM float64
}

// Finding is what is to be known of one place of the drawing.
type Finding struct {
	Says   string   // what is found
	Would  string   // what would do; empty for notes
	Entity string   // "LINE 2A on layer EDGE, line 310"; empty where it is about no entity
	At     geom.Vec // the place, in the file's coordinates and unit
	AtMM   geom.Vec // the same in mm
	Placed bool     // At and AtMM are set
}

// Error is all that keeps a drawing from being a board.
type Error struct{ Faults []Finding }

// Error lists the faults, one a line.
func (e *Error) Error() string { return "outline: faults in the drawing" }

// Outline reads the board that the DXF text in data shows. The error is an *Error with every fault of the drawing,
// or one of dxfread where the text is no such drawing.
func Outline(data []byte, want Want) (Board, error) {
	return Board{}, errors.New("outlines from DXF are not read yet")
}
