package toolpath

import (
	"math"

	"reseat/jig/geom"
)

// Transform returns the program for stock that lies elsewhere: every X, Y and arc
// centre is carried by the move m, heights and feeds stay. The rotation goes into
// the coordinates themselves, because controllers do not agree on a code for it.
// Park stays too: it belongs to the machine.
//
// A mirrored move is refused: it would cut another board. The error is Faults.
func (p *Program) Transform(m geom.Rigid) (*Program, error) {
	var f faults
	f.within("", "angle of the pose (rad)", m.Angle, -2*math.Pi, 2*math.Pi)
	f.within("", "shift of the pose along X (mm)", m.Shift.X, -largestMM, largestMM)
	f.within("", "shift of the pose along Y (mm)", m.Shift.Y, -largestMM, largestMM)
	if m.Mirror {
		f.add(&PathError{-1, "a pose that mirrors is no place where the board can lie"})
	}
	if f.err() != nil {
		return nil, f.err()
	}
	q := *p
	q.Moves = make([]Move, len(p.Moves))
	for i, v := range p.Moves {
		v.To = at(m.Apply(v.To.XY()), v.To.Z)
		if v.Kind.IsArc() {
			v.Center = m.Apply(v.Center)
		}
		q.Moves[i] = v
	}
	return &q, q.Check()
}
