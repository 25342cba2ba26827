package solid

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// skeleton is the straight skeleton of a polygon up to a greatest offset: every side
// is moved parallel by t mm, and corners go where their two sides meet. A 45 degree
// chamfer is the surface that such an offset sweeps when height rises with t, so each
// side sweeps one plane facet, bounded by the paths of its two corners. Where a side
// shrinks to nothing, as chords do at the end of an arc that a straight wall cuts
// off, its neighbours meet.
//
// Reference: O. Aichholzer and F. Aurenhammer, COCOON 1996 (recalled).
// Sides that run into the middle of others are left to the caller, who finds
// that the ring crosses itself.
type skeleton struct {
	sides []skeletonSide
	paths [][]node     // where each corner went
	rings [][]geom.Vec // the polygon at each of the wanted offsets
	end   float64      // the last of these
}

// skeletonSide is a side of the polygon as it was at offset 0, the direction in which
// it moves, and how far it reached along itself at which offset.
type skeletonSide struct {
	at, along, ahead geom.Vec
	left, right      []knot // its first and its last corner, rising in t
}

type knot struct{ t, s float64 }

// node is a place of a corner and the offset at which it is there, mm.
type node struct {
	at geom.Vec
	t  float64
}

// skeletonCorner lies between sides a and b, at p at offset t, and moves by v per mm.
type skeletonCorner struct {
	a, b int
	p, v geom.Vec
	t    float64
	path int
}

// least1Cos is the least value of 1 + cos turn at a corner: a turn of 168
// degrees, where a mitre is ten times as long as the offset. The chamfer of
// a sharper corner is a needle.
const least1Cos = 0.02

// newSkeleton offsets the counter-clockwise polygon outward, or inward, and keeps what
// it looks like at the given offsets, rising.
func newSkeleton(poly []geom.Vec, outward bool, offsets []float64) (*skeleton, error) {
	n := len(poly)
	f := &skeleton{sides: make([]skeletonSide, n), end: offsets[len(offsets)-1]}
	for i, p := range poly {
		d := poly[(i+1)%n].Sub(p).Unit()
		ahead := d.Left()
		if outward {
			ahead = ahead.Scale(-1)
		}
		f.sides[i] = skeletonSide{at: p, along: d, ahead: ahead}
	}
	corners := make([]skeletonCorner, 0, 2*n)
	for i, p := range poly {
		c, err := f.corner((i+n-1)%n, i, p, 0)
		if err != nil {
			return nil, err
		}
		corners = append(corners, c)
	}
	// next and prev link the corners that are left; side k starts at first[k].
	next, prev := make([]int, n, 2*n), make([]int, n, 2*n)
	first := make([]int, n)
	for i := range n {
		next[i], prev[i], first[i] = (i+1)%n, (i+n-1)%n, i
	}
	left := n
	now := 0.0
	for _, until := range offsets {
		for {
			k, t := soonest(f.sides, corners, next, first, now)
			if t >= until {
				break
			}
			now = t
			if left <= 3 {
				return nil, errors.New("the contour closes up")
			}
			i := first[k]
			j := next[i]
			p := corners[i].place(t).Lerp(corners[j].place(t), 0.5)
			f.arrive(&corners[i], p, t)
			f.arrive(&corners[j], p, t)
			c, err := f.corner(corners[i].a, corners[j].b, p, t)
			if err != nil {
				return nil, err
			}
			m := len(corners)
			corners = append(corners, c)
			before, after := prev[i], next[j]
			next, prev = append(next, after), append(prev, before)
			next[before], prev[after] = m, m
			first[c.b], first[k] = m, -1
			left--
		}
		var ring []geom.Vec
		for k := range f.sides {
			if i := first[k]; i >= 0 {
				p := corners[i].place(until)
				ring = append(ring, p)
				f.arrive(&corners[i], p, until)
			}
		}
		f.rings = append(f.rings, ring)
		now = until
	}
	return f, nil
}

// corner starts a corner between sides a and b. It moves so that it stays on
// both:
//
//	v = (ahead a + ahead b) / (1 + ahead a . ahead b)
func (f *skeleton) corner(a, b int, p geom.Vec, t float64) (skeletonCorner, error) {
	m, n := f.sides[a].ahead, f.sides[b].ahead
	k := 1 + m.Dot(n)
	if !(k >= least1Cos) {
		return skeletonCorner{}, fmt.Errorf("the corner at (%.3f, %.3f) is too sharp", p.X, p.Y)
	}
	f.sides[a].right = append(f.sides[a].right, f.sides[a].knot(p, t))
	f.sides[b].left = append(f.sides[b].left, f.sides[b].knot(p, t))
	f.paths = append(f.paths, []node{{p, t}})
	return skeletonCorner{a: a, b: b, p: p, v: m.Add(n).Scale(1 / k), t: t, path: len(f.paths) - 1}, nil
}

// arrive notes where a corner is.
func (f *skeleton) arrive(c *skeletonCorner, p geom.Vec, t float64) {
	f.paths[c.path] = append(f.paths[c.path], node{p, t})
	f.sides[c.a].right = append(f.sides[c.a].right, f.sides[c.a].knot(p, t))
	f.sides[c.b].left = append(f.sides[c.b].left, f.sides[c.b].knot(p, t))
}

func (c *skeletonCorner) place(t float64) geom.Vec { return c.p.Add(c.v.Scale(t - c.t)) }

func (s *skeletonSide) knot(p geom.Vec, t float64) knot { return knot{t, p.Sub(s.at).Dot(s.along)} }

// soonest returns the side that is the first to have no length, and when.
func soonest(sides []skeletonSide, corners []skeletonCorner, next, first []int, now float64) (side int, t float64) {
	side, t = -1, math.Inf(1)
	for k, i := range first {
		if i < 0 {
			continue
		}
		a, b := &corners[i], &corners[next[i]]
		closing := a.v.Sub(b.v).Dot(sides[k].along)
		if closing <= 0 {
			continue
		}
		length := b.place(now).Sub(a.place(now)).Dot(sides[k].along)
		if at := now + math.Max(0, length)/closing; at < t {
			side, t = k, at
		}
	}
	return side, t
}

// offsetAt returns the offset at which the polygon passes p, in mm: on the plane of
// the side that sweeps over p, or of the one that comes nearest to doing so.
func (f *skeleton) offsetAt(p geom.Vec) float64 {
	least, when := math.Inf(1), 0.0
	for i := range f.sides {
		s := &f.sides[i]
		d := p.Sub(s.at)
		t, along := d.Dot(s.ahead), d.Dot(s.along)
		last := s.left[len(s.left)-1].t
		k := math.Max(0, math.Min(t, last))
		miss := math.Max(math.Abs(t-k), math.Max(reached(s.left, k)-along, along-reached(s.right, k)))
		if miss = math.Max(miss, 0); miss < least {
			least, when = miss, k
		}
	}
	return when
}

// reached interpolates how far a corner had come along its side at offset t.
func reached(path []knot, t float64) float64 {
	i, _ := slices.BinarySearchFunc(path, t, func(k knot, t float64) int {
		if k.t < t {
			return -1
		}
		return 1
	})
	switch {
	case i == 0:
		return path[0].s
	case i == len(path):
		return path[i-1].s
	}
	a, b := path[i-1], path[i]
	return a.s + (b.s-a.s)*(t-a.t)/(b.t-a.t)
}
