package account

import (
	"fmt"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/measure"
	"reseat/jig/motion"
	"reseat/jig/part"
)

// Sources lists what moves the board, in the order in which it is reported.
func (c Case) Sources() []budget.Source {
	m, carrier, pins, board := c.Job.Machine, c.Parts.Carrier(), c.pins(), c.board()
	out := []budget.Source{
		{
			Name: "pin clearance", Play: c.OnPins, PlayScale: c.clearanceShare(),
			Remedy: "Closer holes: ream the " + carrier.Name +
				"'s round hole, measure the pins (dowel.measured), or stand them " +
				"farther apart.",
		},
	}
	if c.Parts.Together {
		out = append(out, budget.Source{
			Name:   "hole position, bed and blank bored together",
			Vars:   pins.BoredTogether(c.Parts.TogetherMM(m.PositionMM), c.Turned),
			Remedy: "Bore both in one sitting, always arriving from the same side; give machine.position as measured.",
		})
	} else {
		out = append(out, budget.Source{
			Name: "hole position, bed", Vars: pins.HoleErrors(c.Parts.Bed.PositionMM(m.PositionMM)),
			Remedy: "Bore the bed's pins in one sitting, always arriving from the same side; give machine.position as " +
				"measured.",
		}, budget.Source{
			Name: "hole position, " + carrier.Name, Vars: pins.HoleErrors(carrier.PositionMM(m.PositionMM)),
			Remedy: positionRemedy(carrier),
		})
	}
	if c.Window {
		out = append(out, c.nestFloat(), budget.Source{
			Name: "kerf spread", Vars: board.Walls(c.Parts.Template.Process.HalfWidth() / 2),
			Remedy: "Cut a test strip, measure what the cut really does and give template.make.spread; or file the walls " +
				"to the board.",
		})
	}
	if j := c.Joints; j != nil {
		out = append(out, budget.Source{
			Name: "joint of the printed parts", Vars: pins.Joints(j.SeamsMM, j.ClearanceMM, j.ApartMM),
			Remedy: "Glue the keys with the plate on its pins and a straightedge along the window, " +
				"print tighter keys (template.make.joint), or print on a bed that takes it whole.",
		})
	}
	out = append(out, c.growth(pins, board))
	if g := c.Parts.Board; c.Window && c.Job.Climate != nil && g.Missing == nil {
		out = append(out, budget.Source{
			Name: "wood movement", // on the board's own pins that is the blank's growth
			Vars: []budget.Var{
				{Field: board.Moved(g.Along, g.Across), Half: 1, Law: budget.Known},
				{Field: board.Moved(g.UnsureAlong, g.UnsureAcross), Half: 1, Law: budget.Normal},
				{Field: board.Outgrown(c.Parts.Since.UnsureAlong, c.Parts.Since.UnsureAcross), Half: 1, Law: budget.Normal},
			},
			Remedy: "Let the board rest in the climate that it was made in before it is measured and goes back.",
		})
	}
	if m.SquareMM > 0 {
		name, per := "out of square", m.SquareMM/squareOverMM
		if c.Turned != nil {
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

// squareOverMM is the distance that machine.square is stated over; fixed by the job
// file's contract.
const squareOverMM = 300.0

func positionRemedy(p part.Part) string {
	if p.Make.By == "router" {
		return fmt.Sprintf("Bore the %s's holes in one sitting, without turning it round; give machine.position as "+
			"measured.", p.Name)
	}
	return fmt.Sprintf("Bore the %s's pin holes on the router itself, at the same zero as its bed; "+
		"or measure the distance of the two holes and give %s.make.position.", p.Name, p.Key)
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
func (c Case) growth(pins motion.Pins, board motion.Board) budget.Source {
	carrier := c.Parts.Carrier()
	src := budget.Source{
		Name: "plate growth",
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
			f = budget.Shift(f.At(board.Held()))
		}
		src.Vars = append(src.Vars, budget.Var{Field: f, Half: 1, Law: law})
	}
	g, law := carrier.Growth, budget.Uniform // the workshop's swing
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
