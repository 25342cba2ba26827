package view

import (
	"math"
	"math/rand/v2"
	"testing"

	"reseat/export/solid"
)

// The oracle knows nothing of covers, cells, areas or orders: it throws one ray at
// all facets of all bodies, both sides alike.

// ray returns the nearest hit of a ray towards -toward through a page point, in
// page millimetres, and the facet; ok is false when nothing is hit.
func (s *scene) ray(p point) (near float64, facet int32, ok bool) {
	near, facet = math.Inf(-1), -1
	for i, f := range s.facets {
		a, b, c := s.at[f.v[0]], s.at[f.v[1]], s.at[f.v[2]]
		u := b.minus(a.point).cross(p.minus(a.point))
		v := c.minus(b.point).cross(p.minus(b.point))
		w := a.minus(c.point).cross(p.minus(c.point))
		area := u + v + w
		if area == 0 || u*area < 0 || v*area < 0 || w*area < 0 {
			continue
		}
		if d := (v*a.near + w*b.near + u*c.near) / area; d > near {
			near, facet = d, int32(i)
		}
	}
	return near, facet, facet >= 0
}

// winding returns how often a ring runs round a point, counter-clockwise.
func winding(l line, p point) int {
	n := 0
	for i, a := range l {
		b := l[(i+1)%len(l)]
		switch left := b.minus(a).cross(p.minus(a)); {
		case a.y <= p.y && b.y > p.y && left > 0:
			n++
		case a.y > p.y && b.y <= p.y && left < 0:
			n--
		}
	}
	return n
}

// painted returns the grey that the picture shows at a point, 255 for paper, and
// how far the point is from the border of any area.
func (p *picture) painted(q point) (grey uint8, off float64) {
	grey, off = 255, math.Inf(1)
	for _, a := range p.areas {
		n := 0
		for _, l := range a.loops {
			n += winding(l, q)
			for i := range l {
				off = math.Min(off, distance(q, l[i], l[(i+1)%len(l)]))
			}
		}
		if n != 0 {
			grey = a.grey
		}
	}
	return grey, off
}

func distance(p, a, b point) float64 {
	d := b.minus(a)
	t := 0.0
	if n := d.dot(d); n > 0 {
		t = min(max(p.minus(a).dot(d)/n, 0), 1)
	}
	return p.dist(a.plus(d.times(t)))
}

func scenes(t *testing.T) map[string][]PlacedMesh {
	plate := built(t, referencePrint())
	out := map[string][]PlacedMesh{
		"reference plate": {{Mesh: plate}},
		"two plates":      {{Mesh: plate}, {Mesh: plate, OffsetMM: [3]float64{30, -40, 25}}},
		"ring of sticks":  ringOfSticks(),
		"cube":            {{Mesh: cuboid(10, 10, 10)}},
		"step":            {{Mesh: step()}},
		"full plate":      {{Mesh: built(t, fullPrint(t))}},
		"touching":        {{Mesh: cuboid(30, 20, 6)}, {Mesh: cuboid(40, 20, 6), OffsetMM: [3]float64{30, 0, 0}}, {Mesh: cuboid(10, 20, 9), OffsetMM: [3]float64{30, 0, 6}}},
	}
	for seed := range uint64(6) {
		out["boxes "+string(rune('a'+seed))] = boxes(seed, 25)
	}
	return out
}

// ringOfSticks are three sticks, each over the next and well across it: no order
// paints them whole. Each is of short pieces, so that its facets can be ordered.
func ringOfSticks() []PlacedMesh {
	return []PlacedMesh{
		{Mesh: slanted([3]float64{-15, 0, -3}, [3]float64{115, 0, 23}, 13)},
		{Mesh: slanted([3]float64{98, -30, -3}, [3]float64{32, 96, 23}, 13)},
		{Mesh: slanted([3]float64{68, 96, -3}, [3]float64{-6, -32, 23}, 13)},
	}
}

// slanted is a square stick from a to b, of n pieces.
func slanted(a, b [3]float64, n int) *solid.Mesh {
	d := minus(b, a)
	l := math.Sqrt(dot(d, d))
	x := [3]float64{d[0] / l, d[1] / l, d[2] / l}
	y := cross([3]float64{0, 0, 1}, x)
	h := math.Hypot(y[0], y[1])
	y = [3]float64{y[0] / h, y[1] / h, 0}
	z := cross(x, y)
	m := pieces(float32(l), 6, 6, n)
	for i, v := range m.Vertices {
		for k := range 3 {
			m.Vertices[i][k] = float32(a[k] + float64(v[0])*x[k] + float64(v[1]-3)*y[k] + float64(v[2]-3)*z[k])
		}
	}
	return m
}

// pieces is a cuboid whose long sides are n quadrilaterals each.
func pieces(x, y, z float32, n int) *solid.Mesh {
	m := &solid.Mesh{}
	for i := range n + 1 {
		at := x * float32(i) / float32(n)
		m.Vertices = append(m.Vertices, [][3]float32{{at, 0, 0}, {at, y, 0}, {at, y, z}, {at, 0, z}}...)
	}
	for i := range int32(n) {
		for k := range int32(4) {
			a, b := 4*i+k, 4*i+(k+1)%4
			m.Facets = append(m.Facets, [3]int32{a, b, b + 4}, [3]int32{a, b + 4, a + 4})
		}
	}
	e := int32(4 * n)
	m.Facets = append(m.Facets, [3]int32{0, 2, 1}, [3]int32{0, 3, 2}, [3]int32{e, e + 1, e + 2}, [3]int32{e, e + 2, e + 3})
	return m
}

// boxes are upright boxes in the cells of a lattice, so that none meet.
func boxes(seed uint64, n int) []PlacedMesh {
	r := rand.New(rand.NewPCG(seed, 5))
	var out []PlacedMesh
	for range n {
		size := [3]float32{}
		for k := range size {
			size[k] = float32(2 + 7*r.Float64())
		}
		var at [3]float64
		for k := range at {
			at[k] = 10 * math.Floor(4*r.Float64())
		}
		free := true
		for _, p := range out {
			free = free && p.OffsetMM != at
		}
		if free {
			out = append(out, PlacedMesh{cuboid(size[0], size[1], size[2]), at})
		}
	}
	return out
}

// borderMM: nearer than this to a border of an area a point says nothing about the
// order of painting; borders stray by thinTolMM, the rest is for steep walls.
const borderMM = 3 * thinTolMM

// TestPaintedAsSeen throws rays at points of the page: what the picture shows there
// must be the grey of the facet that the ray meets first.
func TestPaintedAsSeen(t *testing.T) {
	for name, parts := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			o := Options{WidthMM: 180}
			draw(t, name, o, parts...)
			s, err := newScene(parts, o)
			if err != nil {
				t.Fatal(err)
			}
			p, err := newPicture(parts, o)
			if err != nil {
				t.Fatal(err)
			}
			r := rand.New(rand.NewPCG(1, 2))
			checked, body := 0, 0
			for range 3000 {
				q := point{r.Float64() * p.width, r.Float64() * p.height}
				got, off := p.painted(q)
				if off < borderMM {
					continue
				}
				want := uint8(255)
				if _, f, ok := s.ray(q); ok {
					if s.region[f] < 0 {
						continue // an edge-on wall
					}
					want = s.grey[s.region[f]]
					body++
				}
				checked++
				if got != want {
					t.Errorf("at (%.2f, %.2f) grey %d, seen %d", q.x, q.y, got, want)
				}
			}
			if checked < 1000 || body < 200 {
				t.Errorf("only %d points looked at, %d on a body", checked, body)
			}
		})
	}
}

// TestHiddenAsSeen throws rays at points along every candidate edge: the point must
// be drawn exactly when nothing lies in front of it.
func TestHiddenAsSeen(t *testing.T) {
	// A point so near to the end of a visible span is left out: within it the ray's
	// rounding decides.
	const doubtMM = 0.03
	for name, parts := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s, err := newScene(parts, Options{WidthMM: 180})
			if err != nil {
				t.Fatal(err)
			}
			cand := s.candidates()
			h := s.hide(newCells(s), cand, s.region, true)
			r := rand.New(rand.NewPCG(3, 4))
			seen, unseen := 0, 0
			for i, e := range cand {
				if e.kind == border || len(cand) > 2000 && r.IntN(3) > 0 {
					continue
				}
				a, b := s.at[e.v[0]], s.at[e.v[1]]
				l := a.dist(b.point)
				for range 3 {
					k := r.Float64()
					drawn, doubt := false, k*l < doubtMM || (1-k)*l < doubtMM
					for _, sp := range h.visible[i] {
						drawn = drawn || k > sp.from && k < sp.to
						doubt = doubt || math.Abs(k-sp.from)*l < doubtMM || math.Abs(k-sp.to)*l < doubtMM
					}
					if doubt {
						continue
					}
					q := between(a.point, b.point, k)
					depth := a.near + k*(b.near-a.near)
					// The edge itself is the first hit when nothing is in front; a
					// ray that just misses it goes on to what is behind.
					front := false
					if near, _, ok := s.ray(q); ok {
						front = near > depth+2*s.depthTol
					}
					if front == drawn {
						t.Errorf("edge %d at %.3f, page (%.2f, %.2f): drawn %v, covered %v", i, k, q.x, q.y, drawn, front)
					}
					if drawn {
						seen++
					} else {
						unseen++
					}
				}
			}
			if seen < 10 {
				t.Errorf("only %d points seen, %d unseen", seen, unseen)
			}
		})
	}
}
