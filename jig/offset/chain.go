package offset

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// chain puts parts together to contours.
type chain struct {
	pieces []piece
	points []geom.Vec
	parts  []part
	out    map[int][]int // parts that leave a node, not yet used
}

// loops returns every contour that the parts make. Parts that lead nowhere are left out:
// they were kept because they lie nearer than they may by no more than the tolerance.
func (c *chain) loops() []geom.Loop {
	c.prune()
	var loops []geom.Loop
	used := make([]bool, len(c.parts))
	for first := range c.parts {
		if used[first] || !c.take(first) {
			continue
		}
		path := []int{first}
		used[first] = true
		for len(path) > 0 {
			end := c.parts[path[len(path)-1]].to
			// A node met before closes what lies between: contours may touch in it.
			k := slices.IndexFunc(path, func(i int) bool { return c.parts[i].from == end })
			if k >= 0 {
				if l := c.loop(path[k:]); math.Abs(l.Area()) > sliverMM*max(1, l.Length()) {
					loops = append(loops, l)
				}
				path = path[:k]
				continue
			}
			next := c.leftmost(path[len(path)-1])
			if next < 0 {
				path = path[:len(path)-1] // nowhere to go from here
				continue
			}
			used[next] = c.take(next)
			path = append(path, next)
		}
	}
	return loops
}

// sliverMM: a contour that is narrower, or holds less than it times 1 mm, holds nothing.
const sliverMM = 1e-9

// prune lists the parts by the node that they leave, without those that lead nowhere or
// come from nowhere.
func (c *chain) prune() {
	leave, enter := map[int]int{}, map[int]int{}
	for _, p := range c.parts {
		leave[p.from]++
		enter[p.to]++
	}
	for gone := true; gone; {
		gone = false
		c.parts = slices.DeleteFunc(c.parts, func(p part) bool {
			if leave[p.to] > 0 && enter[p.from] > 0 {
				return false
			}
			leave[p.from]--
			enter[p.to]--
			gone = true
			return true
		})
	}
	c.out = map[int][]int{}
	for i, p := range c.parts {
		c.out[p.from] = append(c.out[p.from], i)
	}
}

// take marks part i as used and reports whether it was free.
func (c *chain) take(i int) bool {
	from := c.parts[i].from
	k := slices.Index(c.out[from], i)
	if k >= 0 {
		c.out[from] = slices.Delete(c.out[from], k, k+1)
	}
	return k >= 0
}

// leftmost returns the free part that goes on from part i with the sharpest turn to the
// left, so that contours that touch in a node come out one by one; -1 where none does.
func (c *chain) leftmost(i int) int {
	best, most := -1, math.Inf(-1)
	_, in := c.edge(c.parts[i]).Tangents()
	for _, j := range c.out[c.parts[i].to] {
		e := c.edge(c.parts[j])
		out, _ := e.Tangents()
		turn := math.Atan2(in.Cross(out), in.Dot(out))
		// Of two that start alike, the one that bends more to the left.
		if turn += sameTurn * math.Atan(4*e.Bulge/e.P.Dist(e.Q)); turn > most {
			best, most = j, turn
		}
	}
	return best
}

// sameTurn weighs how a part bends against how it starts, radians.
const sameTurn = 1e-6

// edge is the part as an edge between its nodes.
func (c *chain) edge(p part) geom.Edge {
	e := geom.Edge{P: c.points[p.from], Q: c.points[p.to], Bulge: c.pieces[p.piece].Bulge}
	if e.IsArc() && p.hi-p.lo < 1 {
		e.Bulge = math.Tan((p.hi - p.lo) * c.pieces[p.piece].arc.Sweep / 4)
	}
	return e
}

// loop returns the contour of the path; parts of one piece that follow each other become
// one edge.
func (c *chain) loop(path []int) geom.Loop {
	var whole []part
	for _, i := range path {
		p := c.parts[i]
		if k := len(whole) - 1; k >= 0 && whole[k].piece == p.piece && whole[k].hi == p.lo {
			whole[k].to, whole[k].hi = p.to, p.hi
			continue
		}
		whole = append(whole, p)
	}
	out := make(geom.Loop, len(whole))
	for i, p := range whole {
		e := c.edge(p)
		out[i] = geom.Vertex{Vec: e.P, Bulge: e.Bulge}
	}
	return out
}
