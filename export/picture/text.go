package picture

import (
	"strings"
	"unicode"
)

// capEm is the height of capital letters in ems: 0.716 Arial, 0.718 Helvetica,
// 0.729 DejaVu Sans (their own font tables). With it a text of Height h has
// capitals h high to within 2 %.
const capEm = 0.72

// Reach of letters above and below the baseline in heights of a capital:
// brackets and accents above, g, j, p, q, y below (DejaVu Sans, rounded up).
const (
	Ascent  = 1.1
	Descent = 0.34
)

// advances holds the advance widths of the characters from space to tilde in
// thousandths of an em. They are those of DejaVu Sans 2.37, read from its hmtx
// table: it is the widest of the usual sans-serif faces, so a sheet set in
// another one has room to spare.
var advances = [95]float64{
	318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,
	636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531,
	1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
	603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500,
	500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
	635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
}

// Advances assumed beyond ASCII, in thousandths of an em: Latin, Greek and
// Cyrillic letters are seldom wider than 1000; full-width scripts are 1000 by
// design; emoji reach about 1300.
const (
	advanceOther  = 1000
	advanceBeyond = 1300
)

// BoldWider is how much wider bold letters run than regular ones; DejaVu Sans
// Bold averages 10 % over its regular face.
const BoldWider = 1.12

// widerThanGo is how much wider words run in the widest usual face than in the Go typefaces: DejaVu
// Sans up to 16 %, in Cyrillic.
const widerThanGo = 1.2

// TextWidth returns the width of one line of text with capitals h mm high, in
// mm, for the widest usual sans-serif face. A text that a PDF sets in the Go
// typefaces is measured by them.
func TextWidth(s string, h float64) float64 {
	var sum float64
	for _, r := range s {
		if _, ok := inCodePage(r); !ok {
			if f, err := typefaces(); err == nil {
				return goWidth(f[0], s, h)
			}
		}
		sum += advance(r)
	}
	return sum / 1000 * h / capEm
}

// advance is the width of a letter that is not measured, thousandths of an em.
func advance(r rune) float64 {
	switch {
	case r >= ' ' && r <= '~':
		return advances[r-' ']
	case r <= 0x2fff, r <= 0xffff && unicode.IsLetter(r):
		return advanceOther
	}
	return advanceBeyond
}

// goWidth is the width of a text in a Go typeface, or in the widest usual one where that is more.
func goWidth(f typeface, s string, h float64) float64 {
	var sum float64 // heights of a capital
	for _, r := range s {
		a, ok := f.advances[r]
		switch usual := advance(r) / 1000 / capEm; {
		case !ok:
			sum += usual
		case r <= '~':
			sum += max(usual, a/f.capital)
		default:
			sum += widerThanGo * a / f.capital
		}
	}
	return sum * h
}

// Plain makes any string fit for one line of a drawing: broken UTF-8, control
// characters, line breaks and invisible direction marks become single spaces.
func Plain(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == 0xfffe || r == 0xffff {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	return strings.Join(strings.Fields(s), " ")
}

// Shorten cuts s to width w in letters h high, both mm, ending it with three dots
// when something is lost.
func Shorten(s string, h, w float64) string {
	if TextWidth(s, h) <= w {
		return s
	}
	const dots = "..."
	rs := []rune(s)
	for len(rs) > 0 {
		rs = rs[:len(rs)-1]
		if t := strings.TrimRight(string(rs), " ") + dots; TextWidth(t, h) <= w {
			return t
		}
	}
	return dots
}
