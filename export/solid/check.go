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
	Facets, Vertices int
	VolumeMM3        float64
	Min, Max         [3]float64 // mm
	Holes            []HoleReading
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
	r := Report{Facets: len(m.Facets), Vertices: len(m.Vertices), VolumeMM3: m.VolumeMM3()}
	r.Min, r.Max = m.Bounds()
	shadow := m.shadow()
	for _, h := range holes {
		r.Holes = append(r.Holes, HoleReading{h.ID, h.Diameter, shadow.free(h)})
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
		if m.altitude(t) < leastAltitudeMM {
			f.add(fmt.Sprintf("facets thinner than %g mm", leastAltitudeMM), m.corner(t[0]))
		}
	}
	bodies := m.checkEdges(f)
	m.checkFans(f)
	m.checkNear(f)
	var says []error
	for _, k := range f.kinds {
		p := f.at[k]
		says = append(says, fmt.Errorf("%d %s, the first at (%.3f, %.3f, %.3f)", f.count[k], k, p[0], p[1], p[2]))
	}
	if bodies != 1 {
		says = append(says, fmt.Errorf("%d separate bodies, wanted one", bodies))
	}
	if v := m.VolumeMM3(); !(v > 0) {
		says = append(says, fmt.Errorf("volume %g mm3", v))
	}
	if lo, _ := m.Bounds(); len(m.Facets) > 0 && math.Abs(lo[2]) > nearMM {
		says = append(says, fmt.Errorf("lowest point at z = %g mm, not on the bed", lo[2]))
	}
	return errors.Join(says...)
}

func (m *Mesh) altitude(f [3]int32) float64 {
	a, b, c := m.corner(f[0]), m.corner(f[1]), m.corner(f[2])
	longest := math.Max(length(minus(b, a)), math.Max(length(minus(c, b)), length(minus(a, c))))
	if longest == 0 {
		return 0
	}
	return length(m.normal(f)) / longest
}

// checkEdges sorts all facet sides by their ends: a clean edge comes up exactly
// twice, once each way. It returns the number of bodies that share no edge.
func (m *Mesh) checkEdges(f *faults) int {
	type side struct {
		key  uint64 // lower end, upper end
		what int32  // 2*facet + 1 when run downwards
	}
	sides := make([]side, 0, 3*len(m.Facets))
	for i, f := range m.Facets {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			if a < b {
				sides = append(sides, side{uint64(a)<<32 | uint64(b), int32(2 * i)})
			} else {
				sides = append(sides, side{uint64(b)<<32 | uint64(a), int32(2*i + 1)})
			}
		}
	}
	slices.SortFunc(sides, func(x, y side) int { return cmp.Compare(x.key, y.key) })
	bodies, joined := len(m.Facets), newForest(len(m.Facets))
	for i := 0; i < len(sides); {
		j := i + 1
		for j < len(sides) && sides[j].key == sides[i].key {
			if joined.join(sides[i].what/2, sides[j].what/2) {
				bodies--
			}
			j++
		}
		at := m.corner(int32(sides[i].key))
		switch {
		case j-i == 1:
			f.add("edges with one facet only", at)
		case j-i > 2:
			f.add("edges shared by more than two facets", at)
		case sides[i].what%2 == sides[i+1].what%2:
			f.add("edges between facets that face opposite ways", at)
		}
		i = j
	}
	return bodies
}

// checkFans looks for vertices whose facets do not form a single fan: walking from
// facet to facet across edges at the vertex must reach all of them.
func (m *Mesh) checkFans(f *faults) {
	type spoke struct {
		edge   uint64 // at a vertex, to another
		corner int32  // 3*facet + corner
	}
	spokes := make([]spoke, 0, 6*len(m.Facets))
	for i, t := range m.Facets {
		for k, v := range t {
			for _, to := range [2]int32{t[(k+1)%3], t[(k+2)%3]} {
				spokes = append(spokes, spoke{uint64(v)<<32 | uint64(to), int32(3*i + k)})
			}
		}
	}
	slices.SortFunc(spokes, func(x, y spoke) int { return cmp.Compare(x.edge, y.edge) })
	joined := newForest(3 * len(m.Facets))
	for i := 1; i < len(spokes); i++ {
		if spokes[i].edge == spokes[i-1].edge {
			joined.join(spokes[i].corner, spokes[i-1].corner)
		}
	}
	first := slices.Repeat([]int32{-1}, len(m.Vertices))
	for i, t := range m.Facets {
		for k, v := range t {
			root := joined.find(int32(3*i + k))
			if first[v] >= 0 && first[v] != root {
				f.add("points where the surface touches itself", m.corner(v))
			}
			first[v] = root
		}
	}
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
