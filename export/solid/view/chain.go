package view

import (
	"math"
	"slices"
)

// Pens, thin first. ISO 128-2 has a series of line widths and asks for two in the
// ratio 1 to 2 (recalled, not seen); the wide one is a little less here, since
// small parts are drawn with it too.
const (
	thinPen  = iota // creases, and contours in front of other faces
	thickPen        // contours in front of nothing
	pens
)

var penMM = [pens]float64{0.18, 0.35}

const (
	// clearMM: a contour is drawn thick where nothing lies behind it for so far.
	// Narrow slits then do not blot.
	clearMM = 0.7
	// leastThinMM is the shortest length that the pen is changed for within an edge:
	// twice what clearMM cuts off where outlines meet in a corner.
	leastThinMM = 2 * clearMM
	// thinTolMM is how far a drawn line may stray from the true one: the step of
	// the numbers in the file, and a twentieth of a line's width.
	thinTolMM = 0.01
)

// piece is a visible part of an edge. Ends are mesh vertices, or numbers of their
// own where a facet in front cuts the edge.
type piece struct {
	end [2]int32
	at  [2]point
}

// chain gives every visible span its pen and joins the spans of each pen to as few
// polylines as it can.
func chain(s *scene, c *cells, cand []candidate, visible [][]span) (out [pens][]line) {
	var pieces [pens][]piece
	fresh := int32(len(s.at))
	for i, e := range cand {
		if len(visible[i]) == 0 {
			continue
		}
		p, q := s.at[e.v[0]].point, s.at[e.v[1]].point
		add := func(pen int, sp span) {
			pc := piece{e.v, [2]point{between(p, q, sp.from), between(p, q, sp.to)}}
			if sp.from > 0 {
				pc.end[0] = fresh
				fresh++
			}
			if sp.to < 1 {
				pc.end[1] = fresh
				fresh++
			}
			pieces[pen] = append(pieces[pen], pc)
		}
		var thick []span
		if e.kind == contour {
			thick = c.clear(p, q)
		}
		for _, sp := range visible[i] {
			at := sp.from
			for _, t := range within(thick, sp, leastThinMM/p.dist(q)) {
				if t.from > at {
					add(thinPen, span{at, t.from})
				}
				add(thickPen, t)
				at = t.to
			}
			if at < sp.to {
				add(thinPen, span{at, sp.to})
			}
		}
	}
	for pen := range pieces {
		for _, l := range join(pieces[pen], int(fresh)) {
			out[pen] = append(out[pen], thin(l))
		}
	}
	return out
}

// clear returns where nothing lies behind a contour, clearMM to its right.
func (c *cells) clear(p, q point) []span {
	d := q.minus(p)
	l := math.Hypot(d.x, d.y)
	off := point{d.y, -d.x}.times(clearMM / l)
	p, q = p.plus(off), q.plus(off)
	var taken []span
	c.along(p, q, func(cv *cover) {
		if sp := cv.clip(p, q); sp.from < sp.to {
			taken = append(taken, sp)
		}
	})
	return rest(taken, leastGapMM/l)
}

// within cuts spans to a piece and gives them what is left of it over less than
// least.
func within(spans []span, sp span, least float64) []span {
	var out []span
	for _, t := range spans {
		t = span{max(t.from, sp.from), min(t.to, sp.to)}
		switch n := len(out); {
		case t.from >= t.to:
			continue
		case n > 0 && t.from-out[n-1].to < least:
			out[n-1].to = t.to
		case n == 0 && t.from-sp.from < least:
			out = append(out, span{sp.from, t.to})
		default:
			out = append(out, t)
		}
	}
	if n := len(out); n > 0 && sp.to-out[n-1].to < least {
		out[n-1].to = sp.to
	}
	return out
}

// join links pieces end to end. Where more than two meet the straightest way is
// taken. Lines begin at loose ends and forks; what is left then are rings.
func join(pieces []piece, ends int) []line {
	degree := make([]int32, ends+1)
	for _, p := range pieces {
		degree[p.end[0]+1]++
		degree[p.end[1]+1]++
	}
	start := degree
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	at := make([]int32, start[ends]) // 2*piece + which end, by end
	fill := slices.Clone(start)
	for i, p := range pieces {
		for k, e := range p.end {
			at[fill[e]] = int32(2*i + k)
			fill[e]++
		}
	}
	used := make([]bool, len(pieces))
	follow := func(i, from int32) line {
		l := line{pieces[i].at[from]}
		for {
			used[i] = true
			p := pieces[i]
			here := p.at[1-from]
			l = append(l, here)
			next, best := int32(-1), math.Inf(-1)
			v := p.end[1-from]
			for _, h := range at[start[v]:start[v+1]] {
				if used[h/2] {
					continue
				}
				a, b := here.minus(p.at[from]), pieces[h/2].at[1-h%2].minus(here)
				if turn := a.dot(b) / math.Sqrt(a.dot(a)*b.dot(b)); turn > best || next < 0 {
					next, best = h, turn
				}
			}
			if next < 0 {
				return l
			}
			i, from = next/2, next%2
		}
	}
	var out []line
	for i, p := range pieces {
		for k, v := range p.end {
			if !used[i] && start[v+1]-start[v] != 2 {
				out = append(out, follow(int32(i), int32(k)))
			}
		}
	}
	for i := range pieces {
		if !used[i] {
			out = append(out, follow(int32(i), 0))
		}
	}
	return out
}

// thin drops points of a polyline that lie within thinTolMM of what is left.
//
// Reference: D. Douglas and T. Peucker, Cartographica 10 (1973) 112 (recalled, not
// seen).
func thin(l line) line {
	if len(l) < 3 {
		return l
	}
	if l[0] == l[len(l)-1] {
		r := thinRing(l[:len(l)-1])
		return append(r, r[0])
	}
	keep := make([]bool, len(l))
	keep[0], keep[len(l)-1] = true, true
	mark(l, keep, 0, len(l)-1)
	return kept(l, keep)
}

// thinRing does the same for a ring, whose first point is not repeated. It starts
// from two points far apart.
func thinRing(l line) line {
	far := 0
	for i := range l {
		if l[i].dist(l[0]) > l[far].dist(l[0]) {
			far = i
		}
	}
	if far == 0 {
		return l[:1]
	}
	closed := append(slices.Clone(l), l[0])
	keep := make([]bool, len(closed))
	keep[0], keep[far] = true, true
	mark(closed, keep, 0, far)
	mark(closed, keep, far, len(l))
	return kept(l, keep)
}

func mark(l line, keep []bool, i, j int) {
	d := l[j].minus(l[i])
	n := math.Hypot(d.x, d.y)
	worst, at := thinTolMM, -1
	for k := i + 1; k < j; k++ {
		var off float64
		if a := l[k].minus(l[i]); n == 0 {
			off = math.Hypot(a.x, a.y)
		} else if t := a.dot(d) / n; t < 0 || t > n {
			off = min(l[k].dist(l[i]), l[k].dist(l[j]))
		} else {
			off = math.Abs(a.cross(d)) / n
		}
		if off > worst {
			worst, at = off, k
		}
	}
	if at >= 0 {
		keep[at] = true
		mark(l, keep, i, at)
		mark(l, keep, at, j)
	}
}

func kept(l line, keep []bool) line {
	var out line
	for i, p := range l {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}
