package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Head is what a program says about itself.
type Head struct {
	File  string   // name of the file, without folders
	Title string   // of the job
	Says  []string // cautions, zero and stock in words, one line each

	// Park is where the tool stands at the end, at the safe height; the work zero
	// unless set.
	Park geom.Vec
}

// Program is everything that one tool cuts in one run.
//
// The tool is taken to stand over Park at the safe height before the first move.
// Where it really comes from nobody knows; whoever writes the program lifts it
// first.
type Program struct {
	Head
	Tool       Tool
	SpindleRPM float64
	TopZ       float64 // stock's highest place
	SafeZ      float64 // height of sideways rapids
	Cautions   []string
	Steps      []Step
	Moves      []Move
}

// Step is where a cut begins in a program.
type Step struct {
	Move      int // index into Program.Moves
	ID, Says  string
	Turns     int     // 0 when not known
	PerTurnMM float64 // 0 when not known
}

// Assemble puts cuts into one program, nearest first from the parking place. All
// cuts must have been made for this tool and these settings.
//
// The error is Faults with *PathError and *InputError.
func Assemble(h Head, t Tool, s Settings, cuts []*Cut) (*Program, error) {
	var f faults
	s = s.Filled(t)
	s.check(t, &f)
	f.within("", "X of the parking place (mm)", h.Park.X, -largestMM, largestMM)
	f.within("", "Y of the parking place (mm)", h.Park.Y, -largestMM, largestMM)
	if len(cuts) == 0 {
		f.add(&PathError{-1, "nothing to cut"})
	}
	places := make([]geom.Vec, len(cuts))
	for i, c := range cuts {
		if c == nil || len(c.Moves) == 0 {
			f.add(&PathError{-1, fmt.Sprintf("cut %d is empty", i)})
			continue
		}
		if c.Tool != t || c.SafeZ != s.SafeZ() || c.TopZ != s.TopZ {
			f.add(&PathError{-1, fmt.Sprintf("%s was planned for another tool or other heights", name(c.ID))})
		}
		places[i] = c.At
	}
	if f.err() != nil {
		return nil, f.err()
	}
	p := &Program{Head: h, Tool: t, SpindleRPM: s.SpindleRPM, TopZ: s.TopZ, SafeZ: s.SafeZ()}
	for _, i := range Order(places, h.Park) {
		c := cuts[i]
		p.Steps = append(p.Steps, Step{len(p.Moves), c.ID, c.Says, c.Turns, c.PerTurnMM})
		p.Cautions = append(p.Cautions, c.Cautions...)
		moves := c.Moves
		if n := len(p.Moves); n > 0 && p.Moves[n-1].To == moves[0].To {
			moves = moves[1:] // the tool is there already
		}
		p.Moves = append(p.Moves, moves...)
	}
	return p, p.Check()
}

// Start returns the place from which Moves are counted.
func (p *Program) Start() Point { return at(p.Park, p.SafeZ) }

// Path returns the start and every move, the way home to Park included.
func (p *Program) Path() (Point, []Move) {
	home := Move{Kind: Rapid, To: p.Start()}
	return p.Start(), append(p.Moves[:len(p.Moves):len(p.Moves)], home)
}

const (
	// heightSlack is the rounding of one sum of heights below ten metres.
	heightSlack = 1e-9

	// RadiiMM is how far the radii at both ends of an arc may differ, mm: the least
	// that the project's rules for cut files (C08b) allow in a file. grbl itself
	// refuses beyond 0.005. Cuts as planned agree to rounding; a program that was
	// read back agrees as far as its file does.
	RadiiMM = 0.002
)

// Check tells every move that must not be run: sideways rapids below the safe
// height, rapids into the stock, rapids that change height and place at once (a
// controller need not run them straight), arcs whose radii differ, feeds that are
// none. It returns nil or Faults.
func (p *Program) Check() error {
	var f faults
	f.within("", "tool diameter (mm)", p.Tool.DiameterMM, smallestMM, largestMM)
	f.within("", "spindle speed (rpm)", p.SpindleRPM, 1, largestRPM)
	f.within("", "X of the parking place (mm)", p.Park.X, -largestMM, largestMM)
	f.within("", "Y of the parking place (mm)", p.Park.Y, -largestMM, largestMM)
	if f.within("", "height of the stock's top (mm)", p.TopZ, -largestMM, largestMM) {
		f.within("", "safe height (mm)", p.SafeZ, p.TopZ+LeastSafeMM-heightSlack, largestMM)
	}
	if len(p.Moves) == 0 {
		f.add(&PathError{-1, "nothing to cut"})
	}
	if f.err() != nil {
		return f.err()
	}
	from := p.Start()
	for i, m := range p.Moves {
		if why := p.wrong(from, m); why != "" {
			f.add(&PathError{i, why})
		}
		from = m.To
	}
	if from.Z < p.SafeZ-heightSlack {
		f.add(&PathError{len(p.Moves) - 1, fmt.Sprintf("ends the program at Z%.3f, below the safe height %.3f", from.Z, p.SafeZ)})
	}
	last := -1
	for _, s := range p.Steps {
		if s.Move < max(0, last) || s.Move >= len(p.Moves) {
			f.add(&PathError{-1, fmt.Sprintf("step %q begins at move %d, out of order", s.ID, s.Move)})
		}
		last = s.Move
	}
	return f.err()
}

// wrong returns why a move must not be run, or nothing.
func (p *Program) wrong(from Point, m Move) string {
	for _, x := range [3]float64{m.To.X, m.To.Y, m.To.Z} {
		if !(math.Abs(x) <= largestMM) { // NaN too
			return fmt.Sprintf("goes to %v, which is no place on a machine", m.To)
		}
	}
	sideways, upright := from.XY() != m.To.XY(), from.Z != m.To.Z
	if m.Kind == Rapid {
		switch {
		case sideways && upright:
			return "is a rapid that changes height and place at once"
		case sideways && m.To.Z < p.SafeZ-heightSlack:
			return fmt.Sprintf("is a sideways rapid at Z%.3f, below the safe height %.3f", m.To.Z, p.SafeZ)
		case m.To.Z < p.TopZ-heightSlack:
			return fmt.Sprintf("is a rapid to Z%.3f, below the stock's top %.3f", m.To.Z, p.TopZ)
		}
		return ""
	}
	if m.Kind > ArcCCW {
		return fmt.Sprintf("is of %v", m.Kind)
	}
	if !(m.FeedMMmin >= leastFeed && m.FeedMMmin <= largestFeed) {
		return fmt.Sprintf("has a feed of %g mm/min; want %d to %.0f", m.FeedMMmin, leastFeed, float64(largestFeed))
	}
	if !m.Kind.IsArc() {
		return ""
	}
	r0, r1 := from.XY().Dist(m.Center), m.To.XY().Dist(m.Center)
	switch {
	case !(math.Max(math.Abs(m.Center.X), math.Abs(m.Center.Y)) <= largestMM):
		return fmt.Sprintf("has its centre at %v, which is no place on a machine", m.Center)
	case !(math.Abs(r0-r1) <= RadiiMM+heightSlack):
		return fmt.Sprintf("is an arc of radius %.6f at its start and %.6f at its end", r0, r1)
	case r0 < smallestMM:
		return "is an arc without radius"
	}
	return ""
}
