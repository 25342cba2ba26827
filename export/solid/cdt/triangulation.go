package cdt

// none stands where a triangle has no neighbour: outside the rectangle.
const none = int32(-1)

// Triangle has its corners counter-clockwise. Next[i] is the triangle across
// the edge opposite corner i, which runs from V[(i+1)%3] to V[(i+2)%3]; -1 at
// the rectangle's border. Fixed[i] says that this edge was asked for.
type Triangle struct {
	V     [3]int32
	Next  [3]int32
	Fixed [3]bool
}

// Triangulation tiles a rectangle. Vertices 0 to 3 are its corners, counter-
// clockwise from the lower left.
type Triangulation struct {
	points []Point
	tris   []Triangle
	at     []int32 // for each vertex one triangle that has it as a corner
	last   int32   // where the previous search ended; the next starts here
	stack  []edge  // work list of restore, kept to save allocation
}

// edge names an edge by its ends.
type edge struct{ a, b int32 }

// New returns the rectangle from lo to hi cut in two. Its corners must lie within
// Limit and span a positive area.
func New(lo, hi Point) *Triangulation {
	return &Triangulation{
		points: []Point{lo, {hi.X, lo.Y}, hi, {lo.X, hi.Y}},
		tris: []Triangle{
			{V: [3]int32{0, 1, 2}, Next: [3]int32{none, 1, none}},
			{V: [3]int32{0, 2, 3}, Next: [3]int32{none, none, 0}},
		},
		at: []int32{0, 0, 0, 1},
	}
}

// Points returns the vertices; the slice must not be changed.
func (t *Triangulation) Points() []Point { return t.points }

// Triangles returns the triangles; the slice must not be changed.
func (t *Triangulation) Triangles() []Triangle { return t.tris }

// Insert places p, which must lie strictly inside the rectangle, and returns its
// vertex number. A point that is there already is not placed again. All points go in
// before the first edge is fixed.
func (t *Triangulation) Insert(p Point) int32 {
	f := t.find(p)
	tr := t.tris[f]
	on := -1
	for i := range 3 {
		if t.points[tr.V[i]] == p {
			return tr.V[i]
		}
		if Orient(t.points[tr.V[(i+1)%3]], t.points[tr.V[(i+2)%3]], p) == 0 {
			on = i
		}
	}
	id := int32(len(t.points))
	t.points = append(t.points, p)
	t.at = append(t.at, f)
	if on < 0 {
		t.splitFace(f, id)
	} else {
		t.splitEdge(f, on, id)
	}
	t.restore()
	return id
}

// find returns a triangle that holds p, inside or on its border, by walking
// towards p across any edge that has p on its far side. In a Delaunay triangulation
// such a walk never comes back.
func (t *Triangulation) find(p Point) int32 {
	for next := t.last; next != none; {
		t.last, next = next, none
		tr := &t.tris[t.last]
		for i := range 3 {
			if tr.Next[i] != none && Orient(t.points[tr.V[(i+1)%3]], t.points[tr.V[(i+2)%3]], p) < 0 {
				next = tr.Next[i]
				break
			}
		}
	}
	return t.last
}

// splitFace cuts triangle f into three about vertex id.
func (t *Triangulation) splitFace(f, id int32) {
	old := t.tris[f]
	a, b, c := old.V[0], old.V[1], old.V[2]
	g := int32(len(t.tris))
	h := g + 1
	t.tris[f] = Triangle{V: [3]int32{id, b, c}, Next: [3]int32{old.Next[0], g, h}}
	t.tris = append(t.tris,
		Triangle{V: [3]int32{id, c, a}, Next: [3]int32{old.Next[1], h, f}},
		Triangle{V: [3]int32{id, a, b}, Next: [3]int32{old.Next[2], f, g}},
	)
	t.relink(old.Next[1], f, g)
	t.relink(old.Next[2], f, h)
	t.at[a], t.at[b], t.at[c], t.at[id] = g, f, f, f
	t.stack = append(t.stack, edge{b, c}, edge{c, a}, edge{a, b})
}

// splitEdge cuts the two triangles at the edge opposite corner i of f into four
// about vertex id, which lies on that edge. The edge is never on the rectangle's
// border, because points are not.
func (t *Triangulation) splitEdge(f int32, i int, id int32) {
	one := t.tris[f]
	n := one.Next[i]
	two := t.tris[n]
	j := t.corner(n, f)
	a, b, c := one.V[i], one.V[(i+1)%3], one.V[(i+2)%3] // the edge is b-c
	d := two.V[j]
	nca, nab, nbd, ndc := one.Next[(i+1)%3], one.Next[(i+2)%3], two.Next[(j+1)%3], two.Next[(j+2)%3]
	g := int32(len(t.tris))
	h := g + 1
	// f: id a b, g: id c a, n: id b d, h: id d c
	t.tris[f] = Triangle{V: [3]int32{id, a, b}, Next: [3]int32{nab, n, g}}
	t.tris[n] = Triangle{V: [3]int32{id, b, d}, Next: [3]int32{nbd, h, f}}
	t.tris = append(t.tris,
		Triangle{V: [3]int32{id, c, a}, Next: [3]int32{nca, f, h}},
		Triangle{V: [3]int32{id, d, c}, Next: [3]int32{ndc, g, n}},
	)
	t.relink(nca, f, g)
	t.relink(ndc, n, h)
	t.at[a], t.at[b], t.at[c], t.at[d], t.at[id] = f, f, g, n, f
	t.stack = append(t.stack, edge{a, b}, edge{c, a}, edge{b, d}, edge{d, c})
}

// relink tells triangle n that its neighbour was is now.
func (t *Triangulation) relink(n, was, now int32) {
	if n == none {
		return
	}
	for k := range 3 {
		if t.tris[n].Next[k] == was {
			t.tris[n].Next[k] = now
			return
		}
	}
}

// corner returns which corner of n lies opposite its neighbour f.
func (t *Triangulation) corner(n, f int32) int {
	for k := range 2 {
		if t.tris[n].Next[k] == f {
			return k
		}
	}
	return 2
}
