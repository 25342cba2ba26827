package gcode

import (
	"math"
	"strconv"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// Coordinates are written on a grid of micrometres: three decimals. Places on it are whole
// numbers, so that what is printed, subtracted and compared is exact.
const stepsPerMM = 1000

// nudge keeps values off the half between two steps, where the last bit of a sum, which
// differs from machine to machine, would choose the digit: a value that lies there counts
// as above it. Sums of lengths below ten metres are true to 1e-8 of a step.
const nudge = 1e-6

// round returns the nearest whole number, halves away from zero.
func round(x float64) int64 {
	return int64(math.Copysign(math.Floor(math.Abs(x)+(0.5+nudge)), x))
}

// steps returns the nearest number of steps to a length in mm.
func steps(mm float64) int64 { return round(mm * stepsPerMM) }

// appendMM writes n steps in mm with a decimal point and all decimals, never a negative
// zero.
func appendMM(b []byte, n int64) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = append(strconv.AppendInt(b, n/stepsPerMM, 10), '.')
	return append(b, byte('0'+n/100%10), byte('0'+n/10%10), byte('0'+n%10))
}

// spot is a place on the grid.
type spot struct{ x, y, z int64 }

func spotOf(p toolpath.Point) spot { return spot{steps(p.X), steps(p.Y), steps(p.Z)} }

func (s spot) over(t spot) bool { return s.x == t.x && s.y == t.y }

// searchSteps is how far around the exact centre a better one is looked for.
const searchSteps = 2

// center rounds the centre of an arc so that both radii come out as near as can be to the
// wanted one, and to each other. Rounding each number by itself could make the radii differ
// by 2.8 steps:
//
//	half a step times sqrt 2 at either end, and twice the same at the centre
//
// The cost of a centre is the error of the two radii plus half of its own distance from the
// truth, so that a hole is not moved for a radius that is good. Of equals the first wins.
func center(from, to toolpath.Point, c geom.Vec) spot {
	a, b := spotOf(from), spotOf(to)
	mid := spot{x: steps(c.X), y: steps(c.Y)}
	best, least := mid, math.Inf(1)
	r := stepsPerMM * from.XY().Dist(c)
	for dy := int64(-searchSteps); dy <= searchSteps; dy++ {
		for dx := int64(-searchSteps); dx <= searchSteps; dx++ {
			k := spot{x: mid.x + dx, y: mid.y + dy}
			off := math.Hypot(float64(k.x)-stepsPerMM*c.X, float64(k.y)-stepsPerMM*c.Y)
			cost := math.Abs(radius(a, k)-r) + math.Abs(radius(b, k)-r) + off/2
			if cost < least-nudge {
				best, least = k, cost
			}
		}
	}
	return best
}

// radius returns the distance between two places seen from above, in steps.
func radius(p, c spot) float64 { return math.Hypot(float64(p.x-c.x), float64(p.y-c.y)) }
