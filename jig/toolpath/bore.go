package toolpath

import (
	"fmt"

	"reseat/jig/geom"
)

// Bore mills a round hole with a cutter smaller than it.
//
// The tool goes over the centre, down to the approach height, out to its circle
// while still in air, down in a helix of full circles, and once around flat on
// the floor. A hole too wide for one ring is cleared level by level with rings
// from the inside outward. A last turn at full depth takes the stock that was left
// for it. Then back to the centre and up. There is no plunge.
//
//	radius of the tool's centre = (hole - tool) / 2
//
// The error is Faults: *ToolError for a tool that is not smaller than the hole,
// *InputError for figures that cannot be meant, all at once.
func Bore(h Hole, t Tool, s Settings) (*Cut, error) {
	var f faults
	s = s.Filled(t)
	s.check(t, &f)
	checkSite(&f, h.ID, h.At, h.TopZ, h.FloorZ, s)
	f.within(h.ID, "hole diameter (mm)", h.DiameterMM, smallestMM, largestMM)
	if f.err() != nil {
		return nil, f.err()
	}
	k := track{c: h.At, along: geom.Vec{X: 1}, r: (h.DiameterMM - t.DiameterMM) / 2, ccw: !s.Conventional}
	what := fmt.Sprintf("bore %.3f to Z%.3f", h.DiameterMM, h.FloorZ)
	return mill(&f, h.ID, what, k, h.DiameterMM, h.TopZ, h.FloorZ, t, s)
}

// mill plans and writes the cut of a track.
func mill(f *faults, id, what string, k track, width, topZ, floorZ float64, t Tool, s Settings) (*Cut, error) {
	c := planClearing(f, id, k, width, topZ, floorZ, t, s)
	if f.err() != nil {
		return nil, f.err()
	}
	w := writer{s: s}
	w.start(k.hub(), topZ)
	turns, perTurn := c.cut(&w, t)
	return &Cut{
		ID: id, Says: describe(id, fmt.Sprintf("%s, %d turns, at most %.3f deep", what, turns, perTurn)),
		At: k.hub(), Moves: w.moves, Turns: turns, PerTurnMM: perTurn,
		TopZ: s.TopZ, SafeZ: s.SafeZ(), Tool: t, Cautions: c.cautions,
	}, nil
}
