package offset

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Narrow is a place where two stretches of contours face each other: between the points P
// and Q of them lies nothing else, and the disc on PQ as its diameter touches just there.
type Narrow struct {
	P, Q   geom.Vec
	Inside bool // of the region; otherwise beside it
}

// Width is the distance across, mm.
func (n Narrow) Width() float64 { return n.P.Dist(n.Q) }

// Middle is the middle of the narrow place.
func (n Narrow) Middle() geom.Vec { return n.P.Lerp(n.Q, 0.5) }

// Narrows returns the places of a region and beside it that are narrower than limit, one for
// each stretch that is: where it is narrowest, or its middle. A disc wider than all of them
// inside passes nowhere between two parts of the region, as the distance from the contours
// has its passes where just two points are nearest, on either side.
func Narrows(region []geom.Loop, limit float64) []Narrow {
	found := passes(region, limit)
	var out []Narrow
	for len(found) > 0 {
		// The first, and with it all that are joined to it by others.
		stretch := []Narrow{found[0]}
		for k := 0; k < len(stretch); k++ {
			found = slices.DeleteFunc(found, func(n Narrow) bool {
				joined := n == stretch[k] || n.joined(stretch[k], region, limit)
				if joined && n != stretch[0] {
					stretch = append(stretch, n)
				}
				return joined
			})
		}
		out = append(out, stretch[0])
	}
	return out
}

// passes are all such places, the narrowest first, of equal ones the middles of stretches.
func passes(region []geom.Loop, limit float64) []Narrow {
	pieces, near := piecesOf(region)
	var alongside, found []Narrow
	look := func(to *[]Narrow, pq [2]geom.Vec) {
		n := Narrow{P: pq[0], Q: pq[1]}
		if w := n.Width(); w > leastMM && w < limit && near.distance(n.Middle()) >= w/2-nodeTol {
			n.Inside = contains(region, n.Middle())
			*to = append(*to, n)
		}
	}
	for i, a := range pieces {
		if a.IsArc() && math.Abs(a.arc.Sweep) >= math.Pi {
			q := math.Pi / 2 / math.Abs(a.arc.Sweep)
			look(&alongside, [2]geom.Vec{a.at(0.5 - q), a.at(0.5 + q)})
		}
		for _, b := range pieces[i+1:] {
			if gap(a.box, b.box) >= limit {
				continue
			}
			middles, ends := facing(a, b)
			for _, pq := range middles {
				look(&alongside, pq)
			}
			for _, pq := range ends {
				// What is nearest on either edge itself comes first: most pairs fall here.
				m, half := pq[0].Lerp(pq[1], 0.5), pq[0].Dist(pq[1])/2-nodeTol
				if a.Distance(m) >= half && b.Distance(m) >= half {
					look(&found, pq)
				}
			}
		}
	}
	found = append(alongside, found...)
	slices.SortStableFunc(found, func(a, b Narrow) int {
		return cmp.Compare(math.Round(a.Width()/leastMM), math.Round(b.Width()/leastMM))
	})
	return found
}

// joined reports whether two narrow places belong to one: near each other, or the way
// between them is as narrow.
func (n Narrow) joined(o Narrow, region []geom.Loop, limit float64) bool {
	if n.Inside != o.Inside {
		return false
	}
	a, b := n.Middle(), o.Middle()
	narrow := true
	for _, t := range []float64{0.25, 0.5, 0.75} {
		p := a.Lerp(b, t)
		_, d := Nearest(region, p)
		narrow = narrow && d < limit/2 && contains(region, p) == n.Inside
	}
	return narrow || a.Dist(b) < limit
}

// contains reports whether p lies in the region.
func contains(region []geom.Loop, p geom.Vec) bool {
	in := false
	for _, l := range region {
		in = in != l.Contains(p)
	}
	return in
}

// gap is the distance between two boxes along the axis in which they lie farther apart.
func gap(a, b geom.Box) float64 {
	return max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
}

// facing returns the pairs of points of two edges in which their distance may be least or
// stay the same: the middles of where they run alongside each other, the ends with what lies
// nearest to them, and where the line through an arc's centre crosses both squarely.
func facing(a, b piece) (middles, others [][2]geom.Vec) {
	onA := func(p geom.Vec) geom.Vec { return a.at(a.Along(p)) }
	onB := func(p geom.Vec) geom.Vec { return b.at(b.Along(p)) }
	others = [][2]geom.Vec{{a.P, onB(a.P)}, {a.Q, onB(a.Q)}, {onA(b.P), b.P}, {onA(b.Q), b.Q}}
	var u geom.Vec // along the line
	switch {
	case !a.IsArc() && !b.IsArc():
		if d, e := a.Q.Sub(a.P), b.Q.Sub(b.P); math.Abs(d.Cross(e)) < parallel*d.Norm()*e.Norm() {
			p := onA(b.P).Lerp(onA(b.Q), 0.5)
			// One beyond the other's end does not run alongside it.
			if q := onB(p); math.Abs(q.Sub(p).Dot(d)) <= parallel*q.Dist(p)*d.Norm() {
				middles = [][2]geom.Vec{{p, q}}
			}
		}
		return middles, others
	case a.IsArc() && b.IsArc() && a.arc.C.Dist(b.arc.C) <= geom.MeetTol:
		p := a.at((a.Along(b.P) + a.Along(b.Q)) / 2)
		return [][2]geom.Vec{{p, onB(p)}}, others
	case a.IsArc() && b.IsArc():
		u = b.arc.C.Sub(a.arc.C).Unit()
	case a.IsArc():
		u = b.Q.Sub(b.P).Left().Unit()
	default:
		u = a.Q.Sub(a.P).Left().Unit()
	}
	for _, p := range across(a, u, b.arc.C) {
		for _, q := range across(b, u, a.arc.C) {
			others = append(others, [2]geom.Vec{p, q})
		}
	}
	return nil, others
}

// parallel is the sine below which straights run alongside each other: over a metre they
// come nearer by a micrometre.
const parallel = 1e-6

// across returns the points in which the line through an arc's centre along u crosses the
// edge squarely: twice for an arc; for a straight beside an arc about c, the foot of c.
func across(e piece, u, c geom.Vec) []geom.Vec {
	if !e.IsArc() {
		return []geom.Vec{e.at(e.Along(c))}
	}
	p, q := e.arc.C.Add(u.Scale(e.arc.R)), e.arc.C.Sub(u.Scale(e.arc.R))
	return []geom.Vec{e.at(e.Along(p)), e.at(e.Along(q))}
}
