package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Constraint is one limit on where a pin may stand: the hole's edge must keep NeedMM
// from the forbidden place.
type Constraint struct {
	ID      string // of the rule that reports it
	What    string // "the plate's edge": for "x mm from ..."
	NeedMM  float64
	RelaxMM float64 // how far Limits moves it away on trial; 0: not at all
	Edge    bool    // it bounds the pattern outward
	// Room gives the distance from a point to the nearest forbidden place, mm,
	// negative inside it. It must be a distance: no steeper than the way walked.
	Room func(geom.Vec) float64
	From any // values that alone decide Room; nil: not said
}

// Outside is the room of a constraint from a contour that a hole must keep out of.
func Outside(l geom.Loop) func(geom.Vec) float64 {
	r := geom.Prepare(l)
	return func(p geom.Vec) float64 { return -r.Depth(p) }
}

// Region is the feasible region of the pins: where every constraint holds.
type Region struct {
	Constraints  []Constraint
	Box          geom.Box
	StepMM       float64 // grid of the positions, from the datum's start
	HoleRadiusMM float64 // largest hole of the pattern
	WebMM        float64 // least material between two holes
}

// clearanceTo returns what constraint i leaves at p; negative: not allowed.
func (g *Region) clearanceTo(i int, p geom.Vec) float64 {
	c := &g.Constraints[i]
	return c.Room(p) - g.HoleRadiusMM - c.NeedMM
}

// clearance returns the least clearance at p and the constraint that leaves it. It
// stops at the first that leaves less than floor.
func (g *Region) clearance(p geom.Vec, floor float64) (float64, int) {
	least, which := math.Inf(1), -1
	for i := range g.Constraints {
		if s := g.clearanceTo(i, p); s < least {
			if least, which = s, i; s < floor {
				break
			}
		}
	}
	return least, which
}

// allowed returns the place at p with its clearance, if a pin may stand there.
func (g *Region) allowed(p geom.Vec) (place, bool) {
	s, _ := g.clearance(p, -roundingMM)
	return place{p, s}, s >= -roundingMM
}

// place is an allowed position with the clearance that it has.
type place struct {
	at        geom.Vec
	clearance float64
}

const (
	// enoughMM is the clearance that is still worth having when places are compared;
	// more has no value to a maker.
	enoughMM = 3.0
	// sameMM is the difference that is not worth an untidy place: a thousandth of a
	// millimetre, below what any of the processes holds.
	sameMM = 1e-3
	// roundingMM is forgiven where lengths are compared: far above what rounding of
	// coordinates does to them, below what the rules forgive.
	roundingMM = 1e-7
)

// numbers returns the first and last column and row of the grid.
func (g *Region) numbers() (lo, hi [2]int) {
	up := func(x float64) int { return int(math.Ceil(x / g.StepMM)) }
	down := func(x float64) int { return int(math.Floor(x / g.StepMM)) }
	return [2]int{up(g.Box.Min.X), up(g.Box.Min.Y)}, [2]int{down(g.Box.Max.X), down(g.Box.Max.Y)}
}

func (g *Region) point(x, y int) geom.Vec {
	return geom.Vec{X: float64(x) * g.StepMM, Y: float64(y) * g.StepMM}
}

// steps is how many whole steps of the grid can be walked without using up d.
func (g *Region) steps(d float64) int { return max(0, int((d-2*roundingMM)/g.StepMM)) }

// survey returns every allowed place of the grid for the pattern's largest hole, u
// ascending, then v. Clearance is counted up to enough; more is told as enough.
//
// A room is a distance, so it changes by no more than the way walked: a constraint that
// lacks s forbids all places less than s away, and one that cannot leave less than another
// that was asked, or than enough, need not be asked. The last one that mattered is asked first.
func (g *Region) survey(enough float64) []place {
	lo, hi := g.numbers()
	rows := max(0, hi[1]-lo[1]+1)
	out := make([]place, 0, max(0, hi[0]-lo[0]+1)*rows/8)
	asked := make([]answers, len(g.Constraints))
	order := make([]int, len(g.Constraints))
	for c := range asked {
		asked[c], order[c] = newAnswers(rows), c
	}
	for x := lo[0]; x <= hi[0]; x++ {
	column:
		for y := 0; y < rows; y++ {
			here, least := place{g.point(x, lo[1]+y), enough}, 0
			for i, c := range order {
				a := asked[c]
				low, high := a.bounds(x, y, g.StepMM)
				if low >= here.clearance {
					continue
				}
				if high >= -roundingMM {
					s := g.clearanceTo(c, here.at)
					a.keep(answer{x, y, s}, g.steps(max(-s, s-enough)))
					low, high = s, s
				}
				if high < -roundingMM {
					y += g.steps(-high)
					order[0], order[i] = order[i], order[0]
					continue column
				}
				if low < here.clearance {
					here.clearance, least = low, i
				}
			}
			order[0], order[least] = order[least], order[0]
			out = append(out, here)
		}
	}
	return out
}

// answer is what a constraint leaves at a place of the grid, mm.
type answer struct {
	x, y int
	left float64
}

// answers are of one constraint, for each row the last that tells most there.
type answers []answer

// newAnswers tell nothing: they are of a place far away.
func newAnswers(rows int) answers {
	return slices.Repeat(answers{{x: math.MinInt32}}, rows)
}

// keep keeps an answer for its row and as many more as it is to serve.
func (a answers) keep(k answer, more int) {
	for y := k.y; y < min(len(a), k.y+2+more); y++ {
		a[y] = k
	}
}

// bounds returns what the constraint leaves at least and at most, by the answer kept.
func (a answers) bounds(x, y int, step float64) (low, high float64) {
	k := &a[y]
	dx, dy := float64(x-k.x), float64(y-k.y)
	way := step*math.Sqrt(dx*dx+dy*dy) + roundingMM
	return k.left - way, k.left + way
}

// nearest returns the position on the grid with the most clearance, and the constraint
// that limits it: for a region without an allowed place.
func (g *Region) nearest() (best place, by int) {
	best.clearance, by = math.Inf(-1), -1
	lo, hi := g.numbers()
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			p := g.point(x, y)
			s, c := g.clearance(p, best.clearance)
			if s > best.clearance {
				best, by = place{p, s}, c
			} else {
				y += g.steps(best.clearance - s)
			}
		}
	}
	return best, by
}

// find returns the place at p of a survey, where p is on its grid but for rounding.
func find(places []place, p geom.Vec, step float64) (place, bool) {
	near := func(x, y float64) int {
		if math.Abs(x-y) < step/2 {
			return 0
		}
		return cmp.Compare(x, y)
	}
	i, ok := slices.BinarySearchFunc(places, p, func(a place, p geom.Vec) int {
		return cmp.Or(near(a.at.X, p.X), near(a.at.Y, p.Y))
	})
	if !ok {
		return place{}, false
	}
	return places[i], true
}
