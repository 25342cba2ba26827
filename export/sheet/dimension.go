package sheet

import (
	"cmp"
	"math"
	"slices"

	"reseat/export/block"
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

// dim is a distance measured along the row's direction between two points.
type dim struct {
	a, b geom.Vec
	text string
}

// row lays out dimensions on one side of a view.
type row struct {
	out  geom.Vec // unit vector away from the view, along an axis
	base float64  // coordinate of the outline that the row stands off from
}

// The sides of a view.
var (
	above   = geom.Vec{Y: 1}
	below   = geom.Vec{Y: -1}
	leftOf  = geom.Vec{X: -1}
	rightOf = geom.Vec{X: 1}
)

// along returns a point's coordinate in the direction that is measured.
func (r row) along(p geom.Vec) float64 {
	if r.out.X == 0 {
		return p.X
	}
	return p.Y
}

// at returns the point with coordinate t along the row, s away from the base.
func (r row) at(t, s float64) geom.Vec {
	if r.out.X == 0 {
		return geom.Vec{X: t, Y: r.base + r.out.Y*s}
	}
	return geom.Vec{X: r.base + r.out.X*s, Y: t}
}

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
		w := picture.TextWidth(d.text, block.Middle) + 2*dimPad
		gap := l.t1 - l.t0
		l.mid, l.lo, l.hi = (l.t0+l.t1)/2, l.t0, l.t1
		l.outside = gap < 2*block.ArrowLong+1
		if l.outside {
			l.lo, l.hi = l.t0-2*block.ArrowLong, l.t1+2*block.ArrowLong
		}
		if w > gap {
			// The text stands on the dimension line drawn out past the second end.
			l.mid = l.t1 + w/2
			if l.outside {
				l.mid += block.ArrowLong
			}
			l.hi = l.mid + w/2
		}
		ls = append(ls, l)
	}
	slices.SortStableFunc(ls, func(a, b laid) int { return cmp.Compare(a.t1-a.t0, b.t1-b.t0) })
	for i := range ls {
		for blocked(ls[:i], ls[i]) {
			ls[i].level++
		}
	}
	for i := range ls {
		avoidLines(&ls[i], ls)
		r.one(f, ls[i])
	}
}

// blocked reports whether a dimension on l's level lies in l's way. Dimensions
// may share an end.
func blocked(placed []laid, l laid) bool {
	const shared = 1e-6 // mm; two ends at the same corner, rounding apart
	return slices.ContainsFunc(placed, func(p laid) bool {
		return p.level == l.level && l.lo < p.hi-shared && p.lo < l.hi-shared
	})
}

// avoidLines moves a text along its line out of the projection lines that pass to
// levels further out.
func avoidLines(l *laid, all []laid) {
	w := picture.TextWidth(l.text, block.Middle) + 2*dodgePad
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
	if w-2*dodgePad+2*dimPad <= l.t1-l.t0 {
		for _, k := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75, 0.2, 0.8} {
			mid := l.t0 + float64(k*(l.t1-l.t0))
			if mid-w/2 >= l.t0 && mid+w/2 <= l.t1 && clear(mid) {
				l.mid = mid
				return
			}
		}
	}
	for _, o := range all { // beside its line, further out
		for _, t := range [2]float64{o.t0, o.t1} {
			mid := math.Max(t, l.t1) + w/2 + 1e-6
			if o.level > l.level && !clear(l.mid) && mid > l.mid && clear(mid) {
				l.mid, l.hi = mid, mid+w/2
			}
		}
	}
}

// one draws a dimension in its place.
func (r row) one(f *figure, l laid) {
	s := dimFirst + dimStep*float64(l.level)
	for _, p := range [2]geom.Vec{l.a, l.b} {
		end := r.at(r.along(p), s+projectOn)
		f.Line(picture.PenThin, p.Add(r.out.Scale(projectGap)), end)
	}
	p0, p1 := r.at(l.t0, s), r.at(l.t1, s)
	dir := p1.Sub(p0).Unit()
	if l.outside {
		f.Line(picture.PenThin, r.at(l.lo, s), r.at(l.hi, s))
		f.Arrow(p0, dir)
		f.Arrow(p1, dir.Scale(-1))
	} else {
		f.Line(picture.PenThin, p0, r.at(math.Max(l.t1, l.hi), s))
		f.Arrow(p0, dir.Scale(-1))
		f.Arrow(p1, dir)
	}
	t := picture.Text{At: r.at(l.mid, s), Height: block.Middle, Anchor: picture.Middle, S: l.text}
	if r.out.Y == 0 {
		// Read from the right (ISO 129-1): the text stands left of its line.
		t.Angle = quarter
		t.At.X -= dimText
	} else {
		t.At.Y += dimText
	}
	f.Add(t)
}
