package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Hole is a round hole to be made: a flat floor at FloorZ, straight walls.
type Hole struct {
	ID         string   // for people: it heads the cut in the file
	At         geom.Vec // centre
	DiameterMM float64  // of the wall
	TopZ       float64  // height of the stock at the hole, at most Settings.TopZ
	FloorZ     float64  // below TopZ
}

// Slot is an elongated hole to be made. Its two end centres lie TravelMM apart
// along AngleRad about At.
type Slot struct {
	ID       string
	At       geom.Vec
	AngleRad float64 // of the long direction from +X
	TravelMM float64 // distance of the end centres, above zero
	WidthMM  float64
	TopZ     float64
	FloorZ   float64
}

// Cut is one hole's work, from a sideways rapid at the safe height to the lift
// back to it.
type Cut struct {
	ID, Says  string   // Says: what is cut, in one line
	At        geom.Vec // where the tool goes down
	Moves     []Move   // Moves[0] is the rapid to At
	Turns     int      // turns of milling, flat ones too; or pecks
	PerTurnMM float64  // depth of one turn or peck
	TopZ      float64  // stock's highest place that the cut was planned for
	SafeZ     float64
	Tool      Tool
	Cautions  []string // what the maker must know; may be empty
}

// checkSite tells what is wrong with a place and its depth.
func checkSite(f *faults, id string, c geom.Vec, topZ, floorZ float64, s Settings) {
	f.within(id, "X (mm)", c.X, -largestMM, largestMM)
	f.within(id, "Y (mm)", c.Y, -largestMM, largestMM)
	if f.within(id, "height of the stock at the hole (mm)", topZ, -largestMM, s.TopZ) {
		f.within(id, "height of the floor (mm)", floorZ, -largestMM, topZ-smallestMM)
	}
}

// writer gathers the moves of a cut.
type writer struct {
	moves []Move
	here  Point
	s     Settings
}

func (w *writer) add(m Move) {
	w.moves = append(w.moves, m)
	w.here = m.To
}

func (w *writer) rapid(p Point) { w.add(Move{Kind: Rapid, To: p}) }

// feed goes straight, unless the tool is there already.
func (w *writer) feed(p Point, mmmin float64) {
	if p != w.here {
		w.add(Move{Kind: Feed, To: p, FeedMMmin: mmmin})
	}
}

func (w *writer) arc(ccw bool, to Point, c geom.Vec, mmmin float64) {
	k := ArcCW
	if ccw {
		k = ArcCCW
	}
	w.add(Move{Kind: k, To: to, Center: c, FeedMMmin: mmmin})
}

// start goes over the hole and down to where feeding begins: by rapid to the
// approach height over the stock's highest place, from there by feed when the
// stock lies lower at the hole.
func (w *writer) start(c geom.Vec, holeTop float64) {
	w.here = at(c, w.s.SafeZ())
	w.add(Move{Kind: Rapid, To: w.here})
	if z := w.s.TopZ + w.s.ApproachMM; z < w.here.Z {
		w.rapid(at(c, z))
	}
	w.feed(at(c, holeTop+w.s.ApproachMM), w.s.FeedZMMmin)
}

// lift leaves the hole straight up.
func (w *writer) lift() { w.rapid(at(w.here.XY(), w.s.SafeZ())) }

// wallFeed returns the feed of the tool's centre on an arc of radius r, so that
// its edge at the wall, tool radius further out, moves at the set feed.
//
//	f = F r / (r + d/2) = F (hole - tool) / hole
//
// Reference: akrivismachine.com, circular interpolation, "internal arc".
func wallFeed(s Settings, t Tool, r float64) float64 {
	return math.Max(leastFeed, s.FeedXYMMmin*r/(r+t.DiameterMM/2))
}

func describe(id, what string) string {
	if id == "" {
		return what
	}
	return fmt.Sprintf("%s: %s", id, what)
}
