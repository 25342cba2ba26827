package motion

import (
	"math"
	"slices"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Pins are the places of the pins that locate a plate: a round hole and a slot, in this
// order, or all of them in round holes.
type Pins struct {
	At       []geom.Vec // at least two
	AllRound bool
}

// Anchor is the point that growth leaves in its place: the round pin, or the middle of
// the pins when all of them locate.
func (p Pins) Anchor() geom.Vec {
	if !p.AllRound {
		return p.At[0]
	}
	var sum geom.Vec
	for _, q := range p.At {
		sum = sum.Add(q)
	}
	return sum.Scale(1 / float64(len(p.At)))
}

// follow is the rigid move of a plate whose locating holes are carried along by the
// given displacements: round and slot fix it, or the least squares fit of all.
//
//	round and slot: motion(round) = d1,  theta = n.(d2 - d1)/L
//	all round:      shift = mean d,  theta = sum (p - c) x d / sum |p - c|^2
//
// Reference: the pose of a plate on two pins (jig/seat); the planar orthogonal
// fit linearised for small angles.
func (p Pins) follow(d func(at geom.Vec) geom.Vec) budget.Field {
	about, shift := p.Anchor(), geom.Vec{}
	var theta float64
	if p.AllRound {
		var turn, inertia float64
		for _, q := range p.At {
			r := q.Sub(about)
			shift = shift.Add(d(q).Scale(1 / float64(len(p.At))))
			turn += r.Cross(d(q))
			inertia += r.Dot(r)
		}
		theta = turn / inertia
	} else {
		line := p.At[1].Sub(about)
		shift = d(about)
		theta = line.Cross(d(p.At[1]).Sub(shift)) / line.Dot(line)
	}
	return budget.Rigid(seat.Pose{DU: shift.X + theta*about.Y, DV: shift.Y - theta*about.X, Theta: theta})
}

// HoleErrors is how the place of each locating hole, erring by half along either axis
// (95 %, normal), moves the plate.
func (p Pins) HoleErrors(half float64) []budget.Var {
	var out []budget.Var
	for _, hole := range p.At {
		for _, axis := range []geom.Vec{{X: 1}, {Y: 1}} {
			f := p.follow(func(at geom.Vec) geom.Vec {
				if at == hole {
					return axis
				}
				return geom.Vec{}
			})
			out = append(out, budget.Var{Field: f, Half: half, Law: budget.Normal})
		}
	}
	return out
}

// BoredTogether is how the places of holes bored through blank and bed in one arrival of
// the tool, erring by half along either axis (95 %, normal), move the blank. Put back as it
// was bored, hole and pin err alike and nothing moves. Turned over, with M the mirror, the
// hole at p lies over the pin whose place turned takes to p, and
//
//	d(p) = M e(turned(p)) - e(p)
//
// which for a pin on the axis that the blank is turned over about leaves nothing along it
// and twice the error across. turned is nil when the blank is not turned over.
func (p Pins) BoredTogether(half float64, turned func(geom.Vec) geom.Vec) []budget.Var {
	if turned == nil {
		return nil
	}
	places := slices.Clone(p.At)
	for _, at := range p.At {
		q := turned(at)
		if !slices.ContainsFunc(places, func(o geom.Vec) bool { return o.Dist(q) < SamePlaceMM }) {
			places = append(places, q)
		}
	}
	var out []budget.Var
	for _, place := range places {
		for _, axis := range []geom.Vec{{X: 1}, {Y: 1}} {
			f := p.follow(func(at geom.Vec) geom.Vec {
				var d geom.Vec
				if place.Dist(turned(at)) < SamePlaceMM {
					d = turned(at.Add(axis)).Sub(turned(at))
				}
				if place.Dist(at) < SamePlaceMM {
					d = d.Sub(axis)
				}
				return d
			})
			out = append(out, budget.Var{Field: f, Half: half, Law: budget.Normal})
		}
	}
	return out
}

// SamePlaceMM is how far from a hole's place, turned over, a pin may stand to be the one
// meant: far over rounding, far under any two pins' distance.
const SamePlaceMM = 0.01

// Lean is how axes out of square move the board. The cross axis leans by per (mm per mm)
// to one side or the other; the pins lean with it and take the plate along.
//
//	error(p) = s (v, 0) - motion of the plate that follows its pins
func (p Pins) Lean(per float64) []budget.Var {
	lean := budget.Shear(1, 0, geom.Vec{})
	return []budget.Var{{Field: lean.Add(p.follow(lean.At).Scale(-1)), Half: per, Law: budget.Sign}}
}

// Joints is what the joints of a plate printed in parts add when they are not glued: at
// a seam the far part can lie aside by the key's clearance c, and turn by 2 c over the
// distance apart of the outer keys, which lifts the seam off the line from round pin to
// slot. A pushed board follows the higher part.
//
//	aside c,  bend (2 c/D) (u2 - s)(s - u1)/(u2 - u1)
//
// Reference: the chain of two bars that is held at both ends; derived.
func (p Pins) Joints(seams []float64, c, apart float64) []budget.Var {
	u1, u2 := p.At[0].X, p.At[0].X
	for _, q := range p.At {
		u1, u2 = math.Min(u1, q.X), math.Max(u2, q.X)
	}
	across := budget.Shift(geom.Vec{Y: 1})
	var out []budget.Var
	for _, s := range seams {
		lever := math.Max(0, (u2-s)*(s-u1)/(u2-u1))
		out = append(out,
			budget.Var{Field: across, Half: c, Law: budget.Uniform},
			budget.Var{Field: across, Half: 2 * c / apart * lever, Law: budget.Uniform})
	}
	return out
}
