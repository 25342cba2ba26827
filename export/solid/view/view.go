// Package view draws a picture of the printed plate, so that a person sees what
// will print: a shaded dimetric line drawing as SVG.
//
// The plate is known as prisms: outline less window and holes from z = 0 to the
// plate's top, on it marks and rails. Seen from above, nothing of a lower layer
// hides any of a higher one, and a layer's top hides its walls. So each layer is
// painted over the one below: its walls, far before near, then its top. Chamfers on
// the bed side are out of sight and left out.
//
// Reference: the painter's algorithm, M. Newell, R. Newell and T. Sancha, ACM 1972
// (recalled, not seen).
package view

import (
	"fmt"
	"io"
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// The page: a width that fits A4 in portrait, white on every side, and the strip
// under the picture for the caption, in mm. Common practice, no source.
const (
	widthMM   = 180.0
	marginMM  = 2.0
	captionMM = 7.0
)

// flatMM is how far a chord may stray from its arc on the page.
const flatMM = 0.02

// Part is a printed plate, or a part of one, and where it stands in the picture.
type Part struct {
	*jig.Print
	At geom.Vec // mm, added to the coordinates of the print
}

// Write writes one picture of the parts as SVG 1.1, the caption under it. The eye
// stands before the long side, towards the start end, 35 degrees above the plate: u
// runs to the right and up. Equal parts give equal bytes.
func Write(w io.Writer, parts []Part, caption string) error {
	s := &scene{scale: 1}
	s.fit(parts)
	var plates, rails layer
	for _, p := range parts {
		plates.plate(s, p)
		for _, r := range p.Rails {
			rails.tops = append(rails.tops, top{r.TopMM, [][]geom.Vec{s.flat(r.Outline, p.At)}})
			rails.prism(s.flat(r.Outline, p.At), p.ThicknessMM, r.TopMM)
		}
	}
	s.silhouette(plates, rails)
	s.paint(plates)
	for _, p := range parts {
		s.letters(p)
	}
	s.paint(rails)
	if _, err := w.Write(s.svg(caption)); err != nil {
		return fmt.Errorf("write SVG: %w", err)
	}
	return nil
}

// SizeCaption returns the overall size of a print, to 0.1 mm: "520.0 x 110.0 x 14.0 mm".
func SizeCaption(p *jig.Print) string {
	size := p.Outline.Bounds().Size()
	return fmt.Sprintf("%.1f x %.1f x %.1f mm", size.X, size.Y, heightOf(p))
}

func heightOf(p *jig.Print) float64 {
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
		for _, v := range s.flat(p.Outline, p.At) {
			box = box.Include(s.page(v, 0)).Include(s.page(v, heightOf(p.Print)))
		}
	}
	s.scale = (widthMM - 2*marginMM) / box.Size().X
	s.height = math.Ceil(box.Size().Y*s.scale) + 2*marginMM + captionMM
	s.shift = geom.Vec{X: marginMM, Y: marginMM + captionMM}.Sub(box.Min.Scale(s.scale))
}

// flat returns a contour as points, in the picture's millimetres.
func (s *scene) flat(l geom.Loop, at geom.Vec) []geom.Vec {
	pts := l.Flatten(flatMM / s.scale)
	for i, p := range pts {
		pts[i] = p.Add(at)
	}
	return pts
}

// plate adds a part's plate: its top and the walls of outline, window and holes.
func (l *layer) plate(s *scene, p Part) {
	loops := [][]geom.Vec{s.flat(p.Outline, p.At)}
	l.prism(loops[0], 0, p.ThicknessMM)
	if p.Window != nil {
		loops = append(loops, s.flat(p.Window.Reverse(), p.At))
		l.prism(loops[1], 0, p.ThicknessMM)
	}
	for _, h := range p.Holes {
		wide := s.flat(geom.Slot(h.Center, h.Angle, h.Travel, h.Diameter+2*p.EntryMM).Reverse(), p.At)
		half := geom.Polar(h.Travel/2, h.Angle)
		a, b := h.Center.Add(p.At).Sub(half), h.Center.Add(p.At).Add(half)
		hole := make([]geom.Vec, len(wide))
		for i, v := range wide {
			along := 0.0
			if h.Travel > 0 {
				along = math.Max(0, math.Min(1, v.Sub(a).Dot(b.Sub(a))/(h.Travel*h.Travel)))
			}
			axis := a.Lerp(b, along)
			hole[i] = axis.Add(v.Sub(axis).Unit().Scale(h.Diameter / 2))
		}
		l.prism(hole, 0, p.ThicknessMM-p.EntryMM)
		if p.EntryMM > 0 {
			l.between(hole, wide, p.ThicknessMM-p.EntryMM, p.ThicknessMM)
		}
		loops = append(loops, wide)
	}
	l.tops = append(l.tops, top{p.ThicknessMM, loops})
}

// letters paints a part's raised marks: a dark body and its lighter top.
func (s *scene) letters(p Part) {
	for _, m := range p.Marks {
		var ground, face [][]geom.Vec
		for _, stroke := range m.Strokes {
			for i, a := range stroke[:len(stroke)-1] {
				d := stroke[i+1].Sub(a)
				piece := s.flat(geom.Slot(a.Add(d.Scale(0.5)), math.Atan2(d.Y, d.X), d.Norm(), m.WidthMM), p.At)
				ground = append(ground, s.ring(piece, p.ThicknessMM))
				face = append(face, s.ring(piece, m.LevelMM))
			}
		}
		s.add(shape{loops: append(ground, face...), fill: darkestGrey, pen: 1.5 * thinMM})
		s.add(shape{loops: face, fill: s.grey([3]float64{0, 0, 1})})
	}
}
