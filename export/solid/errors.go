package solid

import (
	"fmt"
	"strings"

	"reseat/jig/geom"
)

// Problem is one fault of a print's description.
type Problem struct {
	Part string // "outline", "window", "hole p1", "rail 1"
	Says string
}

// InputError lists everything that is wrong with a print's description.
type InputError struct{ Problems []Problem }

func (e *InputError) Error() string {
	lines := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		lines[i] = p.Part + ": " + p.Says
	}
	return "solid: " + strings.Join(lines, "; ")
}

// ShapeError tells where in the plan a relief cannot be raised.
type ShapeError struct {
	At   geom.Vec // plan coordinates, mm
	Says string
}

func (e *ShapeError) Error() string {
	return fmt.Sprintf("solid: at (%.3f, %.3f): %s", e.At.X, e.At.Y, e.Says)
}

// MeshError tells that a mesh is not the surface of one clean body.
type MeshError struct {
	Faults []string
}

func (e *MeshError) Error() string { return "solid: mesh: " + strings.Join(e.Faults, "; ") }

// DeviationError tells that the mesh and the distance field disagree.
type DeviationError struct {
	At       [3]float64 // mm
	GotMM    float64    // the field's distance there, positive outside
	LimitMM  float64
	Sideways bool // the facet's outer side is inside the body or the other way round
}

func (e *DeviationError) Error() string {
	if e.Sideways {
		return fmt.Sprintf("solid: the facet at (%.3f, %.3f, %.3f) does not have the body on its inner side", e.At[0], e.At[1], e.At[2])
	}
	return fmt.Sprintf("solid: mesh at (%.3f, %.3f, %.3f) is %.4f mm from the surface, limit %.4f",
		e.At[0], e.At[1], e.At[2], e.GotMM, e.LimitMM)
}

// HoleError tells that a hole of the mesh does not have the drawn free diameter.
type HoleError struct {
	ID                      string
	FreeMM, LeastMM, MostMM float64
}

func (e *HoleError) Error() string {
	return fmt.Sprintf("solid: hole %s is free for %.4f mm, wanted %.4f to %.4f", e.ID, e.FreeMM, e.LeastMM, e.MostMM)
}

// VolumeError tells that a mesh does not enclose what the formula says.
type VolumeError struct{ GotMM3, WantMM3, LimitMM3 float64 }

func (e *VolumeError) Error() string {
	return fmt.Sprintf("solid: volume %.3f mm3, by the formula %.3f, at most %.3f apart wanted", e.GotMM3, e.WantMM3, e.LimitMM3)
}

// BoundsError tells that a mesh does not reach as far as the print does, or
// further.
type BoundsError struct {
	Axis      string // "x", "y" or "z"
	Got, Want [2]float64
	LimitMM   float64
}

func (e *BoundsError) Error() string {
	return fmt.Sprintf("solid: reaches from %.4f to %.4f mm in %s, wanted %.4f to %.4f to within %g", e.Got[0], e.Got[1], e.Axis, e.Want[0], e.Want[1], e.LimitMM)
}

// FileError tells what is wrong with a file that is no binary STL.
type FileError struct {
	Facet, Of uint32 // 1 for the first; 0: the header
	Says      string
	Err       error // what the reader said; nil: nothing
}

func (e *FileError) Error() string {
	where := "header"
	if e.Facet > 0 {
		where = fmt.Sprintf("facet %d of %d", e.Facet, e.Of)
	}
	if e.Err != nil {
		return fmt.Sprintf("solid: read STL: %s: %v", where, e.Err)
	}
	return fmt.Sprintf("solid: read STL: %s: %s", where, e.Says)
}

// Unwrap returns what the reader said.
func (e *FileError) Unwrap() error { return e.Err }
