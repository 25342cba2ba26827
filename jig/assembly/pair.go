package assembly

import (
	"math"

	"reseat/jig/geom"
)

// isPair reports whether the pattern is a round hole and a slot along the line
// between them, and which is which: nearly all plates once their clear holes are left
// out.
func (p *plate) isPair() (round, slot int, ok bool) {
	if len(p.seats) != 2 {
		return 0, 0, false
	}
	slot = 1
	if p.seats[0].half > 0 {
		slot = 0
	}
	round = 1 - slot
	k := &p.seats[slot]
	if p.seats[round].half > 0 || k.half == 0 {
		return 0, 0, false
	}
	// A turn carries the slot's pin along arm, which is square to the line.
	return round, slot, math.Abs(k.dir.Dot(k.arm)) <= pairAngle
}

// pairAngle is the sine of the angle between slot and line below which the slot lies
// along it: drawn so, they differ by rounding alone, and over a metre it is a
// picometre.
const pairAngle = 1e-12

// solvePair is solve for a round hole and a slot along their line, but for the pose.
// The plate can be
// laid so that the round pin stands in the middle of its hole and a turn about it
// brings the other onto the slot's track; then no distance is left at all, and
//
//	s* = -min(r)
//
// as long as the errors along the line leave the pin within the slot's travel; ok is
// false otherwise.
func (p *plate) solvePair(e *[mostJoints]geom.Vec, r *[mostJoints]float64) (solution, bool) {
	if !p.pair {
		return solution{}, false
	}
	k := &p.seats[p.slot]
	if math.Abs(e[p.slot].Sub(e[p.round]).Dot(k.dir)) > k.half {
		return solution{}, false
	}
	floor := -min(r[0], r[1])
	return solution{low: floor, high: floor, binding: p.tightest(r, floor)}, true
}
