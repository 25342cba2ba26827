package motion

import (
	"math"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Board is a straight-sided board in its window, pushed against two walls or free.
type Board struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	Push                               string // "none", "left" or "right"; the start end with either
}

// Held is the point of the board that the window holds it by: the corner of the stops,
// or the window's middle.
func (b Board) Held() geom.Vec {
	switch b.Push {
	case "left":
		return geom.Vec{Y: (b.WidthStartMM + b.WidthEndMM) / 4}
	case "right":
		return geom.Vec{Y: -(b.WidthStartMM + b.WidthEndMM) / 4}
	}
	return geom.Vec{X: b.LengthMM / 2}
}

// follow is the rigid move of a board whose window's walls are carried along by the given
// displacements. A pushed board lies along its side wall and against the start wall at the
// corner of the two; a free one lies between, by its datum line.
func (b Board) follow(d func(at geom.Vec) geom.Vec) budget.Field {
	p, q := b.ends()
	if b.Push == "none" {
		mean := (d(p).X + d(q).X) / 2
		return held(p, geom.Vec{X: mean, Y: d(p).Y}, q, geom.Vec{X: mean, Y: d(q).Y})
	}
	return held(p, d(p), q, d(q))
}

// ends are the start and the far end of the side wall that the board is pushed to, or of the
// datum line of a free one.
func (b Board) ends() (start, far geom.Vec) {
	var side float64
	switch b.Push {
	case "left":
		side = 1
	case "right":
		side = -1
	}
	return geom.Vec{Y: side * b.WidthStartMM / 2}, geom.Vec{X: b.LengthMM, Y: side * b.WidthEndMM / 2}
}

// Walls is how far the window's walls lie from where they are drawn, half either way
// (95 %, normal): a long one at either of its ends, so that it turns as well as shifts, the
// start wall as a whole. A pushed board lies along its side wall and against the start. A free
// one gains the room at either end, independent: across at the start and at the far end.
func (b Board) Walls(half float64) []budget.Var {
	return append([]budget.Var{{Field: budget.Shift(geom.Vec{X: 1}), Half: half}}, b.Sides(half)...)
}

// Sides is how far the board's sides lie from where they should, half either way (95 %,
// normal), at the start end and at the far end, each by itself.
func (b Board) Sides(half float64) []budget.Var {
	p, q := b.ends()
	across := geom.Vec{Y: 1}
	return []budget.Var{{Field: held(p, across, q, geom.Vec{}), Half: half},
		{Field: held(p, geom.Vec{}, q, across), Half: half}}
}

// Moved is how the growth (mm per mm) of a board that lies in a window drawn for it moves
// its features: they walk away from where the datum line starts.
func (b Board) Moved(along, across float64) budget.Field {
	return budget.Strain(along, across, geom.Vec{})
}

// Outgrown is how a growth (mm per mm) that the window was not drawn for shifts the board.
// Pushed against a tapered side, it turns as its taper grows, so that the side stays on
// its wall:
//
//	theta = -+ e (w1 - w0)/(2 L)
func (b Board) Outgrown(along, across float64) budget.Field {
	return b.growth(along, across).Add(b.Moved(-along, -across))
}

// growth is how features walk away from where the window holds the board.
func (b Board) growth(along, across float64) budget.Field {
	held := b.Held()
	if held.Y == 0 {
		return budget.Strain(along, across, held)
	}
	// The held wall starts at half the width of the start end.
	side := math.Copysign(1, held.Y)
	f := budget.Strain(along, across, geom.Vec{Y: side * b.WidthStartMM / 2})
	theta := -side * across * (b.WidthEndMM - b.WidthStartMM) / (2 * b.LengthMM)
	return f.Add(budget.Rigid(seat.Pose{Theta: theta, DU: theta * side * b.WidthStartMM / 2}))
}
