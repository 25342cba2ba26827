package offset

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// piece is an edge that may become part of a contour, directed with the region to its left.
type piece struct {
	geom.Edge
	arc geom.Arc // of a curved one
	box geom.Box
}

func newPiece(e geom.Edge) piece {
	p := piece{Edge: e, box: e.Bounds().Grow(geom.MeetTol)}
	if e.IsArc() {
		p.arc = e.Arc()
	}
	return p
}

// piecesOf returns the edges of all contours, and the contours made ready for distances.
func piecesOf(contours []geom.Loop) (pieces []piece, near edges) {
	for _, l := range contours {
		near = append(near, geom.Prepare(l))
		for i := range l {
			pieces = append(pieces, newPiece(l.Edge(i)))
		}
	}
	return pieces, near
}

// at is the point at share t of the piece.
func (p piece) at(t float64) geom.Vec {
	if p.IsArc() {
		return p.arc.At(t)
	}
	return p.P.Lerp(p.Q, t)
}

// part is what two cuts leave of a piece, between shares lo and hi of it.
type part struct {
	piece    int
	lo, hi   float64
	from, to int // nodes
	middle   geom.Vec
}

// join cuts the pieces wherever they meet, keeps the parts of which the middle is to be
// kept, and chains them to contours. Parts that run against each other go: nothing lies
// between them.
func join(pieces []piece, keep func(middle geom.Vec) bool) []geom.Loop {
	var n nodes
	for _, p := range pieces {
		n.at(p.P)
		n.at(p.Q)
	}
	var parts []part
	for i, cuts := range allCuts(pieces) {
		p := pieces[i]
		last := part{piece: i, from: n.at(p.P)}
		for _, c := range append(cuts, cut{1, p.Q}) {
			last.to, last.hi = n.at(c.at), c.share
			if last.to == last.from && last.hi-last.lo < 0.5 {
				continue
			}
			if last.to == n.at(p.Q) && last.hi > 0.5 {
				last.hi = 1
			}
			if last.middle = p.at((last.lo + last.hi) / 2); keep(last.middle) {
				parts = append(parts, last)
			}
			last.from, last.lo = last.to, last.hi
		}
	}
	c := chain{pieces: pieces, points: n.points, parts: uncancelled(parts)}
	return c.loops()
}

// cut is where a piece meets another one.
type cut struct {
	share float64
	at    geom.Vec
}

// allCuts returns the cuts of every piece in their order along it.
func allCuts(pieces []piece) [][]cut {
	cuts := make([][]cut, len(pieces))
	order := make([]int, len(pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(pieces[i].box.Min.X, pieces[j].box.Min.X) })
	for k, i := range order {
		a := pieces[i]
		for _, j := range order[k+1:] {
			b := pieces[j]
			if b.box.Min.X > a.box.Max.X {
				break
			}
			if b.box.Min.Y > a.box.Max.Y || b.box.Max.Y < a.box.Min.Y {
				continue
			}
			for _, p := range geom.Intersect(a.Edge, b.Edge) {
				cuts[i] = append(cuts[i], cut{a.Along(p), p})
				cuts[j] = append(cuts[j], cut{b.Along(p), p})
			}
		}
	}
	for _, c := range cuts {
		slices.SortStableFunc(c, func(a, b cut) int { return cmp.Compare(a.share, b.share) })
	}
	return cuts
}

// nodeTol is how near points of the offset may come and stay apart, mm: some times
// geom.MeetTol, since the same point comes out of several pairs of edges.
const nodeTol = 5e-9

// nodes are points, each once.
type nodes struct {
	points []geom.Vec
	cells  map[[2]int64][]int
}

// at returns the number of the point, or of one within nodeTol that was there before it.
func (n *nodes) at(p geom.Vec) int {
	if n.cells == nil {
		n.cells = map[[2]int64][]int{}
	}
	x, y := int64(math.Floor(p.X/nodeTol)), int64(math.Floor(p.Y/nodeTol))
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, i := range n.cells[[2]int64{x + dx, y + dy}] {
				if n.points[i].Dist(p) <= nodeTol {
					return i
				}
			}
		}
	}
	n.cells[[2]int64{x, y}] = append(n.cells[[2]int64{x, y}], len(n.points))
	n.points = append(n.points, p)
	return len(n.points) - 1
}

// uncancelled returns the parts without pairs that run against each other.
func uncancelled(parts []part) []part {
	at := map[[2]int][]int{} // parts by their nodes
	gone := make([]bool, len(parts))
	for i, p := range parts {
		against := at[[2]int{p.to, p.from}]
		k := slices.IndexFunc(against, func(j int) bool {
			return !gone[j] && parts[j].middle.Dist(p.middle) <= 2*nodeTol
		})
		if k >= 0 {
			gone[i], gone[against[k]] = true, true
			continue
		}
		at[[2]int{p.from, p.to}] = append(at[[2]int{p.from, p.to}], i)
	}
	var out []part
	for i, p := range parts {
		if !gone[i] {
			out = append(out, p)
		}
	}
	return out
}
