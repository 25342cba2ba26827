package solid

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig"
)

// leastAltitudeMM is the least height of a facet over its longest edge. Common
// practice, no source: thinner ones lose their normal to float32.
const leastAltitudeMM = 1e-4

// nearMM is the distance below which two vertices that are not equal are taken
// for a crack: readers of STL weld by about that much, or call the file broken.
// Common practice, no source.
const nearMM = 1e-3

// Report holds the figures of a clean mesh: the closed, outward-facing surface of
// one body.
type Report struct {
	Facets    int
	VolumeMM3 float64
	Min, Max  [3]float64 // mm
	Holes     []HoleReading
}

// HoleReading is the free diameter of one hole: of the largest upright cylinder,
// or for a slot the largest cylinder that can travel its length, that touches no
// facet.
type HoleReading struct {
	ID              string
	DrawnMM, FreeMM float64
}

// measure takes the figures of a mesh and the free diameters of the given holes.
func (m *Mesh) measure(holes []jig.PrintHole) Report {
	r := Report{Facets: len(m.Facets), VolumeMM3: m.volumeMM3()}
	r.Min, r.Max = m.bounds()
	projection := m.projection()
	for _, h := range holes {
		r.Holes = append(r.Holes, HoleReading{h.ID, h.Diameter, projection.free(h)})
	}
	return r
}

// faults counts what is wrong with a mesh, by kind, and keeps a place of each.
type faults struct {
	kinds []string
	count map[string]int
	at    map[string][3]float64
}

func (f *faults) add(kind string, at [3]float64) {
	if f.count[kind]++; f.count[kind] == 1 {
		f.kinds = append(f.kinds, kind)
		f.at[kind] = at
	}
}

// check returns an error when the mesh is not the outward-facing surface of one
// body that stands on z = 0: closed, oriented, nowhere touching itself, without
// needles and cracks.
func (m *Mesh) check() error {
	f := &faults{count: map[string]int{}, at: map[string][3]float64{}}
	for _, t := range m.Facets {
		if m.thin(t) {
			f.add(fmt.Sprintf("facets thinner than %g mm", leastAltitudeMM), m.corner(t[0]))
		}
	}
	bodies := m.checkEdges(f)
	m.checkNear(f)
	var says []error
	for _, k := range f.kinds {
		p := f.at[k]
		says = append(says, fmt.Errorf("%d %s, the first at (%.3f, %.3f, %.3f)", f.count[k], k, p[0], p[1], p[2]))
	}
	if bodies != 1 {
		says = append(says, fmt.Errorf("%d separate bodies, wanted one", bodies))
	}
	if v := m.volumeMM3(); !(v > 0) {
		says = append(says, fmt.Errorf("volume %g mm3", v))
	}
	if lo, _ := m.bounds(); len(m.Facets) > 0 && math.Abs(lo[2]) > nearMM {
		says = append(says, fmt.Errorf("lowest point at z = %g mm, not on the bed", lo[2]))
	}
	return errors.Join(says...)
}

// thin reports whether a facet is lower over its longest edge than leastAltitudeMM.
func (m *Mesh) thin(f [3]int32) bool {
	a, b, c := m.corner(f[0]), m.corner(f[1]), m.corner(f[2])
	ab, bc, ca := minus(b, a), minus(c, b), minus(a, c)
	n, longest2 := times(ab, ca), max(dot(ab, ab), dot(bc, bc), dot(ca, ca))
	return !(dot(n, n) >= longest2*leastAltitudeMM*leastAltitudeMM && longest2 > 0)
}

// half is a side of a facet, as seen from the vertex where it starts.
type half struct{ to, last, facet int32 } // last is the facet's third corner

// halves returns the facets' sides by the vertex where they start.
func (m *Mesh) halves() [][]half {
	start := make([]int32, len(m.Vertices)+1)
	for _, f := range m.Facets {
		for _, v := range f {
			start[v+1]++
		}
	}
	for v := range m.Vertices {
		start[v+1] += start[v]
	}
	all, out := make([]half, 3*len(m.Facets)), make([][]half, len(m.Vertices))
	for v := range out {
		out[v] = all[start[v]:start[v]:start[v+1]]
	}
	for i, f := range m.Facets {
		for k, v := range f {
			out[v] = append(out[v], half{f[(k+1)%3], f[(k+2)%3], int32(i)})
		}
	}
	return out
}

// checkEdges looks at the facets that share an edge, clean when there is one each way,
// and at those that share a vertex, clean when they form a single fan: turning about it
// from facet to facet reaches all. It returns the number of bodies that share no edge.
func (m *Mesh) checkEdges(f *faults) int {
	bodies, joined := len(m.Facets), newForest(len(m.Facets))
	out := m.halves()
	// find returns how many facets run from one vertex to another, and the first.
	find := func(from, to int32) (n int, first half) {
		for _, h := range out[from] {
			if h.to == to {
				if n++; n == 1 {
					first = h
				}
			}
		}
		return n, first
	}
	for i, around := range out {
		v, clean := int32(i), true
		for _, h := range around {
			back, twin := find(h.to, v)
			if back == 1 && v > h.to {
				continue // looked at from the other end
			}
			there, first := find(v, h.to)
			if first != h && joined.join(h.facet, first.facet) || back > 0 && joined.join(h.facet, twin.facet) {
				bodies--
			}
			if there == 1 && back == 1 {
				continue
			}
			clean = false
			switch n := there + back; {
			case first != h || back > 0 && v > h.to: // counted already
			case n == 1:
				f.add("edges with one facet only", m.corner(v))
			case n == 2:
				f.add("edges between facets that face opposite ways", m.corner(v))
			default:
				f.add("edges shared by more than two facets", m.corner(v))
			}
		}
		if clean && fan(around) < len(around) {
			f.add("points where the surface touches itself", m.corner(v))
		}
	}
	return bodies
}

// fan turns about a vertex from the first of its facets over shared edges, and returns
// how many it meets until it comes back to the first or to an edge without a neighbour.
func fan(around []half) int {
	turned := 0
	for k := 0; k >= 0 && turned < len(around); turned++ {
		last := around[k].last
		if k = slices.IndexFunc(around, func(h half) bool { return h.to == last }); k == 0 {
			return turned + 1
		}
	}
	return turned
}

// checkNear looks for pairs of vertices nearer than nearMM, by a sweep along x.
func (m *Mesh) checkNear(f *faults) {
	order := slices.Clone(m.Vertices)
	slices.SortFunc(order, func(p, q [3]float32) int { return cmp.Compare(p[0], q[0]) })
	for i, p := range order {
		for _, q := range order[i+1:] {
			dx, dy, dz := float64(q[0]-p[0]), float64(q[1]-p[1]), float64(q[2]-p[2])
			if dx >= nearMM {
				break
			}
			if dx*dx+dy*dy+dz*dz < nearMM*nearMM {
				f.add("pairs of vertices nearer than 0.001 mm", [3]float64{float64(p[0]), float64(p[1]), float64(p[2])})
			}
		}
	}
}

// forest keeps track of which of n things have been joined, by path halving.
type forest []int32

func newForest(n int) forest {
	s := make(forest, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s forest) find(x int32) int32 {
	for s[x] != x {
		s[x] = s[s[x]]
		x = s[x]
	}
	return x
}

// join makes the sets that hold x and y one, and reports whether they were two.
func (s forest) join(x, y int32) bool {
	x, y = s.find(x), s.find(y)
	s[max(x, y)] = min(x, y)
	return x != y
}
