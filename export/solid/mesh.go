package solid

import "math"

// Mesh is a surface of triangles. Facets turn counter-clockwise seen from
// outside; coordinates are millimetres as an STL stores them.
type Mesh struct {
	Vertices [][3]float32
	Facets   [][3]int32
}

// corner returns vertex v in float64.
func (m *Mesh) corner(v int32) [3]float64 {
	p := m.Vertices[v]
	return [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
}

// volumeMM3 returns the enclosed volume in cubic millimetres, positive when the
// facets face outward. Each facet closes a tetrahedron with the first vertex.
//
//	V = sum (a . (b x c)) / 6
//
// Reference: the divergence theorem.
func (m *Mesh) volumeMM3() float64 {
	if len(m.Vertices) == 0 {
		return 0
	}
	o := m.corner(0)
	var sum float64
	for _, f := range m.Facets {
		a, b, c := minus(m.corner(f[0]), o), minus(m.corner(f[1]), o), minus(m.corner(f[2]), o)
		sum += dot(a, times(b, c))
	}
	return sum / 6
}

// bounds returns the lowest and highest coordinates, in millimetres.
func (m *Mesh) bounds() (lo, hi [3]float64) {
	for k := range 3 {
		lo[k], hi[k] = math.Inf(1), math.Inf(-1)
		for _, v := range m.Vertices {
			lo[k] = math.Min(lo[k], float64(v[k]))
			hi[k] = math.Max(hi[k], float64(v[k]))
		}
	}
	return lo, hi
}

// normal returns twice the facet's area times its outward unit normal. Products of
// float32 differences are exact, so that all machines have the same.
func (m *Mesh) normal(f [3]int32) [3]float64 {
	a := m.corner(f[0])
	return times(minus(m.corner(f[1]), a), minus(m.corner(f[2]), a))
}

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func length(a [3]float64) float64      { return math.Sqrt(dot(a, a)) }
func times(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// dot rounds every product, so that all machines have the same sum.
func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}
