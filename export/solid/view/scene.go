package view

import (
	"fmt"
	"math"
)

const (
	// marginMM of white on every side: half the thickest line and room to see
	// that the picture is whole.
	marginMM = 2
	// captionMM is the height of the strip under the picture that holds the caption.
	captionMM = 7
	// leastSizeMM is the least width of a body that is worth a picture; below it
	// depthTolMM is no longer small.
	leastSizeMM = 0.1
	// depthTolMM, in the body's millimetres: what is nearer to a facet's plane than
	// this lies in it. A hundredth of a printed layer, and a hundred times what
	// float32 loses at 100 mm.
	depthTolMM = 0.002
	// leastFacing is the least cosine between a facet's normal and the eye for
	// which it counts as facing it. Flatter facets cover no width on the page that
	// could be seen, but their planes are too steep to reckon depth with.
	leastFacing = 1e-3
)

// scene is all bodies on the page.
type scene struct {
	cam      camera
	scale    float64 // page mm per mm
	height   float64 // of the page, mm
	at       []place
	facets   []facet
	edges    []edge
	region   []int32 // of each facet: its area of one shade; -1 faces away
	grey     []uint8 // of each region
	depthTol float64 // page mm
}

type facet struct {
	v      [3]int32
	normal [3]float64 // unit, outward
	front  bool
}

// edge lies between two facets; f[0] runs it from v[0] to v[1].
type edge struct {
	v, f [2]int32
}

// newScene projects the bodies, fits them to the page and finds their edges.
func newScene(parts []PlacedMesh, o Options) (*scene, error) {
	s := &scene{cam: look()}
	var body [][3]float64
	for i, p := range parts {
		first := int32(len(body))
		for _, v := range p.Mesh.Vertices {
			body = append(body, [3]float64{
				float64(v[0]) + p.OffsetMM[0], float64(v[1]) + p.OffsetMM[1], float64(v[2]) + p.OffsetMM[2],
			})
		}
		begin := len(s.facets)
		for _, f := range p.Mesh.Facets {
			s.facets = append(s.facets, facet{v: [3]int32{f[0] + first, f[1] + first, f[2] + first}})
		}
		if err := s.addEdges(begin, int(first), len(body)); err != nil {
			return nil, &InputError{[]Problem{{fmt.Sprintf("part %d", i+1), err.Error()}}}
		}
	}
	for i := range s.facets {
		f := &s.facets[i]
		n := cross(minus(body[f.v[1]], body[f.v[0]]), minus(body[f.v[2]], body[f.v[0]]))
		l := math.Sqrt(dot(n, n))
		if l == 0 {
			continue // no area: faces nowhere
		}
		f.normal = [3]float64{n[0] / l, n[1] / l, n[2] / l}
		f.front = dot(f.normal, s.cam.toward) > leastFacing
	}
	if err := s.project(body, o); err != nil {
		return nil, err
	}
	s.shade()
	return s, nil
}

// project puts the bodies on the page, the margin round them.
func (s *scene) project(body [][3]float64, o Options) error {
	s.at = make([]place, len(body))
	lo, hi := point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, f := range s.facets {
		for _, v := range f.v {
			p := s.cam.project(body[v])
			s.at[v] = p
			lo = point{min(lo.x, p.x), min(lo.y, p.y)}
			hi = point{max(hi.x, p.x), max(hi.y, p.y)}
		}
	}
	if !(hi.x-lo.x >= leastSizeMM) {
		return &InputError{[]Problem{{"picture", "all parts together have no size"}}}
	}
	s.scale = (o.WidthMM - 2*marginMM) / (hi.x - lo.x)
	s.depthTol = depthTolMM * s.scale
	foot := float64(marginMM)
	if o.Caption != "" {
		foot += captionMM
	}
	s.height = math.Ceil((hi.y-lo.y)*s.scale) + marginMM + foot
	for i, p := range s.at {
		s.at[i] = place{point{(p.x-lo.x)*s.scale + marginMM, (p.y-lo.y)*s.scale + foot}, p.near * s.scale}
	}
	return nil
}

// addEdges pairs the sides of one body's facets, which start at begin. Sides are
// put into one bucket for each lower end, so that equal ones meet.
func (s *scene) addEdges(begin, vlo, vhi int) error {
	type side struct {
		to, f int32
		down  bool
	}
	start := make([]int32, vhi-vlo+1)
	for _, f := range s.facets[begin:] {
		for k := range 3 {
			start[int(min(f.v[k], f.v[(k+1)%3]))-vlo+1]++
		}
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	sides := make([]side, start[len(start)-1])
	fill := append([]int32(nil), start...)
	for i, f := range s.facets[begin:] {
		for k := range 3 {
			a, b := f.v[k], f.v[(k+1)%3]
			at := &fill[int(min(a, b))-vlo]
			sides[*at] = side{max(a, b), int32(begin + i), a > b}
			*at++
		}
	}
	for v := range vhi - vlo {
		bucket := sides[start[v]:start[v+1]]
		for len(bucket) > 0 {
			x, twin := bucket[0], -1
			for j, y := range bucket[1:] {
				if y.to == x.to {
					if twin >= 0 {
						return errOpen
					}
					twin = j + 1
				}
			}
			if twin < 0 || bucket[twin].down == x.down {
				return errOpen
			}
			e := edge{[2]int32{int32(vlo + v), x.to}, [2]int32{x.f, bucket[twin].f}}
			if x.down {
				e.f[0], e.f[1] = e.f[1], e.f[0]
			}
			s.edges = append(s.edges, e)
			bucket[twin] = bucket[len(bucket)-1]
			bucket = bucket[1 : len(bucket)-1]
		}
	}
	return nil
}
