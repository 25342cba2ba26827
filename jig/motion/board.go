package motion

import (
	"math"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/seat"
)

// Board is a board in its window, pushed against it or free.
type Board struct {
	LengthMM, WidthStartMM, WidthEndMM float64
	Push                               string      // "none", "left" or "right"; the start end with either
	MiddleMM                           float64     // v of the middle of a free board's bounds
	Stops                              []seat.Stop // of a pushed board of any outline; nil: straight sides
}

// Held is the point of the board that the window holds it by: the corner of the stops, or
// midway between those of any outline, or the window's middle.
func (b Board) Held() (at geom.Vec) {
	if b.Push == "none" {
		return geom.Vec{X: b.LengthMM / 2, Y: b.MiddleMM}
	}
	for _, s := range b.Stops {
		at = at.Add(s.At.Scale(1 / float64(len(b.Stops))))
	}
	if b.Stops != nil {
		return at
	}
	switch b.Push {
	case "left":
		return geom.Vec{Y: (b.WidthStartMM + b.WidthEndMM) / 4}
	case "right":
		return geom.Vec{Y: -(b.WidthStartMM + b.WidthEndMM) / 4}
	}
	return geom.Vec{X: b.LengthMM / 2, Y: b.MiddleMM}
}

// follow is the rigid move of a board whose window's walls are carried along by the given
// displacements. A pushed board lies along its side wall and against the start wall at the
// corner of the two, or against its stops; a free one lies between, by its datum line.
func (b Board) follow(d func(at geom.Vec) geom.Vec) budget.Field {
	if b.Stops != nil {
		return b.stopped(func(s seat.Stop) float64 { return s.Normal.Dot(d(s.At)) })
	}
	p, q := b.ends()
	if b.Push == "none" {
		mean := (d(p).X + d(q).X) / 2
		return held(p, geom.Vec{X: mean, Y: d(p).Y}, q, geom.Vec{X: mean, Y: d(q).Y})
	}
	return held(p, d(p), q, d(q))
}

// stopped is the rigid move of a board whose stops go off, out of the board, by mm.
func (b Board) stopped(mm func(seat.Stop) float64) budget.Field {
	var q seat.Pose
	for _, s := range b.Stops {
		e := mm(s)
		q.DU += float64(e * s.PerMM.DU)
		q.DV += float64(e * s.PerMM.DV)
		q.Theta += float64(e * s.PerMM.Theta)
	}
	return budget.Rigid(q)
}

// Carried is how a board moves whose window goes along with a field, by the place that holds it.
func (b Board) Carried(f budget.Field) budget.Field {
	if b.Stops != nil {
		return b.follow(f.At)
	}
	return budget.Shift(f.At(b.Held()))
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
	if side == 0 {
		return geom.Vec{Y: b.MiddleMM}, geom.Vec{X: b.LengthMM, Y: b.MiddleMM}
	}
	return geom.Vec{Y: side * b.WidthStartMM / 2}, geom.Vec{X: b.LengthMM, Y: side * b.WidthEndMM / 2}
}

// Walls is how far the window's walls lie from where they are drawn, half either way
// (95 %, normal): a long one at either of its ends, so that it turns as well as shifts, the
// start wall as a whole. A pushed board lies along its side wall and against the start. A free
// one gains the room at either end, independent: across at the start and at the far end. At
// the stops of any outline each stretch of wall errs by itself.
func (b Board) Walls(half float64) []budget.Var {
	if b.Stops != nil {
		return b.Sides(half)
	}
	return append([]budget.Var{{Field: budget.Shift(geom.Vec{X: 1}), Half: half}}, b.Sides(half)...)
}

// Wider is a window all of whose walls lie farther out than drawn, half either way (95 %,
// normal), together: a pushed board follows both stops, a free one stays in the middle and has
// other play.
func (b Board) Wider(half float64) []budget.Var {
	if b.Stops != nil {
		return []budget.Var{{Field: b.stopped(func(seat.Stop) float64 { return 1 }), Half: half}}
	}
	if b.Push == "none" {
		return nil
	}
	_, far := b.ends()
	out := geom.Vec{Y: math.Copysign(1, far.Y)}
	return []budget.Var{{Field: budget.Shift(geom.Vec{X: -1}.Add(out)), Half: half}}
}

// Sides is how far the board's sides lie from where they should, half either way (95 %,
// normal), at the start end and at the far end, or at the stops, each by itself.
func (b Board) Sides(half float64) (out []budget.Var) {
	if b.Push == "none" && b.Stops != nil {
		half *= roomToo
	}
	for k := range walls(b.Stops) {
		on := func(s seat.Stop) float64 {
			if s.Wall == k {
				return 1
			}
			return 0
		}
		out = append(out, budget.Var{Field: b.stopped(on), Half: half})
	}
	if out != nil {
		return out
	}
	p, q := b.ends()
	across := geom.Vec{Y: 1}
	return []budget.Var{{Field: held(p, across, q, geom.Vec{}), Half: half},
		{Field: held(p, geom.Vec{}, q, across), Half: half}}
}

// roomToo, squared, is by how much more than the middle of a free board's room its place varies
// when a wall errs: the room is wider or narrower too. Between two parallel walls 2 c apart,
// each erring by s, the middle varies by s^2/2, a place spread evenly between them by
// (2 c)^2/12 and, on the mean, s^2/6 more. Derived.
var roomToo = math.Sqrt(4.0 / 3)

// walls is the number of walls that the stops lie on.
func walls(stops []seat.Stop) (n int) {
	for _, s := range stops {
		n = max(n, s.Wall+1)
	}
	return n
}

// GrowthField is how the growth (mm per mm) of a board that lies in a window drawn for it moves
// its features: they walk away from where the datum line starts.
func (b Board) GrowthField(along, across float64) budget.Field {
	return budget.Strain(along, across, geom.Vec{})
}

// Outgrown is how a growth (mm per mm) that the window was not drawn for shifts the board.
// Pushed against a tapered side, it turns as its taper grows, so that the side stays on
// its wall:
//
//	theta = -+ e (w1 - w0)/(2 L)
func (b Board) Outgrown(along, across float64) budget.Field {
	return b.growth(along, across).Add(b.GrowthField(-along, -across))
}

// growth is how features walk away from where the window holds the board.
func (b Board) growth(along, across float64) budget.Field {
	held := b.Held()
	if b.Stops != nil { // which it grows against
		f := b.GrowthField(along, across)
		return f.Add(b.stopped(func(s seat.Stop) float64 { return -s.Normal.Dot(f.At(s.At)) }))
	}
	if b.Push == "none" {
		return budget.Strain(along, across, held)
	}
	// The held wall starts at half the width of the start end.
	side := math.Copysign(1, held.Y)
	f := budget.Strain(along, across, geom.Vec{Y: side * b.WidthStartMM / 2})
	theta := -side * across * (b.WidthEndMM - b.WidthStartMM) / (2 * b.LengthMM)
	return f.Add(budget.Rigid(seat.Pose{Theta: theta, DU: theta * side * b.WidthStartMM / 2}))
}
