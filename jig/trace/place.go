package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/jig/dxfread"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Datum says where the datum line lies in the drawing. The zero Datum is the file's X axis.
//
// It runs from the first of two points, or of a line on a layer of its own, to the second; the X axis as it does. The
// board's start end, u = 0, is where the outline begins along it.
type Datum struct {
	Points []geom.Vec // the start end and a second point, in the file's coordinates and unit; nil: see Layer
	Layer  string     // of the one line that is the datum line
}

// Feature is a circle on the features' layer.
type Feature struct {
	Name       string // the text beside it; "feature 1" and so on without one
	At         geom.Vec
	DiameterMM float64
}

// datum returns the datum line in mm in the file's axes, from start to end.
func (t *tracer) datum() geom.Edge {
	switch d := t.want.Datum; {
	case len(d.Points) > 0:
		p, q := d.Points[0], d.Points[min(1, len(d.Points)-1)]
		if len(d.Points) != 2 || !(p.Dist(q) > leastMM) {
			t.missing("give two points, the start end first", "the datum line needs two points that lie apart")
		}
		return geom.Edge{P: p.Scale(t.d.Units.MM), Q: q.Scale(t.d.Units.MM)}
	case d.Layer != "":
		return t.datumLine(d.Layer)
	}
	return geom.Edge{Q: geom.Vec{X: 1}}
}

// datumLine returns the one line on its layer.
func (t *tracer) datumLine(layer string) geom.Edge {
	var found []*dxfread.Entity
	for i := range t.d.Entities {
		if e := &t.d.Entities[i]; same(e.Layer, layer) && !e.Annotation {
			found = append(found, e)
		}
	}
	if len(found) == 0 {
		t.nothing(layer, "the datum line")
		return geom.Edge{}
	}
	e := found[0]
	at := e.At.Scale(t.d.Units.MM)
	switch {
	case len(found) > 1:
		t.fault(found[1], found[1].At.Scale(t.d.Units.MM), "leave one straight line on it",
			"the datum's layer has %d entities", len(found))
	case len(e.Edges) != 1 || e.Edges[0].IsArc() || e.Edges[0].P.Dist(e.Edges[0].Q)*t.d.Units.MM < leastMM:
		t.fault(e, at, "leave one straight line on the datum's layer", "the datum line is no straight line")
	default:
		g := e.Edges[0]
		return geom.Edge{P: g.P.Scale(t.d.Units.MM), Q: g.Q.Scale(t.d.Units.MM)}
	}
	return geom.Edge{}
}

// isCircle reports whether an entity is one full circle.
func isCircle(e *dxfread.Entity) bool {
	if e.Type == "CIRCLE" {
		return len(e.Edges) > 0
	}
	sweep := 0.0
	for i, g := range e.Edges {
		if !g.IsArc() || g.P.Dist(g.Q) == 0 {
			return false
		}
		first, a := e.Edges[0].Arc(), g.Arc()
		const round = 1e-4 // of the radius: programs write four decimals and more
		if i > 0 && (a.C.Dist(first.C) > round*first.R || math.Abs(a.R-first.R) > round*first.R) {
			return false
		}
		sweep += a.Sweep
	}
	return math.Abs(math.Abs(sweep)-2*math.Pi) < 1e-3
}

// circles returns the features with their centres in mm in the file's axes.
func (t *tracer) circles() []Feature {
	if t.want.Features == "" {
		return nil
	}
	var out []Feature
	type text struct {
		says string
		at   geom.Vec
	}
	var texts []text
	others := 0
	for i := range t.d.Entities {
		e := &t.d.Entities[i]
		switch {
		case !same(e.Layer, t.want.Features):
		case e.Text != "":
			texts = append(texts, text{e.Text, e.At.Scale(t.d.Units.MM)})
		case isCircle(e):
			a := e.Edges[0].Arc()
			f := Feature{At: a.C.Scale(t.d.Units.MM), DiameterMM: 2 * a.R * t.d.Units.MM}
			if slices.ContainsFunc(out, func(g Feature) bool {
				return f.At.Dist(g.At) <= t.want.GapMM && math.Abs(f.DiameterMM-g.DiameterMM) <= t.want.GapMM
			}) {
				t.noteAt(e, f.At, "a feature drawn twice, taken once")
				continue
			}
			out = append(out, f)
		case !e.Annotation && !t.wanted(e):
			if others++; others <= 3 {
				t.noteAt(e, e.At.Scale(t.d.Units.MM), "no circle, so no feature: left out")
			}
		}
		if len(out) > mostFeatures {
			t.missing("leave the circles alone that are bored again", "more than %d circles on layer %s", mostFeatures, t.want.Features)
			return nil
		}
	}
	if len(out) == 0 {
		t.nothing(t.want.Features, "a feature (a circle)")
	}
	for _, s := range texts {
		// A text belongs to the circle whose centre is nearest, when it begins within its diameter of it.
		best := -1
		for i, f := range out {
			if d := s.at.Dist(f.At); d <= f.DiameterMM && (best < 0 || d < s.at.Dist(out[best].At)) {
				best = i
			}
		}
		if best >= 0 && out[best].Name == "" {
			out[best].Name = s.says
		}
	}
	return out
}

// mostFeatures bounds the circles that are bored again.
const mostFeatures = 1000

// board moves contours and circles into the board frame.
func (t *tracer) board(contours []contour, line geom.Edge, circles []Feature) Board {
	d := line.Q.Sub(line.P)
	m := geom.Rigid{Angle: -math.Atan2(d.Y, d.X)}
	m.Shift = m.Apply(line.P).Scale(-1)
	box := m.Loop(contours[0].loop).Bounds()
	if box.Min.Y > t.want.GapMM || box.Max.Y < -t.want.GapMM {
		t.fault(nil, line.P, "give the datum two points of the drawing (the start end first), or a line on its own layer",
			"the datum line passes beside the outline, by %s", mm(max(box.Min.Y, -box.Max.Y)))
	}
	m.Shift.X -= box.Min.X
	if len(t.want.Datum.Points) > 0 && math.Abs(box.Min.X) > t.want.GapMM {
		t.noteAt(nil, line.P, "u = 0 is where the outline begins; the datum's first point lies at u = %s", mm(-box.Min.X))
	}
	b := Board{Outline: placed(m, contours[0].loop)}
	for _, c := range contours[1:] {
		b.Holes = append(b.Holes, placed(m, c.loop.Reverse()))
	}
	slices.SortFunc(b.Holes, func(a, b geom.Loop) int { return before(a[0].Vec, b[0].Vec) })
	solid := geom.Prepare(b.Outline)
	for _, f := range circles {
		at := f.At
		if f.At = rounded(m.Apply(at)); solid.Depth(f.At) < 0 {
			t.fault(nil, at, "move the circle, or take it off the features' layer", "a feature outside the outline")
		}
		f.DiameterMM = units.Round(f.DiameterMM, decimals)
		b.Features = append(b.Features, f)
	}
	slices.SortStableFunc(b.Features, func(a, b Feature) int { return before(a.At, b.At) })
	named := map[string]int{}
	for i := range b.Features {
		f := &b.Features[i]
		if f.Name == "" {
			f.Name = fmt.Sprintf("feature %d", i+1)
		}
		if named[f.Name]++; named[f.Name] > 1 {
			f.Name += fmt.Sprintf(" (%d)", named[f.Name])
		}
	}
	return b
}

// decimals of a mm to which places are rounded, so that they are the same on every machine.
const decimals = 7

func rounded(p geom.Vec) geom.Vec {
	return geom.Vec{X: units.Round(p.X, decimals), Y: units.Round(p.Y, decimals)}
}

func before(a, b geom.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }

// placed returns a contour in the board frame, from its vertex of least u.
func placed(m geom.Rigid, l geom.Loop) geom.Loop {
	out := m.Loop(l)
	first := 0
	for i := range out {
		out[i] = geom.Vertex{Vec: rounded(out[i].Vec), Bulge: units.Round(out[i].Bulge, decimals+5)}
		if before(out[i].Vec, out[first].Vec) < 0 {
			first = i
		}
	}
	return append(slices.Clone(out[first:]), out[:first]...)
}
