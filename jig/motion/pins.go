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
	Zeroed   bool // X and Y zero are found again on the first of them
	// Before: the first cut was made on the same pins, and the part lies on them again, the same
	// way up or, where Turned is not nil, turned over; Turned is where a place of it then lies.
	Before bool
	Turned func(geom.Vec) geom.Vec
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
	if !p.AllRound {
		return held(p.At[0], d(p.At[0]), p.At[1], d(p.At[1]))
	}
	about, shift := p.Anchor(), geom.Vec{}
	var turn, inertia float64
	for _, q := range p.At {
		r := q.Sub(about)
		shift = shift.Add(d(q).Scale(1 / float64(len(p.At))))
		turn += r.Cross(d(q))
		inertia += r.Dot(r)
	}
	return turned(about, shift, turn/inertia)
}

// held is the rigid move of what is held at one point, which moves by d1, and in line with
// another, which moves by d2.
func held(at1, d1, at2, d2 geom.Vec) budget.Field {
	line := at2.Sub(at1)
	return turned(at1, d1, line.Cross(d2.Sub(d1))/line.Dot(line))
}

// turned is the rigid move that shifts a point and turns the plane about it.
func turned(about, shift geom.Vec, theta float64) budget.Field {
	return budget.Rigid(seat.Pose{DU: shift.X + theta*about.Y, DV: shift.Y - theta*about.X, Theta: theta})
}

// HoleErrors is how the place of each locating hole of the plate, erring by half along
// either axis (95 %, normal), moves it.
func (p Pins) HoleErrors(half float64) []budget.Var {
	p.Zeroed, p.Before = false, false
	return p.PinErrors(half)
}

// PinErrors is how pins that stand off by half along either axis (95 %, normal) move the
// plate, seen from the machine.
//
// A plate that was first cut without these pins follows them, and so does the zero that is
// found on the round one: what stays is its turn about that pin. On the same pins as for the
// first cut it goes back to where it was. Turned over on them, with M the mirror, the hole
// at p lies over the pin at turned(p), and of what the pin moved in the first cut and moves
// now
//
//	d(p) = M e(turned(p)) - e(p)
//
// is left. For a pin on the axis that the part is turned over about that is nothing along it
// and twice the error across. The same holds of holes bored through blank and bed in one
// arrival of the tool: as they were bored hole and pin err alike, turned over they mirror
// each other.
//
//	error(p) = motion of the plate that follows d  -  d of the zero
func (p Pins) PinErrors(half float64) []budget.Var {
	if p.Before && p.Turned == nil {
		return nil
	}
	over := func(at geom.Vec) geom.Vec { return at }
	if p.Before {
		over = p.Turned
	}
	places := slices.Clone(p.At)
	for _, at := range p.At {
		q := over(at)
		if !slices.ContainsFunc(places, func(o geom.Vec) bool { return o.Dist(q) < SamePlaceMM }) {
			places = append(places, q)
		}
	}
	var out []budget.Var
	for _, place := range places {
		for _, axis := range []geom.Vec{{X: 1}, {Y: 1}} {
			// off is what the error of the pin that is met now leaves beside that of the one at first.
			off := func(now, first geom.Vec) (d geom.Vec) {
				if now.Dist(place) < SamePlaceMM {
					d = over(axis).Sub(over(geom.Vec{}))
				}
				if p.Before && first.Dist(place) < SamePlaceMM {
					d = d.Sub(axis)
				}
				return d
			}
			f := p.follow(func(at geom.Vec) geom.Vec { return off(over(at), at) })
			if p.Zeroed {
				f = f.Add(budget.Shift(off(p.At[0], p.At[0]).Scale(-1)))
			}
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
	if per == 0 {
		return nil
	}
	lean := budget.Shear(1, 0, geom.Vec{})
	return []budget.Var{{Field: lean.Add(p.follow(lean.At).Scale(-1)), Half: per, Law: budget.Sign}}
}

// Bow is how an axis of the machine that is bowed along u moves the board: one half either
// way (95 %, normal) at the middle of the stretch from one station to another. The pins were
// bored on the bow and take the plate along.
//
//	error(p) = bow(u) - motion of the plate that follows its pins
func (p Pins) Bow(half, from, to float64) []budget.Var {
	bow := budget.Parabola(from, to)
	return []budget.Var{{Field: bow.Add(p.follow(bow.At).Scale(-1)), Half: half, Law: budget.Normal}}
}

// Tram is how a spindle out of square to the bed by per (mm per mm and axis, 95 %, normal)
// moves the board: the tool works aside by per over the heights, along and across, between
// where the part is located and where it is cut.
func Tram(per, along, across float64) []budget.Var {
	return []budget.Var{
		{Field: budget.Shift(geom.Vec{X: 1}), Half: per * along}, {Field: budget.Shift(geom.Vec{Y: 1}), Half: per * across},
	}
}

// Sheared is how a plate that is cut out of square by per (mm per mm, 95 %, normal) moves the
// board: the window is cut askew and so are the holes, which go over pins that stand square.
//
//	error(p) = motion of the board that follows its walls - motion of the plate that follows its pins
func (p Pins) Sheared(per float64, b Board) []budget.Var {
	shear := budget.Shear(1, 0, geom.Vec{})
	return []budget.Var{{Field: b.follow(shear.At).Add(p.follow(shear.At).Scale(-1)), Half: per, Law: budget.Normal}}
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
