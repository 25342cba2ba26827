package toolpath

import "math"

// Tool is what turns in the spindle.
type Tool struct {
	Name       string  // for people
	DiameterMM float64 // d, as measured over the cutting edges
	Teeth      int     // 0: not known
	ReachMM    float64 // how deep it goes before shank or holder touches; 0: not known
	ColletMM   float64 // diameter of the collet nut or holder; 0: not known
	BelowMM    float64 // how far the tip stands below that
}

// DeepestMM is how deep the tool goes into a hole before something wider than it touches;
// ok is false when that is not known.
func (t Tool) DeepestMM() (mm float64, ok bool) {
	switch {
	case t.ReachMM > 0:
		return t.ReachMM, true
	case t.ColletMM > 0:
		return t.BelowMM, true
	}
	return 0, false
}

// Router is a tool and how it cuts. Zero stands for a cautious default, which Filled puts
// in: common practice for small routers in wood, no source.
type Router struct {
	Tool
	FeedMMmin   float64 // of the cutting edge at the wall; 600
	PlungeMMmin float64 // bounds how fast the tool sinks, in a helix too; 150
	SpindleRPM  float64 // 10000, the slow end of most trim routers
	PassMM      float64 // depth of one pass, which is once around; d/5, at most 1
	FinishMM    float64 // radial stock for one finishing pass at full depth; 0.1, at most a ring's step
	SafeMM      float64 // height of sideways rapids above Z0; 5
}

// Filled returns r with its defaults.
func (r Router) Filled() Router {
	for _, f := range []struct {
		to  *float64
		def float64
	}{
		{&r.FeedMMmin, 600},
		{&r.PlungeMMmin, 150},
		{&r.SpindleRPM, 10000},
		{&r.PassMM, math.Min(1, r.DiameterMM/5)},
		{&r.FinishMM, 0.1},
		{&r.SafeMM, 5},
	} {
		if *f.to == 0 {
			*f.to = f.def
		}
	}
	// More than a ring's step would leave a wall standing that no pass meets.
	r.FinishMM = math.Min(r.FinishMM, stepover*r.DiameterMM)
	return r
}

// What no job can set. Common practice, no source, where nothing else is said.
const (
	// approachMM is the height above the stock where rapids down end and feeds begin.
	approachMM = 1

	// rampRad is the steepest slope of a helix, 5 degrees. In a hole hardly larger than the
	// tool it is this that bounds the depth of a pass.
	rampRad = 5 * math.Pi / 180

	// stepover is the radial step from ring to ring of a wide hole, in tool diameters: 35
	// to 40 % is common for roughing (web: mangojellysolutions.blogspot.com, 2022/09,
	// "Understanding Step-Over").
	stepover = 0.4

	// reachOver is the largest radius of the innermost ring, in tool diameters. At one half
	// the edge only just reaches the middle; the rest is the overlap that keeps an island
	// or a thread of wood from staying.
	reachOver = 0.48

	// tightRatio is the hole in tool diameters below which the maker is warned: the helix
	// is nearly a plunge, and chips have hardly room to rise.
	tightRatio = 1.1

	// leastOrbitMM is the smallest radius of a helix that a small router still draws: about
	// one motor step.
	leastOrbitMM = 0.01

	// peckShare is the depth of one drill peck in drill diameters: short, because a router
	// turns fast and chips must come out.
	peckShare = 0.5

	// peckGapMM is how far above the last depth a drill changes from the feed through the
	// open hole to the drilling feed.
	peckGapMM = 0.5

	// drillMatchMM is how far a drill's diameter may differ from its hole's: a rounding.
	drillMatchMM = 1e-6

	// pointShare is the height of a twist drill's point in drill diameters, for the usual
	// point of 118 degrees: tan((180 - 118)/2 degrees)/2 (derived).
	pointShare = 0.30043

	// RapidMMmin is the assumed speed of rapids; only the estimate of time uses it.
	RapidMMmin = 2000

	// leastFeed is the slowest feed that is written, mm/min.
	leastFeed = 1
)
