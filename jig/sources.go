package jig

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/motion"
	"reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/setup"
)

// The error budget's sources. Each is what moves the board, seen from the machine,
// between the first cut and the next.

// sources lists what moves the board, put back as it was or turned over, in the order in
// which it is reported.
func (p plan) sources(s seating, cut *Split, turned bool) []budget.Source {
	m, c := p.job.Machine, p.Carrier()
	pins := motion.Pins{AllRound: p.spec.AllRound}
	for _, q := range p.pins {
		if q.Role != Clear {
			pins.At = append(pins.At, q.At)
		}
	}
	k := p.job.Board
	board := motion.Board{
		LengthMM: k.LengthMM, WidthStartMM: k.WidthStartMM, WidthEndMM: k.WidthEndMM, Push: p.job.Template.Push,
	}
	out := []budget.Source{
		{
			Name: "pin clearance", Play: s.pins, PlayScale: p.clearanceShare(),
			Remedy: "Closer holes: ream the " + c.Name + "'s round hole, measure the pins (dowel.measured), or stand them " +
				"farther apart.",
		},
	}
	if p.Together {
		over := p.turned()
		if !turned {
			over = nil
		}
		out = append(out, budget.Source{
			Name: "hole position, bed and blank bored together", Vars: pins.BoredTogether(p.togetherMM(), over),
			Remedy: "Bore both in one sitting, always arriving from the same side; give machine.position as measured.",
		})
	} else {
		out = append(out, budget.Source{
			Name: "hole position, bed", Vars: pins.HoleErrors(p.Bed.PositionMM(m.PositionMM)),
			Remedy: "Bore the bed's pins in one sitting, always arriving from the same side; give machine.position as " +
				"measured.",
		}, budget.Source{
			Name: "hole position, " + c.Name, Vars: pins.HoleErrors(c.PositionMM(m.PositionMM)), Remedy: positionRemedy(c),
		})
	}
	window := p.site.window != nil
	if window {
		out = append(out, p.nestSource(s), budget.Source{
			Name: "kerf spread", Vars: board.Walls(p.Template.Process.HalfWidth() / 2),
			Remedy: "Cut a test strip, measure what the cut really does and give template.make.spread; or file the walls " +
				"to the board.",
		})
	}
	if cut != nil && window && p.job.Template.Make.By == "print" {
		out = append(out, budget.Source{
			Name: "joint of the printed parts", Vars: pins.Joints(cut.SeamsMM, cut.ClearanceMM, cut.ApartMM),
			Remedy: "Glue the keys with the plate on its pins and a straightedge along the window, " +
				"print tighter keys (template.make.joint), or print on a bed that takes it whole.",
		})
	}
	out = append(out, p.growthSource(pins, board))
	if g := p.Board; window && p.job.Climate != nil && g.Missing == nil {
		out = append(out, budget.Source{
			Name: "wood movement", // on the board's own pins that is the blank's growth
			Vars: []budget.Var{
				{Field: board.Moved(g.Along, g.Across), Half: 1, Law: budget.Known},
				{Field: board.Moved(g.UnsureAlong, g.UnsureAcross), Half: 1, Law: budget.Normal},
				{Field: board.Outgrown(p.Since.UnsureAlong, p.Since.UnsureAcross), Half: 1, Law: budget.Normal},
			},
			Remedy: "Let the board rest in the climate that it was made in before it is measured and goes back.",
		})
	}
	if m.SquareMM > 0 {
		name, per := "out of square", m.SquareMM/squareOverMM
		if turned {
			// The board carries the first side's lean mirrored.
			name, per = "out of square, turned over: twice", 2*per
		}
		out = append(out, budget.Source{
			Name: name, Vars: pins.Lean(per),
			Remedy: "Set the machine's axes square, or measure them again over a longer distance (machine.square).",
		})
	}
	half := measure.ZeroHalfMM(m.Zero)
	return append(out,
		budget.Source{
			Name: "zero setting",
			Vars: []budget.Var{
				{Field: budget.Shift(geom.Vec{X: 1}), Half: half}, {Field: budget.Shift(geom.Vec{Y: 1}), Half: half},
			},
			Remedy: "Find X and Y zero on the round pin with a dial indicator (machine.zero: pin), " +
				"or keep the zero that the pins were bored with (kept).",
		},
		budget.Source{
			Name: "machine positioning, this cut", OwnHalf: m.PositionMM,
			Remedy: "Let the machine warm up, take out backlash and arrive from one side; give machine.position as measured.",
		},
	)
}

// togetherMM is how far a hole of bed and blank lies from where it should when both are
// bored in one arrival, per axis, 95 %.
func (p plan) togetherMM() float64 {
	m := p.job.Machine.PositionMM
	return math.Max(p.Bed.PositionMM(m), p.Blank.PositionMM(m))
}

// turned is where a place of the blank comes when it is turned over; nil when it is not.
func (p plan) turned() func(geom.Vec) geom.Vec {
	if p.job.Template.Flip == "none" {
		return nil
	}
	turn := program.TurnOf(p.job)
	return func(at geom.Vec) geom.Vec { return turn.Lying(setup.Under, at) }
}

// squareOverMM is the distance that machine.square is stated over; fixed by the job
// file's contract.
const squareOverMM = 300.0

// clearanceShare is the usual clearance as a share of the largest: holes and pins
// lie within their limits, in 95 % of cases, about their middle.
func (p plan) clearanceShare() budget.Scale {
	var mean, half, most float64
	for _, q := range p.pins {
		if q.Role == Clear {
			continue
		}
		for _, h := range p.seatHoles(q) {
			if h.ClearMaxMM <= 0 {
				continue
			}
			lo := math.Max(0, h.ClearMinMM)
			mean += (lo + h.ClearMaxMM) / 2
			half += (h.ClearMaxMM - lo) / 2
			most += h.ClearMaxMM
		}
	}
	if most == 0 {
		return budget.Scale{}
	}
	return budget.Scale{Mean: mean / most, SD: half / fit.Normal95 / most}
}

func positionRemedy(p part.Part) string {
	if p.Make.By == "router" {
		return fmt.Sprintf("Bore the %s's holes in one sitting, without turning it round; give machine.position as "+
			"measured.", p.Name)
	}
	return fmt.Sprintf("Bore the %s's pin holes on the router itself, at the same zero as its bed; "+
		"or measure the distance of the two holes and give %s.make.position.", p.Name, p.Key)
}

// nestSource is the play of the board in its window. A board pushed home has no play
// left, and none is drawn.
func (p plan) nestSource(s seating) budget.Source {
	src := budget.Source{
		Name:   "nest float",
		Remedy: "Push the board against one side and the start end (template.push), or a smaller template.clearance.",
	}
	if p.job.Template.Push != "none" {
		src.Remedy = "Press the board home against both stops; what is left comes from the window's shape."
	}
	for _, f := range p.spec.Features {
		if s.nest != nil && math.Max(s.nest.Reach(f, geom.Vec{X: 1}), s.nest.Reach(f, geom.Vec{Y: 1})) > roundingMM {
			src.Play = s.nest
		}
	}
	return src
}

// growthSource is the growth of the plate that the board is located by, against the
// round pin, on which the zero stands. The bed's growth only moves the slot's pin
// along its slot.
func (p plan) growthSource(pins motion.Pins, board motion.Board) budget.Source {
	c := p.Carrier()
	src := budget.Source{
		Name: "plate growth",
		Remedy: fmt.Sprintf("Use the %s in the climate that it was cut in, or take one that grows less; give both climates.",
			c.Name),
	}
	if c.Name == "blank" {
		src.Name = "wood movement" // the blank is the board's own wood
		src.Remedy = "Let the blank rest, before the second side, in the climate that its holes were bored in; give " +
			"both climates."
	}
	add := func(along, across float64, law budget.Law) {
		f := budget.Strain(along, across, pins.Anchor())
		if p.site.window != nil {
			// The board is carried by the place where the window holds it.
			f = budget.Shift(f.At(board.Held()))
		}
		src.Vars = append(src.Vars, budget.Var{Field: f, Half: 1, Law: law})
	}
	g, law := c.Growth, budget.Uniform // the workshop's swing
	if g.Known {
		law = budget.Normal
		add(g.Along, g.Across, budget.Known)
	}
	add(g.UnsureAlong, g.UnsureAcross, law)
	if g.Scale > 0 {
		add(g.Scale, g.Scale, budget.Normal)
	}
	return src
}

// DatumToleranceMM is the share of the job's accuracy that a board lying askew may take
// up, over its length: what is left of it beside the zero and the next cut's own move,
// which stay when the board lies as it should.
//
//	t = sqrt(accuracy^2 - zero^2 - move^2), at least leastDatumShare of accuracy
func DatumToleranceMM(j *job.Job) float64 {
	a, z, m := j.AccuracyMM, measure.ZeroHalfMM(j.Machine.Zero), j.Machine.PositionMM
	return math.Sqrt(math.Max(leastDatumShare*leastDatumShare*a*a, a*a-z*z-m*m))
}

// leastDatumShare keeps the check possible where zero and machine alone use the
// accuracy up. Common practice, no source.
const leastDatumShare = 0.3
