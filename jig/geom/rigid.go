package geom

import "math"

// Rigid is a move of the plane that keeps lengths: turn by Angle about the
// origin, after mirroring in the X axis when Mirror is set, then shift.
//
//	p -> R(angle) M p + shift
type Rigid struct {
	Angle  float64
	Mirror bool
	Shift  Vec
}

// Apply returns the image of p.
func (m Rigid) Apply(p Vec) Vec {
	if m.Mirror {
		p.Y = -p.Y
	}
	return m.turn(p).Add(m.Shift)
}

// turn rotates exactly for whole quarter turns, so that a board laid along the
// machine's Y axis keeps its coordinates to the last digit.
func (m Rigid) turn(p Vec) Vec {
	switch q := m.Angle / (math.Pi / 2); q {
	case 0:
		return p
	case 1, -3:
		return p.Left()
	case 2, -2:
		return Vec{-p.X, -p.Y}
	case 3, -1:
		return Vec{p.Y, -p.X}
	}
	return rotate(p, m.Angle)
}

// After returns the move that does n first, then m.
//
//	R(a) M R(b) = R(a - b) M
func (m Rigid) After(n Rigid) Rigid {
	b := n.Angle
	if m.Mirror {
		b = -b
	}
	return Rigid{Angle: m.Angle + b, Mirror: m.Mirror != n.Mirror, Shift: m.Apply(n.Shift)}
}

// Inverse returns the move that undoes m.
func (m Rigid) Inverse() Rigid {
	if m.Mirror {
		// M and R(a) M are their own inverses up to the shift.
		inv := Rigid{Angle: m.Angle, Mirror: true}
		inv.Shift = inv.Apply(m.Shift).Scale(-1)
		return inv
	}
	inv := Rigid{Angle: -m.Angle}
	inv.Shift = inv.Apply(m.Shift).Scale(-1)
	return inv
}

// Loop returns the image of l. A mirrored loop is run the other way round, so
// that counter-clockwise stays counter-clockwise.
func (m Rigid) Loop(l Loop) Loop {
	out := make(Loop, len(l))
	for i, v := range l {
		b := v.Bulge
		if m.Mirror {
			b = -b
		}
		out[i] = Vertex{m.Apply(v.Vec), b}
	}
	if m.Mirror {
		return out.Reverse()
	}
	return out
}
