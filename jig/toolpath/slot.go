package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// SlotHole mills a slot with a cutter smaller than its width, in the manner of
// Bore: down along the slot's own outline, evenly by a little per turn, once
// around flat on the floor, wide slots ring by ring, one last turn at full depth.
// The ends are true half circles.
//
// The error is Faults, as for Bore. A slot without travel is refused; Bore makes
// round holes.
func SlotHole(h Slot, t Tool, s Settings) (*Cut, error) {
	var f faults
	s = s.Filled(t)
	s.check(t, &f)
	checkSite(&f, h.ID, h.At, h.TopZ, h.FloorZ, s)
	f.within(h.ID, "slot width (mm)", h.WidthMM, smallestMM, largestMM)
	f.within(h.ID, "travel of the slot (mm)", h.TravelMM, smallestMM, largestMM)
	f.within(h.ID, "angle of the slot (rad)", h.AngleRad, -2*math.Pi, 2*math.Pi)
	if f.err() != nil {
		return nil, f.err()
	}
	k := track{
		c: h.At, along: geom.Rigid{Angle: h.AngleRad}.Apply(geom.Vec{X: 1}),
		travel: h.TravelMM, r: (h.WidthMM - t.DiameterMM) / 2, ccw: !s.Conventional,
	}
	what := fmt.Sprintf("slot %.3f wide, travel %.3f, to Z%.3f", h.WidthMM, h.TravelMM, h.FloorZ)
	return mill(&f, h.ID, what, k, h.WidthMM, h.TopZ, h.FloorZ, t, s)
}
