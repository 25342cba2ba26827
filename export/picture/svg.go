package picture

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// WriteSVG writes the picture as SVG 1.1 at 1:1: width and height in
// millimetres, a viewBox in the same units, no scripts, no style sheet, no font
// but the generic sans-serif. The first element is a white sheet, so that the
// drawing stays readable in a viewer with a dark background. Equal pictures give
// equal bytes.
//
// Coordinates are rounded to 0.001 mm; see units.Round.
func WriteSVG(w io.Writer, p *Picture) error {
	s := svgWriter{w: bufio.NewWriter(w), height: p.Size.Y}
	width, height := num(p.Size.X), num(p.Size.Y)
	s.printf(`<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" `+
		`width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`+"\n",
		width, height)
	s.printf("<title>%s</title>\n", escape(p.Title))
	s.printf(`<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", width, height)
	s.printf(`<g fill="none" stroke="#000000" stroke-linejoin="miter" font-family="sans-serif">` + "\n")
	for _, it := range p.Items {
		s.item(it)
	}
	s.usePen(nil)
	s.printf("</g>\n</svg>\n")
	if err := s.w.Flush(); err != nil {
		return fmt.Errorf("write SVG: %w", err)
	}
	return nil
}

// svgWriter knows the pen whose group is open; its writer keeps the first error.
type svgWriter struct {
	w      *bufio.Writer
	height float64
	pen    *Pen
}

func (s *svgWriter) printf(format string, args ...any) { fmt.Fprintf(s.w, format, args...) }

// usePen opens a group for the pen unless it is open already; nil closes it.
func (s *svgWriter) usePen(p *Pen) {
	if p != nil && s.pen != nil && *p == *s.pen {
		return
	}
	if s.pen != nil {
		s.printf("</g>\n")
	}
	s.pen = p
	if p == nil {
		return
	}
	s.printf(`<g stroke-width="%s"`, num(p.WidthMM))
	if d := p.dashes(); d != nil {
		txt := make([]string, len(d))
		for i, v := range d {
			txt[i] = num(v)
		}
		s.printf(` stroke-dasharray="%s"`, strings.Join(txt, " "))
	}
	if p.Colour != (Colour{}) {
		s.printf(` stroke="%s"`, p.Colour)
	}
	if p.Round {
		s.printf(` stroke-linecap="round" stroke-linejoin="round"`)
	}
	s.printf(">\n")
}

func (s *svgWriter) item(it Item) {
	switch it := it.(type) {
	case Stroke:
		s.usePen(&it.Pen)
		s.printf(`<path d="%s"/>`+"\n", s.path(it))
	case Circle:
		s.usePen(&it.Pen)
		s.printf(`<circle cx="%s" cy="%s" r="%s"/>`+"\n", num(it.C.X), num(s.height-it.C.Y), num(it.R))
	case Fill:
		s.usePen(nil)
		s.fill(it)
	case Text:
		s.usePen(nil)
		s.text(it)
	}
}

// path writes vertices as M, L and A commands. SVG's y axis points down, so a
// counter-clockwise arc has sweep flag 0.
func (s *svgWriter) path(st Stroke) string {
	var b strings.Builder
	for i, e := range st.Edges() {
		if i == 0 {
			fmt.Fprintf(&b, "M%s", s.point(e.P))
		}
		if !e.IsArc() {
			if !(st.Closed && i == len(st.Path)-1) {
				fmt.Fprintf(&b, " L%s", s.point(e.Q))
			}
			continue
		}
		a := e.Arc()
		large, sweep := 0, 0
		if math.Abs(a.Sweep) > math.Pi {
			large = 1
		}
		if a.Sweep < 0 {
			sweep = 1
		}
		fmt.Fprintf(&b, " A%s %s 0 %d %d %s", num(a.R), num(a.R), large, sweep, s.point(e.Q))
	}
	if st.Closed {
		b.WriteString(" Z")
	}
	return b.String()
}

func (s *svgWriter) fill(f Fill) {
	paths := make([]string, len(f.Loops))
	for i, l := range f.Loops {
		paths[i] = s.path(Stroke{Path: l, Closed: true})
	}
	s.printf(`<path d="%s" fill="%s"`, strings.Join(paths, " "), f.Colour)
	if len(f.Loops) > 1 {
		s.printf(` fill-rule="evenodd"`)
	}
	if f.SeamMM > 0 {
		s.printf(` stroke="%s" stroke-width="%s" stroke-linejoin="round"/>`+"\n", f.Colour, num(f.SeamMM))
	} else {
		s.printf(` stroke="none"/>` + "\n")
	}
}

func (s *svgWriter) text(t Text) {
	x, y := num(t.At.X), num(s.height-t.At.Y)
	s.printf(`<text x="%s" y="%s" font-size="%s" fill="#000000" stroke="none"`, x, y, num(t.Height/capEm))
	switch t.Anchor {
	case Middle:
		s.printf(` text-anchor="middle"`)
	case End:
		s.printf(` text-anchor="end"`)
	}
	if t.Bold {
		s.printf(` font-weight="bold"`)
	}
	if t.Angle != 0 {
		s.printf(` transform="rotate(%s %s %s)"`, num(-t.Angle*180/math.Pi), x, y)
	}
	s.printf(">%s</text>\n", escape(t.S))
}

func (s *svgWriter) point(p geom.Vec) string { return num(p.X) + " " + num(s.height-p.Y) }

// num writes a length with at most three decimals, no trailing zeros and no
// negative zero.
func num(v float64) string { return units.Decimal(v, 3) }

// String returns the colour as SVG writes it.
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape makes text safe between XML tags; Plain removes what XML 1.0 forbids.
func escape(s string) string { return escaper.Replace(Plain(s)) }
