package toolpath

import (
	"fmt"
	"math"
)

// drillMatchMM is how far a drill's diameter may differ from the hole that it is
// asked for: half the step of 0.1 mm in which metric drills are sold.
const drillMatchMM = 0.05

// pointShare is the height of a twist drill's point in drill diameters, for the usual
// point angle of 118 degrees: tan((180-118)/2 degrees) / 2 (derived).
const pointShare = 0.30043

// PointMM returns how far a drill's point reaches below its full diameter, mm.
func PointMM(drillMM float64) float64 { return float64(pointShare * drillMM) }

// Drill makes a round hole with a drill of its diameter, by pecks written out.
// FloorZ is the depth of the full diameter; the drill's point reaches PointMM
// further.
//
// Each peck feeds down, then leaves the hole by rapid, so that the chips come out.
// The way back down is a feed, never a rapid: a rapid below the stock's top is
// what a crash looks like, and no checker can tell the two apart (rule C05).
//
// The error is Faults: *ToolError for a drill of another diameter.
func Drill(h Hole, t Tool, s Settings) (*Cut, error) {
	var f faults
	s = s.Filled(t)
	s.check(t, &f)
	checkSite(&f, h.ID, h.At, h.TopZ, h.FloorZ, s)
	if f.within(h.ID, "hole diameter (mm)", h.DiameterMM, smallestMM, largestMM) &&
		math.Abs(h.DiameterMM-t.DiameterMM) > drillMatchMM {
		f.add(&ToolError{h.ID, t.DiameterMM, h.DiameterMM, "a drill makes a hole of its own diameter"})
	}
	if f.err() != nil {
		return nil, f.err()
	}
	bottom := h.FloorZ - PointMM(t.DiameterMM)
	pecks := ceilRatio(h.TopZ-bottom, s.PeckMM)
	if pecks > maxTurns {
		f.add(&InputError{h.ID, "drill peck (mm)", s.PeckMM, "more: so many pecks are beyond reason"})
		return nil, f.err()
	}
	w := writer{s: s}
	w.start(h.At, h.TopZ)
	entry := s.TopZ + s.ApproachMM
	depth := func(i int) float64 { return h.TopZ - (h.TopZ-bottom)*float64(i)/float64(pecks) }
	for i := 1; i <= pecks; i++ {
		if i > 1 {
			w.rapid(at(h.At, entry))
			w.feed(at(h.At, math.Min(entry, depth(i-1)+s.PeckGapMM)), s.FeedReturnMMmin)
		}
		z := depth(i)
		if i == pecks {
			z = bottom
		}
		w.feed(at(h.At, z), s.FeedZMMmin)
	}
	w.lift()
	c := &Cut{
		ID: h.ID, At: h.At, Moves: w.moves, Turns: pecks, PerTurnMM: (h.TopZ - bottom) / float64(pecks),
		TopZ: s.TopZ, SafeZ: s.SafeZ(), Tool: t,
	}
	c.Says = describe(h.ID, fmt.Sprintf("drill %.3f, full diameter to Z%.3f, point to Z%.3f, %d pecks of %.3f",
		t.DiameterMM, h.FloorZ, bottom, pecks, c.PerTurnMM))
	return c, nil
}
