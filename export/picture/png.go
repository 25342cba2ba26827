package picture

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// mmPerInch is exact by definition.
const mmPerInch = 25.4

// WritePNG paints the picture in pixels, so many to the inch, on white, smoothed at the edges; texts
// are set in the Go typefaces, which have Latin, Greek and Cyrillic letters. Equal pictures give
// equal bytes.
func WritePNG(w io.Writer, p *Picture, dpi float64) error {
	k := dpi / mmPerInch
	s := &pngWriter{scale: k, high: p.Size.Y}
	s.img = image.NewRGBA(image.Rect(0, 0, int(math.Round(p.Size.X*k)), int(math.Round(p.Size.Y*k))))
	draw.Draw(s.img, s.img.Rect, image.White, image.Point{}, draw.Src)
	for _, it := range p.Items {
		if err := s.item(it); err != nil {
			return fmt.Errorf("write PNG: %w", err)
		}
	}
	if err := png.Encode(w, s.img); err != nil {
		return fmt.Errorf("write PNG: %w", err)
	}
	return nil
}

// pngWriter paints marks one after the other.
type pngWriter struct {
	img    *image.RGBA
	scale  float64 // pixels to a millimetre
	high   float64 // of the paper, mm
	raster vector.Rasterizer
}

// roundTol is how far a chord may leave its arc, mm.
const roundTol = 0.01

func (s *pngWriter) item(it Item) error {
	switch it := it.(type) {
	case Stroke:
		s.fill(it.Ink(), it.Pen.Colour, lineAreas(it))
	case Circle:
		return s.item(Stroke{Pen: it.Pen, Path: geom.Slot(it.C, 0, 0, 2*it.R), Closed: true})
	case Fill:
		s.fill(it.Ink(), it.Colour, nested(it.Loops))
		if it.SeamMM > 0 {
			for _, l := range it.Loops {
				seam := Stroke{Pen: Pen{WidthMM: it.SeamMM, Colour: it.Colour}, Path: l, Closed: true}
				s.fill(seam.Ink(), it.Colour, lineAreas(seam))
			}
		}
	case Text:
		return s.text(it)
	}
	return nil
}

// fill paints polygons, mm on the paper, that lie in a box: what they cover is painted once, and
// what runs the other way round is a hole.
func (s *pngWriter) fill(in geom.Box, c Colour, areas [][]geom.Vec) {
	px := func(mm float64) int { return int(units.Round(float64(mm*s.scale), pixelPlaces)) }
	all := image.Rect(px(in.Min.X)-2, px(s.high-in.Max.Y)-2, px(in.Max.X)+3, px(s.high-in.Min.Y)+3).Intersect(s.img.Rect)
	ink := image.NewUniform(color.RGBA{c[0], c[1], c[2], 0xff})
	for y := all.Min.Y; y < all.Max.Y; y += tile {
		for x := all.Min.X; x < all.Max.X; x += tile {
			r := image.Rect(x, y, x+tile, y+tile).Intersect(all)
			s.raster.Reset(r.Dx(), r.Dy())
			for _, a := range areas {
				for i, p := range a {
					if x, y := s.pixel(r, p); i == 0 {
						s.raster.MoveTo(x, y)
					} else {
						s.raster.LineTo(x, y)
					}
				}
				s.raster.ClosePath()
			}
			s.raster.Draw(s.img, r, ink, image.Point{})
		}
	}
}

// tile is how many pixels are painted at a time, across and down: up to so many the rasterizer reckons
// in whole numbers, beyond in floating-point ones, whose last digits differ between processors.
const tile = 512

// pixelPlaces is how many decimals of a pixel are painted: processors differ in the last ones.
const pixelPlaces = 3

// pixel is a place on the paper in the pixels taken up.
func (s *pngWriter) pixel(r image.Rectangle, p geom.Vec) (x, y float32) {
	return float32(units.Round(float64(p.X*s.scale)-float64(r.Min.X), pixelPlaces)),
		float32(units.Round(float64((s.high-p.Y)*s.scale)-float64(r.Min.Y), pixelPlaces))
}

// lineAreas are the areas that a pen covers along a stroke, all counter-clockwise.
func lineAreas(st Stroke) [][]geom.Vec {
	half := st.Pen.WidthMM / 2
	var out [][]geom.Vec
	for _, run := range dashRuns(st) {
		for i := range run[1:] {
			p, q := run[i], run[i+1]
			side := q.Sub(p).Unit().Left().Scale(half)
			out = append(out, []geom.Vec{p.Sub(side), q.Sub(side), q.Add(side), p.Add(side)})
			joint := i > 0 || st.Pen.Round || st.Closed && len(st.Pen.dashes()) == 0
			if joint {
				out = append(out, geom.Slot(p, 0, 0, 2*half).Flatten(roundTol))
			}
		}
		if st.Pen.Round {
			out = append(out, geom.Slot(run[len(run)-1], 0, 0, 2*half).Flatten(roundTol))
		}
	}
	return out
}

// dashRuns is a stroke as straight pieces, cut into its dashes.
func dashRuns(st Stroke) [][]geom.Vec {
	var pts []geom.Vec
	for i, e := range st.Edges() {
		if i == 0 {
			pts = append(pts, e.P)
		}
		if e.IsArc() {
			a := e.Arc()
			n := geom.ArcSegments(a.R, math.Abs(a.Sweep), roundTol)
			for k := 1; k < n; k++ {
				pts = append(pts, a.At(float64(k)/float64(n)))
			}
		}
		if e.Q != pts[len(pts)-1] {
			pts = append(pts, e.Q)
		}
	}
	dashes := st.Pen.dashes()
	if len(pts) < 2 {
		return nil
	}
	if len(dashes) == 0 {
		return [][]geom.Vec{pts}
	}
	var out [][]geom.Vec
	run, k, left := []geom.Vec{pts[0]}, 0, dashes[0]
	for i := range pts[1:] {
		p, q := pts[i], pts[i+1]
		for d := p.Dist(q); d > left; d = p.Dist(q) {
			p = p.Lerp(q, left/d)
			if k%2 == 0 {
				out = append(out, append(run, p))
			}
			run = []geom.Vec{p}
			k = (k + 1) % len(dashes)
			left = dashes[k]
		}
		left -= p.Dist(q)
		run = append(run, q)
	}
	if k%2 == 0 && len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// nested are contours with those that lie in an odd number of others run clockwise: holes.
func nested(loops []geom.Loop) [][]geom.Vec {
	var out [][]geom.Vec
	for i, l := range loops {
		if len(l) == 0 {
			continue
		}
		in := 0
		for j, o := range loops {
			if i != j && o.Contains(l[0].Vec) {
				in++
			}
		}
		if (l.Area() < 0) != (in%2 == 1) {
			l = l.Reverse()
		}
		out = append(out, l.Flatten(roundTol))
	}
	return out
}

// curvePieces is how many chords a curve of a letter is painted with: off by a few hundredths of a
// pixel in the largest letters.
const curvePieces = 6

func (s *pngWriter) text(t Text) error {
	faces, err := typefaces()
	if err != nil {
		return err
	}
	f := faces.of(t.Bold)
	var buf sfnt.Buffer
	k := t.Height / f.capital / float64(f.em) // mm to a unit of the font
	wide := 0.0
	glyphs := make([]sfnt.GlyphIndex, 0, len(t.S))
	advances := make([]float64, 0, len(t.S))
	for _, r := range lettered(Plain(t.S)) {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil {
			return err
		}
		a, err := f.GlyphAdvance(&buf, g, f.em, font.HintingNone)
		if err != nil {
			return err
		}
		glyphs, advances = append(glyphs, g), append(advances, k*float64(a))
		wide += k * float64(a)
	}
	x := 0.0
	switch t.Anchor {
	case Middle:
		x = -wide / 2
	case End:
		x = -wide
	}
	turn := geom.Rigid{Angle: t.Angle, Shift: t.At}
	var areas [][]geom.Vec
	for i, g := range glyphs {
		outline, err := f.LoadGlyph(&buf, g, f.em, nil)
		if err != nil {
			return err
		}
		at := func(p fixed.Point26_6) geom.Vec {
			return turn.Apply(geom.Vec{X: x + float64(k*float64(p.X)), Y: -k * float64(p.Y)})
		}
		var area []geom.Vec
		for _, seg := range outline { // a TrueType outline has no cubic curves
			switch to := at(seg.Args[0]); seg.Op {
			case sfnt.SegmentOpMoveTo:
				areas, area = append(areas, area), []geom.Vec{to}
			case sfnt.SegmentOpLineTo:
				area = append(area, to)
			case sfnt.SegmentOpQuadTo:
				from, by, to := area[len(area)-1], to, at(seg.Args[1])
				for n := 1.0; n <= curvePieces; n++ {
					t := n / curvePieces
					area = append(area, from.Lerp(by, t).Lerp(by.Lerp(to, t), t))
				}
			}
		}
		areas = append(areas, area)
		x += advances[i]
	}
	s.fill(t.Ink().Grow(t.Height), Colour{}, areas)
	return nil
}
