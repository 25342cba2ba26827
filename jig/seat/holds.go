package seat

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// Holds returns the places that keep a free board in its window, each with how the middle of
// its poses moves when the wall there stands off by a millimetre more. A place counts by how
// large a part of the poses touches its wall:
//
//	d middle/d gap = area of the face/(volume |a|) (middle of the face - middle of the poses)
//
// A window that moves rigidly takes the middle along. Derived: the volume gains a sheet over
// the face. Errors as of Seat.
func (c Contour) Holds() (out []Stop, err error) {
	f, p, err := c.poses()
	if err != nil {
		return nil, err
	}
	var volume float64
	var inside, middle r3.Vec
	for _, k := range p.corners {
		inside = r3.Add(inside, r3.Scale(1/float64(len(p.corners)), k.x))
	}
	faces := p.faces()
	for _, k := range faces { // cones from a point inside
		cone := k.area * math.Abs(r3.Dot(k.normal, r3.Sub(k.middle, inside))) / 3
		volume += cone
		middle = r3.Add(middle, r3.Scale(cone, r3.Add(inside, r3.Scale(0.75, r3.Sub(k.middle, inside)))))
	}
	middle = r3.Scale(1/volume, middle)
	walls := wallsOf(f.sides)
	for _, k := range faces {
		_, id, _ := f.deepest(k.middle)
		at, n := f.place(k.middle, id)
		moves := r3.Scale(k.area/(volume*r3.Norm(f.halfspace(at, n, 0).a)), r3.Sub(k.middle, middle))
		out = append(out, Stop{At: at, Normal: n, PerMM: f.pose(moves), Wall: walls[id[0]].number(f.sides[id[0]].edge, at)})
	}
	return out, nil
}

// face is one of a polytope's.
type face struct {
	normal, middle r3.Vec // of length 1; centroid
	area           float64
}

// faces are those of the planes that were cut, in their order.
func (p *polytope) faces() (out []face) {
	for plane := 6; plane < p.planes; plane++ {
		var rim []r3.Vec
		for _, c := range p.corners {
			if plane/64 < len(c.on) && c.on[plane/64]>>(plane%64)&1 == 1 {
				rim = append(rim, c.x)
			}
		}
		if k, ok := faceOf(rim); ok {
			out = append(out, k)
		}
	}
	return out
}

// faceOf is the convex face with the given corners, in any order; ok is false without an area.
func faceOf(rim []r3.Vec) (out face, ok bool) {
	var from, across r3.Vec
	for _, x := range rim {
		from = r3.Add(from, r3.Scale(1/float64(len(rim)), x))
	}
	for _, x := range rim {
		if n := r3.Cross(r3.Sub(rim[0], from), r3.Sub(x, from)); r3.Norm(n) > r3.Norm(across) {
			across = n
		}
	}
	if len(rim) < 3 || across == (r3.Vec{}) {
		return out, false
	}
	out.normal = r3.Unit(across)
	e := r3.Unit(r3.Sub(rim[0], from))
	o := r3.Cross(out.normal, e)
	round := func(x r3.Vec) float64 { d := r3.Sub(x, from); return math.Atan2(r3.Dot(d, o), r3.Dot(d, e)) }
	slices.SortFunc(rim, func(a, b r3.Vec) int { return cmp.Compare(round(a), round(b)) })
	for i, x := range rim {
		next := rim[(i+1)%len(rim)]
		part := r3.Norm(r3.Cross(r3.Sub(x, from), r3.Sub(next, from))) / 2
		out.area += part
		out.middle = r3.Add(out.middle, r3.Scale(part/3, r3.Add(from, r3.Add(x, next))))
	}
	out.middle = r3.Scale(1/out.area, out.middle)
	return out, out.area > 0
}

// A wall errs as a whole up to about stretchShare of the board's length, and in as many such
// stretches, each by itself, as it is longer: a straight board's long sides at either end.
// Walls part where the outline turns by more than wallTurn. Practice.
const (
	stretchShare = 0.5
	wallTurn     = 0.2 // radians
)

// stretches tells of one side where it lies on its wall, and in how many stretches that errs.
type stretches struct {
	first, n     int     // those stretches, of all
	before, size float64 // length of the wall before the side, and as a whole
}

// wallsOf lays the sides of an outline together to walls. The first starts where the outline
// turns, or at the first side.
func wallsOf(sides []side) []stretches {
	out, box := make([]stretches, len(sides)), geom.EmptyBox()
	for _, s := range sides {
		box = box.Union(s.edge.Bounds())
	}
	stretch := stretchShare * math.Max(box.Size().X, box.Size().Y)
	parts := func(i int) bool { // at the start of side i
		before := sides[(i+len(sides)-1)%len(sides)].edge
		_, in := before.Tangents()
		on, _ := sides[i].edge.Tangents()
		return before.Q != sides[i].edge.P || in.Dot(on) < math.Cos(wallTurn)
	}
	start := 0
	for i := range sides {
		if parts(i) {
			start = i
			break
		}
	}
	for done, first := 0, 0; done < len(sides); {
		var size float64
		n := 0
		for ; done+n < len(sides); n++ {
			i := (start + done + n) % len(sides)
			if n > 0 && parts(i) {
				break
			}
			out[i] = stretches{first: first, before: size}
			size += sides[i].edge.Length()
		}
		count := max(1, int(math.Round(size/stretch)))
		for k := range n {
			s := &out[(start+done+k)%len(sides)]
			s.n, s.size = count, size
		}
		done, first = done+n, first+count
	}
	return out
}

// onSeam, in stretches, is far above rounding and far below what a wall tells.
const onSeam = 1e-6

// number is that of the stretch that a place on a side belongs to.
func (s stretches) number(e geom.Edge, at geom.Vec) int {
	along := s.before + float64(e.Along(at)*e.Length())
	// In the middle of a symmetrical wall, where two stretches meet, it is of the second everywhere.
	return s.first + min(s.n-1, int(along/s.size*float64(s.n)+onSeam))
}
