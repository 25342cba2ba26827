package jig

import (
	"math"

	"reseat/jig/geom"
)

// zone is one limit on where a pin may stand. room gives the distance from a
// point to the nearest forbidden place, negative inside it; the hole's edge must
// keep need from it.
type zone struct {
	id   string // the rule's name
	what string // "the plate's edge": for "x mm from ..."
	need float64
	room func(geom.Vec) float64
}

// slack returns what is left at p for a hole of radius r; negative: not allowed.
func (z zone) slack(p geom.Vec, r float64) float64 { return z.room(p) - r - z.need }

// ground is the area in which pins may stand.
type ground struct {
	zones []zone
	box   geom.Box
	step  float64 // grid of the positions, from the datum's start
	holeR float64 // largest hole of the pattern
	web   float64 // least material between two holes
}

// inside and outside make rooms from contours.
func inside(l geom.Loop) func(geom.Vec) float64 { return geom.NewRuler(l).Depth }

func outside(l geom.Loop) func(geom.Vec) float64 {
	r := geom.NewRuler(l)
	return func(p geom.Vec) float64 { return -r.Depth(p) }
}

// slack returns the least slack at p and the zone that gives it.
func (g *ground) slack(p geom.Vec, r float64) (float64, int) {
	least, which := math.Inf(1), -1
	for i, z := range g.zones {
		if s := z.slack(p, r); s < least {
			least, which = s, i
		}
	}
	return least, which
}

// spot is an allowed position with the slack it has.
type spot struct {
	at    geom.Vec
	slack float64
}

// columns surveys the grid for the pattern's largest hole: for every station (u
// ascending) the allowed spots (v ascending). When there is none, best is the
// position that came nearest to being allowed, and by the zone that forbids it.
func (g *ground) columns() (cols [][]spot, best spot, by int) {
	cols, _, _ = g.survey(true)
	if len(cols) > 0 {
		return cols, spot{}, -1
	}
	return g.survey(false)
}

// survey walks the grid. A room is a distance, so it changes by no more than the
// way walked: where a position lacks d, the next ones nearer than d lack too, and
// leap passes over them. Without leap every position is judged, for best.
func (g *ground) survey(leap bool) (cols [][]spot, best spot, by int) {
	r := g.holeR
	best.slack, by = math.Inf(-1), -1
	lo, hi := g.gridBox()
	for i := lo[0]; i <= hi[0]; i++ {
		var col []spot
		for k := lo[1]; k <= hi[1]; k++ {
			p := geom.Vec{X: float64(i) * g.step, Y: float64(k) * g.step}
			floor := math.Min(0, best.slack)
			if leap {
				floor = 0
			}
			s, z := g.slackAbove(p, r, floor)
			if s > best.slack {
				best, by = spot{p, s}, z
			}
			switch {
			case s >= 0:
				col = append(col, spot{p, s})
			case leap && -s > slackEqual+g.step:
				// slackEqual keeps rounding from leaping over an allowed one.
				k += int((-s-slackEqual)/g.step) - 1
			}
		}
		if len(col) > 0 {
			cols = append(cols, col)
		}
	}
	return cols, best, by
}

// slackAbove is slack, but stops at the first zone that falls below floor.
func (g *ground) slackAbove(p geom.Vec, r, floor float64) (float64, int) {
	least, which := math.Inf(1), -1
	for i := range g.zones {
		if s := g.zones[i].slack(p, r); s < least {
			least, which = s, i
			if least < floor {
				break
			}
		}
	}
	return least, which
}

// tighter returns the spots that still have more to spare, less that much.
func tighter(cols [][]spot, more float64) [][]spot {
	var out [][]spot
	for _, col := range cols {
		var keep []spot
		for _, s := range col {
			if s.slack >= more {
				keep = append(keep, spot{s.at, s.slack - more})
			}
		}
		if len(keep) > 0 {
			out = append(out, keep)
		}
	}
	return out
}

func (g *ground) gridBox() (lo, hi [2]int) {
	return [2]int{int(math.Ceil(g.box.Min.X / g.step)), int(math.Ceil(g.box.Min.Y / g.step))},
		[2]int{int(math.Floor(g.box.Max.X / g.step)), int(math.Floor(g.box.Max.Y / g.step))}
}

// runs splits a column into stretches of neighbouring spots.
func runs(col []spot, step float64) [][]spot {
	var out [][]spot
	start := 0
	for i := 1; i <= len(col); i++ {
		if i == len(col) || col[i].at.Y-col[i-1].at.Y > 1.5*step {
			out = append(out, col[start:i])
			start = i
		}
	}
	return out
}

// roomiest returns the spot of a run with the most slack, up to enough; among
// equals the one nearest the datum line, the left one first.
func roomiest(run []spot, enough float64) spot {
	best := run[0]
	for _, s := range run[1:] {
		a, b := math.Min(s.slack, enough), math.Min(best.slack, enough)
		if a > b+slackEqual || (a > b-slackEqual && math.Abs(s.at.Y) <= math.Abs(best.at.Y)) {
			best = s
		}
	}
	return best
}

// slackEqual is the difference in slack that is not worth an untidy position: a
// thousandth of a millimetre, below what any of the processes holds.
const slackEqual = 1e-3
