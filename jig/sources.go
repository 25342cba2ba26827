package jig

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/seat"
)

// The error budget's sources. Each is what moves the board, seen from the machine,
// between the first cut and the next. Reference for the list: the project's design,
// section 8, and the move of the next cut itself.

// zeroHalfMM is how well the job's way of finding X and Y zero again does it, per axis,
// plus or minus, 95 %; the words are the job's (machine.zero).
func zeroHalfMM(way string) float64 {
	for _, m := range measure.ZeroMethods() {
		if m.Name == way {
			return m.HalfMM
		}
	}
	return 0 // the reader takes no other word
}

// sourcing is what the sources of error are read from.
type sourcing struct {
	plan
	seating
	split *Split // nil unless the plate is printed in parts
}

// located returns the places of the pins that locate.
func (b sourcing) located() []geom.Vec {
	var out []geom.Vec
	for _, p := range b.plan.pins {
		if p.Role != Clear {
			out = append(out, p.At)
		}
	}
	return out
}

// anchor is the point that growth leaves in its place: the round pin, or the middle
// of the pins when all of them locate.
func (b sourcing) anchor() geom.Vec {
	if !b.spec.AllRound {
		return b.plan.pins[0].At
	}
	var sum geom.Vec
	at := b.located()
	for _, p := range at {
		sum = sum.Add(p)
	}
	return sum.Scale(1 / float64(len(at)))
}

// follow is the rigid move of a plate whose locating holes are carried along by the
// given displacements: round and slot fix it, or the least squares fit of all.
//
//	round and slot: motion(round) = d1,  theta = n.(d2 - d1)/L
//	all round:      shift = mean d,  theta = sum (p - c) x d / sum |p - c|^2
//
// Reference: the pose of a plate on two pins (jig/seat); the planar orthogonal
// fit linearised for small angles.
func (b sourcing) follow(d func(p geom.Vec) geom.Vec) seat.Pose {
	at := b.located()
	var about, shift geom.Vec
	var theta float64
	if b.spec.AllRound {
		about = b.anchor()
		var turn, inertia float64
		for _, p := range at {
			r := p.Sub(about)
			shift = shift.Add(d(p).Scale(1 / float64(len(at))))
			turn += r.Cross(d(p))
			inertia += r.Dot(r)
		}
		theta = turn / inertia
	} else {
		about = at[0]
		line := at[1].Sub(at[0])
		shift = d(at[0])
		theta = line.Cross(d(at[1]).Sub(shift)) / line.Dot(line)
	}
	return seat.Pose{DU: shift.X + theta*about.Y, DV: shift.Y - theta*about.X, Theta: theta}
}

// holeErrors are the fields by which the place of each locating hole, erring by half
// along either axis, moves the plate.
func (b sourcing) holeErrors(half float64) []budget.Var {
	var out []budget.Var
	for _, hole := range b.located() {
		for _, axis := range []geom.Vec{{X: 1}, {Y: 1}} {
			q := b.follow(func(p geom.Vec) geom.Vec {
				if p == hole {
					return axis
				}
				return geom.Vec{}
			})
			out = append(out, budget.Var{Field: budget.Rigid(q), Half: half, Law: budget.Normal})
		}
	}
	return out
}

// sources lists what moves the board, in the order in which it is told.
func (b sourcing) sources() []budget.Source {
	m, c := b.job.Machine, b.carrier()
	out := []budget.Source{
		b.pinSource(),
		{
			Name: "hole position, bed", Vars: b.holeErrors(b.bed.positionMM(m.PositionMM)),
			Remedy: "Bore the bed's pins in one sitting, always arriving from the same side; give machine.position as measured.",
		},
		{
			Name: "hole position, " + c.name, Vars: b.holeErrors(c.positionMM(m.PositionMM)),
			Remedy: b.positionRemedy(c),
		},
	}
	if b.site.window != nil {
		out = append(out, b.nestSource(), b.kerfSource())
	}
	if b.split != nil && b.site.window != nil {
		out = append(out, b.jointSource())
	}
	out = append(out, b.growthSource())
	if b.site.window != nil && b.job.Climate != nil && b.plan.board.missing == nil {
		out = append(out, b.woodSource())
	}
	if sq := b.squareSource(); sq.Vars[0].Half > 0 {
		out = append(out, sq)
	}
	half := zeroHalfMM(m.Zero)
	return append(out,
		budget.Source{
			Name: "zero setting",
			Vars: []budget.Var{
				{Field: budget.Shift(geom.Vec{X: 1}), Half: half}, {Field: budget.Shift(geom.Vec{Y: 1}), Half: half},
			},
			Remedy: "Find X and Y zero on the round pin with a dial indicator (machine.zero: pin), or keep the zero that the pins were bored with (kept).",
		},
		budget.Source{
			Name: "next cut's move", OwnHalf: m.PositionMM,
			Remedy: "Let the machine warm up, take out backlash and arrive from one side; give machine.position as measured.",
		},
	)
}

// pinSource is the play of the pins in their holes.
func (b sourcing) pinSource() budget.Source {
	return budget.Source{
		Name: "pin clearance", Play: b.seating.pins, PlayScale: b.clearanceShare(),
		Remedy: "Closer holes: ream the " + b.carrier().name + "'s round hole, measure the pins (dowel.measured), or stand them farther apart.",
	}
}

// clearanceShare is the usual clearance as a share of the largest: holes and pins
// lie within their limits, in 95 % of cases, about their middle.
func (b sourcing) clearanceShare() budget.Scale {
	var mean, half, most float64
	for _, p := range b.plan.pins {
		if p.Role == Clear {
			continue
		}
		for _, h := range b.seatHoles(p) {
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

func (b sourcing) positionRemedy(c part) string {
	if c.make.By == "router" {
		return fmt.Sprintf("Bore the %s's holes in one sitting, without turning it round; give machine.position as measured.", c.name)
	}
	return fmt.Sprintf("Bore the %s's pin holes on the router itself, at the same zero as its bed; or measure the distance of the two holes and give %s.make.position.", c.name, c.key)
}

// nestSource is the play of the board in its window.
func (b sourcing) nestSource() budget.Source {
	src := budget.Source{
		Name:   "nest float",
		Remedy: "Push the board against one side and the start end (template.push), or a smaller template.clearance.",
	}
	// A board pushed home has no play left, and none is drawn.
	for _, f := range features(b.job) {
		if b.nest != nil && math.Max(b.nest.Reach(f.At, geom.Vec{X: 1}), b.nest.Reach(f.At, geom.Vec{Y: 1})) > ruleSlack {
			src.Play = b.nest
		}
	}
	if b.job.Template.Push != "none" {
		src.Remedy = "Press the board home against both stops; what is left comes from the window's shape."
	}
	return src
}

// kerfSource is how far the window's walls lie from where they are drawn. A pushed
// board follows its two walls; a free one gains the room.
func (b sourcing) kerfSource() budget.Source {
	half := b.template.process.HalfWidth() / 2
	along := budget.Shift(geom.Vec{X: 1})
	vars := []budget.Var{{Field: along, Half: half}}
	if b.job.Template.Push != "none" {
		vars = append(vars, budget.Var{Field: budget.Shift(geom.Vec{Y: 1}), Half: half})
	} else {
		// Room at either end, independent: across at the start and at the far end.
		l := b.job.Board.LengthMM
		vars = append(vars,
			budget.Var{Field: budget.Field{Shift: geom.Vec{Y: 1}, VU: -1 / l, UV: 1 / l}, Half: half},
			budget.Var{Field: budget.Field{VU: 1 / l, UV: -1 / l}, Half: half},
		)
	}
	return budget.Source{
		Name: "kerf spread", Vars: vars,
		Remedy: "Cut a test strip, measure what the cut really does and give template.make.spread; or file the walls to the board.",
	}
}

// held is the point of the board that the template holds it by: the corner of the
// stops, or the window's middle.
func (b sourcing) held() geom.Vec {
	k := b.job.Board
	switch b.job.Template.Push {
	case "left":
		return geom.Vec{Y: (k.WidthStartMM + k.WidthEndMM) / 4}
	case "right":
		return geom.Vec{Y: -(k.WidthStartMM + k.WidthEndMM) / 4}
	}
	return geom.Vec{X: k.LengthMM / 2}
}

// jointSource is what the joints of a plate printed in parts add when they are not
// glued: at a seam the far part can lie aside by the key's clearance c, and turn by
// 2 c over the distance D of the outer keys, which lifts the seam off the line from
// round pin to slot. A pushed board follows the higher part.
//
//	aside c,  bend (2 c/D) (u2 - s)(s - u1)/(u2 - u1)
//
// Reference: the chain of two bars that is held at both ends; derived.
func (b sourcing) jointSource() budget.Source {
	at := b.located()
	u1, u2 := at[0].X, at[0].X
	for _, p := range at {
		u1, u2 = math.Min(u1, p.X), math.Max(u2, p.X)
	}
	c := b.split.ClearanceMM
	across := budget.Shift(geom.Vec{Y: 1})
	var vars []budget.Var
	for _, s := range b.split.SeamsMM {
		lever := math.Max(0, (u2-s)*(s-u1)/(u2-u1))
		vars = append(vars,
			budget.Var{Field: across, Half: c, Law: budget.Uniform},
			budget.Var{Field: across, Half: 2 * c / b.split.ApartMM * lever, Law: budget.Uniform})
	}
	return budget.Source{
		Name: "joint of the printed parts", Vars: vars,
		Remedy: "Glue the keys with the plate on its pins and a straightedge along the window, print tighter keys (template.make.joint), or print on a bed that takes it whole.",
	}
}

// growthSource is the growth of the plate that the board is located by, against the
// round pin, on which the zero stands. The bed's growth only moves the slot's pin
// along its slot.
func (b sourcing) growthSource() budget.Source {
	c := b.carrier()
	g := c.growth
	field := func(along, across float64) budget.Field {
		f := budget.Strain(along, across, b.anchor())
		if b.site.window != nil {
			// The board is carried by the place where the window holds it.
			return budget.Shift(f.At(b.held()))
		}
		return f
	}
	var vars []budget.Var
	law := budget.Uniform // the workshop's swing
	if g.known {
		vars = append(vars, budget.Var{Field: field(g.Along, g.Across), Half: 1, Law: budget.Known})
		law = budget.Normal
	}
	vars = append(vars, budget.Var{Field: field(g.unsureAlong, g.unsureAcross), Half: 1, Law: law})
	if g.scale > 0 {
		vars = append(vars, budget.Var{Field: field(g.scale, g.scale), Half: 1, Law: budget.Normal})
	}
	name := "plate growth"
	remedy := fmt.Sprintf("Use the %s in the climate that it was cut in, or take one that grows less; give both climates.", c.name)
	if c.name == "blank" {
		name = "wood movement" // the blank is the board's own wood
		remedy = "Let the blank rest, before the second side, in the climate that its holes were bored in; give both climates."
	}
	return budget.Source{Name: name, Vars: vars, Remedy: remedy}
}

// woodSource is the board's own movement: its features walk away from where the
// window holds it. On its own pins that is the blank's growth, told there.
//
// Pushed against a tapered side, the board turns as its taper grows, so that the
// side stays on its wall:
//
//	theta = -+ e (w1 - w0)/(2 L)
func (b sourcing) woodSource() budget.Source {
	k, g := b.job.Board, b.plan.board
	field := func(along, across float64) budget.Field {
		h := b.held()
		if h.Y == 0 {
			return budget.Strain(along, across, h)
		}
		// The held wall starts at half the width of the start end.
		side := math.Copysign(1, h.Y)
		f := budget.Strain(along, across, geom.Vec{Y: side * k.WidthStartMM / 2})
		theta := -side * across * (k.WidthEndMM - k.WidthStartMM) / (2 * k.LengthMM)
		return f.Add(budget.Rigid(seat.Pose{Theta: theta, DU: theta * side * k.WidthStartMM / 2}))
	}
	return budget.Source{
		Name: "wood movement",
		Vars: []budget.Var{
			{Field: field(g.Along, g.Across), Half: 1, Law: budget.Known},
			{Field: field(g.unsureAlong, g.unsureAcross), Half: 1, Law: budget.Normal},
		},
		Remedy: "Let the board rest in the climate that it was made in before it goes back; without push it would spread to both sides alike.",
	}
}

// squareSource is the machine's squareness. The cross axis leans by the given
// amount, to one side or the other; the pins lean with it and take the plate along.
//
//	error(p) = s (v, 0) - motion of the plate that follows its pins
//
// Turned over, the board carries the first side's lean mirrored, so it counts twice.
func (b sourcing) squareSource() budget.Source {
	per := b.job.Machine.SquareMM / squareOverMM
	name, remedy := "out of square", "Set the machine's axes square, or measure them again over a longer distance (machine.square)."
	if b.job.Template.Flip != "none" {
		per *= 2
		name = "out of square, turned over: twice"
	}
	lean := budget.Shear(1, 0, geom.Vec{})
	q := b.follow(lean.At)
	return budget.Source{
		Name:   name,
		Vars:   []budget.Var{{Field: lean.Add(budget.Rigid(q).Scale(-1)), Half: per, Law: budget.Sign}},
		Remedy: remedy,
	}
}

// squareOverMM is the distance that machine.square is stated over; fixed by the job
// file's contract.
const squareOverMM = 300.0

// DatumToleranceMM is the share of the job's accuracy that a board lying askew may take
// up, over its length: what is left of it beside the zero and the next cut's own move,
// which stay when the board lies as it should.
//
//	t = sqrt(accuracy^2 - zero^2 - move^2), at least leastDatumShare of accuracy
func DatumToleranceMM(j *job.Job) float64 {
	a, z, m := j.AccuracyMM, zeroHalfMM(j.Machine.Zero), j.Machine.PositionMM
	return math.Sqrt(math.Max(leastDatumShare*leastDatumShare*a*a, a*a-z*z-m*m))
}

// leastDatumShare keeps the check possible where zero and machine alone use the
// accuracy up. Common practice, no source.
const leastDatumShare = 0.3
