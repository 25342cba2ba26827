package offset

import (
	"math"

	"reseat/jig/geom"
)

// Corner says how a contour goes round a vertex at which its offset opens.
type Corner int

// Round keeps every point of the offset at the distance; Mitre goes on straight to where
// both sides meet, at most MitreLimit distances from the vertex.
const (
	Round Corner = iota
	Mitre
)

// MitreLimit is how far from its vertex the tip of a mitre may stand, in offset distances:
// that of a corner of 29 degrees. Sharper ones are cut off square there. Standard: SVG 2,
// 13.5.5, initial value of stroke-miterlimit.
const MitreLimit = 4

// Grow returns the region grown by d, shrunk for d < 0, in mm: no contour where nothing is
// left, several where it falls apart or closes round a hole. Every contour starts at the
// edge that comes first in the region. Less than leastMM counts as nothing.
func Grow(region []geom.Loop, d float64, corner Corner) []geom.Loop {
	if math.Abs(d) < leastMM {
		return region
	}
	if d > 0 {
		return growRaw(region, d, corner)
	}
	return reversed(growRaw(reversed(region), -d, corner))
}

// leastMM is the least offset: a thousandth of a micrometre.
const leastMM = 1e-6

func reversed(region []geom.Loop) []geom.Loop {
	out := make([]geom.Loop, len(region))
	for i, l := range region {
		out[i] = l.Reverse()
	}
	return out
}

// growRaw is Grow for d > 0.
func growRaw(region []geom.Loop, d float64, corner Corner) []geom.Loop {
	var r raw
	var near edges
	for _, l := range region {
		if l = distinct(l); len(l) > 1 {
			near = append(near, geom.Prepare(l))
			r.add(l, d, corner)
		}
	}
	return join(r.pieces, func(p geom.Vec) bool { return near.distance(p) >= d-validTol && !r.inMitre(p) })
}

// edges are the contours of a region, made ready for many distances.
type edges []*geom.Prepared

// distance returns how far p lies from the nearest of them, never negative.
func (e edges) distance(p geom.Vec) float64 {
	d := math.Inf(1)
	for _, l := range e {
		d = min(d, math.Abs(l.Depth(p)))
	}
	return d
}

// validTol is how much nearer than d a piece may lie and stay, mm: what rounding and the
// tolerance of smooth joints take from one that belongs to the offset.
const validTol = 1e-9

// distinct returns l without edges too short to have a direction.
func distinct(l geom.Loop) geom.Loop {
	var out geom.Loop
	for i, v := range l {
		if l.Edge(i).Length() > geom.MeetTol {
			out = append(out, v)
		}
	}
	return out
}

// raw is the offset before it is cut: pieces, and the corners of the mitres.
type raw struct {
	pieces []piece
	mitres [][]geom.Vec
}

// joint is what happens at a vertex: the edge before it ends at from, the one after it
// starts at to; between lie further corners of a mitre, or an arc.
type joint struct {
	from, to geom.Vec
	between  []geom.Edge
}

// add moves the edges of one contour outward by d.
func (r *raw) add(l geom.Loop, d float64, corner Corner) {
	n := len(l)
	joints := make([]joint, n) // at the start of every edge
	for i := range l {
		joints[i] = r.joint(l.Edge((i+n-1)%n), l.Edge(i), d, corner)
	}
	for i := range l {
		e, from, to := l.Edge(i), joints[i].to, joints[(i+1)%n].from
		r.pieces = append(r.pieces, offsetEdge(e, from, to, d)...)
		for _, b := range joints[(i+1)%n].between {
			r.pieces = append(r.pieces, newPiece(b))
		}
	}
}

// offsetEdge is the edge moved outward by d between the ends that its joints gave it: none for
// an arc that is bent inward more tightly than d.
func offsetEdge(e geom.Edge, from, to geom.Vec, d float64) []piece {
	if !e.IsArc() {
		if to.Sub(from).Dot(e.Q.Sub(e.P)) <= 0 {
			return nil
		}
		return []piece{newPiece(geom.Edge{P: from, Q: to})}
	}
	if e.Bulge < 0 && e.Arc().R-d <= geom.MeetTol {
		return nil
	}
	return []piece{newPiece(geom.Edge{P: from, Q: to, Bulge: e.Bulge})}
}

// joint joins the offsets of two edges at the vertex between them.
func (r *raw) joint(before, after geom.Edge, d float64, corner Corner) joint {
	v := after.P
	_, in := before.Tangents()
	out, _ := after.Tangents()
	n1, n2 := in.Left().Scale(-1), out.Left().Scale(-1)
	from, to := v.Add(n1.Scale(d)), v.Add(n2.Scale(d))
	turn := math.Atan2(in.Cross(out), in.Dot(out))
	straight := !before.IsArc() && !after.IsArc()
	tip := v.Add(n1.Add(n2).Scale(d / (1 + n1.Dot(n2))))
	switch gap := d * math.Abs(turn); {
	case gap < geom.MeetTol, straight && gap*math.Abs(turn) < smoothTol:
		return joint{from: tip, to: tip}
	case turn < 0 && straight && d*math.Tan(-turn/2) < min(before.Length(), after.Length())/2:
		// Two straights that both reach the point where they meet end there: what lies
		// beyond it is nearer to the other one.
		return joint{from: tip, to: tip}
	case turn < 0 && gap < linkMM:
		return joint{from, to, []geom.Edge{{P: from, Q: to}}}
	case turn < 0:
		return joint{from: from, to: to}
	case corner == Round:
		return joint{from, to, []geom.Edge{{P: from, Q: to, Bulge: math.Tan(turn / 4)}}}
	}
	tips := []geom.Vec{tip}
	if math.Cos(turn/2) < 1.0/MitreLimit {
		// Where the sides reach the limit along the bisector u.
		u := in.Sub(out).Unit()
		go1 := d * (MitreLimit - n1.Dot(u)) / in.Dot(u)
		tips = []geom.Vec{from.Add(in.Scale(go1)), to.Sub(out.Scale(go1))}
	}
	r.mitres = append(r.mitres, append(append([]geom.Vec{v, from}, tips...), to))
	j := joint{from: from, to: to}
	way := tips
	if before.IsArc() {
		way = append([]geom.Vec{from}, way...)
	} else {
		j.from = tips[0]
	}
	if after.IsArc() {
		way = append(way[:len(way):len(way)], to)
	} else {
		j.to = tips[len(tips)-1]
	}
	for i := range len(way) - 1 {
		j.between = append(j.between, geom.Edge{P: way[i], Q: way[i+1]})
	}
	return j
}

const (
	// smoothTol, mm: straights that turn by t go on as one while d t^2 is less, eight
	// times as much as the point where they meet stands off.
	smoothTol = 4e-9
	// linkMM: sides that overlap by less are linked, since the point in which they cross
	// at so small an angle may be missed. The link lies too near and goes where it is not.
	linkMM = 1e-4
)

// inMitre reports whether p lies inside the mitre of a corner: a convex polygon that grew
// with the region.
func (r *raw) inMitre(p geom.Vec) bool {
	for _, m := range r.mitres {
		inside := true
		for i, a := range m {
			b := m[(i+1)%len(m)]
			inside = inside && b.Sub(a).Unit().Cross(p.Sub(a)) > validTol
		}
		if inside {
			return true
		}
	}
	return false
}
