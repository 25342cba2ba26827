package sheet

import (
	"fmt"
	"slices"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/setup"
)

// gluing draws section B-B, the stack of layers as the glue sets, seen towards the far end;
// nil for a design that glues nothing.
func gluing(d scaled) *block.Figure {
	k := slices.IndexFunc(d.Setups, func(s setup.Setup) bool { return s.ID == setup.GlueUp })
	if k < 0 {
		return nil
	}
	f, u, stack := &figure{}, gluingStation(d), d.Setups[k].Stack
	toBoard := d.Frame.ToMachine.Inverse()
	ends := geom.EmptyBox()
	for i, l := range stack {
		all := block.Spans(toBoard.Loop(l.Outline), u)
		if l.Window != nil {
			all = block.Without(all, block.Spans(toBoard.Loop(l.Window), u)...)
		}
		for _, s := range all {
			low, high := at(s.Hi, l.FromMM), at(s.Lo, l.ToMM)
			box := geom.Box{Min: low, Max: high}
			ends = ends.Union(box)
			if box.Size().Y < leastLayer { // a film is a line
				f.Line(picture.PenThin, low, geom.Vec{X: high.X, Y: low.Y})
				continue
			}
			corners := []geom.Vec{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}
			angle, apart := block.HatchRising, hatchPlate+float64(i%3)
			if i%2 == 1 {
				angle = block.HatchFalling
			}
			switch l.Name {
			case "board":
				corners = crowned(d, s, l.FromMM)
			case setup.Caul: // its underside is the board's top
				corners = append(crowned(d, s, l.FromMM-d.Board.ThicknessMM)[2:], at(s.Hi, l.ToMM), at(s.Lo, l.ToMM))
			}
			f.Hatch(angle, apart, corners...)
			f.Loop(picture.PenOutline, geom.FromPoints(corners))
		}
	}
	if ends.Size().Y <= 0 {
		return nil
	}
	f.layerNames(d, stack, ends)
	f.Text(geom.Vec{X: ends.Min.X, Y: ends.Min.Y - 5}, block.Small, picture.Start, "left, +v")
	f.Text(geom.Vec{X: ends.Max.X, Y: ends.Min.Y - 5}, block.Small, picture.End, "right, -v")
	f.Add(picture.Text{
		At: geom.Vec{X: ends.Center().X, Y: ends.Max.Y + 5}, Height: block.Middle, Anchor: picture.Middle, Bold: true,
		S: "Gluing, B-B (u " + d.told(u) + "), " + d.scale(),
	})
	return &f.Figure
}

// leastLayer is the thinnest layer that is hatched, mm.
const leastLayer = 0.3

// layerNames writes the layers' names and heights to the right, from below, none on another.
func (f *figure) layerNames(d scaled, stack []setup.Layer, ends geom.Box) {
	x, last := ends.Max.X, ends.Min.Y-block.Small*block.LineGap
	seen := map[string]bool{}
	for _, l := range stack {
		if seen[l.Name] {
			continue
		}
		seen[l.Name] = true
		mid := (l.FromMM + l.ToMM) / 2
		y := max(mid-block.Small/2, last+block.Small*block.LineGap)
		last = y
		f.Line(picture.PenThin, geom.Vec{X: x + 1, Y: mid}, geom.Vec{X: x + 4, Y: mid}, geom.Vec{X: x + 8, Y: y + block.Small/2})
		says := fmt.Sprintf("%s, %s to %s", named(l.Name, l.Material), d.told(l.FromMM), d.told(l.ToMM))
		f.Text(geom.Vec{X: x + 9, Y: y}, block.Small, picture.Start, says)
	}
}

// gluingStation is where section B-B shows most: a pair of wedges at the board's side, else a
// land of the plate beside it, else a quarter along the board.
func gluingStation(d scaled) float64 {
	box := d.Board.Outline.Bounds()
	inside := func(u float64) bool { return u > box.Min.X && u < box.Max.X }
	if r := d.Rails; r != nil && r.Sheet != nil {
		for _, k := range r.Sheet.Wedges {
			if inside(k.At.X) {
				return k.At.X
			}
		}
		for _, l := range r.Sheet.Lands {
			if u := (l[0].X + l[1].X) / 2; inside(u) {
				return u
			}
		}
	}
	return box.Min.X + box.Size().X/4 // off the finger reliefs, which lie near the middle
}
