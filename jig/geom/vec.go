package geom

import "math"

// Vec is a point or a displacement in the plane, in millimetres.
type Vec struct{ X, Y float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y} }

// Scale returns s a.
func (a Vec) Scale(s float64) Vec { return Vec{s * a.X, s * a.Y} }

// Dot returns the scalar product a . b, in square millimetres.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y }

// Cross returns the z component of a x b, in square millimetres. It is positive
// when b lies to the left of a.
func (a Vec) Cross(b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// Norm returns the length of a.
func (a Vec) Norm() float64 { return math.Hypot(a.X, a.Y) }

// Left returns a turned by a quarter turn counter-clockwise.
func (a Vec) Left() Vec { return Vec{-a.Y, a.X} }

// Unit returns a scaled to length 1. The zero vector stays zero.
func (a Vec) Unit() Vec {
	n := a.Norm()
	if n == 0 {
		return Vec{}
	}
	return a.Scale(1 / n)
}

// Dist returns the distance between a and b.
func (a Vec) Dist(b Vec) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// Lerp returns the point that divides the way from a to b in the ratio t : 1-t.
func (a Vec) Lerp(b Vec, t float64) Vec { return a.Add(b.Sub(a).Scale(t)) }

// Polar returns the vector of length r at angle phi from +X.
func Polar(r, phi float64) Vec { return Vec{r * math.Cos(phi), r * math.Sin(phi)} }

// Box is an axis-parallel rectangle; Min is its lower left corner.
type Box struct {
	Min Vec `json:"from_mm"`
	Max Vec `json:"to_mm"`
}

// EmptyBox returns the box that contains nothing and is neutral in Union.
func EmptyBox() Box {
	return Box{Vec{math.Inf(1), math.Inf(1)}, Vec{math.Inf(-1), math.Inf(-1)}}
}

// Include returns the smallest box around b and p.
func (b Box) Include(p Vec) Box {
	return Box{
		Vec{min(b.Min.X, p.X), min(b.Min.Y, p.Y)},
		Vec{max(b.Max.X, p.X), max(b.Max.Y, p.Y)},
	}
}

// Union returns the smallest box around b and c.
func (b Box) Union(c Box) Box {
	if c.Min.X > c.Max.X {
		return b
	}
	return b.Include(c.Min).Include(c.Max)
}

// Grow returns b moved outward by d on every side (inward for d < 0).
func (b Box) Grow(d float64) Box {
	return Box{Vec{b.Min.X - d, b.Min.Y - d}, Vec{b.Max.X + d, b.Max.Y + d}}
}

// Size returns the extent of b along X and Y, in millimetres.
func (b Box) Size() Vec { return b.Max.Sub(b.Min) }

// Center returns the middle of b.
func (b Box) Center() Vec { return b.Min.Lerp(b.Max, 0.5) }

// Meets reports whether two boxes have a point in common.
func (b Box) Meets(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Contains reports whether p lies in b or on its border.
func (b Box) Contains(p Vec) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Rounded returns the depth inside b with its corners rounded by r, as Loop.Depth of
// that contour, in closed form. From the middle, with h the half sides less r,
//
//	q = |p| - h,  depth = r - hypot(max(q, 0)) - min(max(q.X, q.Y), 0)
func (b Box) Rounded(r float64) func(Vec) float64 {
	c := b.Center()
	h := b.Max.Sub(c).Sub(Vec{r, r})
	return func(p Vec) float64 {
		x, y := math.Abs(p.X-c.X)-h.X, math.Abs(p.Y-c.Y)-h.Y
		switch {
		case x <= 0 && y <= 0:
			return r - max(x, y)
		case x <= 0:
			return r - y
		case y <= 0:
			return r - x
		}
		return r - math.Sqrt(x*x+y*y)
	}
}
