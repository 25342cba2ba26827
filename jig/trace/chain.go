package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// cell is a square of a grid over the plane.
type cell struct{ x, y int64 }

// crowd bounds what is looked at in one cell: what has more ends or edges at one place is no outline.
const crowd = 6

// grid sorts things by their place, so that those near each other are found without trying every pair.
type grid struct {
	size float64
	at   map[cell][]int32
}

func newGrid(size float64) grid { return grid{size, map[cell][]int32{}} }

func (g grid) cell(p geom.Vec) cell {
	return cell{int64(math.Floor(p.X / g.size)), int64(math.Floor(p.Y / g.size))}
}

func (g grid) put(p geom.Vec, i int) {
	if c := g.cell(p); len(g.at[c]) < crowd {
		g.at[c] = append(g.at[c], int32(i))
	}
}

// near calls see for everything in the cells about p, in the order of the cells and of their filling.
func (g grid) near(p geom.Vec, see func(i int)) {
	c := g.cell(p)
	for x := c.x - 1; x <= c.x+1; x++ {
		for y := c.y - 1; y <= c.y+1; y++ {
			for _, i := range g.at[cell{x, y}] {
				see(int(i))
			}
		}
	}
}

// single returns the pieces without those that lie on another: same ends, same middle, to within the gap or a tenth of
// their length.
func (t *tracer) single(pieces []piece) []piece {
	g := newGrid(t.want.GapMM)
	out := make([]piece, 0, len(pieces))
	type pair struct{ one, other int }
	twice := map[pair]int{}
	var order []pair
	for _, p := range pieces {
		m, tol := p.At(0.5), min(t.want.GapMM, p.P.Dist(p.Q)/10)
		twin := -1
		g.near(m, func(i int) {
			q := out[i]
			ends := min(max(p.P.Dist(q.P), p.Q.Dist(q.Q)), max(p.P.Dist(q.Q), p.Q.Dist(q.P)))
			if twin < 0 && ends <= tol && m.Dist(q.At(0.5)) <= tol {
				twin = i
			}
		})
		if twin < 0 {
			g.put(m, len(out))
			out = append(out, p)
			continue
		}
		k := pair{out[twin].of, p.of}
		if twice[k]++; twice[k] == 1 {
			order = append(order, k)
		}
	}
	for _, k := range order {
		one, other := &t.d.Entities[k.one], &t.d.Entities[k.other]
		t.noteAt(other, other.At.Scale(t.d.Units.MM), "drawn twice, taken once: %d of its edges on %v", twice[k], one)
	}
	return out
}

// contour is a closed chain of pieces, each running from its P to its Q, which is the next one's P.
type contour struct {
	pieces []piece
	loop   geom.Loop
	area   float64 // mm2, > 0
}

// ends are numbered 2i for the P of piece i and 2i+1 for its Q.
func end(pieces []piece, k int) geom.Vec {
	if k%2 == 0 {
		return pieces[k/2].P
	}
	return pieces[k/2].Q
}

// chain joins the pieces at their ends to closed contours. What stays open is a fault.
func (t *tracer) chain(pieces []piece) []contour {
	mate := t.mates(pieces)
	t.open(pieces, mate)
	var out []contour
	used := make([]bool, len(pieces))
	for i := range pieces {
		var c contour
		k := 2 * i // the end at which the walk enters a piece
		for !used[k/2] {
			used[k/2] = true
			p := pieces[k/2]
			if k%2 == 1 {
				p.Edge = geom.Edge{P: p.Q, Q: p.P, Bulge: -p.Bulge}
			}
			c.pieces = append(c.pieces, p)
			if k = mate[k^1]; k < 0 {
				break
			}
		}
		// An open chain is told by open; its other half, walked from a later piece, is open too.
		if k == 2*i && len(c.pieces) > 0 && c.close() {
			out = append(out, c)
		}
	}
	return out
}

// close makes the pieces meet where a gap was bridged: at the arc's end where one of them is a line, else half way,
// so that arcs keep their radius where they can. It reports whether there is a contour: what is
// smaller than a gap closes to nothing.
func (c *contour) close() bool {
	n := len(c.pieces)
	for i := range c.pieces {
		a, b := &c.pieces[i], &c.pieces[(i+1)%n]
		at := a.Q.Lerp(b.P, 0.5)
		switch {
		case a.IsArc() && !b.IsArc():
			at = a.Q
		case b.IsArc() && !a.IsArc():
			at = b.P
		}
		a.Q, b.P = at, at
	}
	kept := slices.DeleteFunc(c.pieces, func(p piece) bool { return p.P.Dist(p.Q) < leastMM })
	for i := range kept { // what was deleted was shorter than rounding
		kept[i].Q = kept[(i+1)%len(kept)].P
	}
	if kept = straightened(kept); len(kept) < 2 {
		return false
	}
	c.pieces = kept
	c.loop = make(geom.Loop, len(kept))
	for i, p := range kept {
		c.loop[i] = geom.Vertex{Vec: p.P, Bulge: p.Bulge}
	}
	if c.area = c.loop.Area(); c.area < 0 {
		c.area = -c.area
		c.loop = c.loop.Reverse()
	}
	return true
}

// straightened returns a closed chain with lines that run on in one straight as one.
func straightened(pieces []piece) []piece {
	out := pieces[:0]
	for _, p := range pieces {
		if n := len(out); n > 0 && !p.IsArc() && !out[n-1].IsArc() {
			if whole := (geom.Edge{P: out[n-1].P, Q: p.Q}); whole.Distance(p.P) < leastMM {
				out[n-1].Edge = whole
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// mates returns for every end the one that it is joined to, -1 for none: first those at the very same place, then the
// nearest within the gap.
func (t *tracer) mates(pieces []piece) []int {
	mate := make([]int, 2*len(pieces))
	waiting := make(map[geom.Vec]int, len(pieces))
	for k := range mate {
		mate[k] = -1
		p := end(pieces, k)
		if other, ok := waiting[p]; ok && other != k^1 {
			mate[k], mate[other] = other, k
			delete(waiting, p)
		} else {
			waiting[p] = k
		}
	}
	g := newGrid(t.want.GapMM)
	type near struct {
		mm   float64
		a, b int
	}
	var pairs []near
	for k := range mate {
		if mate[k] >= 0 {
			continue
		}
		p := end(pieces, k)
		g.near(p, func(o int) {
			if d := p.Dist(end(pieces, o)); d <= t.want.GapMM && o != k^1 {
				pairs = append(pairs, near{d, o, k})
			}
		})
		g.put(p, k)
	}
	slices.SortStableFunc(pairs, func(a, b near) int { return cmp.Compare(a.mm, b.mm) })
	bridged, widest := 0, near{}
	for _, n := range pairs {
		if mate[n.a] >= 0 || mate[n.b] >= 0 {
			continue
		}
		mate[n.a], mate[n.b] = n.b, n.a
		if n.mm > roundedMM {
			bridged++
			widest = n
		}
	}
	if bridged > 0 {
		e := &t.d.Entities[pieces[widest.a/2].of]
		t.noteAt(e, end(pieces, widest.a), "gaps closed: %d, the widest of %s", bridged, mm(widest.mm))
	}
	return mate
}

// roundedMM is a gap of which nothing is said: four decimals of an inch or three of a millimetre, rounded.
const roundedMM = 0.0015

// open tells every open end, once for each pair of ends that are next to each other.
func (t *tracer) open(pieces []piece, mate []int) {
	var loose []int
	for k, m := range mate {
		if m < 0 {
			loose = append(loose, k)
		}
	}
	const most = 2 * faultsShown // ends looked at
	reported := map[int]bool{}
	for _, k := range loose[:min(len(loose), most)] {
		if reported[k] {
			continue
		}
		p, e := end(pieces, k), &t.d.Entities[pieces[k/2].of]
		if o := t.onto(pieces, k); o >= 0 {
			t.fault(e, p, t.orLayer("leave two ends at every corner"), "more than two ends meet: another touches %v",
				t.d.Entities[pieces[o].of])
			continue
		}
		next, far := -1, math.Inf(1)
		for _, o := range loose {
			if d := p.Dist(end(pieces, o)); o != k && o != k^1 && d < far {
				next, far = o, d
			}
		}
		if next < 0 {
			t.fault(e, p, t.orLayer("close the contour"), "an open end, and no other to close it with")
			continue
		}
		reported[next] = true
		if other := t.d.Entities[pieces[next/2].of]; far < 1 {
			t.fault(e, p, fmt.Sprintf("close it in the drawing, or let gap be %g", math.Ceil(far*100+0.5)/100),
				"a gap of %s to %v; up to %s is closed", mm(far), other, mm(t.want.GapMM))
		} else {
			t.fault(e, p, t.orLayer("close the contour"),
				"an open end; the next one, of %v, is %s away", other, mm(far))
		}
	}
	if n := len(loose) - most; n > 0 {
		t.missing("name the outline's layer", "%d more ends are open", n)
	}
}

// onto returns a piece that an open end touches though it is not joined to it; -1 for none.
func (t *tracer) onto(pieces []piece, k int) int {
	p := end(pieces, k)
	for i, q := range pieces {
		if i != k/2 && q.Distance(p) <= t.want.GapMM {
			return i
		}
	}
	return -1
}
