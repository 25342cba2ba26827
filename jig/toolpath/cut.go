package toolpath

import (
	"fmt"
	"iter"
	"math"

	"reseat/jig/geom"
)

// Hole is a round hole to be made, straight down from the stock's top.
type Hole struct {
	ID         string   // for people: it heads the cut in the file
	At         geom.Vec // centre
	DiameterMM float64
	DepthMM    float64 // of the flat floor, or of a drill's full diameter
	FromMM     float64 // depth of a wider hole that is there already; the cutter feeds down in it
}

// Slot is an elongated hole with round ends to be made.
type Slot struct {
	ID       string
	At       geom.Vec // middle
	AngleRad float64  // of the long direction from +X
	TravelMM float64  // distance of the end centres, above zero
	WidthMM  float64
	DepthMM  float64
}

// Cut is one hole's work, from the sideways rapid at the safe height to the lift back to
// it.
type Cut struct {
	ID, Says string   // Says: what is cut, in one line
	At       geom.Vec // where the tool goes down
	Passes   int      // of milling, flat ones too; or pecks
	PassMM   float64  // depth of one pass or peck
	Cautions []string // what the maker must know

	most int // moves, at most
	make func(w *writer)
}

// Moves makes the moves; the first is the rapid to At, the last the lift.
func (c *Cut) Moves() iter.Seq[Move] {
	return func(yield func(Move) bool) { c.make(&writer{yield: yield}) }
}

// writer hands out the moves of a cut.
type writer struct {
	yield func(Move) bool
	done  bool // the reader wants no more
	here  Point
}

func (w *writer) add(m Move) {
	if m.Kind != Rapid {
		m.FeedMMmin = wholeFeed(m.FeedMMmin)
	}
	w.here = m.To
	if !w.done {
		w.done = !w.yield(m)
	}
}

func (w *writer) rapid(p Point) { w.add(Move{Kind: Rapid, To: p}) }

// feed goes straight, unless the tool is there already.
func (w *writer) feed(p Point, mmmin float64) {
	if p != w.here {
		w.add(Move{Kind: Feed, To: p, FeedMMmin: mmmin})
	}
}

func (w *writer) arc(to Point, c geom.Vec, mmmin float64) {
	w.add(Move{Kind: Arc, To: to, Center: c, FeedMMmin: mmmin})
}

// wholeFeed is a feed as it is written: whole mm/min, down, so that no move is faster than
// asked for and the time told is that of the file.
func wholeFeed(mmmin float64) float64 {
	const sameMMmin = 1e-6 // nearer to a whole number below is a rounding
	return math.Floor(mmmin + sameMMmin)
}

// start goes over the hole and down to where feeding begins.
func (w *writer) start(c geom.Vec, safeMM float64) {
	w.rapid(at(c, safeMM))
	w.rapid(at(c, approachMM))
}

// lift leaves the hole straight up.
func (w *writer) lift(safeMM float64) { w.rapid(at(w.here.XY(), safeMM)) }

// wallFeed returns the feed of the tool's centre on an arc of a radius, so that its edge
// at the wall, half a diameter d further out, moves at the set feed.
//
//	F radius / (radius + d/2) = F (hole - d) / hole
//
// Source (web): akrivismachine.com, circular interpolation, "internal arc".
func (r Router) wallFeed(radius float64) float64 {
	return math.Max(leastFeed, r.FeedMMmin*radius/(radius+r.DiameterMM/2))
}

// sinkFeed lowers a feed so that the tool sinks no faster than PlungeMMmin.
func (r Router) sinkFeed(mmmin, drop, length float64) float64 {
	if drop <= 0 {
		return mmmin
	}
	return math.Max(leastFeed, math.Min(mmmin, r.PlungeMMmin*math.Hypot(length, drop)/drop))
}

// ratioTol forgives the rounding of a quotient that is a whole number, so that 6 mm in
// steps of 0.2 mm are 30 passes and not 31.
const ratioTol = 1e-9

func ceilRatio(a, b float64) int { return max(1, int(math.Ceil(a/b-ratioTol))) }

// PointMM returns how far a drill's point reaches below its full diameter, mm.
func PointMM(drillMM float64) float64 { return float64(pointShare * drillMM) }

// Drill makes a round hole with a drill of its diameter, by pecks written out. The full
// diameter reaches the hole's depth, the drill's point goes PointMM beyond it.
//
// Each peck feeds down, then leaves the hole by rapid, so that the chips come out. The way
// back down is a feed, never a rapid: a rapid below the stock's top is what a crash looks
// like, and no checker can tell the two apart.
func (r Router) Drill(h Hole) (*Cut, error) {
	if math.Abs(h.DiameterMM-r.DiameterMM) > drillMatchMM {
		return nil, fmt.Errorf("a drill of %.4g mm does not make a hole of %.4g mm; one program has one drill",
			r.DiameterMM, h.DiameterMM)
	}
	bottom := h.DepthMM + PointMM(r.DiameterMM)
	pecks := ceilRatio(bottom, peckShare*r.DiameterMM)
	c := &Cut{ID: h.ID, At: h.At, Passes: pecks, PassMM: bottom / float64(pecks), most: 3*pecks + 3}
	c.Says = fmt.Sprintf("%s: drill %.3f, full diameter to Z%.3f, point to Z%.3f, %d pecks of %.3f",
		h.ID, r.DiameterMM, -h.DepthMM, -bottom, pecks, c.PassMM)
	c.make = func(w *writer) {
		w.start(h.At, r.SafeMM)
		depth := func(i int) float64 { return bottom * (float64(i) / float64(pecks)) }
		for i := 1; i <= pecks; i++ {
			if i > 1 {
				w.rapid(at(h.At, approachMM))
				w.feed(at(h.At, math.Min(approachMM, peckGapMM-depth(i-1))), r.FeedMMmin)
			}
			w.feed(at(h.At, -depth(i)), r.PlungeMMmin)
		}
		w.lift(r.SafeMM)
	}
	return c, nil
}
