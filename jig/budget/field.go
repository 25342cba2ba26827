package budget

import (
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Field is a small move of the plane, affine but for a bow across. The point (u, v) in mm
// moves by
//
//	du = Shift.X + UU u + UV v
//	dv = Shift.Y + VU u + VV v + Bow u^2
//
// per unit of the Var that carries it: mm, mm/mm and 1/mm when the Var's half width is
// a bare number, dimensionless, 1/mm and 1/mm^2 when it is in mm.
type Field struct {
	Shift          geom.Vec
	UU, UV, VU, VV float64
	Bow            float64
}

// At returns the move of the point p.
func (f Field) At(p geom.Vec) geom.Vec {
	return geom.Vec{X: f.Shift.X + f.UU*p.X + f.UV*p.Y, Y: f.Shift.Y + f.VU*p.X + f.VV*p.Y + f.Bow*p.X*p.X}
}

// Add returns the field that moves by f and by g.
func (f Field) Add(g Field) Field {
	return Field{f.Shift.Add(g.Shift), f.UU + g.UU, f.UV + g.UV, f.VU + g.VU, f.VV + g.VV, f.Bow + g.Bow}
}

// Scale returns the field k times as strong.
func (f Field) Scale(k float64) Field {
	return Field{f.Shift.Scale(k), k * f.UU, k * f.UV, k * f.VU, k * f.VV, k * f.Bow}
}

// Shift returns the field that moves every point by d.
func Shift(d geom.Vec) Field { return Field{Shift: d} }

// Rigid returns the field of a small rigid move, the rotation linearised as in
// seat.Pose.Motion.
func Rigid(q seat.Pose) Field {
	return Field{Shift: geom.Vec{X: q.DU, Y: q.DV}, UV: -q.Theta, VU: q.Theta}
}

// Strain returns the growth of a part by eu along and ev across (mm per mm,
// positive when it grows), the point about staying where it is.
//
//	du = eu (u - about.X),  dv = ev (v - about.Y)
func Strain(eu, ev float64, about geom.Vec) Field {
	return linear(eu, 0, 0, ev, about)
}

// Shear returns the field of axes out of square, the point about staying where
// it is. Machine axes keep one direction and tilt the other: with the long axis
// true, uv is the tilt of the cross axis (mm per mm) and vu is zero.
//
//	du = uv (v - about.Y),  dv = vu (u - about.X)
func Shear(uv, vu float64, about geom.Vec) Field {
	return linear(0, uv, vu, 0, about)
}

// Parabola returns the bow across, one at its middle, of a line along u that starts and ends
// where it should.
//
//	dv = 4 (u - from)(to - u)/(to - from)^2
func Parabola(from, to float64) Field {
	k := 4 / ((to - from) * (to - from))
	return Field{Shift: geom.Vec{Y: -k * from * to}, VU: k * (from + to), Bow: -k}
}

// linear returns the field of the given matrix that leaves about in its place.
func linear(uu, uv, vu, vv float64, about geom.Vec) Field {
	f := Field{UU: uu, UV: uv, VU: vu, VV: vv}
	f.Shift = f.At(about).Scale(-1)
	return f
}
