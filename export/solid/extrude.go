package solid

import (
	"fmt"
	"slices"

	"reseat/export/solid/plan"
)

// height states a surface over the plan: level, or a ramp with a height of its
// own at each plan vertex of the ramp.
type height struct {
	z  float32
	at map[int32]float32 // nil: level at z
}

func (h height) over(v int32) (float32, bool) {
	if h.at == nil {
		return h.z, true
	}
	z, ok := h.at[v]
	return z, ok
}

// interval is the material over a face of the plan: none, or from bottom to top.
type interval struct {
	solid       bool
	bottom, top height
}

// material returns what stands over a face: the plate less its voids, on it rails and
// marks, under chamfers what those leave.
func (d *drawing) material(f plan.Face) interval {
	v := interval{solid: f.Inside(d.outline), top: height{z: level(d.thickness)}}
	for k, p := range d.parts {
		switch {
		case !f.Inside(k):
		case p.role == voidPart:
			return interval{}
		case p.role == railPart || p.role == markPart:
			v.top.z = p.level
		}
	}
	for _, b := range d.chamfers {
		if b.foot > 0 && f.Inside(b.at(b.foot)) != f.Inside(b.base) {
			v.bottom = b.footSlope
		}
		if b.entry > 0 && f.Inside(b.at(b.entry)) != f.Inside(b.base) {
			v.top = b.entrySlope
		}
	}
	return v
}

// extruder puts the triangles of a plan up at the heights of a relief.
type extruder struct {
	plan   *plan.Plan
	over   []interval // by face
	grid   grid
	levels [][]float32 // for each plan vertex all heights that occur there, rising
	ids    [][]int32   // mesh vertex of each level, -1 until used
	mesh   *Mesh
}

// extrude returns the closed surface of the relief: tops, bottoms and, where the material
// of neighbouring faces differs, walls.
func (d *drawing) extrude(pl *plan.Plan) (*Mesh, error) {
	n := len(pl.Points)
	u := &extruder{pl, make([]interval, len(pl.Faces)), d.grid, make([][]float32, n), make([][]int32, n), &Mesh{}}
	for i, f := range pl.Faces {
		u.over[i] = d.material(f)
	}
	if err := u.collect(); err != nil {
		return nil, err
	}
	for f := range pl.Triangles {
		t := &pl.Triangles[f]
		if v := u.over[t.Face]; v.solid {
			u.cap(t, v)
		}
		for i, n := range t.Next {
			if t.Fixed[i] && n > int32(f) {
				if err := u.walls(t, i); err != nil {
					return nil, err
				}
			}
		}
	}
	return u.mesh, nil
}

// clash tells where in the plan a relief cannot be extruded.
func (u *extruder) clash(p int32, says string) error {
	at := u.grid.mm(u.plan.Points[p])
	return fmt.Errorf("at (%.3f, %.3f): %s", at.X, at.Y, says)
}

// collect gathers the heights at each plan vertex, so that every wall can be
// given a corner at each of them.
func (u *extruder) collect() error {
	for _, t := range u.plan.Triangles {
		v := u.over[t.Face]
		if !v.solid {
			continue
		}
		for _, p := range t.V {
			lo, ok1 := v.bottom.over(p)
			hi, ok2 := v.top.over(p)
			switch {
			case !ok1 || !ok2:
				return u.clash(p, "a contour runs into a slope")
			case hi-lo < leastWallMM:
				return u.clash(p, "top and bottom meet")
			}
			u.levels[p] = append(u.levels[p], lo, hi)
		}
	}
	for p, l := range u.levels {
		slices.Sort(l)
		u.levels[p] = slices.Compact(l)
		u.ids[p] = slices.Repeat([]int32{-1}, len(u.levels[p]))
	}
	return nil
}

// leastWallMM is the least thickness of material; below it top and bottom facets
// would come nearer to each other than readers tell vertices apart (nearMM). A printer needs a hundred times that.
const leastWallMM = 0.002

// vertex returns the mesh vertex over plan vertex p at one of its heights.
func (u *extruder) vertex(p int32, z float32) int32 {
	k, _ := slices.BinarySearch(u.levels[p], z)
	if u.ids[p][k] < 0 {
		u.ids[p][k] = int32(len(u.mesh.Vertices))
		at := u.grid.mm(u.plan.Points[p])
		u.mesh.Vertices = append(u.mesh.Vertices, [3]float32{float32(at.X), float32(at.Y), z})
	}
	return u.ids[p][k]
}

func (u *extruder) facet(a, b, c int32) {
	u.mesh.Facets = append(u.mesh.Facets, [3]int32{a, b, c})
}

// cap emits the top facet, and the bottom facet turned over.
func (u *extruder) cap(t *plan.Triangle, v interval) {
	var lo, hi [3]int32
	for k, p := range t.V {
		zlo, _ := v.bottom.over(p)
		zhi, _ := v.top.over(p)
		lo[k], hi[k] = u.vertex(p, zlo), u.vertex(p, zhi)
	}
	u.facet(hi[0], hi[1], hi[2])
	u.facet(lo[0], lo[2], lo[1])
}

// span is the material of a face over one end of an edge.
type span struct {
	solid  bool
	lo, hi float32
}

func (u *extruder) span(face int32, p int32) span {
	v := u.over[face]
	if !v.solid {
		return span{}
	}
	lo, _ := v.bottom.over(p)
	hi, _ := v.top.over(p)
	return span{true, lo, hi}
}

// walls emits the walls over the edge opposite corner i of t: what is material
// on one side and not on the other.
func (u *extruder) walls(t *plan.Triangle, i int) error {
	a, b := t.V[(i+1)%3], t.V[(i+2)%3] // t lies left of a-b
	other := u.plan.Triangles[t.Next[i]].Face
	la, lb := u.span(t.Face, a), u.span(t.Face, b)
	ra, rb := u.span(other, a), u.span(other, b)
	if la.solid && ra.solid && (contrary(la.lo-ra.lo, lb.lo-rb.lo) || contrary(la.hi-ra.hi, lb.hi-rb.hi) ||
		contrary(la.hi-ra.lo, lb.hi-rb.lo) || contrary(la.lo-ra.hi, lb.lo-rb.hi)) {
		return u.clash(a, "two slopes cross over an edge")
	}
	u.bare(a, b, la, lb, ra, rb)
	u.bare(b, a, rb, ra, lb, la)
	return nil
}

func contrary(x, y float32) bool { return x > 0 && y < 0 || x < 0 && y > 0 }

// bare emits the walls of the material left of a-b that the material on the
// right does not cover. They face right.
func (u *extruder) bare(a, b int32, la, lb, ra, rb span) {
	switch {
	case !la.solid:
	case !ra.solid:
		u.wall(a, b, la, lb)
	default:
		below := func(l, r span) span { return span{true, l.lo, max(l.lo, min(l.hi, r.lo))} }
		above := func(l, r span) span { return span{true, min(l.hi, max(l.lo, r.hi)), l.hi} }
		u.wall(a, b, below(la, ra), below(lb, rb))
		u.wall(a, b, above(la, ra), above(lb, rb))
	}
}

// wall emits one upright quadrilateral over a-b, or a triangle when one end has
// no height, with a corner at every level of its ends in between. It faces to
// the right of a-b.
func (u *extruder) wall(a, b int32, sa, sb span) {
	if sa.hi <= sa.lo && sb.hi <= sb.lo {
		return
	}
	left, right := u.chain(a, sa), u.chain(b, sb)
	i, j := 0, 0
	for i+1 < len(left) || j+1 < len(right) {
		// Take the shorter diagonal: on a narrow, high wall the other one makes needles.
		if i+1 == len(left) || j+1 < len(right) && abs(right[j+1]-left[i]) <= abs(left[i+1]-right[j]) {
			u.facet(u.vertex(a, left[i]), u.vertex(b, right[j]), u.vertex(b, right[j+1]))
			j++
		} else {
			u.facet(u.vertex(a, left[i]), u.vertex(b, right[j]), u.vertex(a, left[i+1]))
			i++
		}
	}
}

func abs(x float32) float32 { return max(x, -x) }

// chain returns the levels at plan vertex p from s.lo to s.hi.
func (u *extruder) chain(p int32, s span) []float32 {
	lo, _ := slices.BinarySearch(u.levels[p], s.lo)
	hi, _ := slices.BinarySearch(u.levels[p], s.hi)
	return u.levels[p][lo : hi+1]
}
