package layout

import (
	"math"

	"reseat/jig/geom"
)

// Constraint is one limit on where a pin may stand: the hole's edge must keep NeedMM
// from the forbidden place.
type Constraint struct {
	ID     string // of the rule that reports it
	What   string // "the plate's edge": for "x mm from ..."
	NeedMM float64
	GiveMM float64 // how far Limits moves it away on trial; 0: not at all
	Edge   bool    // it bounds the pattern outward
	// Room gives the distance from a point to the nearest forbidden place, mm,
	// negative inside it.
	Room func(geom.Vec) float64
}

// clearance returns what is left at p for a hole of radius r; negative: not allowed.
func (c Constraint) clearance(p geom.Vec, r float64) float64 { return c.Room(p) - r - c.NeedMM }

// Region is the area in which pins may stand: where every constraint holds.
type Region struct {
	Constraints  []Constraint
	Box          geom.Box
	StepMM       float64 // grid of the positions, from the datum's start
	HoleRadiusMM float64 // largest hole of the pattern
	WebMM        float64 // least material between two holes
}

// Inside and Outside make the room of a constraint from a contour.
func Inside(l geom.Loop) func(geom.Vec) float64 { return geom.NewRuler(l).Depth }

// Outside is the like for a contour that must be kept out of.
func Outside(l geom.Loop) func(geom.Vec) float64 {
	r := geom.NewRuler(l)
	return func(p geom.Vec) float64 { return -r.Depth(p) }
}

// OutsideBox is the like for a rectangle that must be kept out of.
func OutsideBox(b geom.Box) func(geom.Vec) float64 {
	in := b.Rounded(0)
	return func(p geom.Vec) float64 { return -in(p) }
}

// clearance returns the least clearance at p and the zone that gives it.
func (g *Region) clearance(p geom.Vec, r float64) (float64, int) {
	least, which := math.Inf(1), -1
	for i, z := range g.Constraints {
		if s := z.clearance(p, r); s < least {
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
// ascending) the allowed spots (v ascending). Slack is counted up to enough; more
// is told as enough. When there is no spot, best is the position that came nearest
// to being allowed, and by the zone that forbids it.
func (g *Region) columns(enough float64) (cols [][]spot, best spot, by int) {
	cols = g.survey(enough)
	if len(cols) > 0 {
		return cols, spot{}, -1
	}
	best, by = g.nearest()
	return nil, best, by
}

// patch is a rectangle of the grid, both corners included.
type patch struct{ lo, hi [2]int }

// plainPatch is the side of a patch that is judged point by point.
const plainPatch = 4

// middle returns the centre of a patch and how far its points reach from there.
func (p patch) middle(step float64) (geom.Vec, float64) {
	c := geom.Vec{X: float64(p.lo[0]+p.hi[0]) / 2 * step, Y: float64(p.lo[1]+p.hi[1]) / 2 * step}
	return c, math.Hypot(float64(p.hi[0]-p.lo[0]), float64(p.hi[1]-p.lo[1])) / 2 * step
}

// quarters cuts a patch into four, or two when it is one point wide.
func (p patch) quarters() []patch {
	var out []patch
	for _, x := range cut(p.lo[0], p.hi[0]) {
		for _, y := range cut(p.lo[1], p.hi[1]) {
			out = append(out, patch{[2]int{x[0], y[0]}, [2]int{x[1], y[1]}})
		}
	}
	return out
}

func cut(lo, hi int) [][2]int {
	if lo == hi {
		return [][2]int{{lo, hi}}
	}
	m := lo + (hi-lo)/2
	return [][2]int{{lo, m}, {m + 1, hi}}
}

// survey walks the grid patch by patch. A room is a distance, so it changes by no
// more than the way walked: a patch whose middle lacks more than the patch reaches
// is passed over, and a zone that leaves enough at the middle and that much more
// is not asked again within it.
func (g *Region) survey(enough float64) [][]spot {
	lo, hi := g.gridBox()
	w, h := hi[0]-lo[0]+1, hi[1]-lo[1]+1
	if w < 1 || h < 1 {
		return nil
	}
	room := make([]float64, w*h)
	for i := range room {
		room[i] = -1
	}
	found := 0
	var walk func(p patch, zones []int)
	walk = func(p patch, zones []int) {
		c, reach := p.middle(g.StepMM)
		reach += slackEqual // against rounding
		var near [16]int
		left := near[:0]
		for _, i := range zones {
			s := g.Constraints[i].clearance(c, g.HoleRadiusMM)
			if s+reach < 0 {
				return
			}
			if s-reach < enough {
				left = append(left, i)
			}
		}
		if len(left) > 0 && (p.hi[0]-p.lo[0] >= plainPatch || p.hi[1]-p.lo[1] >= plainPatch) {
			for _, q := range p.quarters() {
				walk(q, left)
			}
			return
		}
		for x := p.lo[0]; x <= p.hi[0]; x++ {
			for y := p.lo[1]; y <= p.hi[1]; y++ {
				s := enough
				at := g.gridPoint(x, y)
				for _, i := range left {
					if s = math.Min(s, g.Constraints[i].clearance(at, g.HoleRadiusMM)); s < 0 {
						break
					}
				}
				if s >= 0 {
					room[(x-lo[0])*h+y-lo[1]] = s
					found++
				}
			}
		}
	}
	all := make([]int, len(g.Constraints))
	for i := range all {
		all[i] = i
	}
	walk(patch{lo, hi}, all)

	var cols [][]spot
	spots := make([]spot, 0, found)
	for x := range w {
		from := len(spots)
		for y, s := range room[x*h : (x+1)*h] {
			if s >= 0 {
				spots = append(spots, spot{g.gridPoint(lo[0]+x, lo[1]+y), s})
			}
		}
		if len(spots) > from {
			cols = append(cols, spots[from:len(spots):len(spots)])
		}
	}
	return cols
}

// nearest returns the position on the grid with the most slack, and the zone that
// limits it. Patches that cannot hold a better one are passed over.
func (g *Region) nearest() (best spot, by int) {
	best.slack, by = math.Inf(-1), -1
	var walk func(p patch)
	walk = func(p patch) {
		c, reach := p.middle(g.StepMM)
		if p.lo == p.hi {
			c = g.gridPoint(p.lo[0], p.lo[1])
		}
		s, z := g.slackAbove(c, g.HoleRadiusMM, best.slack-reach)
		if s+reach <= best.slack {
			return
		}
		if p.lo == p.hi {
			best, by = spot{c, s}, z
			return
		}
		for _, q := range p.quarters() {
			walk(q)
		}
	}
	if lo, hi := g.gridBox(); lo[0] <= hi[0] && lo[1] <= hi[1] {
		walk(patch{lo, hi})
	}
	return best, by
}

func (g *Region) gridPoint(i, k int) geom.Vec {
	return geom.Vec{X: float64(i) * g.StepMM, Y: float64(k) * g.StepMM}
}

// slackAbove is slack, but stops at the first zone that falls below floor.
func (g *Region) slackAbove(p geom.Vec, r, floor float64) (float64, int) {
	least, which := math.Inf(1), -1
	for i := range g.Constraints {
		if s := g.Constraints[i].clearance(p, r); s < least {
			least, which = s, i
			if least < floor {
				break
			}
		}
	}
	return least, which
}

func (g *Region) gridBox() (lo, hi [2]int) {
	return [2]int{int(math.Ceil(g.Box.Min.X / g.StepMM)), int(math.Ceil(g.Box.Min.Y / g.StepMM))},
		[2]int{int(math.Floor(g.Box.Max.X / g.StepMM)), int(math.Floor(g.Box.Max.Y / g.StepMM))}
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

// pointEqualMM is the distance at which two places count as the same: a nanometre.
const pointEqualMM = 1e-6

func (g *Region) refusal(best spot, by int) *Refusal {
	if by < 0 {
		return nil
	}
	return &Refusal{best.at, -best.slack, g.Constraints[by]}
}
