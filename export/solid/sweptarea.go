package solid

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// coincideMM is the distance within which two borders are taken for one: a
// thousand times the rounding of coordinates of a metre, and of no weight in an
// area.
const coincideMM = 1e-9

// sweptArea returns the area that capsules cover together, in square
// millimetres. It is exact, from lines and arcs: the pieces of each border that
// lie in no other capsule are summed by
//
//	A = 1/2 integral of x dy - y dx
//
// Of borders that coincide the first counts; where they coincide back to back,
// none.
//
// Reference: Green's theorem.
func sweptArea(cs []capsule) float64 {
	if len(cs) == 0 {
		return 0
	}
	origin := cs[0].p // near to all, so that little is lost to cancelling
	var sum float64
	for i := range cs {
		var near []int
		for j := range cs {
			if j != i && meet(cs[i].box, cs[j].box) {
				near = append(near, j)
			}
		}
		for _, e := range cs[i].edges() {
			cuts := []float64{0, 1}
			for _, j := range near {
				cuts = e.cuts(cuts, cs[j])
			}
			slices.Sort(cuts)
			for k, u := range cuts[1:] {
				from := cuts[k]
				if u <= 0 || from >= 1 || u == from || hidden(cs, i, near, e, (from+u)/2) {
					continue
				}
				sum += e.moment(from, u, origin)
			}
		}
	}
	return sum
}

// hidden reports whether the border of capsule i at u of its edge e lies in
// another one.
func hidden(cs []capsule, i int, near []int, e capsuleEdge, u float64) bool {
	p, n := e.at(u)
	for _, j := range near {
		d := cs[j].distance(p)
		switch {
		case d < -coincideMM:
			return true
		case d <= coincideMM:
			// Just outside of i: inside j when the borders lie back to back.
			outer := cs[j].distance(p.Add(n.Scale(cs[i].r)))
			if j < i || outer < 0 {
				return true
			}
		}
	}
	return false
}

// capsuleEdge is a straight side of a capsule or half a turn round one of its ends,
// material on the left.
type capsuleEdge struct {
	p, q   geom.Vec // straight: its ends
	c      geom.Vec // round: centre, radius and first direction
	r, at0 float64
	round  bool
}

func (c capsule) edges() [4]capsuleEdge {
	d := c.q.Sub(c.p).Unit()
	if d == (geom.Vec{}) {
		d.X = 1
	}
	n := d.Left().Scale(c.r)
	phi := math.Atan2(d.Y, d.X)
	return [4]capsuleEdge{
		{p: c.p.Sub(n), q: c.q.Sub(n)},
		{round: true, c: c.q, r: c.r, at0: phi - math.Pi/2},
		{p: c.q.Add(n), q: c.p.Add(n)},
		{round: true, c: c.p, r: c.r, at0: phi + math.Pi/2},
	}
}

// at returns the point at u, 0 to 1, and the outward normal there.
func (e capsuleEdge) at(u float64) (p, n geom.Vec) {
	if e.round {
		n = geom.Polar(1, e.at0+u*math.Pi)
		return e.c.Add(n.Scale(e.r)), n
	}
	return e.p.Lerp(e.q, u), e.q.Sub(e.p).Unit().Left().Scale(-1)
}

// moment returns the share of the edge from u to v in twice the area, halved.
func (e capsuleEdge) moment(u, v float64, origin geom.Vec) float64 {
	p, _ := e.at(u)
	q, _ := e.at(v)
	if e.round {
		return (e.r*e.r*(v-u)*math.Pi + e.c.Sub(origin).Cross(q.Sub(p))) / 2
	}
	return p.Sub(origin).Cross(q.Sub(origin)) / 2
}

// cuts adds where the edge meets the lines and circles that bound c; more than
// its border has does no harm.
func (e capsuleEdge) cuts(out []float64, c capsule) []float64 {
	for _, f := range c.edges() {
		switch {
		case e.round && f.round:
			out = e.addTurns(out, circleCircle(e.c, e.r, f.c, f.r))
		case e.round:
			out = e.addTurns(out, lineCircle(f.p, f.q, e.c, e.r))
		case f.round:
			for _, p := range lineCircle(e.p, e.q, f.c, f.r) {
				d := e.q.Sub(e.p)
				out = append(out, p.Sub(e.p).Dot(d)/square(d))
			}
		default:
			d, g := e.q.Sub(e.p), f.q.Sub(f.p)
			if x := d.Cross(g); x != 0 {
				out = append(out, f.p.Sub(e.p).Cross(g)/x)
			}
		}
	}
	return out
}

func (e capsuleEdge) addTurns(out []float64, pts []geom.Vec) []float64 {
	for _, p := range pts {
		d := p.Sub(e.c)
		turn := math.Mod(math.Atan2(d.Y, d.X)-e.at0, 2*math.Pi)
		if turn < 0 {
			turn += 2 * math.Pi
		}
		out = append(out, turn/math.Pi)
	}
	return out
}

// lineCircle returns where the line through p and q meets a circle.
func lineCircle(p, q, c geom.Vec, r float64) []geom.Vec {
	d := q.Sub(p).Unit()
	foot := p.Add(d.Scale(c.Sub(p).Dot(d)))
	h2 := r*r - square(foot.Sub(c))
	// A line that touches the circle may seem to pass it by a rounding error; one cut too many
	// does no harm.
	if d == (geom.Vec{}) || h2 < -coincideMM*r {
		return nil
	}
	h := math.Sqrt(math.Max(0, h2))
	return []geom.Vec{foot.Sub(d.Scale(h)), foot.Add(d.Scale(h))}
}

// circleCircle returns where two circles meet.
func circleCircle(c geom.Vec, r float64, e geom.Vec, s float64) []geom.Vec {
	d := e.Sub(c)
	l := d.Norm()
	if l == 0 {
		return nil
	}
	along := (l*l + r*r - s*s) / (2 * l)
	h2 := r*r - along*along
	if h2 < -coincideMM*r {
		return nil
	}
	m, n := c.Add(d.Scale(along/l)), d.Left().Scale(math.Sqrt(math.Max(0, h2))/l)
	return []geom.Vec{m.Sub(n), m.Add(n)}
}
