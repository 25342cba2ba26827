package budget

import (
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Play is a convex set of poses that a part can take up freely: a template on
// its pins, a board in its window. The pose of no move belongs to it. Methods
// are called from several goroutines at once.
type Play interface {
	// Reach returns the largest move of the point at along the unit vector dir,
	// in mm: the support function of the moves of that point.
	Reach(at, dir geom.Vec) float64
	// Place maps the unit cube onto the set, so that uniform u, each coordinate
	// 0 to 1, gives poses spread evenly over it.
	Place(u [3]float64) seat.Pose
}

// ClearanceShare is the clearance of one specimen as a share of the largest: normal,
// clamped to 0..1. The zero value means always the whole of it.
type ClearanceShare struct{ Mean, SD float64 } // each 0 to 1

// Source is one line of the budget: causes that a maker sees and improves
// together.
type Source struct {
	Name string
	Vars []Var
	// Play is nil for a source without. PlayScale shrinks its poses in the
	// simulation and the standard deviation; the worst case takes them whole.
	Play      Play
	PlayScale ClearanceShare
	// OwnHalf is each feature's own independent error per axis, mm: normal,
	// half width of the middle 95 %. In the worst case both axes reach it.
	OwnHalf float64
	Remedy  string // one sentence on how to make this term smaller
	// Key is the key of the job file that its figure is given by, "" when there is none, and
	// Assumed that the file leaves it out.
	Key     string
	Assumed bool
}

// Feature is a place on the board that must come back.
type Feature struct {
	Name string
	At   geom.Vec
}

// Spec is what a budget is computed from.
type Spec struct {
	Sources  []Source
	Features []Feature
	Trials   int // a power of two; 0: Runs
	Seed     uint64
	Likely   bool // the worst cases are not asked for, and stay 0
}

// Runs is the number of runs that the figures rest on. With the normal causes in closed form
// no seed of a hundred is off by more than 0.35 % of a 95 % figure, where 100 000 plain
// trials are off by 0.6 to 1.0 % (derived: TestSeeds).
const Runs = 1 << 13

func (s Spec) trials() int {
	if s.Trials == 0 {
		return Runs
	}
	return s.Trials
}
