package sheet

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Spacing of dimensions in millimetres (ISO 129-1 asks for uniform spacing and
// for projection lines that run on a little beyond the dimension line).
const (
	dimFirst   = 9.0 // first dimension line from the outline
	dimStep    = 8.0 // between dimension lines
	projectGap = 1.0 // between outline and projection line
	projectOn  = 2.0 // projection line beyond the dimension line: 8 narrow widths
	dimText    = 1.4 // baseline above the dimension line
	dodgePad   = 0.5 // free space between a text and a projection line that passes it
	dimPad     = 1.5 // free space left and right of a dimension's text
)

// side says where a row of dimensions stands.
type side int

const (
	above side = iota
	below
	leftOf
	rightOf
)

// dim is a distance measured along the row's direction between two points.
type dim struct {
	a, b geom.Vec
	text string
}

// row lays out dimensions on one side of a view.
type row struct {
	side side
	base float64 // coordinate of the outline that the row stands off from
}

// along returns a point's coordinate in the direction that is measured.
func (r row) along(p geom.Vec) float64 {
	if r.side == above || r.side == below {
		return p.X
	}
	return p.Y
}

// at returns the point with coordinate t along the row, s away from the base.
func (r row) at(t, s float64) geom.Vec {
	switch r.side {
	case above:
		return geom.Vec{X: t, Y: r.base + s}
	case below:
		return geom.Vec{X: t, Y: r.base - s}
	case leftOf:
		return geom.Vec{X: r.base - s, Y: t}
	}
	return geom.Vec{X: r.base + s, Y: t}
}

// out is the unit vector away from the view.
func (r row) out() geom.Vec { return r.at(0, 1).Sub(r.at(0, 0)) }

// laid is a dimension with its place: t0 < t1 are its ends, lo..hi what it takes
// up on its level, mid the middle of its text.
type laid struct {
	dim
	t0, t1, lo, hi, mid float64
	level               int
	outside             bool // arrows point inward from outside
}

// draw adds the dimensions, short ones nearest to the view, each on the first
// level where it meets no other.
func (r row) draw(f *figure, dims []dim) {
	ls := make([]laid, 0, len(dims))
	for _, d := range dims {
		l := laid{dim: d, t0: r.along(d.a), t1: r.along(d.b)}
		if l.t0 > l.t1 {
			l.t0, l.t1, l.a, l.b = l.t1, l.t0, l.b, l.a
		}
		w := picture.TextWidth(d.text, middle) + 2*dimPad
		gap := l.t1 - l.t0
		l.mid, l.lo, l.hi = (l.t0+l.t1)/2, l.t0, l.t1
		l.outside = gap < 2*arrowLong+1
		if l.outside {
			l.lo, l.hi = l.t0-2*arrowLong, l.t1+2*arrowLong
		}
		if w > gap {
			// The text stands on the dimension line drawn out past the second end.
			l.mid = l.t1 + w/2
			if l.outside {
				l.mid += arrowLong
			}
			l.hi = l.mid + w/2
		}
		ls = append(ls, l)
	}
	sort.SliceStable(ls, func(i, j int) bool { return ls[i].t1-ls[i].t0 < ls[j].t1-ls[j].t0 })
	for i := range ls {
		for r.blocked(ls[:i], ls[i]) {
			ls[i].level++
		}
	}
	for i := range ls {
		r.dodge(&ls[i], ls)
		r.one(f, ls[i])
	}
}

// blocked reports whether a dimension on l's level lies in l's way. Dimensions
// may share an end.
func (r row) blocked(placed []laid, l laid) bool {
	const shared = 1e-6 // mm; two ends at the same corner, rounding apart
	for _, p := range placed {
		if p.level == l.level && l.lo < p.hi-shared && p.lo < l.hi-shared {
			return true
		}
	}
	return false
}

// dodge moves a text along its line out of the projection lines that pass to
// levels further out.
func (r row) dodge(l *laid, all []laid) {
	if picture.TextWidth(l.text, middle)+2*dimPad > l.t1-l.t0 {
		return
	}
	w := picture.TextWidth(l.text, middle) + 2*dodgePad
	clear := func(mid float64) bool {
		for _, o := range all {
			for _, t := range [2]float64{o.t0, o.t1} {
				if o.level > l.level && math.Abs(t-mid) < w/2 {
					return false
				}
			}
		}
		return true
	}
	for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75, 0.2, 0.8} {
		mid := l.t0 + k*(l.t1-l.t0)
		if mid-w/2 >= l.t0 && mid+w/2 <= l.t1 && clear(mid) {
			l.mid = mid
			return
		}
	}
}

// one draws a dimension in its place.
func (r row) one(f *figure, l laid) {
	s := dimFirst + dimStep*float64(l.level)
	out := r.out()
	for _, p := range [2]geom.Vec{l.a, l.b} {
		end := r.at(r.along(p), s+projectOn)
		f.Line(picture.PenThin, p.Add(out.Scale(projectGap)), end)
	}
	p0, p1 := r.at(l.t0, s), r.at(l.t1, s)
	dir := p1.Sub(p0).Unit()
	if l.outside {
		f.Line(picture.PenThin, r.at(l.lo, s), r.at(l.hi, s))
		f.arrow(p0, dir)
		f.arrow(p1, dir.Scale(-1))
	} else {
		f.Line(picture.PenThin, p0, r.at(math.Max(l.t1, l.hi), s))
		f.arrow(p0, dir.Scale(-1))
		f.arrow(p1, dir)
	}
	t := picture.Text{At: r.at(l.mid, s), Height: middle, Anchor: picture.Middle, S: l.text}
	if r.side == leftOf || r.side == rightOf {
		// Read from the right (ISO 129-1): the text stands left of its line.
		t.Angle = math.Pi / 2
		t.At.X -= dimText
	} else {
		t.At.Y += dimText
	}
	f.Add(t)
}

// mm writes a length for people: at most two decimals, trailing zeros dropped
// as on any drawing.
func mm(v float64) string { return fixed(v, 2, true) }

// fixed writes v with n decimals and no negative zero; trim drops trailing zeros.
func fixed(v float64, n int, trim bool) string {
	p := math.Pow(10, float64(n))
	v = math.Round(v*p) / p
	if v == 0 {
		v = 0
	}
	t := formatFloat(v, n)
	if trim && strings.Contains(t, ".") {
		t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	}
	return t
}

func formatFloat(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }
