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
)

const (
	// seamMM is the width of the stroke in an area's own grey that closes the
	// hairlines which renderers leave between areas that share a border.
	seamMM = 0.1
	// captionEmMM is the caption's font size, and captionAdvance the width of an
	// average character in it: wide for a sans-serif, so that the text stays on the
	// page without its font being known.
	captionEmMM    = 3.5
	captionAdvance = 0.62
)

// svg writes the picture. Coordinates are rounded to 0.01 mm.
func (p *picture) svg(o Options) []byte {
	var b bytes.Buffer
	w, h := num(p.width), num(p.height)
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`+"\n"+
		`<rect width="%[1]s" height="%[2]s" fill="#ffffff"/>`+"\n", w, h)
	fmt.Fprintf(&b, `<g stroke-width="%s" stroke-linejoin="round">`+"\n", num(seamMM))
	for _, a := range p.areas {
		fmt.Fprintf(&b, `<path fill="#%[1]s" stroke="#%[1]s" d="`, strings.Repeat(fmt.Sprintf("%02x", a.grey), 3))
		for _, l := range a.loops {
			p.path(&b, l)
			b.WriteByte('Z')
		}
		b.WriteString("\"/>\n")
	}
	b.WriteString("</g>\n" + `<g fill="none" stroke="#000000" stroke-linecap="round" stroke-linejoin="round">` + "\n")
	for pen, lines := range p.lines {
		if len(lines) == 0 {
			continue
		}
		fmt.Fprintf(&b, `<path stroke-width="%s" d="`, num(penMM[pen]))
		for _, l := range lines {
			p.path(&b, l)
		}
		b.WriteString("\"/>\n")
	}
	b.WriteString("</g>\n")
	if c := plain(o.Caption); c != "" {
		size := min(captionEmMM, (p.width-2*marginMM)/(captionAdvance*float64(utf8.RuneCountInString(c))))
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="%s" text-anchor="middle">%s</text>`+"\n",
			num(p.width/2), num(p.height-marginMM-captionEmMM/4), num(size), escaper.Replace(c))
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// path writes one polyline: M with its first point, then the others; SVG takes
// pairs after M as lines.
func (p *picture) path(b *bytes.Buffer, l line) {
	var last [2]int
	for i, q := range l {
		at := [2]int{hundredths(q.x), hundredths(p.height - q.y)}
		switch {
		case i == 0:
			b.WriteByte('M')
		case at == last && i > 1:
			continue
		default:
			b.WriteByte(' ')
		}
		last = at
		b.Write(decimal(b.AvailableBuffer(), at[0]))
		b.WriteByte(' ')
		b.Write(decimal(b.AvailableBuffer(), at[1]))
	}
}

func hundredths(x float64) int { return int(math.Round(x * 100)) }

// decimal appends a count of hundredths as a number without trailing zeros.
func decimal(b []byte, n int) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, int64(n/100), 10)
	if r := n % 100; r > 0 {
		b = append(b, '.', byte('0'+r/10))
		if r%10 > 0 {
			b = append(b, byte('0'+r%10))
		}
	}
	return b
}

func num(x float64) string { return string(decimal(nil, hundredths(x))) }

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
