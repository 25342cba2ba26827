package sheet

import (
	"math"
	"sort"

	"reseat/export/picture"
	"reseat/jig"
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
func shownKeepOuts(d *jig.Design, all geom.Box) []geom.Box {
	out := make([]geom.Box, len(d.Board.KeepOut))
	for i, k := range d.Board.KeepOut {
		out[i] = geom.EmptyBox()
		if overlap(k.Box, all) {
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
	if b.Min.X > b.Max.X {
		return
	}
	if k == b {
		f.Box(picture.PenThin, b)
		return
	}
	ll, ur := b.Min, b.Max
	lr, ul := geom.Vec{X: ur.X, Y: ll.Y}, geom.Vec{X: ll.X, Y: ur.Y}
	for _, side := range []struct {
		whole bool
		p, q  geom.Vec
	}{
		{k.Min.Y == b.Min.Y, ll, lr},
		{k.Max.X == b.Max.X, lr, ur},
		{k.Max.Y == b.Max.Y, ur, ul},
		{k.Min.X == b.Min.X, ul, ll},
	} {
		if side.whole {
			f.Line(picture.PenThin, side.p, side.q)
		}
	}
}

// hatchKeepOuts comes last, so that hatching makes way for the labels and not
// they for it.
func (f *figure) hatchKeepOuts(boxes []geom.Box) {
	g := &figure{}
	for _, b := range boxes {
		if b.Min.X < b.Max.X {
			g.hatch(hatchRising, hatchKeepOut, geom.Rect(b).Corners())
		}
	}
	f.placeAround(g)
}

// keepOutLabels names the keep-outs: inside where the name fits, else with a
// leader from the nearest free place.
func (f *figure) keepOutLabels(d *jig.Design, boxes []geom.Box, all geom.Box) {
	for i, k := range d.Board.KeepOut {
		b := boxes[i]
		name := picture.Shorten(picture.Plain(k.Name), small, keepOutName)
		if i == mostLabels {
			break
		}
		if b.Min.X > b.Max.X || name == "" {
			continue
		}
		if !f.keepOutInside(d, b, name, except(boxes, i)) {
			f.keepOutLeader(d, b, name, all)
		}
	}
}

// keepOutInside writes the name into its box: away from features, beside which
// it would read as theirs, when there is such a place.
func (f *figure) keepOutInside(d *jig.Design, b geom.Box, name string, others []geom.Box) bool {
	far := append([]geom.Box(nil), others...)
	for _, ft := range d.Board.Features {
		far = append(far, geom.Box{Min: ft.At, Max: ft.At}.Grow(ft.BoreMM/2+featureRoom))
	}
	for _, k := range [3]float64{0.5, 0.25, 0.75} {
		at := geom.Vec{X: b.Min.X + k*b.Size().X, Y: b.Center().Y}
		if f.inArea(at, 0, b, small, name, far...) {
			return true
		}
	}
	return f.inArea(b.Center(), 0, b, small, name, others...)
}

// keepOutLeader points at the middle of the box or to both sides of it, first
// where no feature stands near.
func (f *figure) keepOutLeader(d *jig.Design, b geom.Box, name string, all geom.Box) {
	y := b.Center().Y
	if math.Abs(y) < small && b.Size().Y > 4*dotRadius {
		y += b.Size().Y / 4 // off the datum line
	}
	l := label{lines: []string{name}, heights: []float64{small}, led: true, surface: true, within: all}
	var targets []geom.Vec
	for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		targets = append(targets, geom.Vec{X: b.Min.X + k*b.Size().X, Y: y})
	}
	lonely := func(p geom.Vec) float64 {
		r := 2 * featureRoom // further off, all places are alike
		for _, ft := range d.Board.Features {
			r = math.Min(r, p.Dist(ft.At))
		}
		return r
	}
	sort.SliceStable(targets, func(i, j int) bool { return lonely(targets[i]) > lonely(targets[j]) })
	for _, spare := range []bool{true, false} {
		for _, l.target = range targets {
			l.spare = spare
			if f.setLabel(l) {
				return
			}
		}
	}
}

func except(boxes []geom.Box, i int) []geom.Box {
	return append(append([]geom.Box(nil), boxes[:i]...), boxes[i+1:]...)
}
