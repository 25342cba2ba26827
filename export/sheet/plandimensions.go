package sheet

import (
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// planDimensions adds the rows of dimensions around the view; those above and
// below stand off further by stand.
func (f *figure) planDimensions(d *jig.Design, all geom.Box, stand float64) {
	plate := d.Template.Outline.Bounds()
	lowerLeft := plate.Min
	upperLeft := geom.Vec{X: plate.Min.X, Y: plate.Max.Y}
	var top, bottom, left, right []dim
	top = append(top, dim{upperLeft, plate.Max, mm(plate.Size().X)})
	left = append(left, dim{lowerLeft, upperLeft, mm(plate.Size().Y)})
	if plate.Min.X < 0 {
		bottom = append(bottom, dim{lowerLeft, geom.Vec{Y: plate.Min.Y}, mm(-plate.Min.X)})
	}
	if w, ok := findWalls(d.Template.Window); ok {
		if sr, sl, fr, fl, ok := w.corners(); ok {
			top = append(top, dim{sl, fl, mm(w.length())})
			left = append(left, dim{sr, sl, mm(sl.Y - sr.Y)})
			right = append(right, dim{fr, fl, mm(fl.Y - fr.Y)})
		}
	} else if w, ok := findWalls(d.Board.Outline); ok {
		if sr, sl, fr, fl, ok := w.corners(); ok {
			top = append(top, dim{sl, fl, "(" + mm(w.length()) + ")"})
			left = append(left, dim{sr, sl, "(" + mm(sl.Y-sr.Y) + ")"})
			right = append(right, dim{fr, fl, "(" + mm(fl.Y-fr.Y) + ")"})
		}
	}
	if a, b, ok := locating(d.Pins); ok {
		bottom = append(bottom, dim{a.At, b.At, mm(math.Abs(b.At.X - a.At.X))})
		// The baseline of two pins that stand across the board is measured across.
		if dv := math.Abs(b.At.Y - a.At.Y); dv > math.Abs(b.At.X-a.At.X) {
			bottom = bottom[:len(bottom)-1]
			right = append(right, dim{a.At, b.At, mm(dv)})
		}
	}
	row{above, all.Max.Y + stand}.draw(f, top)
	row{below, all.Min.Y - stand}.draw(f, bottom)
	row{leftOf, math.Min(all.Min.X, 0) - datumOver/2}.draw(f, left)
	row{rightOf, all.Max.X + datumOver/2}.draw(f, right)
}

// locating returns the round pin and the slot pin, or the first two round pins.
func locating(pins []jig.Pin) (a, b jig.Pin, ok bool) {
	var found []jig.Pin
	for _, want := range []jig.Role{jig.Round, jig.Slot} {
		for _, p := range pins {
			if p.Role == want {
				found = append(found, p)
			}
		}
	}
	if len(found) < 2 {
		return a, b, false
	}
	for _, p := range found[1:] {
		if p.Role == jig.Slot {
			return found[0], p, true
		}
	}
	return found[0], found[1], true
}
