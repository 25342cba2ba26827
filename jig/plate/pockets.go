package plate

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/offset"
)

// PushedFrom are the walls that wedges push a board from, against its stops; none without a push.
func PushedFrom(push string) []Wall {
	switch push {
	case "left":
		return []Wall{Right, Far}
	case "right":
		return []Wall{Left, Far}
	}
	return nil
}

// reachIn is how far a pocket is drawn into the window, mm: so that both are one opening.
const reachIn = 1.0

// Pocketed is a window with pockets for wedges in its free walls, which lie at gaps from the board, and
// the wedges that go into them; ok is false where the pockets cut the plate in two.
func Pocketed(window, board geom.Loop, gaps [4]float64, free []Wall) (out geom.Loop, pairs []Wedge, ok bool) {
	walls, all := Walls(board, gaps), []geom.Loop{window}
	for _, i := range free {
		e := walls.Edge(int(i))
		along := e.Q.Sub(e.P).Unit()
		outward := along.Left().Scale(-1)
		at := func(x, y float64) geom.Vec { return e.P.Add(along.Scale(x)).Add(outward.Scale(y)) }
		k := wedgeFor(e.Length(), roundMM)
		for _, mid := range k.stations(e.Length()) {
			from, to, deep := mid-k.pocketMM(roundMM)/2, mid+k.pocketMM(roundMM)/2, k.NominalMM()-gaps[i]
			pocket := geom.FromPoints([]geom.Vec{at(from, -reachIn), at(from, deep), at(to, deep), at(to, -reachIn)})
			if pocket.Area() < 0 {
				pocket = pocket.Reverse()
			}
			all = append(all, geom.RoundCorners(pocket, roundMM/2))
			k.At, k.Push = at(mid, -gaps[i]), outward.Scale(-1)
			pairs = append(pairs, k)
		}
	}
	out, ok = outermost(offset.Union(all...))
	return out, pairs, ok
}

// Prints lays the wedges of pairs, two of each, heightMM thick, into files of their own; wedges alike have
// one file.
func (p Printing) Prints(pairs []Wedge, heightMM float64) (out []Print) {
	p.Holes, p.Rails, p.ThicknessMM, p.Thinner = nil, nil, heightMM, false
	var sizes []float64
	for _, k := range pairs {
		at := slices.Index(sizes, k.LengthMM)
		if at < 0 {
			at, sizes = len(sizes), append(sizes, k.LengthMM)
		}
		file := "wedge.stl"
		if at > 0 {
			file = fmt.Sprintf("wedge-%d.stl", at+1)
		}
		one := p.Lay(file, Piece{Outline: k.Outline(), From: math.Inf(-1), To: math.Inf(1)}, nil)
		one.EntryMM = 0
		out = append(out, one, one)
	}
	return out
}
