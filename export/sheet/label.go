package sheet

import (
	"math"

	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig/geom"
)

// label is one to three lines of text that belong to a point or a small circle.
type label struct {
	lines   []string
	height  float64 // of the first line; the others are small
	target  geom.Vec
	radius  float64  // of what is labelled, mm
	within  geom.Box // where the label may stand
	must    bool     // draw it even where it crosses narrow lines
	spare   bool     // leave it out rather than draw a poor leader
	led     bool     // always with a leader: the target is one line among several
	surface bool     // the leader ends in a dot inside a surface, not on a line
}

// labelNear is the free space between a label and what it names, mm.
const labelNear = 0.8

// wordApart is left free beside a label where there is room, mm: nearer, two names read as one.
const wordApart = 1.2

// leaderFar is the longest leader in mm; beyond it a label no longer reads as
// belonging to its mark.
const leaderFar = 40.0

// letters returns the label's text about the middle of its upper edge, and the size
// of its box.
func (l label) letters() (*figure, geom.Vec) {
	f, w, h := &figure{}, 0.0, l.height
	y := -picture.Ascent * h
	for i, s := range l.lines {
		if i > 0 {
			h = block.Small
			y -= block.LineGap * h
		}
		f.Text(geom.Vec{Y: y}, h, picture.Middle, s)
		w = math.Max(w, picture.TextWidth(s, h))
	}
	return f, geom.Vec{X: w, Y: picture.Descent*l.height - y}
}

// setLabel finds the best place for a label: close to its target and clear of
// every line; else further off with a leader; else, when it must be drawn, close but
// across a narrow line. It reports whether the label was drawn.
func (f *figure) setLabel(l label) bool {
	return !l.led && f.nearLabel(l, block.Free) || f.ledLabel(l, true) ||
		!l.spare && f.ledLabel(l, false) || l.must && f.nearLabel(l, block.OnNarrow)
}

// nearLabel draws the label close to its target, where it meets nothing worse than
// allowed.
func (f *figure) nearLabel(l label, allow block.Clash) bool {
	text, size := l.letters()
	for _, apart := range []float64{wordApart, 0} {
		for _, r := range []float64{labelNear, 2, 3.5, 5} {
			for _, at := range around(l.target, l.radius+r, size) {
				b := geom.Box{Min: at, Max: at.Add(size)}
				beside := geom.Vec{X: apart}
				if block.Within(l.within, b) && f.WorstClash(geom.Box{Min: b.Min.Sub(beside), Max: b.Max.Add(beside)}) <= allow {
					f.place(&text.Figure, geom.Vec{X: b.Center().X, Y: b.Max.Y})
					return true
				}
			}
		}
	}
	return false
}

// ledLabel looks for a place further off and draws a leader from it. A good
// leader runs obliquely, so that it is not taken for a projection line, and
// keeps off other holes and marks.
func (f *figure) ledLabel(l label, good bool) bool {
	text, size := l.letters()
	for r := 6.0; r <= leaderFar; r += 2 {
		for _, at := range around(l.target, l.radius+r, size) {
			b := geom.Box{Min: at, Max: at.Add(size)}
			if !block.Within(l.within, b) || f.WorstClash(b) > block.Free {
				continue
			}
			from, ok := f.leader(l, b, good)
			if !ok {
				continue
			}
			dir := l.target.Sub(from).Unit()
			tip := l.target.Sub(dir.Scale(l.radius))
			f.Line(picture.PenThin, from, tip)
			if l.surface {
				f.Dot(tip)
			} else {
				f.Arrow(tip, dir)
			}
			f.place(&text.Figure, geom.Vec{X: b.Center().X, Y: b.Max.Y})
			return true
		}
	}
	return false
}

// pointAt draws a label in small letters whose leader ends in a dot inside a surface,
// at the first of the targets that has a place for a good leader, or else, unless
// only a good one will do, for any.
func (f *figure) pointAt(l label, targets []geom.Vec, onlyGood bool) bool {
	l.height, l.surface = block.Small, true
	for _, good := range []bool{true, false} {
		for _, l.target = range targets {
			if (good || !onlyGood) && f.ledLabel(l, good) {
				return true
			}
		}
	}
	return false
}

// oblique is the least slope of a good leader against either axis: 15 degrees.
const oblique = 0.26

// leader returns where a leader from box b starts: the middle of the side that
// faces the target. It fails when the leader would run through a text or be
// shorter than its own arrowhead, and when it is to be good and is not.
func (f *figure) leader(l label, b geom.Box, good bool) (geom.Vec, bool) {
	c := b.Center()
	from := geom.Vec{X: c.X, Y: b.Min.Y}
	switch d := l.target.Sub(c); {
	case l.target.X < b.Min.X && math.Abs(d.X) > math.Abs(d.Y):
		from = geom.Vec{X: b.Min.X - labelNear/2, Y: c.Y}
	case l.target.X > b.Max.X && math.Abs(d.X) > math.Abs(d.Y):
		from = geom.Vec{X: b.Max.X + labelNear/2, Y: c.Y}
	case l.target.Y > c.Y:
		from = geom.Vec{X: c.X, Y: b.Max.Y}
	}
	run := l.target.Sub(from)
	if run.Norm()-l.radius < block.ArrowLong+0.5 {
		return from, false
	}
	if good && math.Min(math.Abs(run.X), math.Abs(run.Y)) < oblique*run.Norm() {
		return from, false
	}
	for i, o := range f.Obstacles() {
		bars := false
		switch it := f.Items[i].(type) {
		case picture.Text:
			bars = true
		case picture.Circle:
			bars = good && it.C != l.target
		case picture.Fill:
			bars = good
		}
		if bars && block.Crosses(o.Ink, from, l.target) {
			return from, false
		}
	}
	return from, true
}

// around returns lower left corners for a box of the given size that stands at
// distance r from c: right and left above, right and left below, then the four
// sides, then steps between.
func around(c geom.Vec, r float64, size geom.Vec) []geom.Vec {
	q := r * math.Sqrt2 / 2
	w, h := size.X, size.Y
	out := []geom.Vec{
		{X: q, Y: q},
		{X: -q - w, Y: q},
		{X: q, Y: -q - h},
		{X: -q - w, Y: -q - h},
		{X: -w / 2, Y: r},
		{X: -w / 2, Y: -r - h},
		{X: r, Y: -h / 2},
		{X: -r - w, Y: -h / 2},
		{X: 0, Y: r},
		{X: -w, Y: r},
		{X: 0, Y: -r - h},
		{X: -w, Y: -r - h},
		{X: r, Y: 0},
		{X: -r - w, Y: 0},
		{X: r, Y: -h},
		{X: -r - w, Y: -h},
	}
	for i := range out {
		out[i] = out[i].Add(c)
	}
	return out
}
