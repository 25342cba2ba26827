package solid

import (
	"fmt"
	"math"
	"slices"

	"reseat/export/solid/internal/disjoint"
	"reseat/jig"
)

// LeastAltitudeMM is the least height of a facet over its longest edge. Common
// practice, no source: thinner ones lose their normal to float32.
const LeastAltitudeMM = 1e-4

// nearMM is the distance below which two vertices that are not equal are taken
// for a crack: readers of STL weld by about that much, or call the file broken.
// Common practice, no source.
const nearMM = 1e-3

// Report says what was found on a mesh. Counts are zero on a clean one.
type Report struct {
	Facets, Vertices int
	Shells           int // bodies that share no edge
	VolumeMM3        float64
	FormulaMM3       float64    // by the true contours, when a print is known; 0: parts overlap and it does not hold
	Min, Max         [3]float64 // mm
	LeastAltitudeMM  float64

	OpenEdges       int         // with one facet only
	CrowdedEdges    int         // with more than two facets
	FlippedEdges    int         // run the same way by both facets
	PinchedVertices int         // where the surface touches itself in a point
	ThinFacets      int         // below LeastAltitudeMM, or with a repeated corner
	NearVertices    int         // pairs nearer than 0.001 mm but not equal
	FaultAt         *[3]float64 // mm, the first of the above; nil: none

	Holes []HoleReading
}

// HoleReading is the free diameter of one hole: of the largest upright cylinder,
// or for a slot the largest cylinder that can travel its length, that touches no
// facet.
type HoleReading struct {
	ID              string
	DrawnMM, FreeMM float64
}

// Check looks the mesh over and measures the given holes.
func (m *Mesh) Check(holes []jig.PrintHole) Report {
	r := Report{Facets: len(m.Facets), Vertices: len(m.Vertices), VolumeMM3: m.VolumeMM3()}
	r.Min, r.Max = m.Bounds()
	r.LeastAltitudeMM = math.Inf(1)
	for _, f := range m.Facets {
		h := m.altitude(f)
		r.LeastAltitudeMM = math.Min(r.LeastAltitudeMM, h)
		if h < LeastAltitudeMM {
			r.fault(&r.ThinFacets, m.corner(f[0]))
		}
	}
	m.checkEdges(&r)
	m.checkFans(&r)
	m.checkNear(&r)
	if len(holes) > 0 {
		shadow := m.shadow()
		for _, h := range holes {
			r.Holes = append(r.Holes, HoleReading{h.ID, h.Diameter, shadow.free(h)})
		}
	}
	return r
}

// Err returns a MeshError when the mesh is not the outward-facing surface of one
// body that stands on z = 0, nil otherwise.
func (r Report) Err() error {
	var faults []string
	count := func(n int, says string) {
		if n > 0 {
			faults = append(faults, fmt.Sprintf("%d %s", n, says))
		}
	}
	count(r.OpenEdges, "edges with one facet only")
	count(r.CrowdedEdges, "edges shared by more than two facets")
	count(r.FlippedEdges, "edges between facets that face opposite ways")
	count(r.PinchedVertices, "points where the surface touches itself")
	count(r.ThinFacets, fmt.Sprintf("facets thinner than %g mm", LeastAltitudeMM))
	count(r.NearVertices, fmt.Sprintf("pairs of vertices nearer than %g mm", nearMM))
	if r.FaultAt != nil {
		faults = append(faults, fmt.Sprintf("the first at (%.3f, %.3f, %.3f)", r.FaultAt[0], r.FaultAt[1], r.FaultAt[2]))
	}
	if r.Shells != 1 {
		faults = append(faults, fmt.Sprintf("%d separate bodies, wanted one", r.Shells))
	}
	if !(r.VolumeMM3 > 0) {
		faults = append(faults, fmt.Sprintf("volume %g mm3", r.VolumeMM3))
	}
	if r.Facets > 0 && math.Abs(r.Min[2]) > nearMM {
		faults = append(faults, fmt.Sprintf("lowest point at z = %g mm, not on the bed", r.Min[2]))
	}
	if faults == nil {
		return nil
	}
	return &MeshError{faults}
}

// fault counts one more and keeps the place of the very first.
func (r *Report) fault(count *int, at [3]float64) {
	*count++
	if r.FaultAt == nil {
		r.FaultAt = &at
	}
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
// twice, once each way. Facets that share an edge belong to one shell.
func (m *Mesh) checkEdges(r *Report) {
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
	slices.SortFunc(sides, func(x, y side) int {
		switch {
		case x.key < y.key:
			return -1
		case x.key > y.key:
			return 1
		}
		return int(x.what - y.what)
	})
	shells := disjoint.New(len(m.Facets))
	for i := 0; i < len(sides); {
		j := i + 1
		for j < len(sides) && sides[j].key == sides[i].key {
			shells.Join(sides[i].what/2, sides[j].what/2)
			j++
		}
		at := m.corner(int32(sides[i].key))
		switch {
		case j-i == 1:
			r.fault(&r.OpenEdges, at)
		case j-i > 2:
			r.fault(&r.CrowdedEdges, at)
		case sides[i].what%2 == sides[i+1].what%2:
			r.fault(&r.FlippedEdges, at)
		}
		i = j
	}
	r.Shells = shells.Count()
}

// checkFans counts vertices whose facets do not form a single fan: walking from
// facet to facet across edges at the vertex must reach all of them.
func (m *Mesh) checkFans(r *Report) {
	type spoke struct {
		at, to int32 // edge at a vertex
		corner int32 // 3*facet + corner
	}
	spokes := make([]spoke, 0, 6*len(m.Facets))
	for i, f := range m.Facets {
		for k := range 3 {
			c := int32(3*i + k)
			spokes = append(spokes, spoke{f[k], f[(k+1)%3], c}, spoke{f[k], f[(k+2)%3], c})
		}
	}
	slices.SortFunc(spokes, func(x, y spoke) int {
		switch {
		case x.at != y.at:
			return int(x.at - y.at)
		case x.to != y.to:
			return int(x.to - y.to)
		}
		return int(x.corner - y.corner)
	})
	fans := disjoint.New(3 * len(m.Facets))
	for i := 1; i < len(spokes); i++ {
		if spokes[i].at == spokes[i-1].at && spokes[i].to == spokes[i-1].to {
			fans.Join(spokes[i].corner, spokes[i-1].corner)
		}
	}
	first := make([]int32, len(m.Vertices))
	for i := range first {
		first[i] = -1
	}
	pinched := make([]bool, len(m.Vertices))
	for i, f := range m.Facets {
		for k, v := range f {
			root := fans.Find(int32(3*i + k))
			switch {
			case first[v] < 0:
				first[v] = root
			case first[v] != root && !pinched[v]:
				pinched[v] = true
				r.fault(&r.PinchedVertices, m.corner(v))
			}
		}
	}
}

// checkNear counts pairs of vertices nearer than nearMM, by a sweep along x.
func (m *Mesh) checkNear(r *Report) {
	order := slices.Clone(m.Vertices)
	slices.SortFunc(order, func(p, q [3]float32) int {
		for k := range 3 {
			if p[k] != q[k] {
				if p[k] < q[k] {
					return -1
				}
				return 1
			}
		}
		return 0
	})
	for i, p := range order {
		for _, q := range order[i+1:] {
			dx, dy, dz := float64(q[0]-p[0]), float64(q[1]-p[1]), float64(q[2]-p[2])
			if dx >= nearMM {
				break
			}
			if dx*dx+dy*dy+dz*dz < nearMM*nearMM {
				r.fault(&r.NearVertices, [3]float64{float64(p[0]), float64(p[1]), float64(p[2])})
			}
		}
	}
}
