package setup

import (
	"math"

	"reseat/jig/geom"
)

// Face is a face of the board as first cut.
type Face string

// The two faces, as the job file names them.
const (
	Top   Face = "top"   // up in the first set-up
	Under Face = "under" // up when the board is turned over
)

// Told is the face's name for people.
func (f Face) Told() string {
	if f == Under {
		return "underside"
	}
	return "top"
}

// Turn is how a part is turned over. Zero stands for: not at all.
type Turn struct {
	About    string  // "none", "long", "short": the board's axis that it is turned over about
	MiddleMM float64 // station that stays where it is when it is turned about the short axis
}

// Lying is where a place of the board, (u, v) as seen on its top, lies with a face up, in
// the axes that the board had with its top up. It is its own inverse.
//
//	underside up, about the long axis:   (u, -v)
//	underside up, about the short axis:  (2m - u, v)
func (t Turn) Lying(up Face, p geom.Vec) geom.Vec { return t.Rigid(up).Apply(p) }

// Rigid is Lying as a move: a mirror image, seen from above, when the underside is up.
func (t Turn) Rigid(up Face) geom.Rigid {
	switch {
	case up != Under:
	case t.About == "long":
		return geom.Rigid{Mirror: true}
	case t.About == "short":
		return geom.Rigid{Angle: math.Pi, Mirror: true, Shift: geom.Vec{X: 2 * t.MiddleMM}}
	}
	return geom.Rigid{}
}
