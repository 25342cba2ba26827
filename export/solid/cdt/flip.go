package cdt

// restore makes every edge on the work list locally Delaunay, and with them all
// edges, by flipping (Lawson). Each flip lowers the triangulation lifted onto
// the paraboloid, so it ends.
func (t *Triangulation) restore() {
	for len(t.stack) > 0 {
		e := t.stack[len(t.stack)-1]
		t.stack = t.stack[:len(t.stack)-1]
		f, i := t.side(e.a, e.b)
		if f == none || t.tris[f].Fixed[i] || t.tris[f].Next[i] == none {
			continue
		}
		v := t.tris[f].V
		n := t.tris[f].Next[i]
		d := t.tris[n].V[t.corner(n, f)]
		if !InCircle(t.points[v[0]], t.points[v[1]], t.points[v[2]], t.points[d]) {
			continue
		}
		a, b, c := v[i], v[(i+1)%3], v[(i+2)%3]
		t.flip(f, i)
		t.stack = append(t.stack, edge{a, b}, edge{b, d}, edge{d, c}, edge{c, a})
	}
}

// flip replaces the edge opposite corner i of f by the other diagonal of the
// quadrilateral on its two sides, which must be strictly convex.
func (t *Triangulation) flip(f int32, i int) {
	one := t.tris[f]
	n := one.Next[i]
	two := t.tris[n]
	j := t.corner(n, f)
	a, b, c, d := one.V[i], one.V[(i+1)%3], one.V[(i+2)%3], two.V[j]
	nca, fca := one.Next[(i+1)%3], one.Fixed[(i+1)%3]
	nab, fab := one.Next[(i+2)%3], one.Fixed[(i+2)%3]
	nbd, fbd := two.Next[(j+1)%3], two.Fixed[(j+1)%3]
	ndc, fdc := two.Next[(j+2)%3], two.Fixed[(j+2)%3]
	t.tris[f] = Triangle{[3]int32{a, b, d}, [3]int32{nbd, n, nab}, [3]bool{fbd, false, fab}}
	t.tris[n] = Triangle{[3]int32{a, d, c}, [3]int32{ndc, nca, f}, [3]bool{fdc, fca, false}}
	t.relink(nbd, n, f)
	t.relink(nca, f, n)
	t.at[a], t.at[b], t.at[c], t.at[d] = f, f, n, f
}

// side returns the triangle that has the edge running from a to b, that is on
// whose left it lies, and the corner opposite; none when there is no such edge.
func (t *Triangulation) side(a, b int32) (int32, int) {
	start := t.at[a]
	for f := start; f != none; {
		i := t.index(f, a)
		if t.tris[f].V[(i+1)%3] == b {
			return f, (i + 2) % 3
		}
		f = t.tris[f].Next[(i+1)%3] // counter-clockwise about a
		if f == start {
			return none, 0
		}
	}
	// The fan is open: a is a corner of the rectangle. Turn the other way.
	for f := t.tris[start].Next[(t.index(start, a)+2)%3]; f != none; {
		i := t.index(f, a)
		if t.tris[f].V[(i+1)%3] == b {
			return f, (i + 2) % 3
		}
		f = t.tris[f].Next[(i+2)%3]
	}
	return none, 0
}

// index returns which corner of f is vertex a.
func (t *Triangulation) index(f, a int32) int {
	for k := range 2 {
		if t.tris[f].V[k] == a {
			return k
		}
	}
	return 2
}
