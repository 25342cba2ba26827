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
	SharedSDMM   float64  // standard deviation of hole less pin beside ClearSDMM, drawn once for all joints
	TravelMM     float64  // distance between the slot's end centres; 0: round
	AngleRad     float64  // direction of the slot from +u
}

const (
	leastJoints, mostJoints = 2, 12
	// gapMM is how far the bounds of s* may lie apart: a millionth of a micrometre.
	gapMM = 1e-9
)

// plate is a pattern of joints made ready for many solutions.
type plate struct {
	minimax.Plate
	base minimax.Basis

	// The tightest round hole and a slot place the plate; without them round is -1.
	round, slot int
}

func newPlate(joints []Joint) (*plate, error) {
	if n := len(joints); n < leastJoints || n > mostJoints {
		return nil, fmt.Errorf("%d pins; want %d to %d", n, leastJoints, mostJoints)
	}
	places := make([]geom.Vec, len(joints))
	for i, j := range joints {
		places[i] = j.At
	}
	pattern, err := minimax.NewPlate(places)
	if err != nil {
		return nil, err
	}
	p := &plate{Plate: pattern, round: -1, slot: -1}
	for i, j := range joints {
		p.Pins[i].Dir, p.Pins[i].Half = geom.Polar(1, j.AngleRad), j.TravelMM/2
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
	p.base = p.Balanced()
	return p, nil
}

// turnOfSlot is how far a unit of turn about the round hole's pin carries the slot's
// pin across its slot.
func (p *plate) turnOfSlot() float64 {
	return p.Pins[p.slot].Dir.Cross(p.Pins[p.slot].Arm.Sub(p.Pins[p.round].Arm))
}

// leastTurn keeps the first move well conditioned; any figure will do.
const leastTurn = 0.05

// first returns a move to start from: the round pin in the middle of its hole, the
// slot's pin in the middle across.
func (p *plate) first(off []geom.Vec) r3.Vec {
	if p.round < 0 {
		return r3.Vec{}
	}
	turn := -p.Pins[p.slot].Dir.Cross(off[p.slot].Sub(off[p.round])) / p.turnOfSlot()
	shift := off[p.round].Add(p.Pins[p.round].Arm.Scale(turn))
	return r3.Vec{X: -shift.X, Y: -shift.Y, Z: turn}
}

// problem is that of pins off their holes by off, with half the clearances room.
func (p *plate) problem(off []geom.Vec, room []float64) minimax.Problem {
	return minimax.Problem{Pins: p.Pins, Off: off, Room: room, Enough: math.Inf(-1), Gap: gapMM}
}

// solve returns the bounds of s* and a bit for each joint that holds it up.
func (p *plate) solve(problem *minimax.Problem) (s minimax.Bounds, binding uint16) {
	off, room := problem.Off, problem.Room
	// No move does better than a joint's own room: when the first one leaves no more
	// than the tightest, all is done.
	floor := math.Inf(-1)
	for _, r := range room {
		floor = max(floor, -r)
	}
	worst, _, _, _ := problem.Worst(p.first(off))
	s = minimax.Bounds{Low: floor, High: worst}
	if s.High-s.Low > gapMM {
		basis := p.base
		// A larger move would be worse at A or at B.
		far := func(pin int) float64 { return s.High + room[pin] + p.Pins[pin].Half + off[pin].Norm() }
		problem.Reach = 2 * (far(p.A) + far(p.B))
		s = problem.Solve(&basis, s)
		if s.Low > floor {
			for j, w := range basis.Weights {
				if w > leastWeight {
					binding |= 1 << basis.Cuts[j].Pin
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
