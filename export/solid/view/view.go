// Package view draws a picture of the printed plate, so that a person sees what
// will print: a shaded dimetric line drawing.
//
// The plate is known as prisms: outline less window and holes from z = 0 to the
// plate's top, on it marks and rails. Seen from above, nothing of a lower layer
// hides any of a higher one, and a layer's top hides its walls. So each layer is
// painted over the one below: its walls, far before near, then its top. Chamfers on
// the bed side are out of sight and left out.
//
// Reference: the painter's algorithm, M. Newell, R. Newell and T. Sancha, ACM 1972
// (recalled).
package view

import (
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// The page: a width that fits A4 in portrait, white on every side, and the strip
// under the picture with letters of captionMM in it, in mm. Common practice, no source.
const (
	widthMM   = 180.0
	marginMM  = 2.0
	stripMM   = 7.0
	captionMM = 2.5
)

// flatMM is how far a chord may stray from its arc on the page.
const flatMM = 0.03

// Part is a printed plate, or a part of one, and where it stands in the picture.
type Part struct {
	*jig.Print
	At geom.Vec // mm, added to the coordinates of the print
}

// scene is the picture in the making: page mm, y up, far before near.
type scene struct {
	picture.Picture
	scale float64 // page mm per mm
	shift geom.Vec
}

// Draw returns one picture of the parts, the caption under it. The eye stands before
// the long side, towards the start end, 35 degrees above the plate: u runs to the
// right and up.
func Draw(parts []Part, caption string) *picture.Picture {
	s := &scene{scale: 1}
	s.Title = caption
	s.fit(parts)
	var sides, tops, rails layer
	for _, p := range parts {
		s.plate(p, &sides, &tops)
		for _, r := range p.Rails {
			ring := s.flat(r.Outline, p.At, flatMM)
			s.prism(&rails, ring, p.ThicknessMM, r.TopMM)
			rails.tops = append(rails.tops, []geom.Loop{s.ring(ring, r.TopMM)})
		}
	}
	for _, l := range []layer{sides, tops, rails} {
		s.silhouette(l)
	}
	s.paint(sides)
	s.paint(tops)
	for _, p := range parts {
		s.letters(p)
	}
	s.paint(rails)
	room := widthMM - 2*marginMM
	s.Text(geom.Vec{X: widthMM / 2, Y: marginMM}, captionMM, picture.Middle,
		picture.Shorten(picture.Plain(caption), captionMM, room))
	return &s.Picture
}

// HeightMM returns how high the highest point of a print stands.
func HeightMM(p *jig.Print) float64 {
	h := p.ThicknessMM
	for _, r := range p.Rails {
		h = math.Max(h, r.TopMM)
	}
	for _, m := range p.Marks {
		h = math.Max(h, m.LevelMM)
	}
	return h
}

// fit chooses scale and place so that all parts fill the page's width.
func (s *scene) fit(parts []Part) {
	box := geom.EmptyBox()
	for _, p := range parts {
		for _, v := range s.flat(p.Outline, p.At, flatMM) {
			box = box.Include(s.page(v, 0)).Include(s.page(v, HeightMM(p.Print)))
		}
	}
	s.scale = (widthMM - 2*marginMM) / box.Size().X
	s.Size = geom.Vec{X: widthMM, Y: math.Ceil(box.Size().Y*s.scale) + 2*marginMM + stripMM}
	s.shift = geom.Vec{X: marginMM, Y: marginMM + stripMM}.Sub(box.Min.Scale(s.scale))
}

// flat returns a contour as points, in the picture's millimetres.
func (s *scene) flat(l geom.Loop, at geom.Vec, tol float64) []geom.Vec {
	pts := l.Flatten(tol / s.scale)
	for i, p := range pts {
		pts[i] = p.Add(at)
	}
	return pts
}

// plate adds a part's plate: the sides of outline, window and holes, and its top
// with the chamfers of its holes, of which nothing but the top hides anything.
func (s *scene) plate(p Part, sides, tops *layer) {
	var top []geom.Loop
	for _, l := range []geom.Loop{p.Outline, p.Window.Reverse()} {
		if len(l) > 0 {
			ring := s.flat(l, p.At, flatMM)
			s.prism(sides, ring, 0, p.ThicknessMM)
			top = append(top, s.ring(ring, p.ThicknessMM))
		}
	}
	for _, h := range p.Holes {
		wide := s.flat(geom.Slot(h.Center, h.Angle, h.Travel, h.Diameter+2*p.EntryMM).Reverse(), p.At, flatMM)
		way := geom.Polar(h.Travel, h.Angle)
		start := h.Center.Add(p.At).Sub(way.Scale(0.5))
		hole := make([]geom.Vec, len(wide))
		for i, v := range wide {
			axis := start
			if h.Travel > 0 {
				along := v.Sub(start).Dot(way) / way.Dot(way)
				axis = start.Add(way.Scale(math.Max(0, math.Min(1, along))))
			}
			hole[i] = axis.Add(v.Sub(axis).Unit().Scale(h.Diameter / 2))
		}
		s.prism(sides, hole, 0, p.ThicknessMM-p.EntryMM)
		if p.EntryMM > 0 {
			s.between(tops, hole, wide, p.ThicknessMM-p.EntryMM, p.ThicknessMM)
		}
		top = append(top, s.ring(wide, p.ThicknessMM))
	}
	tops.tops = append(tops.tops, top)
}
