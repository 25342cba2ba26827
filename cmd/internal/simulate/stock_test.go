package simulate

import (
	"fmt"
	"math"
	"slices"
)

// body is something that lies or stands on the table: an outline seen from above in the
// machine frame, with openings, and the height of its top at a place. Heights count from
// the table. Round pins have a radius instead of an outline.
type body struct {
	name    string
	outline []point
	windows [][]point
	at      point
	radius  float64
	top     func(x, y float64) float64
}

func (b body) covers(x, y float64) bool {
	if b.radius > 0 {
		return math.Hypot(x-b.at.x, y-b.at.y) < b.radius
	}
	if !inside(b.outline, x, y) {
		return false
	}
	for _, w := range b.windows {
		if inside(w, x, y) {
			return false
		}
	}
	return true
}

// inside counts how often a ray to the right leaves the polygon.
func inside(loop []point, x, y float64) bool {
	in := false
	for i, a := range loop {
		b := loop[(i+1)%len(loop)]
		if (a.y > y) != (b.y > y) && x < a.x+(y-a.y)*(b.x-a.x)/(b.y-a.y) {
			in = !in
		}
	}
	return in
}

// cell is one place of the stock: the height that is left, what lay on top at first, and
// its height then.
type cell struct {
	x, y, z float64
	top     float64
	body    string
}

const (
	cellMM = 0.25 // between the places of the height map
	tileMM = 4.0  // side of the tiles that hold them, made when a tool comes by
)

// stock is what lies on the table at one set-up, as a height map that grows where a tool
// passes: a place that no tool reaches needs no cell.
type stock struct {
	bodies  []body
	tiles   map[[2]int][]cell
	highest float64
}

func newStock(bodies []body) *stock {
	s := &stock{bodies: bodies, tiles: map[[2]int][]cell{}}
	for _, b := range bodies {
		for _, p := range append([]point{b.at}, b.outline...) {
			s.highest = math.Max(s.highest, b.top(p.x, p.y))
		}
	}
	return s
}

func tileOf(x, y float64) [2]int {
	return [2]int{int(math.Floor(x / tileMM)), int(math.Floor(y / tileMM))}
}

// cellAt is a fresh cell: the highest body there, or the table.
func (s *stock) cellAt(x, y float64) cell {
	c := cell{x: x, y: y, body: "table"}
	for _, b := range slices.Backward(s.bodies) { // the upper ones first, they hide the others
		if top := b.top(x, y); top > 0 && top >= c.top && b.covers(x, y) {
			c.top, c.body = top, b.name
		}
	}
	c.z = c.top
	return c
}

// tile returns the cells of a tile, made on the first visit.
func (s *stock) tile(k [2]int) []cell {
	if t, ok := s.tiles[k]; ok {
		return t
	}
	const n = int(tileMM / cellMM)
	t := make([]cell, 0, n*n)
	for i := range n {
		for j := range n {
			t = append(t, s.cellAt(float64(k[0])*tileMM+(float64(i)+0.5)*cellMM, float64(k[1])*tileMM+(float64(j)+0.5)*cellMM))
		}
	}
	s.tiles[k] = t
	return t
}

// add puts a cell at a place of its own: on either side of a wall, say.
func (s *stock) add(x, y float64) {
	k := tileOf(x, y)
	s.tiles[k] = append(s.tile(k), s.cellAt(x, y))
}

// tool is a cutter that turns about its axis: flat below, or a drill with a point whose
// cone rises by slope for each millimetre from the axis. The collet, where it is known, is
// a cylinder that begins so far above the tip.
type tool struct {
	radius, slope       float64
	colletRadius, below float64
}

// cut takes away what the tool passes, z0 being the program's zero above the table, and
// says what is wrong: a rapid that meets stock, goes sideways at or below the highest thing
// of the set-up, or down to where stock stood; a collet that meets anything.
func (s *stock) cut(t tool, m move, z0 float64) (err error) {
	m.from.z += z0
	m.to.z += z0
	low := math.Min(m.from.z, m.to.z)
	sideways := m.from.x != m.to.x || m.from.y != m.to.y
	switch {
	case m.rapid && sideways && (m.from.z != m.to.z || low <= s.highest):
		return fmt.Errorf("line %d: a sideways rapid at %.3f over the table, the highest thing is at %.3f",
			m.line, low, s.highest)
	case t.slope > 0 && sideways && low < s.highest:
		return fmt.Errorf("line %d: a drill goes sideways at %.3f over the table", m.line, low)
	}
	s.passed(t.radius, m, func(c *cell, z float64) {
		if t.slope > 0 {
			z += t.slope * math.Hypot(c.x-m.from.x, c.y-m.from.y)
		}
		switch {
		case m.rapid && m.to.z < m.from.z && z < c.top:
			err = fmt.Errorf("line %d: a rapid down to %.3f, %s stood to %.3f", m.line, z, c.body, c.top)
		case m.rapid && z < c.z:
			err = fmt.Errorf("line %d: a rapid to %.3f meets %s at %.3f", m.line, z, c.body, c.z)
		}
		c.z = math.Min(c.z, z)
	})
	if t.colletRadius > 0 {
		m.from.z += t.below
		m.to.z += t.below
		s.passed(t.colletRadius, m, func(c *cell, z float64) {
			if z < c.z {
				err = fmt.Errorf("line %d: the collet, at %.3f, meets %s at %.3f", m.line, z, c.body, c.z)
			}
		})
	}
	return err
}

// passed visits every cell that a flat tool of a radius covers on its way, with how low it
// comes there. Moves above everything visit none.
func (s *stock) passed(radius float64, m move, visit func(c *cell, z float64)) {
	low := math.Min(m.from.z, m.to.z)
	if low >= s.highest {
		return
	}
	grow, a, b := radius, m.from, m.to
	if m.turn != 0 {
		grow += math.Hypot(a.x-m.center.x, a.y-m.center.y)
		a, b = m.center, m.center
	}
	from := tileOf(math.Min(a.x, b.x)-grow, math.Min(a.y, b.y)-grow)
	to := tileOf(math.Max(a.x, b.x)+grow, math.Max(a.y, b.y)+grow)
	pass := m.passing(radius)
	for i := from[0]; i <= to[0]; i++ {
		for j := from[1]; j <= to[1]; j++ {
			cells := s.tile([2]int{i, j})
			for n := range cells {
				c := &cells[n]
				if low >= c.z && !m.rapid {
					continue
				}
				if z, ok := pass(c.x, c.y); ok {
					visit(c, z)
				}
			}
		}
	}
}

// passing returns how low the axis of a tool of a radius comes while it covers a place;
// exact, for straight lines and for helices.
func (m move) passing(r float64) func(x, y float64) (float64, bool) {
	height := func(t float64) float64 { return m.from.z + t*(m.to.z-m.from.z) }
	// lower is the lowest height between two shares of the way, which holds at an end.
	lower := func(t0, t1 float64) float64 { return math.Min(height(t0), height(t1)) }
	if m.turn == 0 {
		dx, dy := m.to.x-m.from.x, m.to.y-m.from.y
		way := dx*dx + dy*dy
		return func(x, y float64) (float64, bool) {
			x, y = x-m.from.x, y-m.from.y
			gap := x*x + y*y - r*r
			if way == 0 {
				return lower(0, 1), gap <= 0
			}
			mid := (x*dx + y*dy) / way
			root := mid*mid - gap/way
			if root < 0 {
				return 0, false
			}
			t0, t1 := math.Max(0, mid-math.Sqrt(root)), math.Min(1, mid+math.Sqrt(root))
			return lower(t0, t1), t0 <= t1
		}
	}
	orbit := math.Hypot(m.from.x-m.center.x, m.from.y-m.center.y)
	start, sweep := math.Atan2(m.from.y-m.center.y, m.from.x-m.center.x), m.sweep()
	return func(x, y float64) (float64, bool) {
		x, y = x-m.center.x, y-m.center.y
		d := math.Sqrt(x*x + y*y)
		switch {
		case d > orbit+r || d < orbit-r:
			return 0, false
		case d+orbit <= r:
			return lower(0, 1), true
		}
		half := math.Acos((orbit*orbit + d*d - r*r) / (2 * orbit * d))
		mid := math.Mod(m.turn*(math.Atan2(y, x)-start)+4*math.Pi, 2*math.Pi)
		low, ok := math.Inf(1), false
		for _, turn := range [3]float64{-2 * math.Pi, 0, 2 * math.Pi} {
			t0, t1 := math.Max(0, mid+turn-half), math.Min(sweep, mid+turn+half)
			if t0 <= t1 {
				low, ok = math.Min(low, lower(t0/sweep, t1/sweep)), true
			}
		}
		return low, ok
	}
}
