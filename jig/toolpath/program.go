package toolpath

import (
	"fmt"
	"iter"
	"math"

	"reseat/jig/geom"
)

// Program is everything that one tool cuts in one run. It starts and ends over the work
// zero at the safe height. Where the tool really comes from nobody knows; whoever writes the
// program lifts it first.
type Program struct {
	Head
	Router
	Cautions []string
	Cuts     []*Cut // in their order
	Run      Summary
}

// Head is what a program says about itself.
type Head struct {
	File  string   // name of the file, without folders
	Title string   // of the job
	Says  []string // safety, zero and stock in words, one line each
}

// Summary is what a dry run finds.
type Summary struct {
	Min, Max Point   // box of the tip's way, the return move included
	TimeS    float64 // seconds without acceleration, more so in small circles
	Passes   int     // of all cuts
	PassMM   float64 // deepest pass or peck
}

// DeepestMM returns how far the tip goes below the stock's top.
func (s Summary) DeepestMM() float64 { return -s.Min.Z }

// mostMoves bounds a program: 4 million moves are a file of 170 MB and weeks of cutting.
// More is a slip in a size, not a job.
const mostMoves = 4_000_000

// Program puts cuts into one program, nearest first from the work zero. The error is for
// no cuts, more moves than anybody runs, or a move that no machine must make.
func (r Router) Program(h Head, cuts []*Cut) (*Program, error) {
	p := &Program{Head: h, Router: r}
	most := 0
	for _, i := range nearestFirst(cuts) {
		c := cuts[i]
		p.Cuts = append(p.Cuts, c)
		p.Cautions = append(p.Cautions, c.Cautions...)
		p.Run.Passes += c.Passes
		p.Run.PassMM = math.Max(p.Run.PassMM, c.PassMM)
		most += c.most
	}
	switch {
	case len(cuts) == 0:
		return nil, fmt.Errorf("nothing to cut")
	case most > mostMoves:
		return nil, fmt.Errorf("%d holes in %d passes need some %.1f million moves, and at most %d million are written: "+
			"take a cutter that leaves more room to its hole, or deeper passes (cutting.turn)",
			len(cuts), p.Run.Passes, float64(most)/1e6, mostMoves/1_000_000)
	}
	return p, p.dryRun()
}

// nearestFirst returns the order in which to visit the cuts: always the nearest one left,
// the first in the list among equals. It is not the shortest way there is; for a dozen
// holes the difference is seconds.
func nearestFirst(cuts []*Cut) []int {
	const tieMM = 1e-6 // nearer by less than a rounding is no nearer, on whatever machine
	var order []int
	var from geom.Vec
	done := make([]bool, len(cuts))
	for range cuts {
		best := -1
		for i, c := range cuts {
			if !done[i] && (best < 0 || c.At.Dist(from) < cuts[best].At.Dist(from)-tieMM) {
				best = i
			}
		}
		done[best] = true
		order = append(order, best)
		from = cuts[best].At
	}
	return order
}

// home is where a program starts and ends.
func (p *Program) home() Point { return Point{Z: p.SafeMM} }

// Moves makes every move with the place that it starts from, the return move included.
func (p *Program) Moves() iter.Seq2[Point, Move] {
	return func(yield func(Point, Move) bool) {
		from := p.home()
		for _, c := range p.Cuts {
			for m := range c.Moves() {
				if !yield(from, m) {
					return
				}
				from = m.To
			}
		}
		yield(from, Move{Kind: Rapid, To: p.home()})
	}
}

// dryRun sums the moves up and refuses one that no machine must make.
func (p *Program) dryRun() error {
	s := &p.Run
	s.Min, s.Max = p.home(), p.home()
	n := 0
	for from, m := range p.Moves() {
		if why := p.wrong(from, m); why != "" {
			return fmt.Errorf("move %d of %s %s", n, p.File, why)
		}
		n++
		rate := m.FeedMMmin
		if m.Kind == Rapid {
			rate = RapidMMmin
		}
		s.TimeS += 60 * m.length(from) / rate
		b := m.bounds(from)
		s.Min = Point{math.Min(s.Min.X, b.Min.X), math.Min(s.Min.Y, b.Min.Y), math.Min(s.Min.Z, m.To.Z)}
		s.Max = Point{math.Max(s.Max.X, b.Max.X), math.Max(s.Max.Y, b.Max.Y), math.Max(s.Max.Z, m.To.Z)}
	}
	return nil
}

// largestMM is how far from zero a place on a machine can be: ten metres.
const largestMM = 1e4

// wrong returns why a move must not be run, or nothing: what stands between a fault in a
// figure and the machine. A rapid that changes height and place at once need not run
// straight.
func (p *Program) wrong(from Point, m Move) string {
	for _, x := range [5]float64{m.To.X, m.To.Y, m.To.Z, m.Center.X, m.Center.Y} {
		if !(math.Abs(x) <= largestMM) { // NaN too
			return fmt.Sprintf("goes to X%g Y%g Z%g, which is no place on a machine", m.To.X, m.To.Y, m.To.Z)
		}
	}
	sideways := from.XY() != m.To.XY()
	switch {
	case m.Kind != Rapid && !(m.FeedMMmin >= leastFeed): // NaN too
		return fmt.Sprintf("has a feed of %g mm/min", m.FeedMMmin)
	case m.Kind != Rapid:
		return ""
	case sideways && (m.To.Z < p.SafeMM || from.Z != m.To.Z):
		return fmt.Sprintf("is a sideways rapid at Z%.3f, below the safe height of %.3f", m.To.Z, p.SafeMM)
	case m.To.Z < 0:
		return fmt.Sprintf("is a rapid to Z%.3f, into the stock", m.To.Z)
	}
	return ""
}
