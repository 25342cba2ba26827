package sheet

import (
	"cmp"
	"math"
	"slices"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// Keep-out measures in millimetres.
const (
	hatchKeepOut = 8.0  // wide apart: dots and the datum line must read through it
	keepOutName  = 40.0 // longest name of a keep-out
	featureRoom  = 24.0 // kept for a feature's own name
)

// shownKeepOuts returns the boxes of the keep-outs as far as they lie on the
// parts that are drawn, in the job's order; empty boxes for those that do not.
func shownKeepOuts(d scaled, all geom.Box) []geom.Box {
	out := make([]geom.Box, len(d.Board.KeepOut))
	for i, k := range d.Board.KeepOut {
		out[i] = geom.EmptyBox()
		if block.Overlap(k.Box, all) {
			out[i] = geom.Box{
				Min: geom.Vec{X: math.Max(k.Box.Min.X, all.Min.X), Y: math.Max(k.Box.Min.Y, all.Min.Y)},
				Max: geom.Vec{X: math.Min(k.Box.Max.X, all.Max.X), Y: math.Min(k.Box.Max.Y, all.Max.Y)},
			}
		}
	}
	return out
}

// keepOut outlines a keep-out of which only the part b is drawn. A side that
// lies beyond the drawn parts is left open, since there is no edge.
func (f *figure) keepOut(k, b geom.Box) {
	if k == b {
		f.Box(picture.PenThin, b)
		return
	}
	if b.Min.X > b.Max.X {
		return
	}
	whole := [4]bool{k.Min.Y == b.Min.Y, k.Max.X == b.Max.X, k.Max.Y == b.Max.Y, k.Min.X == b.Min.X}
	for i, side := range whole { // below, right, above, left
		if e := geom.Rect(b).Edge(i); side {
			f.Line(picture.PenThin, e.P, e.Q)
		}
	}
}

// hatchKeepOuts comes last, so that hatching makes way for the labels and not
// they for it.
func (f *figure) hatchKeepOuts(boxes []geom.Box) {
	for _, b := range boxes {
		if b.Min.X < b.Max.X {
			f.HatchAround(hatchKeepOut, b)
		}
	}
}

// keepOutLabels names the keep-outs: inside where the name fits, else with a
// leader from the nearest free place.
func (f *figure) keepOutLabels(d scaled, boxes []geom.Box, all geom.Box) {
	for i, k := range d.Board.KeepOut[:min(len(boxes), mostLabels)] {
		name := block.FitText(k.Name, keepOutName)
		if boxes[i].Min.X > boxes[i].Max.X || name == "" {
			continue
		}
		others := slices.Delete(slices.Clone(boxes), i, i+1)
		if !f.keepOutInside(d, boxes[i], name, others) {
			f.keepOutLeader(d, boxes[i], name, all)
		}
	}
}

// keepOutInside writes the name into its box: away from features, beside which
// it would read as theirs, when there is such a place.
func (f *figure) keepOutInside(d scaled, b geom.Box, name string, others []geom.Box) bool {
	far := slices.Clone(others)
	for _, ft := range d.Board.Features {
		far = append(far, geom.Box{Min: ft.At, Max: ft.At}.Grow(ft.BoreMM/2+featureRoom))
	}
	for _, k := range [3]float64{0.5, 0.25, 0.75} {
		at := geom.Vec{X: b.Min.X + k*b.Size().X, Y: b.Center().Y}
		if f.inArea(at, 0, b, block.Small, name, far...) {
			return true
		}
	}
	return f.inArea(b.Center(), 0, b, block.Small, name, others...)
}

// keepOutLeader points at the middle of the box or to both sides of it, first
// where no feature stands near.
func (f *figure) keepOutLeader(d scaled, b geom.Box, name string, all geom.Box) {
	y := b.Center().Y
	if math.Abs(y) < block.Small && b.Size().Y > 4*block.DotRadius {
		y += b.Size().Y / 4 // off the datum line
	}
	var targets []geom.Vec
	for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		targets = append(targets, geom.Vec{X: b.Min.X + k*b.Size().X, Y: y})
	}
	room := func(p geom.Vec) float64 {
		r := 2 * featureRoom // further off, all places are alike
		for _, ft := range d.Board.Features {
			r = math.Min(r, p.Dist(ft.At))
		}
		return r
	}
	slices.SortStableFunc(targets, func(p, q geom.Vec) int { return cmp.Compare(room(q), room(p)) })
	f.pointAt(label{lines: []string{name}, within: all}, targets, false)
}
