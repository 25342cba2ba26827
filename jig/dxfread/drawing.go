package dxfread

import "reseat/jig/geom"

// Drawing is what a file holds that a contour can be made of.
type Drawing struct {
	Units    Units
	Entities []Entity
}

// Units is the length unit of a drawing.
type Units struct {
	Name string  `json:"name"`        // "mm", "inches"; "none" where the file states none
	MM   float64 `json:"mm_per_unit"` // one unit in millimetres; what was assumed where the file states none
}

// Entity is one entity of a drawing. Coordinates are the file's, in the file's unit.
type Entity struct {
	Type, Layer, Handle string // handle: hexadecimal as written, empty where the file has none
	Line                int    // of the file, where the entity begins
	Edges               []geom.Edge
}
