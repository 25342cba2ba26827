package sheet

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"reseat/jig/geom"
)

// WriteSVG writes the list as an SVG 1.1 picture at 1:1: width and height in
// millimetres, a viewBox in the same units, no scripts, no style sheet, no font
// but the generic sans-serif. The first element is a white sheet, so that the
// drawing stays readable in a viewer with a dark background. Equal lists give
// equal bytes.
//
// Coordinates are rounded to 0.001 mm.
func WriteSVG(w io.Writer, l *List) error {
	if l == nil {
		return errors.New("sheet: no drawing to write")
	}
	s := svgWriter{w: bufio.NewWriter(w), height: l.Size.Y}
	s.printf(`<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`+"\n",
		num(l.Size.X), num(l.Size.Y))
	s.printf("<title>%s</title>\n", escape(plain(l.Title)))
	s.printf(`<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", num(l.Size.X), num(l.Size.Y))
	s.printf(`<g fill="none" stroke="#000000" stroke-linejoin="miter" font-family="sans-serif">` + "\n")
	for _, it := range l.Items {
		s.item(it)
	}
	s.usePen(nil)
	s.printf("</g>\n</svg>\n")
	if s.err == nil {
		s.err = s.w.Flush()
	}
	if s.err != nil {
		return fmt.Errorf("sheet: write SVG: %w", s.err)
	}
	return nil
}

// svgWriter keeps the first error and the pen whose group is open.
type svgWriter struct {
	w      *bufio.Writer
	height float64
	pen    *Pen
	err    error
}

func (s *svgWriter) printf(format string, args ...any) {
	if s.err == nil {
		_, s.err = fmt.Fprintf(s.w, format, args...)
	}
}

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
	if d := p.Dashes(); d != nil {
		txt := make([]string, len(d))
		for i, v := range d {
			txt[i] = num(v)
		}
		s.printf(` stroke-dasharray="%s"`, strings.Join(txt, " "))
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
		s.printf(`<path d="%s" fill="#000000" stroke="none"/>`+"\n", s.polygon(it.Points))
	case Text:
		s.usePen(nil)
		s.text(it)
	}
}

// path writes vertices as M, L and A commands. SVG's y axis points down, so a
// counter-clockwise arc has sweep flag 0.
func (s *svgWriter) path(st Stroke) string {
	var b strings.Builder
	for i, e := range st.pieces() {
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

func (s *svgWriter) polygon(pts []geom.Vec) string {
	var b strings.Builder
	for i, p := range pts {
		b.WriteString([2]string{" L", "M"}[btoi(i == 0)])
		b.WriteString(s.point(p))
	}
	b.WriteString(" Z")
	return b.String()
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
func num(v float64) string {
	t := strconv.FormatFloat(v, 'f', 3, 64)
	t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	if t == "-0" || t == "" {
		return "0"
	}
	return t
}

// escape makes text safe between XML tags and inside quoted attributes.
// plain has already removed what XML 1.0 forbids.
var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func escape(s string) string { return escaper.Replace(plain(s)) }

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
