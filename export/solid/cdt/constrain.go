package cdt

import "fmt"

// Constrain fixes the straight edge between two inserted vertices. Where it runs through
// other vertices each piece is fixed. The triangulation stays as it was when the
// first piece would cross a fixed edge.
func (t *Triangulation) Constrain(a, b int32) error {
	for a != b {
		crossed, reached, err := t.crossings(a, b)
		if err != nil {
			return err
		}
		t.clear(a, reached, crossed)
		t.fix(a, reached)
		t.restore()
		a = reached
	}
	return nil
}

// crossings walks from a towards b and returns the edges that it crosses up to
// the first vertex on the way, which may be b.
func (t *Triangulation) crossings(a, b int32) (crossed []edge, reached int32, err error) {
	pa, pb := t.points[a], t.points[b]
	f, i, hit := t.firstStep(a, b)
	if hit != none {
		return nil, hit, nil
	}
	for {
		tr := &t.tris[f]
		right, left := tr.V[(i+1)%3], tr.V[(i+2)%3]
		if tr.Fixed[i] {
			return nil, none, fmt.Errorf("edge %v-%v crosses the fixed edge %v-%v", pa, pb, t.points[right], t.points[left])
		}
		crossed = append(crossed, edge{right, left})
		n := tr.Next[i]
		j := t.corner(n, f)
		apex := t.tris[n].V[j]
		switch o := Orient(pa, pb, t.points[apex]); {
		case o == 0:
			return crossed, apex, nil
		case o > 0: // apex left: the line leaves between right and apex
			f, i = n, t.index(n, left)
		default:
			f, i = n, t.index(n, right)
		}
	}
}

// firstStep finds where the ray from a to b leaves the triangles about a: either
// along an edge, to the vertex hit, or through the edge opposite corner i of f.
func (t *Triangulation) firstStep(a, b int32) (f int32, i int, hit int32) {
	pa, pb := t.points[a], t.points[b]
	for f = t.at[a]; ; f = t.tris[f].Next[(i+1)%3] {
		i = t.index(f, a)
		p, q := t.tris[f].V[(i+1)%3], t.tris[f].V[(i+2)%3]
		op, oq := Orient(pa, pb, t.points[p]), Orient(pa, pb, t.points[q])
		switch {
		case op == 0 && ahead(pa, pb, t.points[p]):
			return f, i, p
		case oq == 0 && ahead(pa, pb, t.points[q]):
			return f, i, q
		case op < 0 && oq > 0:
			return f, i, none
		}
	}
}

// ahead reports whether p, on the line through a and b, lies on b's side of a.
func ahead(a, b, p Point) bool {
	return (b.X-a.X)*(p.X-a.X)+(b.Y-a.Y)*(p.Y-a.Y) > 0
}

// clear flips the crossed edges until none crosses the line from a to b, and
// puts the new edges on the work list. An edge whose quadrilateral is not
// convex waits until its neighbours have been flipped (Sloan).
func (t *Triangulation) clear(a, b int32, crossed []edge) {
	pa, pb := t.points[a], t.points[b]
	for len(crossed) > 0 {
		e := crossed[0]
		crossed = crossed[1:]
		f, i := t.side(e.a, e.b)
		n := t.tris[f].Next[i]
		p, q := t.tris[f].V[i], t.tris[n].V[t.corner(n, f)]
		if Orient(t.points[p], t.points[q], t.points[e.a]) >= 0 || Orient(t.points[p], t.points[q], t.points[e.b]) <= 0 {
			crossed = append(crossed, e)
			continue
		}
		t.flip(f, i)
		if p != a && p != b && q != a && q != b &&
			(Orient(pa, pb, t.points[p]) > 0) != (Orient(pa, pb, t.points[q]) > 0) {
			crossed = append(crossed, edge{p, q})
		} else {
			t.stack = append(t.stack, edge{p, q})
		}
	}
}

// fix marks the edge between a and b on both its sides.
func (t *Triangulation) fix(a, b int32) {
	for range 2 {
		if f, i := t.side(a, b); f != none {
			t.tris[f].Fixed[i] = true
		}
		a, b = b, a
	}
}
