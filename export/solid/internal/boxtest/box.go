// Package boxtest holds the smallest closed mesh, for tests.
package boxtest

// Box returns the vertices and facets of a cuboid from the origin with the given
// sizes in mm; the facets face outward.
func Box(x, y, z float32) (vertices [][3]float32, facets [][3]int32) {
	return [][3]float32{{0, 0, 0}, {x, 0, 0}, {x, y, 0}, {0, y, 0}, {0, 0, z}, {x, 0, z}, {x, y, z}, {0, y, z}},
		[][3]int32{
			{0, 2, 1},
			{0, 3, 2},
			{4, 5, 6},
			{4, 6, 7},
			{0, 1, 5},
			{0, 5, 4},
			{1, 2, 6},
			{1, 6, 5},
			{2, 3, 7},
			{2, 7, 6},
			{3, 0, 4},
			{3, 4, 7},
		}
}
