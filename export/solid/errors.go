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
