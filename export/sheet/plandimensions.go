package sheet

import (
	"fmt"
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// planDimensions adds the rows of dimensions around the view; those above and
// below stand off further by stand.
func (f *figure) planDimensions(d scaled, all geom.Box, stand float64) {
	plate := d.Template.Outline.Bounds()
	upperLeft := geom.Vec{X: plate.Min.X, Y: plate.Max.Y}
	top := []dim{{upperLeft, plate.Max, d.text(plate.Size().X)}}
	left := []dim{{plate.Min, upperLeft, d.text(plate.Size().Y)}}
	var bottom, right []dim
	if plate.Min.X < 0 {
		bottom = append(bottom, dim{plate.Min, geom.Vec{Y: plate.Min.Y}, d.text(-plate.Min.X)})
	}
	// A plate without a window shows the board's dimensions for reference.
	form, of := "%s", d.Template.Window
	if len(of) == 0 {
		form, of = "(%s)", d.Board.Outline
	}
	if b := d.Board.Outline.Bounds(); d.Board.Outlined { // over all, for reference
		size := func(x float64) string { return "(" + d.text(x) + ")" }
		top = append(top, dim{geom.Vec{X: b.Min.X, Y: b.Max.Y}, b.Max, size(b.Size().X)})
		left = append(left, dim{b.Min, geom.Vec{X: b.Min.X, Y: b.Max.Y}, size(b.Size().Y)})
	} else if w, ok := findWalls(of); ok {
		size := func(x float64) string { return fmt.Sprintf(form, d.text(x)) }
		top = append(top, dim{w.startLeft, w.farLeft, size(w.length())})
		left = append(left, dim{w.startRight, w.startLeft, size(w.startLeft.Y - w.startRight.Y)})
		right = append(right, dim{w.farRight, w.farLeft, size(w.farLeft.Y - w.farRight.Y)})
	}
	if pins := locating(d.Pins); len(pins) == 2 {
		a, b := pins[0].At, pins[1].At
		// The baseline of two pins that stand across the board is measured across.
		if du, dv := math.Abs(b.X-a.X), math.Abs(b.Y-a.Y); dv > du {
			right = append(right, dim{a, b, d.text(dv)})
		} else {
			bottom = append(bottom, dim{a, b, d.text(du)})
		}
	}
	row{above, all.Max.Y + stand}.draw(f, top)
	row{below, all.Min.Y - stand}.draw(f, bottom)
	row{leftOf, math.Min(all.Min.X, 0) - datumOver/2}.draw(f, left)
	row{rightOf, all.Max.X + datumOver/2}.draw(f, right)
}

// locating returns the round pin and the slot pin, or the first two round pins; fewer
// than two when there are not so many.
func locating(pins []jig.Pin) []jig.Pin {
	var round, slot []jig.Pin
	for _, p := range pins {
		switch p.Role {
		case jig.Round:
			round = append(round, p)
		case jig.Slot:
			slot = append(slot, p)
		}
	}
	if len(slot) > 0 && len(round) > 0 {
		round = append(round[:1], slot...)
	}
	return round[:min(len(round), 2)]
}
