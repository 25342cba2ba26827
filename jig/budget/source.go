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

// Scale is the clearance of one specimen as a share of the largest: normal,
// clamped to 0..1. The zero value means always the whole of it.
type Scale struct{ Mean, SD float64 } // each 0 to 1

// moments returns the means of the clamped share and of its square.
func (s Scale) moments() (mean, square float64) {
	if s == (Scale{}) {
		return 1, 1
	}
	return clampedNormal(s.Mean, s.SD)
}

// Source is one line of the budget: causes that a maker sees and improves
// together.
type Source struct {
	Name string // not empty, unlike every other
	Vars []Var
	// Play is nil for a source without. PlayScale shrinks its poses in the
	// simulation and the standard deviation; the worst case takes them whole.
	Play      Play
	PlayScale Scale
	// OwnHalf is each feature's own independent error per axis, mm: normal,
	// half width of the middle 95 %. In the worst case both axes reach it.
	OwnHalf float64
	Remedy  string // one sentence on how to make this term smaller
}

// Feature is a place on the board that must come back.
type Feature struct {
	Name string // not empty
	At   geom.Vec
}

// Spec is what a budget is computed from.
type Spec struct {
	Sources  []Source
	Features []Feature // at least one
	Trials   int       // 0: 100 000; else 100 to 10 000 000
	Seed     uint64
}

const (
	defaultTrials = 100_000
	// leastTrials leaves five trials beyond the 95 % figure: with fewer it is
	// the luck of single ones.
	leastTrials = 100
	mostTrials  = 10_000_000 // some seconds of work; the figure is then good to 0.03 %
)

func (s Spec) trials() int {
	if s.Trials == 0 {
		return defaultTrials
	}
	return s.Trials
}
