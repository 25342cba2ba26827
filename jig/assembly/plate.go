package assembly

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
	"reseat/jig/minimax"
)

// Joint is one pin and the hole that goes over it, as drawn, with the spreads of
// both plates put together. A round hole has no travel.
type Joint struct {
	At           geom.Vec // nominal place of pin and hole, mm
	ClearMM      float64  // hole less pin on the diameter, mean; negative: the pin is the larger
	ClearSDMM    float64  // standard deviation of hole less pin: hypot(hole's, pin's)
	PositionSDMM float64  // standard deviation of pin less hole, per axis: hypot of both plates'
	TravelMM     float64  // distance between the slot's end centres; 0: round
	AngleRad     float64  // direction of the slot from +u
}

const (
	leastJoints, mostJoints = 2, 12
	// leastSpanMM is the least distance between the two pins farthest apart:
	// below a micrometre the direction between them is rounding, not geometry.
	leastSpanMM = 1e-3
	// gapMM is how far the bounds of s* may lie apart: a millionth of a micrometre.
	gapMM = 1e-9
)

// plate is a pattern of joints made ready for many solutions. Its moves turn about
// the middle between the two joints farthest apart, and a unit of turn is one
// millimetre there.
type plate struct {
	pins []minimax.Pin
	a, b int           // the two joints farthest apart
	base minimax.Basis // those two balanced against each other

	// The tightest round hole and a slot place the plate; without them round is -1.
	round, slot int
}

func newPlate(joints []Joint) (*plate, error) {
	if n := len(joints); n < leastJoints || n > mostJoints {
		return nil, fmt.Errorf("%d pins; want %d to %d", n, leastJoints, mostJoints)
	}
	p := &plate{round: -1, slot: -1}
	span := -1.0
	for i := range joints {
		for k := range i {
			if d := joints[k].At.Dist(joints[i].At); d > span {
				span, p.a, p.b = d, k, i
			}
		}
	}
	if !(span >= leastSpanMM) {
		return nil, fmt.Errorf("the two pins farthest apart stand %.4g mm apart; want at least %g mm", span, leastSpanMM)
	}
	middle := joints[p.a].At.Lerp(joints[p.b].At, 0.5)
	for i, j := range joints {
		p.pins = append(p.pins, minimax.Pin{
			Arm: j.At.Sub(middle).Scale(2 / span).Left(), Dir: geom.Polar(1, j.AngleRad), Half: j.TravelMM / 2,
		})
		switch {
		case j.TravelMM > 0:
			p.slot = i
		case p.round < 0 || j.ClearMM < joints[p.round].ClearMM:
			p.round = i
		}
	}
	if p.slot < 0 || p.round < 0 || math.Abs(p.turnOfSlot()) < leastTurn {
		p.round = -1
	}
	p.base = p.balanced()
	return p, nil
}

// balanced balances the two farthest joints against each other: with e the
// direction from a to b and m across it, four normals, each with a quarter of
// the weight, cancel in force and in turning.
//
//	a: -e + m, -e - m    b: e + m, e - m    all over sqrt 2
func (p *plate) balanced() minimax.Basis {
	e := p.pins[p.b].Arm.Left().Scale(-1).Unit() // arm is the place turned left
	m := e.Left()
	facet := func(pin int, n geom.Vec) minimax.Facet { return minimax.NewFacet(p.pins, pin, n.Unit()) }
	return minimax.NewBasis(facet(p.a, m.Sub(e)), facet(p.a, m.Add(e).Scale(-1)), facet(p.b, e.Add(m)), facet(p.b, e.Sub(m)))
}

// turnOfSlot is how far a unit of turn about the round hole's pin carries the slot's
// pin across its slot.
func (p *plate) turnOfSlot() float64 {
	return p.pins[p.slot].Dir.Cross(p.pins[p.slot].Arm.Sub(p.pins[p.round].Arm))
}

// leastTurn keeps the first move well conditioned; any figure will do.
const leastTurn = 0.05

// first returns a move to start from: the round pin in the middle of its hole, the
// slot's pin in the middle across.
func (p *plate) first(off []geom.Vec) r3.Vec {
	if p.round < 0 {
		return r3.Vec{}
	}
	turn := -p.pins[p.slot].Dir.Cross(off[p.slot].Sub(off[p.round])) / p.turnOfSlot()
	shift := off[p.round].Add(p.pins[p.round].Arm.Scale(turn))
	return r3.Vec{X: -shift.X, Y: -shift.Y, Z: turn}
}

// solve returns the bounds of s* for pins off their holes by off, with half the
// clearances room, and a bit for each joint that holds it up.
func (p *plate) solve(off []geom.Vec, room []float64) (s minimax.Bounds, binding uint16) {
	// No move does better than a joint's own room: when the first one leaves no more
	// than the tightest, all is done.
	floor := math.Inf(-1)
	for _, r := range room {
		floor = max(floor, -r)
	}
	problem := minimax.Problem{Pins: p.pins, Off: off, Room: room, Enough: math.Inf(-1), Gap: gapMM}
	worst, _, _, _ := problem.Worst(p.first(off))
	s = minimax.Bounds{Low: floor, High: worst}
	if s.High-s.Low > gapMM {
		basis := p.base
		// A larger move would be worse at a or at b.
		problem.Reach = 2 * (2*s.High + room[p.a] + room[p.b] + p.pins[p.a].Half + p.pins[p.b].Half + off[p.a].Norm() + off[p.b].Norm())
		s = problem.Solve(&basis, s)
		if s.Low > floor {
			for j, w := range basis.Weights {
				if w > leastWeight {
					binding |= 1 << basis.Facets[j].Pin
				}
			}
			return s, binding
		}
	}
	for i, r := range room {
		if -r >= floor-gapMM {
			binding |= 1 << i
		}
	}
	return s, binding
}

// leastWeight is the weight at which a joint counts as binding: below it, a
// micrometre more at that joint changes s* by less than gapMM.
const leastWeight = 1e-6
