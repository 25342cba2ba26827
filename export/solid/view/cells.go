package view

import "math"

// cellMM is the side of a grid cell on the page: about the size of a pin hole's
// picture, where facets are crowded.
const cellMM = 1.0

// cellPadMM widens what a triangle or segment is taken to touch, against rounding
// at cell borders.
const cellPadMM = 1e-6

// cover is a facet that faces the eye, ready to be tested against: distances to
// its three sides (positive within) and its plane.
type cover struct {
	side    [3]plane // distance to side k = a x + b y + c
	plane   plane
	nearest float64
	facet   int32
	v       [3]int32
}

// cells is a grid over the page that tells which covers touch a cell.
type cells struct {
	nx, ny int
	start  []int32 // into list, by cell
	list   []int32
	covers []cover

	stamp []int32 // of each cover: the last query that saw it
	query int32
}

func newCells(s *scene) *cells {
	var w, h float64
	for i := range s.at {
		w, h = max(w, s.at[i].x), max(h, s.at[i].y)
	}
	c := &cells{nx: int(w/cellMM) + 2, ny: int(h/cellMM) + 2}
	for i := range s.facets {
		if s.facets[i].front {
			if cv, ok := s.cover(int32(i)); ok {
				c.covers = append(c.covers, cv)
			}
		}
	}
	c.stamp = make([]int32, len(c.covers))
	c.start = make([]int32, c.nx*c.ny+1)
	for i := range c.covers {
		c.touch(s, i, func(cell int) { c.start[cell+1]++ })
	}
	for i := 1; i < len(c.start); i++ {
		c.start[i] += c.start[i-1]
	}
	c.list = make([]int32, c.start[len(c.start)-1])
	fill := append([]int32(nil), c.start...)
	for i := range c.covers {
		c.touch(s, i, func(cell int) {
			c.list[fill[cell]] = int32(i)
			fill[cell]++
		})
	}
	return c
}

// cover prepares a facet; one without width on the page covers nothing.
func (s *scene) cover(f int32) (cover, bool) {
	v := s.facets[f].v
	cv := cover{plane: s.plane(f), nearest: math.Inf(-1), facet: f, v: v}
	for k := range 3 {
		p, q := s.at[v[k]], s.at[v[(k+1)%3]]
		d := q.minus(p.point)
		l := math.Hypot(d.x, d.y)
		if l == 0 {
			return cover{}, false
		}
		a, b := -d.y/l, d.x/l
		cv.side[k] = plane{a, b, -a*p.x - b*p.y}
		cv.nearest = max(cv.nearest, p.near)
	}
	return cv, true
}

// touch calls do for every cell that the cover's triangle touches: row by row,
// from the least to the greatest x that the triangle has within the row.
func (c *cells) touch(s *scene, i int, do func(cell int)) {
	v := c.covers[i].v
	a, b, d := s.at[v[0]].point, s.at[v[1]].point, s.at[v[2]].point
	lo, hi := min(a.y, b.y, d.y), max(a.y, b.y, d.y)
	for row := c.row(lo - cellPadMM); row <= c.row(hi+cellPadMM); row++ {
		left, right := math.Inf(1), math.Inf(-1)
		for _, e := range [3][2]point{{a, b}, {b, d}, {d, a}} {
			if l, r, ok := inRow(e[0], e[1], row); ok {
				left, right = min(left, l), max(right, r)
			}
		}
		for col := c.col(left - cellPadMM); col <= c.col(right+cellPadMM); col++ {
			do(row*c.nx + col)
		}
	}
}

// inRow returns the least and greatest x of a segment within a row of cells.
func inRow(p, q point, row int) (left, right float64, ok bool) {
	if p.y > q.y {
		p, q = q, p
	}
	y0, y1 := float64(row)*cellMM-cellPadMM, float64(row+1)*cellMM+cellPadMM
	if q.y < y0 || p.y > y1 {
		return 0, 0, false
	}
	x0, x1 := p.x, q.x
	if p.y < y0 {
		x0 = p.x + (q.x-p.x)*(y0-p.y)/(q.y-p.y)
	}
	if q.y > y1 {
		x1 = p.x + (q.x-p.x)*(y1-p.y)/(q.y-p.y)
	}
	return min(x0, x1), max(x0, x1), true
}

func (c *cells) row(y float64) int { return min(max(int(y/cellMM), 0), c.ny-1) }
func (c *cells) col(x float64) int { return min(max(int(x/cellMM), 0), c.nx-1) }

// along calls do once for every cover near the segment.
func (c *cells) along(p, q point, do func(*cover)) {
	c.query++
	for row := c.row(min(p.y, q.y) - cellPadMM); row <= c.row(max(p.y, q.y)+cellPadMM); row++ {
		left, right, ok := inRow(p, q, row)
		if !ok {
			continue
		}
		for col := c.col(left - cellPadMM); col <= c.col(right+cellPadMM); col++ {
			cell := row*c.nx + col
			for _, i := range c.list[c.start[cell]:c.start[cell+1]] {
				if c.stamp[i] != c.query {
					c.stamp[i] = c.query
					do(&c.covers[i])
				}
			}
		}
	}
}
