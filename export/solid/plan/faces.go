package plan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"reseat/export/solid/cdt"
)

// Triangle is a piece of a face. An edge is fixed when it is part of a contour.
type Triangle struct {
	cdt.Triangle
	Face int32
}

// Face is a piece of the plane that no contour cuts. Winding[k] says how often
// loop k runs round it counter-clockwise.
type Face struct{ Winding []int16 }

// Inside reports whether the face lies inside loop k.
func (f Face) Inside(k int) bool { return f.Winding[k] != 0 }

// Plan is the plane cut along contours. Its first four points are the corners of
// a rectangle round everything; face 0 is the one outside all contours.
type Plan struct {
	Points    []Point
	Triangles []Triangle
	Faces     []Face
	OnLoop    [][]int32 // for each loop the vertices on it, rising
}

// marginUnits lies between the contours and the rectangle round them, so that
// every contour vertex lies strictly inside.
const marginUnits = 1 << 12

// New overlays the contours. weld is the distance in units below which things
// become one; it must be 1 or more. loops is the number of loops.
func New(contours []Contour, loops int, weld int64) (*Plan, error) {
	o := &overlay{weld: weld, apart2: 2 * weld * weld, cells: map[Point]int32{}}
	for i, c := range contours {
		for _, p := range c.Points {
			if p.X < -maxCoord || p.X > maxCoord || p.Y < -maxCoord || p.Y > maxCoord {
				return nil, fmt.Errorf("contour %d has a point at (%d, %d), beyond %d units", i, p.X, p.Y, maxCoord)
			}
		}
		o.add(c)
	}
	if len(o.points) == 0 {
		return nil, errors.New("no contours")
	}
	if err := o.splitAll(); err != nil {
		return nil, err
	}
	return o.cut(loops)
}

// maxCoord leaves room for the rectangle round the contours within cdt.Limit.
const maxCoord = cdt.Limit - 2*marginUnits

// cut triangulates the plane along the edges and finds the faces.
func (o *overlay) cut(loops int) (*Plan, error) {
	lo, hi := o.points[0], o.points[0]
	for _, p := range o.points {
		lo, _ = corners(lo, p)
		_, hi = corners(hi, p)
	}
	t := cdt.New(at(lo.X-marginUnits, lo.Y-marginUnits), at(hi.X+marginUnits, hi.Y+marginUnits))
	ids := make([]int32, len(o.points))
	for _, v := range sweepOrder(o.points) {
		ids[v] = t.Insert(o.points[v])
	}
	uses := make(map[[2]int32][]use, len(o.edges))
	p := &Plan{Points: t.Points(), OnLoop: make([][]int32, loops)}
	for _, e := range o.edges {
		a, b := ids[e.a], ids[e.b]
		if err := t.Constrain(a, b); err != nil {
			return nil, err
		}
		uses[[2]int32{a, b}] = e.uses
		for _, u := range e.uses {
			p.OnLoop[u.loop] = append(p.OnLoop[u.loop], a, b)
		}
	}
	for k := range p.OnLoop {
		slices.Sort(p.OnLoop[k])
		p.OnLoop[k] = slices.Compact(p.OnLoop[k])
	}
	t.Thicken(float64(o.weld))
	for _, tr := range t.Triangles() {
		p.Triangles = append(p.Triangles, Triangle{tr, -1})
	}
	p.flood(uses, loops)
	return p, nil
}

// flood numbers the faces and carries the windings across the edges. Crossing an
// edge that a loop runs along from right to left of the way of crossing, that is
// leaving the loop's left side, takes one off.
func (p *Plan) flood(uses map[[2]int32][]use, loops int) {
	p.Faces = []Face{{make([]int16, loops)}}
	p.fill(p.outer(), 0)
	queue := []int32{p.outer()}
	seen := make([]bool, len(p.Triangles))
	seen[queue[0]] = true
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		tr := p.Triangles[f]
		for i, n := range tr.Next {
			if n < 0 || seen[n] {
				continue
			}
			if p.Triangles[n].Face < 0 {
				w := slices.Clone(p.Faces[tr.Face].Winding)
				a, b := tr.V[(i+1)%3], tr.V[(i+2)%3] // f lies left of a-b
				for _, u := range uses[[2]int32{a, b}] {
					w[u.loop] -= int16(u.dir)
				}
				for _, u := range uses[[2]int32{b, a}] {
					w[u.loop] += int16(u.dir)
				}
				p.Faces = append(p.Faces, Face{w})
				p.fill(n, int32(len(p.Faces)-1))
			}
			seen[n] = true
			queue = append(queue, n)
		}
	}
}

// outer returns a triangle at the rectangle's first corner.
func (p *Plan) outer() int32 {
	for f, tr := range p.Triangles {
		if tr.V[0] == 0 || tr.V[1] == 0 || tr.V[2] == 0 {
			return int32(f)
		}
	}
	return 0
}

// fill gives the face number to every triangle that can be reached from f
// without crossing a contour.
func (p *Plan) fill(f, face int32) {
	p.Triangles[f].Face = face
	stack := []int32{f}
	for len(stack) > 0 {
		f := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i, n := range p.Triangles[f].Next {
			if n >= 0 && !p.Triangles[f].Fixed[i] && p.Triangles[n].Face < 0 {
				p.Triangles[n].Face = face
				stack = append(stack, n)
			}
		}
	}
}

// sweepOrder visits points in strips, up one and down the next, so that each
// search in the triangulation starts near its goal. About two points a strip
// column and row keep steps short.
func sweepOrder(points []Point) []int32 {
	lo, hi := points[0], points[0]
	for _, q := range points {
		lo, _ = corners(lo, q)
		_, hi = corners(hi, q)
	}
	strips := int64(1)
	for strips*strips < int64(len(points)) {
		strips++
	}
	width := (hi.X-lo.X)/strips + 1
	return sorted(points, func(p, q Point) int {
		s, t := (p.X-lo.X)/width, (q.X-lo.X)/width
		up := cmp.Compare(p.Y, q.Y)
		if s%2 == 1 {
			up = -up
		}
		return cmp.Or(cmp.Compare(s, t), up, cmp.Compare(p.X, q.X))
	})
}

// sorted returns the numbers of the points in the order that compare gives.
func sorted(points []Point, compare func(p, q Point) int) []int32 {
	order := make([]int32, len(points))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int { return compare(points[i], points[j]) })
	return order
}
