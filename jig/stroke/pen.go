package stroke

import (
	"math"

	"reseat/jig/geom"
)

// glyph is the drawing of one rune in heights: capitals reach from y = 0 to 1.
// Its box is 0 to width along x, side bearings included.
type glyph struct {
	width float64
	paths []path
}

// path is one stroke of a glyph.
type path []geom.Vec

// arcStep is the turn of one chord: twelve to a circle. A chord stays within
// 1 - cos(15 degrees) = 3.4 % of the radius, 0.05 mm on a letter of 5 mm, which
// a cut 0.5 mm wide or more hides.
const arcStep = math.Pi / 6

// arcTol, a share of a chord, keeps an arc of exactly n steps at n chords
// when the quotient is rounded up. Far above rounding, far below what is seen.
const arcTol = 1e-6

// samePoint, in heights, is how near an arc's start must lie to the pen to count
// as the pen's place. Far above rounding, and far below a machine's step.
const samePoint = 1e-9

// side bearings in heights: between a straight stem and the box, and between a
// round or slanted letter and the box, which look farther off than they are.
// Two slanted letters cut 0.16 of the height wide still leave 0.1 of the height
// between them, 0.5 mm at 5 mm: a wall that a 0.4 mm nozzle prints.
const (
	stem  = 0.19
	round = 0.16
	slant = 0.13
)

// line starts a path through the points x, y, x, y ...
func line(xy ...float64) path { return path(nil).to(xy...) }

// to goes on straight to each of the points x, y, x, y ...
func (p path) to(xy ...float64) path {
	for i := 0; i+1 < len(xy); i += 2 {
		p = append(p, geom.Vec{X: xy[i], Y: xy[i+1]})
	}
	return p
}

// arc goes on along an ellipse about (cx, cy) with half axes rx and ry, from one
// angle to another in degrees, 0 at the right and counter-clockwise, by equal
// steps of at most arcStep. The pen is drawn to the arc's start first.
func (p path) arc(cx, cy, rx, ry, from, to float64) path {
	a, b := from*math.Pi/180, to*math.Pi/180
	n := max(1, int(math.Ceil(math.Abs(b-a)/arcStep-arcTol)))
	for i := 0; i <= n; i++ {
		t := a + (b-a)*float64(i)/float64(n)
		v := geom.Vec{X: cx + float64(rx*math.Cos(t)), Y: cy + float64(ry*math.Sin(t))}
		if i == 0 && len(p) > 0 && p[len(p)-1].Dist(v) < samePoint {
			continue
		}
		p = append(p, v)
	}
	return p
}

// ring brings the path back to its first point exactly.
func (p path) ring() path {
	if p[len(p)-1].Dist(p[0]) < samePoint {
		p[len(p)-1] = p[0]
		return p
	}
	return append(p, p[0])
}

// letter sets paths, drawn from x = 0, between side bearings.
func letter(left, ink, right float64, paths ...path) glyph {
	for _, p := range paths {
		for i := range p {
			p[i].X += left
		}
	}
	return glyph{left + ink + right, paths}
}
