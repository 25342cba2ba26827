package account

import (
	"fmt"
	"slices"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/motion"
	"reseat/jig/part"
)

// Sources lists what moves the board, in the order in which it is reported.
func (c Case) Sources() []budget.Source {
	out := append(c.ofPins(), c.ofWindow()...)
	out = append(out, c.growth())
	out = append(out, c.ofWood()...)
	out = append(out, c.ofMachine()...)
	for i, s := range out {
		out[i].Assumed = s.Key != "" && !c.Job.IsGiven(s.Key)
	}
	return out
}

// ofPins are the plate or blank on the bed's pins.
func (c Case) ofPins() []budget.Source {
	m, carrier, pins := c.Job.Machine, c.Parts.Carrier(), c.pins()
	out := []budget.Source{{
		Name: "pin clearance", Play: c.OnPins, PlayScale: c.playShare(), Key: carrier.Key + ".make.spread",
		Remedy: "Closer holes: ream the " + carrier.Name +
			"'s round hole, measure the pins (dowel.measured), or stand them " +
			"farther apart.",
	}}
	if c.Parts.Together {
		first := out[0]
		first.Name += firstCut
		out = append(out, first, budget.Source{
			Name: "hole position, bed and blank bored together", Vars: pins.PinErrors(c.Parts.TogetherMM(m.PositionMM)),
			Key:    c.positionKey(c.Parts.Bed),
			Remedy: "Bore both in one sitting, always arriving from the same side; give machine.position as measured.",
		})
	} else {
		out = append(out, budget.Source{
			Name: "hole position, bed", Vars: pins.PinErrors(c.Parts.Bed.PositionMM(m.PositionMM)),
			Key: c.positionKey(c.Parts.Bed),
			Remedy: "Bore the bed's pins in one sitting, always arriving from the same side; give machine.position as " +
				"measured.",
		}, budget.Source{
			Name: "hole position, " + carrier.Name, Vars: pins.HoleErrors(carrier.PositionMM(m.PositionMM)),
			Key: c.positionKey(carrier), Remedy: positionRemedy(carrier),
		})
	}
	return append(out, budget.Source{
		Name: "pin lean", Vars: pins.PinErrors(c.leanMM()), Key: "dowel.lean_deg",
		Remedy: "Stand the pins square: bore their holes deeper, press them in with the drill press, hold a square to " +
			"them " +
			"and give dowel.lean_deg as measured.",
	})
}

// positionKey is the key that gives the places of a part's holes.
func (c Case) positionKey(p part.Part) string {
	own := p.Key + ".make.position"
	switch p.Make.By {
	case "laser", "print":
		return own
	}
	if p.Make.IsGiven("position") {
		return own
	}
	return "machine.position"
}

// ofWindow are the board in its window; none without one.
func (c Case) ofWindow() []budget.Source {
	if !c.Window {
		return nil
	}
	pins, board, mk := c.pins(), c.board(), c.Job.Template.Make
	out := []budget.Source{c.nestFloat(), {
		Name: "kerf spread", Vars: board.Walls(c.Parts.Template.SpreadHalf() / 2), Key: "template.make.spread",
		Remedy: spreadRemedy(c.Parts.Template),
	}, {
		Name: "edge straightness", Vars: board.Walls(mk.StraightMM), Key: "template.make.straight",
		Remedy: "Hold a straightedge to the window's walls, file them true and give template.make.straight as measured.",
	}, {
		Name: "plate squareness", Vars: pins.Sheared(mk.SquareMM/squareOverMM, board), Key: "template.make.square",
		Remedy: "Measure both diagonals of a large rectangle cut by the same machine, set its axes square and give " +
			"template.make.square.",
	}}
	if u := c.Parts.Template.WallUnsureMM(); u > 0 {
		out = append(out, budget.Source{
			Name: "measured width of openings", Vars: board.Wider(u / 2), Key: "template.make.from",
			Remedy: "Measure the coupon's slots and bars again, or more of them: every reading makes kerf or edge surer.",
		})
	}
	switch {
	case board.Stops != nil:
		where := "at the stops"
		if board.Push == "none" {
			where = "all round"
		}
		out = append(out, budget.Source{
			Name: "board's own outline", Vars: board.Sides(c.Job.Board.WidthErrorMM / 2), Key: "board.width_error",
			Remedy: "Measure how far the board's edge lies from the drawn outline " + where + ", and give board.width_error.",
		})
	case board.Push != "none":
		out = append(out, budget.Source{
			Name: "measured width of the board", Vars: board.Sides(c.Job.Board.WidthErrorMM / 2), Key: "board.width_error",
			Remedy: "Measure the board's width at both ends with a micrometer and give board.width_error.",
		})
	}
	if j := c.Joints; j != nil {
		out = append(out, budget.Source{
			Name: "joint of the printed parts", Vars: pins.Joints(j.SeamsMM, j.ClearanceMM, j.ApartMM),
			Key: "template.make.joint",
			Remedy: "Glue the keys with the plate on its pins and a straightedge along the window, " +
				"print tighter keys (template.make.joint), or print on a bed that takes it whole.",
		})
	}
	return out
}

// ofWood is the movement of a board in a window; on the board's own pins that is the
// blank's growth.
func (c Case) ofWood() []budget.Source {
	g, since, board := c.Parts.Board, c.Parts.Since, c.board()
	if !c.Window || c.Job.Climate == nil || g.Missing != nil {
		return nil
	}
	return []budget.Source{{
		Name: "wood movement", Key: "climate",
		Vars: []budget.Var{
			{Field: board.GrowthField(g.Along, g.Across), Half: 1, Law: budget.Fixed},
			{Field: board.GrowthField(g.UnsureAlong, g.UnsureAcross), Half: 1, Law: budget.Normal},
			{Field: board.Outgrown(since.UnsureAlong, since.UnsureAcross), Half: 1, Law: budget.Normal},
		},
		Remedy: "Let the board rest in the climate that it was made in before it is measured and goes back.",
	}}
}

// ofMachine are the machine's axes, its zero and its moves.
func (c Case) ofMachine() []budget.Source {
	m, pins := c.Job.Machine, c.pins()
	square := budget.Source{
		Name: "out of square", Vars: pins.Lean(m.SquareMM / squareOverMM), Key: "machine.square",
		Remedy: "Set the machine's axes square, or measure them again over a longer distance (machine.square).",
	}
	bow := budget.Source{
		Name: "axis straightness", Key: "machine.straight",
		Remedy: "Measure the bow of the long axis with a dial indicator along a straightedge and give machine.straight.",
	}
	tram := budget.Source{
		Name: "spindle tram", Key: "machine.tram",
		Remedy: "Set the spindle square to the bed with an indicator swung round it and give machine.tram as measured.",
	}
	if c.Turned != nil {
		// The board carries what the first side had mirrored.
		square.Name, square.Vars = square.Name+twice, pins.Lean(2*m.SquareMM/squareOverMM)
	}
	if from, to := c.stretch(); c.Turned != nil && c.Job.Template.Flip == "long" {
		bow.Name, bow.Vars = bow.Name+twice, pins.Bow(2*m.StraightMM, from, to)
	} else if !c.liesAsFirstCut() {
		bow.Vars = pins.Bow(m.StraightMM, from, to)
	}
	if !c.liesAsFirstCut() {
		along, across := c.tramOver()
		tram.Vars = motion.Tram(m.TramMM/tramOverMM, along, across)
	}
	zero := budget.Source{
		Name: "zero setting", Vars: shifts(measure.ZeroHalfMM(m.Zero)), Key: "machine.zero",
		Remedy: "Find X and Y zero on the round pin with a dial indicator (machine.zero: pin), " +
			"or keep the zero that the pins were bored with (kept).",
	}
	out := []budget.Source{square, bow, tram, zero}
	if c.Parts.Together {
		zero.Name += firstCut
		out = append(out, zero)
	}
	return append(out,
		budget.Source{
			Name: "machine positioning" + firstCut, OwnHalf: m.PositionMM, Key: "machine.position",
			Remedy: "What the first cut did stays in the board: give machine.position as measured, not as guessed.",
		},
		budget.Source{
			Name: "machine positioning, this cut", OwnHalf: m.PositionMM, Key: "machine.position",
			Remedy: "Let the machine warm up, take out backlash and arrive from one side; give machine.position as measured.",
		})
}

// What is added to a source's name.
const (
	twice    = ", turned over: twice"
	firstCut = ", first cut" // what that cut, on the same pins, did to the board
)

// shifts move the board by half along either axis (95 %, normal).
func shifts(half float64) []budget.Var {
	return []budget.Var{
		{Field: budget.Shift(geom.Vec{X: 1}), Half: half}, {Field: budget.Shift(geom.Vec{Y: 1}), Half: half},
	}
}

// tramOver are the heights, along and across, that a tool out of square works aside over.
func (c Case) tramOver() (along, across float64) {
	if c.Window {
		return c.Job.Board.ThicknessMM, c.Job.Board.ThicknessMM
	}
	over := c.Parts.Blank.ThicknessMM
	along, across = over-c.bearsMM(), over
	switch {
	case c.Turned == nil:
		along = over
	case c.Job.Template.Flip == "short":
		along, across = across, along
	}
	return along, across
}

// Distances that the keys' figures are stated over, mm; fixed by the job file's contract.
const (
	squareOverMM = 300.0 // machine.square, template.make.square
	tramOverMM   = 150.0 // machine.tram
)

func spreadRemedy(p part.Part) string {
	if f := p.Make.Measured; f != nil && !slices.Contains(f.Overridden, "spread") {
		return "It is what the coupon told of the process: cut the plate again more slowly, with a coupon of that cut; or " +
			"file the walls to the board."
	}
	return "Cut a coupon (reseat coupon), fill its form in and give template.make.from; or file the walls to the board."
}

func positionRemedy(p part.Part) string {
	if p.Make.By == "router" {
		return fmt.Sprintf("Bore the %s's holes in one sitting, without turning it round; give machine.position as "+
			"measured.", p.Name)
	}
	says := fmt.Sprintf("Bore the %s's pin holes on the router itself, at the same zero as its bed", p.Name)
	if p.Make.IsGiven("position") || p.Make.Measured != nil {
		return says + "." // what is given is measured
	}
	return fmt.Sprintf("%s; or measure the distance of the two holes and give %s.make.position.", says, p.Key)
}

// nestFloat is the play of the board in its window. A board pushed home has no play left,
// and none is drawn.
func (c Case) nestFloat() budget.Source {
	src := budget.Source{
		Name: "nest float", Play: c.InWindow,
		Remedy: "Push the board against one side and the start end (template.push), or a smaller template.clearance.",
	}
	if c.Job.Template.Push != "none" {
		src.Remedy = "Press the board home against both stops; what is left comes from the window's shape."
	}
	return src
}

// growth is the growth of the plate that the board is located by, against the
// round pin, on which the zero stands. The bed's growth only moves the slot's pin
// along its slot.
func (c Case) growth() budget.Source {
	carrier, pins, board := c.Parts.Carrier(), c.pins(), c.board()
	src := budget.Source{
		Name: "plate growth", Key: "climate",
		Remedy: fmt.Sprintf("Use the %s in the climate that it was cut in, or take one that grows less; give both climates.",
			carrier.Name),
	}
	if carrier.Name == "blank" {
		src.Name = "wood movement" // the blank is the board's own wood
		src.Remedy = "Let the blank rest, before the second side, in the climate that its holes were bored in; give " +
			"both climates."
	}
	add := func(along, across float64, law budget.Law) {
		f := budget.Strain(along, across, pins.Anchor())
		if c.Window {
			// The board is carried by the place where the window holds it.
			f = board.Carried(f)
		}
		src.Vars = append(src.Vars, budget.Var{Field: f, Half: 1, Law: law})
	}
	g, law := carrier.Growth, budget.Uniform // the workshop's swing
	if g.IsKnown {
		law = budget.Normal
		add(g.Along, g.Across, budget.Fixed)
	}
	add(g.UnsureAlong, g.UnsureAcross, law)
	switch {
	case carrier.Make.Measured != nil: // along either axis by itself
		add(g.ScaleAlong, 0, budget.Normal)
		add(0, g.ScaleAcross, budget.Normal)
	case g.ScaleAlong > 0:
		add(g.ScaleAlong, g.ScaleAcross, budget.Normal)
	}
	return src
}
