package gcode

import (
	"math"
	"strconv"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// grid is the set of numbers with so many decimals. Places on it are whole
// numbers of its unit, so that what is printed, subtracted and compared is exact.
type grid int

func (o Options) grid() grid { return grid(o.Decimals) }

// unit returns the length of one step, mm.
func (g grid) unit() float64 { return math.Pow10(-int(g)) }

// round returns the nearest number of steps, halves away from zero. Lengths of a
// checked program are below ten metres, 1e10 steps at most.
func (g grid) round(x float64) int64 { return int64(math.Round(x * math.Pow10(int(g)))) }

// mm returns a length as it is written: the float64 that its decimals stand for.
// Dividing whole numbers rounds once, which parsing the digits does too.
func (g grid) mm(n int64) float64 { return float64(n) / math.Pow10(int(g)) }

// print writes n steps with a decimal point, all decimals, never an exponent and
// never a negative zero.
func (g grid) print(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(n, 10)
	if pad := int(g) + 1 - len(s); pad > 0 {
		s = strings.Repeat("0", pad) + s
	}
	return sign + s[:len(s)-int(g)] + "." + s[len(s)-int(g):]
}

// spot is a place on the grid.
type spot struct{ x, y, z int64 }

func (g grid) spot(p toolpath.Point) spot { return spot{g.round(p.X), g.round(p.Y), g.round(p.Z)} }

func (g grid) point(s spot) toolpath.Point {
	return toolpath.Point{X: g.mm(s.x), Y: g.mm(s.y), Z: g.mm(s.z)}
}

func (s spot) over(t spot) bool { return s.x == t.x && s.y == t.y }

// searchSteps is how far around the exact centre a better one is looked for, in
// steps of the grid.
const searchSteps = 2

// center rounds the centre of an arc from a to b so that both radii come out as
// near as can be to the wanted one, and to each other; of equals the one nearest
// to the true centre wins. Rounding each number by itself could make the radii
// differ by 2.8 steps:
//
//	half a step times sqrt 2 at either end, and twice the same at the centre
//
// The cost of a centre is the error of the two radii plus half of its own
// distance from the truth, so that a hole is not moved for a radius that is good.
//
// An arc whose three places lie on the grid already, as in a program that was
// read from a file, is kept as it is.
func (g grid) center(from, to toolpath.Point, c geom.Vec) spot {
	a, b := g.spot(from), g.spot(to)
	mid := spot{x: g.round(c.X), y: g.round(c.Y)}
	if g.has(from.XY(), a) && g.has(to.XY(), b) && g.has(c, mid) {
		return mid
	}
	best, least := mid, math.Inf(1)
	r := from.XY().Dist(c)
	for dy := int64(-searchSteps); dy <= searchSteps; dy++ {
		for dx := int64(-searchSteps); dx <= searchSteps; dx++ {
			k := spot{x: mid.x + dx, y: mid.y + dy}
			cost := math.Abs(g.radius(a, k)-r) + math.Abs(g.radius(b, k)-r) +
				0.5*math.Hypot(g.mm(k.x)-c.X, g.mm(k.y)-c.Y)
			if cost < least {
				best, least = k, cost
			}
		}
	}
	return best
}

// has reports whether v is what place s stands for, to the last digit.
func (g grid) has(v geom.Vec, s spot) bool { return v.X == g.mm(s.x) && v.Y == g.mm(s.y) }

// radius returns the distance between two places seen from above, mm.
func (g grid) radius(p, c spot) float64 { return math.Hypot(g.mm(p.x-c.x), g.mm(p.y-c.y)) }
