package solid

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// front is a polygon on the march: every side moves to one side of itself at
// unit speed, and corners go where their two sides meet. A 45 degree chamfer is
// the surface that such a march sweeps when height rises with time, so each side
// sweeps one plane facet, bounded by the ways of its two corners. Where a side
// shrinks to nothing, as chords do at the end of an arc that a straight wall cuts
// off, its neighbours meet.
//
// Reference: the faces under a roof of equal slopes, known as the straight
// skeleton: O. Aichholzer and F. Aurenhammer, COCOON 1996 (recalled, not seen).
// Sides that run into the middle of others are left to the caller, who finds
// that the ring crosses itself.
type front struct {
	sides []frontSide
	ways  [][]stop     // where each corner went
	rings [][]geom.Vec // the polygon at each of the wanted times
	end   float64      // the last of these
}

// frontSide is a side of the polygon as it was at time 0, the direction in which
// it moves, and how far it reached along itself when.
type frontSide struct {
	at, along, ahead geom.Vec
	left, right      []knot // its first and its last corner, rising in t
}

type knot struct{ t, s float64 }

// stop is a place of a corner at a time, which is a length in millimetres.
type stop struct {
	at geom.Vec
	t  float64
}

// corner is one that is still there: between sides a and b, at p since t.
type frontCorner struct {
	a, b  int
	p, v  geom.Vec
	t     float64
	way   int
	alive bool
}

// least1Cos is the least value of 1 + cos turn at a corner: a turn of 168
// degrees, where a mitre is ten times as long as the way marched. The chamfer of
// a sharper corner is a needle.
const least1Cos = 0.02

// march moves the counter-clockwise polygon outward, or inward, and keeps what it
// looks like at the given times, rising.
func march(poly []geom.Vec, outward bool, times []float64) (*front, error) {
	n := len(poly)
	f := &front{sides: make([]frontSide, n), end: times[len(times)-1]}
	for i, p := range poly {
		d := poly[(i+1)%n].Sub(p).Unit()
		ahead := d.Left()
		if outward {
			ahead = ahead.Scale(-1)
		}
		f.sides[i] = frontSide{at: p, along: d, ahead: ahead}
	}
	corners := make([]frontCorner, 0, 2*n)
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
	for _, until := range times {
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
			corners[i].alive, corners[j].alive = false, false
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
func (f *front) corner(a, b int, p geom.Vec, t float64) (frontCorner, error) {
	m, n := f.sides[a].ahead, f.sides[b].ahead
	k := 1 + m.Dot(n)
	if !(k >= least1Cos) {
		return frontCorner{}, fmt.Errorf("the corner at (%.3f, %.3f) is too sharp", p.X, p.Y)
	}
	f.sides[a].right = append(f.sides[a].right, f.sides[a].knot(p, t))
	f.sides[b].left = append(f.sides[b].left, f.sides[b].knot(p, t))
	f.ways = append(f.ways, []stop{{p, t}})
	return frontCorner{a: a, b: b, p: p, v: m.Add(n).Scale(1 / k), t: t, way: len(f.ways) - 1, alive: true}, nil
}

// arrive notes where a corner is.
func (f *front) arrive(c *frontCorner, p geom.Vec, t float64) {
	f.ways[c.way] = append(f.ways[c.way], stop{p, t})
	f.sides[c.a].right = append(f.sides[c.a].right, f.sides[c.a].knot(p, t))
	f.sides[c.b].left = append(f.sides[c.b].left, f.sides[c.b].knot(p, t))
}

func (c *frontCorner) place(t float64) geom.Vec { return c.p.Add(c.v.Scale(t - c.t)) }

func (s *frontSide) knot(p geom.Vec, t float64) knot { return knot{t, p.Sub(s.at).Dot(s.along)} }

// soonest returns the side that is the first to have no length, and when.
func soonest(sides []frontSide, corners []frontCorner, next, first []int, now float64) (side int, t float64) {
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

// time returns when the front passes p, in millimetres marched: on the plane of
// the side that sweeps over p, or of the one that comes nearest to doing so.
func (f *front) time(p geom.Vec) float64 {
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

// reached interpolates how far a corner had come along its side at time t.
func reached(way []knot, t float64) float64 {
	i, _ := slices.BinarySearchFunc(way, t, func(k knot, t float64) int {
		if k.t < t {
			return -1
		}
		return 1
	})
	switch {
	case i == 0:
		return way[0].s
	case i == len(way):
		return way[i-1].s
	}
	a, b := way[i-1], way[i]
	return a.s + (b.s-a.s)*(t-a.t)/(b.t-a.t)
}
