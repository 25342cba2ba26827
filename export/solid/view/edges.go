package view

import "math"

// creaseDeg is the least angle between two facets' normals that shows as a line.
// Engraved letters turn by up to 30 degrees within a round stroke, and chords of
// a small round by 20; a chamfer turns by 45. Common practice, no source.
const creaseDeg = 35

var creaseCos = math.Cos(creaseDeg * math.Pi / 180)

// candidate is an edge that has at least one facet facing the eye and either
// shows as a line or bounds an area of one shade.
type candidate struct {
	edge
	kind kind
}

type kind uint8

const (
	border  kind = iota // bounds an area, no line
	crease              // both facets face the eye
	contour             // f[0] faces the eye, f[1] does not; what lies behind is right of v[0]-v[1]
)

// candidates picks the edges that matter, contours turned so that f[0] faces the
// eye.
func (s *scene) candidates() []candidate {
	var out []candidate
	for _, e := range s.edges {
		f, g := &s.facets[e.f[0]], &s.facets[e.f[1]]
		switch {
		case f.front && g.front:
			if dot(f.normal, g.normal) < creaseCos {
				out = append(out, candidate{e, crease})
			} else if s.region[e.f[0]] != s.region[e.f[1]] {
				out = append(out, candidate{e, border})
			}
		case f.front || g.front:
			if g.front {
				e = edge{[2]int32{e.v[1], e.v[0]}, [2]int32{e.f[1], e.f[0]}}
			}
			out = append(out, candidate{e, contour})
		}
	}
	return out
}

// plane is a facet's plane over the page: near = a x + b y + c.
type plane struct{ a, b, c float64 }

func (p plane) at(q point) float64 { return p.a*q.x + p.b*q.y + p.c }

// plane returns the plane of a facet that faces the eye. The projection turns and
// scales only, so the slope is that of the normal:
//
//	a = -(n . right) / (n . toward),  b = -(n . up) / (n . toward)
func (s *scene) plane(f int32) plane {
	n := s.facets[f].normal
	t := dot(n, s.cam.toward)
	a, b := -dot(n, s.cam.right)/t, -dot(n, s.cam.up)/t
	o := s.at[s.facets[f].v[0]]
	return plane{a, b, o.near - a*o.x - b*o.y}
}
