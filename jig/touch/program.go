package touch

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/reading"
)

// Feeds of a program of touches, mm/min. Common practice, no source: slow enough that the
// probe's own travel takes up the way to a stop, and that a touch repeats to 0.01 mm.
const (
	TravelFeed = 600 // down over free air, and up again
	DownFeed   = 100 // the last of the way down, beside or into the board
	FastFeed   = 150 // first touch
	BackFeed   = 300 // to where the probing move began
	SlowFeed   = 50  // second touch, the one that counts
)

// ProbesATouch is how many probing moves a program makes of each touch; the last one counts.
const ProbesATouch = 2

// MoveKind is what a Move does.
type MoveKind int

// The moves there are.
const (
	Rapid MoveKind = iota // at the safe height
	Feed
	Probe // stops where something is met, and the controller stops where nothing is
	Pause // until the operator goes on
)

// Move is one line of a program. Coordinates that a move leaves alone are NaN.
type Move struct {
	Kind    MoveKind
	To      [3]float64
	FeedMM  float64 // mm/min; 0 for rapids
	Comment string  // before it; "": none
}

// Program is the plan as a program for a touch probe.
type Program struct {
	File, Title    string
	Says, Cautions []string
	SafeMM         float64
	Moves          []Move
	Min, Max       [3]float64 // of everything that it can reach, X0 Y0 included
}

// still is a coordinate that a move leaves alone.
var still = math.NaN()

// Program lays out the moves of a plan: over every touch at the safe height, down, in fast,
// back to where that began, in slowly, back, up.
func (p *Plan) Program() Program {
	g := Program{SafeMM: p.SafeMM, Max: [3]float64{2: p.SafeMM}}
	g.add(Move{Kind: Rapid, To: [3]float64{still, still, p.SafeMM}})
	last, seated := "", p.Rim == ""
	for _, t := range p.Touches {
		says := fmt.Sprintf("touch %d", t.Number)
		if group := t.group(); group != last {
			says, last = says+": "+group, group
		}
		if t.What == reading.OnTop && !seated {
			seated = true
			g.add(Move{Kind: Pause, Comment: "seat plate and board now, or the blank; clear the chips; then go on"})
		}
		g.touch(t, says)
	}
	g.add(Move{Kind: Rapid, To: [3]float64{0, 0, still}})
	return g
}

// group names touches of one kind.
func (t Touch) group() string {
	switch {
	case t.Mark != "":
		return "rim of " + t.Mark
	case t.What == reading.OnTop:
		return "face, along the datum line"
	}
	return "the board's " + t.What + " edge, as seen on its top"
}

func (g *Program) add(m Move) {
	for i, x := range m.To {
		if m.Kind != Pause && !math.IsNaN(x) {
			g.Min[i], g.Max[i] = math.Min(g.Min[i], x), math.Max(g.Max[i], x)
		}
	}
	g.Moves = append(g.Moves, m)
}

func (g *Program) up() {
	g.add(Move{Kind: Feed, To: [3]float64{still, still, g.SafeMM}, FeedMM: TravelFeed})
}

// touch is the moves of one touch.
func (g *Program) touch(t Touch, says string) {
	g.add(Move{Kind: Rapid, To: [3]float64{t.From.X, t.From.Y, still}, Comment: says})
	down := func(z, feed float64) { g.add(Move{Kind: Feed, To: [3]float64{still, still, z}, FeedMM: feed}) }
	begin := math.Min(t.OverMM+aboveMM, g.SafeMM)
	to, back := [3]float64{still, still, t.TipMM - beyondMM}, [3]float64{still, still, begin}
	down(begin, TravelFeed)
	if t.Dir != (geom.Vec{}) {
		down(t.TipMM, DownFeed)
		end := t.At.Add(t.Dir.Scale(beyondMM))
		to, back = [3]float64{end.X, end.Y, still}, [3]float64{t.From.X, t.From.Y, still}
	}
	for _, feed := range []float64{FastFeed, SlowFeed} {
		g.add(Move{Kind: Probe, To: to, FeedMM: feed})
		g.add(Move{Kind: Feed, To: back, FeedMM: BackFeed})
	}
	g.up()
}
