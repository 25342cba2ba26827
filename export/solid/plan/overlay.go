package plan

import (
	"fmt"
	"sort"

	"reseat/export/solid/cdt"
)

// Point is a place in the plane in whole units.
type Point = cdt.Point

func at(x, y int64) Point { return Point{X: x, Y: y} }

// Contour is a chain of straight edges. A closed one bounds its loop; an open
// one (Loop < 0) only forces edges into the plan.
type Contour struct {
	Points []Point
	Loop   int // number of the loop that this contour bounds, from 0; below 0: open chain
}

// maxRounds bounds the rounds of splitting. Each round moves edges by less than
// the weld distance; plans that a jig makes settle in one to three.
const maxRounds = 30

// use says that a loop runs along an edge, from its first to its second end
// (dir = 1) or back (dir = -1).
type use struct {
	loop int32
	dir  int8
}

// segment is an edge between two vertices, a < b.
type segment struct {
	a, b int32
	uses []use
}

// overlay is the work in hand: vertices, and the edges between them.
//
// Vertices keep apart by more than sqrt(2) times the distance at which edges are
// split. So a vertex that splits an edge lies further along it from either end
// than to its side, the angle there is obtuse, and neither half can come back to
// be split at the other's end.
type overlay struct {
	weld   int64 // edges are split at vertices nearer than this
	apart2 int64 // square of the distance within which vertices are one
	points []Point
	cells  map[Point]int32 // 1 + the latest vertex in a cell
	before []int32         // likewise the one before it, by vertex
	edges  []segment
}

// vertex returns the number of the vertex at p: the nearest one within sqrt(2)
// weld distances, or a new one.
func (o *overlay) vertex(p Point) int32 {
	size := 2 * o.weld // more than the distance within which vertices are one
	cell := at(floorDiv(p.X, size), floorDiv(p.Y, size))
	best, bestD := int32(-1), o.apart2+1
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for v := o.cells[at(cell.X+dx, cell.Y+dy)] - 1; v >= 0; v = o.before[v] - 1 {
				q := o.points[v]
				d := (q.X-p.X)*(q.X-p.X) + (q.Y-p.Y)*(q.Y-p.Y)
				if d < bestD || d == bestD && best >= 0 && v < best {
					best, bestD = v, d
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	id := int32(len(o.points))
	o.points = append(o.points, p)
	o.before = append(o.before, o.cells[cell])
	o.cells[cell] = id + 1
	return id
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// add lays a contour down as edges.
func (o *overlay) add(c Contour) {
	n := len(c.Points)
	ids := make([]int32, n)
	for i, p := range c.Points {
		ids[i] = o.vertex(p)
	}
	last := n
	if c.Loop < 0 {
		last = n - 1
	}
	for i := range last {
		a, b := ids[i], ids[(i+1)%n]
		var uses []use
		if c.Loop >= 0 {
			uses = []use{{int32(c.Loop), 1}}
		}
		o.edges = appendSegment(o.edges, a, b, uses)
	}
}

// appendSegment adds the edge from a to b, turned so that a < b; an edge without
// length is left out.
func appendSegment(edges []segment, a, b int32, uses []use) []segment {
	if a == b {
		return edges
	}
	if a > b {
		a, b = b, a
		turned := make([]use, len(uses))
		for i, u := range uses {
			turned[i] = use{u.loop, -u.dir}
		}
		uses = turned
	}
	return append(edges, segment{a, b, uses})
}

// merge makes edges with the same ends one edge that all their loops use.
func (o *overlay) merge() {
	sort.SliceStable(o.edges, func(i, j int) bool {
		e, f := o.edges[i], o.edges[j]
		return e.a < f.a || e.a == f.a && e.b < f.b
	})
	out := o.edges[:0]
	for _, e := range o.edges {
		if n := len(out); n > 0 && out[n-1].a == e.a && out[n-1].b == e.b {
			joined := make([]use, 0, len(out[n-1].uses)+len(e.uses))
			out[n-1].uses = append(append(joined, out[n-1].uses...), e.uses...)
			continue
		}
		out = append(out, e)
	}
	o.edges = out
}

// splitAll splits edges until none crosses another and none passes a vertex nearer
// than the weld distance.
func (o *overlay) splitAll() error {
	for range maxRounds {
		o.merge()
		cuts := o.nearVertices()
		if cuts == nil {
			cuts = o.crossings()
		}
		if cuts == nil {
			return nil
		}
		o.split(cuts)
	}
	return fmt.Errorf("contours do not come apart after %d rounds of splitting", maxRounds)
}

// split replaces every edge that has cuts by the pieces between them.
func (o *overlay) split(cuts map[int][]int32) {
	var out []segment
	for i, e := range o.edges {
		vs := cuts[i]
		if vs == nil {
			out = append(out, e)
			continue
		}
		pa, pb := o.points[e.a], o.points[e.b]
		along := func(v int32) int64 {
			p := o.points[v]
			return (p.X-pa.X)*(pb.X-pa.X) + (p.Y-pa.Y)*(pb.Y-pa.Y)
		}
		sort.Slice(vs, func(i, j int) bool {
			if s, t := along(vs[i]), along(vs[j]); s != t {
				return s < t
			}
			return vs[i] < vs[j]
		})
		from := e.a
		for _, v := range append(vs, e.b) {
			out = appendSegment(out, from, v, e.uses)
			from = v
		}
	}
	o.edges = out
}
