package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/setup"
)

// gluing draws section B-B, the stack of layers as the glue sets, seen towards the far end;
// nil for a design that glues nothing.
func gluing(d scaled) *block.Figure {
	stack, ok := gluedStack(d)
	if !ok {
		return nil
	}
	f, u, ends := &figure{}, gluingStations(d), geom.EmptyBox()
	var names []called
	for _, l := range stack {
		all := l.spans(d, u)
		for _, s := range all {
			ends = ends.Union(f.layer(d, l, s, block.PenFilm))
		}
		if len(all) == 0 {
			continue
		}
		right := all[0] // the farthest to the right is the first
		x := -right.Lo - math.Min(2, (right.Hi-right.Lo)/2)
		one := called{l.name(), l.inside(d, right, x), named(l.name(), l.Material) + ", " + d.text(l.FromMM) + " to " +
			d.text(l.ToMM)}
		if i := slices.IndexFunc(names, func(c called) bool { return c.layer == one.layer }); i < 0 {
			names = append(names, one)
		} else if one.at.X > names[i].at.X {
			names[i] = one
		}
	}
	if ends.Size().Y <= 0 {
		return nil
	}
	// Where the clamps press.
	tip := geom.Vec{X: -d.Board.Outline.Bounds().Center().Y, Y: ends.Max.Y}
	tail := tip.Add(geom.Vec{Y: 9})
	f.Line(picture.PenOutline, tail, tip)
	f.Arrow(tip, geom.Vec{Y: -1})
	f.Text(tail.Add(geom.Vec{X: 1.5, Y: -block.Small}), block.Small, picture.Start, "clamps")
	f.names(names, ends.Max.X+10, rightOf)
	f.sides(ends)
	says := "u " + d.text(u[left])
	if u[left] != u[right] {
		says = "left half u " + d.text(u[left]) + ", right half u " + d.text(u[right])
	}
	f.title("Gluing, B-B ("+says+"), "+d.scale(), ends)
	return &f.Figure
}

// title writes a view's name over it.
func (f *figure) title(says string, ends geom.Box) {
	at := geom.Vec{X: ends.Center().X, Y: f.Ink().Max.Y + 5}
	f.Add(picture.Text{At: at, Height: block.Middle, Anchor: picture.Middle, Bold: true, S: says})
}

// sides says which side is which, below a section.
func (f *figure) sides(ends geom.Box) {
	f.Text(geom.Vec{X: ends.Min.X, Y: ends.Min.Y - 5}, block.Small, picture.Start, "left, +v")
	f.Text(geom.Vec{X: ends.Max.X, Y: ends.Min.Y - 5}, block.Small, picture.End, "right, -v")
}

// The halves of section B-B, to either side of the datum line.
const (
	left = iota
	right
)

// layer is one of the stack as the glue sets.
type layer struct {
	setup.Layer
	window float64 // chamfer at the foot of a printed plate's window, which takes squeeze-out
}

// gluedStack are the layers as the glue sets; ok is false for a design that glues nothing.
func gluedStack(d scaled) (out []layer, ok bool) {
	k := slices.IndexFunc(d.Setups, func(s setup.Setup) bool { return s.ID == setup.GlueUp })
	if k < 0 {
		return nil, false
	}
	back := d.Frame.ToMachine.Inverse()
	for _, l := range d.Setups[k].Stack {
		l.Outline = back.Loop(l.Outline)
		if l.Window != nil {
			l.Window = back.Loop(l.Window)
		}
		one := layer{Layer: l}
		if l.Name == setup.GluingPlate && d.Rails != nil && d.Rails.Plate == "print" && d.Print != nil {
			if one.window = d.Print.WindowFootMM / d.by; d.Split != nil { // seams cut it
				one.window = d.Print.FootMM / d.by
			}
		}
		out = append(out, one)
	}
	return out, true
}

// name is a layer's; rails have one name.
func (l layer) name() string {
	if strings.HasPrefix(l.Name, "rail ") {
		return "rails"
	}
	return l.Name
}

// inside is a place in a piece of a layer at x, in the middle of its height there.
func (l layer) inside(d scaled, s block.Span, x float64) geom.Vec {
	low, high := math.Inf(1), math.Inf(-1)
	for _, k := range l.shape(d, s) {
		for i, p := range k.outline {
			q := k.outline[(i+1)%len(k.outline)]
			if (p.X > x) != (q.X > x) {
				y := p.Lerp(q, (x-p.X)/(q.X-p.X)).Y
				low, high = math.Min(low, y), math.Max(high, y)
			}
		}
	}
	if low > high {
		return geom.Vec{X: x, Y: (l.FromMM + l.ToMM) / 2}
	}
	return geom.Vec{X: x, Y: (low + high) / 2}
}

// spans are the pieces of a layer that the halves of a section cut, from right to left.
func (l layer) spans(d scaled, u [2]float64) (out []block.Span) {
	at := func(u float64) []block.Span {
		all := block.Spans(l.Outline, u)
		if l.Window != nil {
			all = block.Subtract(all, block.Spans(l.Window, u)...)
		}
		return all
	}
	middle := d.Board.Outline.Bounds().Center().Y
	for _, s := range at(u[right]) {
		if s.Hi = math.Min(s.Hi, middle); s.Lo < s.Hi {
			out = append(out, s)
		}
	}
	for _, s := range at(u[left]) {
		s.Lo = math.Max(s.Lo, middle)
		if n := len(out); n > 0 && s.Lo == middle && out[n-1].Hi == middle {
			out[n-1].Hi = s.Hi
		} else if s.Lo < s.Hi {
			out = append(out, s)
		}
	}
	return out
}

// hatches of the layers: no two that touch are alike.
var hatches = map[string]struct {
	angles []float64
	apart  float64 // mm
}{
	"blank":           {[]float64{block.HatchFalling}, hatchBoard},
	setup.GluingPlate: {[]float64{block.HatchFalling}, hatchPlate},
	"board":           {[]float64{block.HatchRising}, hatchBed},
	setup.Pad:         {[]float64{block.HatchRising, block.HatchFalling}, hatchPad},
	setup.Caul:        {[]float64{block.HatchFalling}, hatchBed},
}

const hatchPad, hatchWedge = 1.5, 1.2 // mm

// layer draws a piece of a layer and returns its bounds. A film is a heavy line under the plate and up
// its wall.
func (f *figure) layer(d scaled, l layer, s block.Span, film picture.Pen) geom.Box {
	box := geom.Box{Min: at(s.Hi, l.FromMM), Max: at(s.Lo, l.ToMM)}
	f.drawn(l.shape(d, s), geom.Box{Min: box.Min.Sub(far), Max: box.Max.Add(far)}, film)
	return box
}

// far is farther than anything drawn lies off.
var far = geom.Vec{X: 1e4, Y: 1e4}

// shape is what a piece of a layer looks like.
type shape struct {
	outline []geom.Vec
	angles  []float64 // of its hatching; none: a line
	apart   float64
}

// shape returns the shapes of a piece of a layer: two for a pair of wedges, which lies in halves.
func (l layer) shape(d scaled, s block.Span) []shape {
	low, high := at(s.Hi, l.FromMM), at(s.Lo, l.ToMM)
	corners := []geom.Vec{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}
	top := func(h float64) []geom.Vec { return crowned(d, s, h-d.Board.ThicknessMM)[2:] } // from right to left
	hatch, named := hatches[l.Name]
	switch {
	case l.Name == setup.Film:
		return []shape{{outline: corners[:2]}}
	case l.Name == setup.Wedges:
		half := func(from, to, angle float64) shape {
			return shape{geom.Rect(geom.Box{Min: geom.Vec{X: from, Y: low.Y}, Max: geom.Vec{X: to, Y: high.Y}}).Corners(),
				[]float64{angle}, hatchWedge}
		}
		mid := (low.X + high.X) / 2
		return []shape{half(low.X, mid, block.HatchRising), half(mid, high.X, block.HatchFalling)}
	case l.Name == "board":
		corners = crowned(d, s, l.FromMM)
	case l.Name == setup.Pad: // it follows the board
		corners = append(top(l.ToMM), reversed(top(l.FromMM))...)
	case l.Name == setup.Caul:
		corners = append(top(l.FromMM), at(s.Hi, l.ToMM), at(s.Lo, l.ToMM))
	case l.window > 0: // its window lies to the datum line
		if c := l.window; s.Lo > 0 {
			corners = slices.Replace(corners, 1, 2, corners[1].Sub(geom.Vec{X: c}), corners[1].Add(geom.Vec{Y: c}))
		} else {
			corners = slices.Replace(corners, 0, 1, corners[0].Add(geom.Vec{Y: c}), corners[0].Add(geom.Vec{X: c}))
		}
	}
	if !named { // a rail, of one piece with its plate
		hatch = hatches[setup.GluingPlate]
	}
	return []shape{{corners, hatch.angles, hatch.apart}}
}

func reversed(pts []geom.Vec) []geom.Vec {
	slices.Reverse(pts)
	return pts
}

// drawn draws shapes as far as they lie in a window of the drawing.
func (f *figure) drawn(all []shape, in geom.Box, film picture.Pen) {
	for _, s := range all {
		if s.angles == nil {
			from, to := math.Max(s.outline[0].X, in.Min.X), math.Min(s.outline[1].X, in.Max.X)
			if from < to {
				y := s.outline[0].Y
				f.Line(film, geom.Vec{X: from, Y: y}, geom.Vec{X: to, Y: y})
			}
			continue
		}
		poly := within(s.outline, in)
		for _, a := range s.angles {
			f.Hatch(a, s.apart, poly...)
		}
		for i, p := range poly {
			q := poly[(i+1)%len(poly)]
			broken := p.X == q.X && (p.X == in.Min.X || p.X == in.Max.X) || p.Y == q.Y && (p.Y == in.Min.Y || p.Y == in.Max.Y)
			if !broken {
				f.Line(picture.PenOutline, p, q)
			}
		}
	}
}

// within cuts off what of a polygon lies outside a box. What is left of a hollow one may fall apart:
// its parts then hang together by lines along the box's sides, which hold nothing.
//
// Reference: Sutherland and Hodgman, Reentrant polygon clipping, 1974.
func within(poly []geom.Vec, in geom.Box) []geom.Vec {
	for _, side := range []struct {
		at   func(geom.Vec) float64 // how far inside
		snap func(*geom.Vec)
	}{
		{func(p geom.Vec) float64 { return p.X - in.Min.X }, func(p *geom.Vec) { p.X = in.Min.X }},
		{func(p geom.Vec) float64 { return in.Max.X - p.X }, func(p *geom.Vec) { p.X = in.Max.X }},
		{func(p geom.Vec) float64 { return p.Y - in.Min.Y }, func(p *geom.Vec) { p.Y = in.Min.Y }},
		{func(p geom.Vec) float64 { return in.Max.Y - p.Y }, func(p *geom.Vec) { p.Y = in.Max.Y }},
	} {
		var out []geom.Vec
		for i, p := range poly {
			q := poly[(i+1)%len(poly)]
			a, b := side.at(p), side.at(q)
			if a >= 0 {
				out = append(out, p)
			}
			if (a > 0) != (b > 0) && a != 0 && b != 0 {
				cut := p.Lerp(q, a/(a-b))
				side.snap(&cut)
				out = append(out, cut)
			}
		}
		poly = out
	}
	return poly
}

// called is something that a leader names.
type called struct {
	layer string
	at    geom.Vec
	says  string
}

// names writes names in a column to one side, from below as they lie, none on another.
func (f *figure) names(all []called, x float64, side geom.Vec) {
	slices.SortStableFunc(all, func(a, b called) int {
		return cmp.Or(cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(b.at.X*side.X, a.at.X*side.X))
	})
	const step = 1.3 * block.Small * block.LineGap
	last, anchor := math.Inf(-1), picture.Start
	if side.X < 0 {
		anchor = picture.End
	}
	for _, c := range all {
		y := math.Max(c.at.Y, last+step)
		last = y
		knee := geom.Vec{X: x - 4*side.X, Y: y}
		f.Line(picture.PenThin, c.at, knee, geom.Vec{X: x - side.X, Y: y})
		f.Dot(c.at)
		f.Text(geom.Vec{X: x, Y: y - block.Small/2}, block.Small, anchor, c.says)
	}
}

// pairs are those of wedges that push the board while it is glued.
func pairs(d scaled) []plate.Wedge {
	switch r := d.Rails; {
	case r == nil:
		return nil
	case r.Sheet != nil:
		return r.Sheet.Wedges
	default:
		return r.Pairs
	}
}

// gluingStations are where the halves of section B-B show most, left and right: a pair of wedges where
// they push, else a land of the plate beside the board, else a quarter from an end.
func gluingStations(d scaled) (u [2]float64) {
	box, share := d.Board.Outline.Bounds(), 0.25 // off the finger reliefs, which lie near the middle
	if cutStation(d) < box.Center().X {
		share = 0.75 // and off section A-A
	}
	for i, side := range [2]float64{1, -1} {
		u[i] = box.Min.X + share*box.Size().X
		// Of several the nearest to that.
		best, aim := math.Inf(1), u[i]
		show := func(at geom.Vec, across bool) {
			if off := math.Abs(at.X - aim); across && (at.Y-box.Center().Y)*side > 0 && off < best {
				best, u[i] = off, at.X
			}
		}
		if r := d.Rails; r != nil && r.Sheet != nil {
			for _, l := range r.Sheet.Lands {
				show(l[0].Lerp(l[1], 0.5), math.Abs(l[1].X-l[0].X) > math.Abs(l[1].Y-l[0].Y))
			}
		}
		for _, k := range pairs(d) {
			show(k.At, math.Abs(k.Push.Y) > math.Abs(k.Push.X))
		}
	}
	return u
}
