package view

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"reseat/jig/geom"
)

// Line widths in mm: edges, and what is added outside of everything.
const (
	thinMM  = 0.18
	thickMM = 0.45
	seamMM  = 0.1 // closes the hairlines that renderers leave between areas
)

// Greys of a side that is turned away from the light and of one that lies right in
// it; the lightest is not white, which is air. Chosen by eye.
const (
	darkestGrey  = 112
	lightestGrey = 252
	shades       = 9
)

// scene is the picture: shapes in page mm, y up, far before near.
type scene struct {
	scale, height float64
	shift         geom.Vec
	shapes        []shape
}

// shape is an area, a line or both.
type shape struct {
	loops [][]geom.Vec
	open  bool
	holes bool    // loops within loops are voids; else they add up
	fill  uint8   // grey; 0: not filled
	ink   uint8   // grey of the line
	pen   float64 // mm; 0: no line
}

func (s *scene) add(p shape) { s.shapes = append(s.shapes, p) }

func (s *scene) ring(pts []geom.Vec, z float64) []geom.Vec {
	out := make([]geom.Vec, len(pts))
	for i, p := range pts {
		out[i] = s.page(p, z)
	}
	return out
}

func (s *scene) quad(w wall) []geom.Vec {
	return []geom.Vec{s.page(w.low[0], w.z0), s.page(w.low[1], w.z0), s.page(w.high[1], w.z1), s.page(w.high[0], w.z1)}
}

// silhouette lays a wide line under everything.
func (s *scene) silhouette(layers ...layer) {
	all := shape{pen: thickMM}
	for _, l := range layers {
		for _, w := range l.walls {
			all.loops = append(all.loops, s.quad(w))
		}
		for _, t := range l.tops {
			for _, r := range t.loops {
				all.loops = append(all.loops, s.ring(r, t.z))
			}
		}
	}
	s.add(all)
}

// paint puts a layer over what is there.
func (s *scene) paint(l layer) {
	for _, w := range l.ordered() {
		q := s.quad(w)
		grey := s.grey(w.normal)
		s.add(shape{loops: [][]geom.Vec{q}, fill: grey, ink: grey, pen: seamMM})
		edges := [][]geom.Vec{q[:2], q[2:]}
		if w.ends[0] {
			edges = append(edges, []geom.Vec{q[0], q[3]})
		}
		if w.ends[1] {
			edges = append(edges, q[1:3])
		}
		s.add(shape{loops: edges, open: true, pen: thinMM})
	}
	for _, t := range l.tops {
		p := shape{holes: true, fill: s.grey([3]float64{0, 0, 1}), pen: thinMM}
		for _, r := range t.loops {
			p.loops = append(p.loops, s.ring(r, t.z))
		}
		s.add(p)
	}
}

// grey gives a side its shade. The light comes over the eye's right shoulder, so
// that the top is lightest, the long side next and the start end darkest.
func (s *scene) grey(n [3]float64) uint8 {
	right := geom.Vec{X: sinRound, Y: -cosRound}.Dot(geom.Vec{X: n[0], Y: n[1]})
	near := nearness(geom.Vec{X: n[0], Y: n[1]})
	up, toward := n[2]*cosUp-near*sinUp, n[2]*sinUp+near*cosUp
	const r, u, t = 0.45, 0.60, 0.66 // chosen by eye
	cos := (r*right + u*up + t*toward) / math.Sqrt(r*r+u*u+t*t)
	step := math.Round((1 + cos) / 2 * (shades - 1))
	return uint8(math.Round(darkestGrey + step*(lightestGrey-darkestGrey)/(shades-1)))
}

// The caption's font size, and the width of an average character in it: wide for a
// sans-serif, so that the text stays on the page without its font being known.
const (
	captionEmMM    = 3.5
	captionAdvance = 0.62
)

// svg writes the picture. Coordinates are rounded to 0.01 mm.
func (s *scene) svg(caption string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`+"\n"+
		`<rect width="%[1]s" height="%[2]s" fill="#ffffff"/>`+"\n"+
		`<g fill="none" stroke="none" stroke-linecap="round" stroke-linejoin="round">`+"\n", num(widthMM), num(s.height))
	for _, p := range s.shapes {
		b.WriteString("<path")
		if p.fill > 0 {
			fmt.Fprintf(&b, ` fill="#%[1]x%[1]x%[1]x"`, p.fill)
		}
		if p.holes {
			b.WriteString(` fill-rule="evenodd"`)
		}
		if p.pen > 0 {
			fmt.Fprintf(&b, ` stroke="#%02[1]x%02[1]x%02[1]x" stroke-width="%[2]s"`, p.ink, num(p.pen))
		}
		b.WriteString(` d="`)
		for _, l := range p.loops {
			for i, q := range l {
				b.WriteByte("M "[min(i, 1)])
				b.WriteString(num(q.X) + " " + num(s.height-q.Y))
			}
			if !p.open {
				b.WriteByte('Z')
			}
		}
		b.WriteString("\"/>\n")
	}
	b.WriteString("</g>\n")
	if c := plain(caption); c != "" {
		size := min(captionEmMM, (widthMM-2*marginMM)/(captionAdvance*float64(utf8.RuneCountInString(c))))
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="%s" text-anchor="middle">%s</text>`+"\n",
			num(widthMM/2), num(s.height-marginMM-captionEmMM/4), num(size), escaper.Replace(c))
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func num(x float64) string { return strconv.FormatFloat(math.Round(x*100)/100+0, 'f', -1, 64) }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// plain trims s and turns what XML 1.0 forbids, and other control characters,
// into blanks.
func plain(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || slices.Contains([]rune{unicode.ReplacementChar, 0xFFFE, 0xFFFF}, r) {
			return ' '
		}
		return r
	}, s))
}
