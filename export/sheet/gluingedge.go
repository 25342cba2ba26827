package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/setup"
)

// What detail C shows of section B-B beside the board's edge, below the glue land and above the board,
// mm of the board.
const (
	edgeAside = 5.0
	edgeBelow = 2.0
	edgeAbove = 1.5 // above the pad
)

// gluingEdge draws detail C: the board's edge between film and plate, where it is pushed or else to the
// left, enlarged; nil for a design that glues nothing.
func gluingEdge(d scaled) *block.Figure {
	stack, ok := gluedStack(d)
	r := d.Rails
	if !ok || r == nil {
		return nil
	}
	u, side := gluingStations(d), left
	if p := pairs(d); len(p) > 0 && p[0].Push.Y < 0 {
		side = right
	}
	u = [2]float64{u[side], u[side]}
	board := block.Spans(d.Board.Outline, u[side])
	if len(board) == 0 {
		return nil
	}
	k, out := 1/d.by, geom.Vec{X: -1} // out of the board
	edge := at(board[len(board)-1].Hi, 0)
	if side == right {
		out, edge = geom.Vec{X: 1}, at(board[0].Lo, 0)
	}
	land, over := 0.0, 0.0
	for _, l := range stack {
		switch l.Name {
		case "board":
			land, over = l.FromMM, math.Max(over, l.ToMM)
		case setup.Pad:
			over = l.ToMM
		}
	}
	in := geom.Box{
		Min: geom.Vec{X: edge.X - edgeAside*k, Y: land - edgeBelow*k}, Max: geom.Vec{X: edge.X + edgeAside*k, Y: over + edgeAbove*k},
	}
	f, inner := &figure{}, out.Scale(-1)
	var to, away []called // the board, and away from it
	wall, film := land, 0.0
	for _, l := range stack {
		for _, s := range l.spans(d, u) {
			cut := geom.Box{Min: at(s.Hi, l.FromMM), Max: at(s.Lo, l.ToMM)}
			cut.Min.X, cut.Max.X = math.Max(cut.Min.X, in.Min.X), math.Min(cut.Max.X, in.Max.X)
			cut.Min.Y, cut.Max.Y = math.Max(cut.Min.Y, in.Min.Y), math.Min(cut.Max.Y, in.Max.Y)
			if cut.Min.X >= cut.Max.X {
				continue
			}
			pen := block.PenFilm
			f.drawn(l.shape(d, s), in, pen)
			name := called{l.name(), cut.Center(), named(l.name(), l.Material)}
			switch l.Name {
			case setup.Film:
				film = l.ToMM - l.FromMM
				name.says = l.Name + " " + d.text(film)
				away = append(away, name)
			case "blank":
				name.at.X = edge.X + inner.X*edgeAside*k/2
				to = append(to, name)
			case "board", setup.Pad, setup.Caul:
				name.at = l.inside(d, s, edge.X+inner.X*edgeAside*k/2)
				name.at.Y = math.Min(name.at.Y, (cut.Min.Y+cut.Max.Y)/2)
				to = append(to, name)
			default: // what stands beside the board; the film goes up it
				wall = math.Max(wall, l.ToMM)
				face := cut.Max.X
				if side == right {
					face = cut.Min.X
				}
				if film > 0 {
					foot := math.Max(l.FromMM-film, land) + l.window
					f.Line(pen, geom.Vec{X: face, Y: foot}, geom.Vec{X: face, Y: l.ToMM})
					if l.window > 0 {
						f.Line(pen, geom.Vec{X: face, Y: foot}, geom.Vec{X: face + l.window*out.X, Y: foot - l.window})
						away = append(away, called{"room", geom.Vec{X: face + l.window/4*out.X, Y: l.FromMM + l.window/4},
							"room for squeeze-out"})
					}
				}
				name.at = name.at.Add(out.Scale(edgeAside * k / 4))
				away = append(away, name)
			}
		}
	}
	f.Box(picture.PenThin, in)
	// The wood beside the board, which is trimmed off when the glue is hard.
	strip := geom.Vec{X: edge.X + out.X*r.StripMM*k, Y: land}
	edge.Y = land
	if r.StripMM > 0 {
		for _, p := range []geom.Vec{edge, strip} {
			f.Line(picture.PenHidden, p, geom.Vec{X: p.X, Y: in.Min.Y})
		}
		row{below, in.Min.Y}.draw(f, []dim{{edge, strip, "strip " + block.MM(r.StripMM)}})
	}
	low := geom.Vec{X: edge.X, Y: land + r.EdgeMM*k}
	if s := (row{out, edge.X + out.X*edgeAside*k}); wall < low.Y {
		s.draw(f, []dim{{geom.Vec{X: s.base, Y: wall}, geom.Vec{X: s.base, Y: low.Y}, block.MM(r.BearingMM)}})
	}
	f.names(to, in.Center().X+inner.X*(in.Size().X/2+8), inner)
	f.names(away, in.Center().X+out.X*(in.Size().X/2+24), out)
	f.title("C (the board's edge, u "+d.text(u[side])+"), "+d.scale(), in)
	return &f.Figure
}
