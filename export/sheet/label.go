package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// label is one to three lines of text that belong to a point or a small circle.
type label struct {
	lines   []string
	heights []float64
	target  geom.Vec
	radius  float64  // of what is labelled, mm
	within  geom.Box // where the label may stand
	must    bool     // draw it even where it crosses narrow lines
	spare   bool     // leave it out rather than draw a poor leader
	led     bool     // always with a leader: the target is one line among several
	surface bool     // the leader ends in a dot inside a surface, not on a line
}

// lineGap is the distance between two lines of text in heights of a capital:
// 1.6 keeps the boxes of neighbouring lines apart (picture.Ascent + picture.Descent = 1.44).
const lineGap = 1.6

// labelNear is the free space between a label and what it names, mm.
const labelNear = 0.8

// leaderFar is the longest leader in mm; beyond it a label no longer reads as
// belonging to its mark.
const leaderFar = 40.0

// size returns the label's box, its lower left corner at the origin.
func (l label) size() geom.Vec {
	var w, h float64
	for i, s := range l.lines {
		w = math.Max(w, picture.TextWidth(s, l.heights[i]))
		if i == 0 {
			h += (picture.Ascent + picture.Descent) * l.heights[i]
		} else {
			h += lineGap * l.heights[i]
		}
	}
	return geom.Vec{X: w, Y: h}
}

// draw writes the label with its box's lower left corner at p.
func (l label) draw(f *figure, p geom.Vec) {
	size := l.size()
	y := p.Y + size.Y
	for i, s := range l.lines {
		if i == 0 {
			y -= picture.Ascent * l.heights[i]
		} else {
			y -= lineGap * l.heights[i]
		}
		f.Text(geom.Vec{X: p.X + size.X/2, Y: y}, l.heights[i], picture.Middle, s)
	}
}

// setLabel finds the best place for a label: close to its target and clear of
// every line; else close but across a narrow line; else further off with a
// leader. It reports whether the label was drawn.
func (f *figure) setLabel(l label) bool {
	size := l.size()
	try := func(allow touch) (geom.Vec, bool) {
		for _, r := range []float64{labelNear, 2, 3.5, 5} {
			for _, at := range around(l.target, l.radius+r, size) {
				b := geom.Box{Min: at, Max: at.Add(size)}
				if within(l.within, b) && hit(f.Items, b) <= allow {
					return at, true
				}
			}
		}
		return geom.Vec{}, false
	}
	if !l.led {
		if at, ok := try(free); ok {
			l.draw(f, at)
			return true
		}
	}
	if f.ledLabel(l, true) || !l.spare && f.ledLabel(l, false) {
		return true
	}
	if l.must {
		if at, ok := try(onNarrow); ok {
			l.draw(f, at)
			return true
		}
	}
	return false
}

// ledLabel looks for a place further off and draws a leader from it. A good
// leader runs obliquely, so that it is not taken for a projection line, and
// keeps off other holes and marks.
func (f *figure) ledLabel(l label, good bool) bool {
	size := l.size()
	for r := 6.0; r <= leaderFar; r += 2 {
		for _, at := range around(l.target, l.radius+r, size) {
			b := geom.Box{Min: at, Max: at.Add(size)}
			if !within(l.within, b) || hit(f.Items, b) > free {
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
				f.dot(tip)
			} else {
				f.arrow(tip, dir)
			}
			l.draw(f, at)
			return true
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
	if run.Norm()-l.radius < arrowLong+0.5 {
		return from, false
	}
	if good && math.Min(math.Abs(run.X), math.Abs(run.Y)) < oblique*run.Norm() {
		return from, false
	}
	for _, it := range f.Items {
		switch it := it.(type) {
		case picture.Text:
			if crosses(it.Ink(), from, l.target) {
				return from, false
			}
		case picture.Circle:
			if good && it.C != l.target && crosses(it.Ink(), from, l.target) {
				return from, false
			}
		case picture.Fill:
			if good && crosses(it.Ink(), from, l.target) {
				return from, false
			}
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
	return []geom.Vec{
		{X: c.X + q, Y: c.Y + q},
		{X: c.X - q - w, Y: c.Y + q},
		{X: c.X + q, Y: c.Y - q - h},
		{X: c.X - q - w, Y: c.Y - q - h},
		{X: c.X - w/2, Y: c.Y + r},
		{X: c.X - w/2, Y: c.Y - r - h},
		{X: c.X + r, Y: c.Y - h/2},
		{X: c.X - r - w, Y: c.Y - h/2},
		{X: c.X, Y: c.Y + r},
		{X: c.X - w, Y: c.Y + r},
		{X: c.X, Y: c.Y - r - h},
		{X: c.X - w, Y: c.Y - r - h},
		{X: c.X + r, Y: c.Y},
		{X: c.X - r - w, Y: c.Y},
		{X: c.X + r, Y: c.Y - h},
		{X: c.X - r - w, Y: c.Y - h},
	}
}

func within(outer, b geom.Box) bool { return outer.Contains(b.Min) && outer.Contains(b.Max) }
