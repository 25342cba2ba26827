package toolpath

import (
	"fmt"
	"math"
	"sort"

	"reseat/jig/geom"
)

// Obstacle is something that stands on the bed and must not be touched: a round
// pin (RadiusMM above zero) or a body with an outline, from its top all the way
// down.
type Obstacle struct {
	ID       string
	At       geom.Vec // of a round one
	RadiusMM float64
	Outline  geom.Loop   // counter-clockwise; of one that is not round
	Windows  []geom.Loop // openings in Outline, counter-clockwise, inside it
	TopZ     float64
}

// Collision is the first touch of one obstacle.
type Collision struct {
	Obstacle int   // index into the list given
	Move     int   // index into the moves given
	At       Point // of the tool's tip when it touches
	Collet   bool  // the collet touches, not the cutter
	ID       string
}

func (c Collision) String() string {
	what := "cutter"
	if c.Collet {
		what = "collet"
	}
	return fmt.Sprintf("move %d: the %s meets %s at X%.3f Y%.3f Z%.3f", c.Move, what, name(c.ID), c.At.X, c.At.Y, c.At.Z)
}

// touchMM is how deep a cutter must enter an obstacle before that counts: a
// cutter that just runs along a wall is clear. The result is exact for lines and
// arcs up to this.
const touchMM = 1e-6

// Clear tells which obstacles the tool meets on its way: a cylinder of the tool's
// diameter, without end upward, and the collet's cylinder above it when the tool
// has one. For each obstacle the first touch is given, in the order of the moves;
// nil when nothing is met. Rapids are taken as straight.
//
// The error is Faults with *InputError: figures or outlines that cannot be meant.
func Clear(start Point, moves []Move, t Tool, obstacles []Obstacle) ([]Collision, error) {
	var f faults
	f.within("", "tool diameter (mm)", t.DiameterMM, smallestMM, largestMM)
	f.within("", "stick-out of the tool (mm)", t.StickOutMM, 0, largestMM)
	f.within("", "diameter of the collet (mm)", t.ColletMM, 0, largestMM)
	bodies := make([]body, len(obstacles))
	for i, o := range obstacles {
		bodies[i] = o.body(&f, i)
	}
	checkFinite(&f, start, moves)
	if f.err() != nil {
		return nil, f.err()
	}
	cylinders := []cylinder{{t.DiameterMM / 2, 0, false}}
	if t.ColletMM > t.DiameterMM {
		cylinders = append(cylinders, cylinder{t.ColletMM / 2, t.StickOutMM, true})
	}
	var out []Collision
	for i, b := range bodies {
		if c, hit := firstTouch(start, moves, b, cylinders); hit {
			c.Obstacle, c.ID = i, obstacles[i].ID
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Move < out[j].Move })
	return out, nil
}

func checkFinite(f *faults, start Point, moves []Move) {
	good := func(xs ...float64) bool {
		for _, x := range xs {
			if !(math.Abs(x) <= largestMM) {
				return false
			}
		}
		return true
	}
	if !good(start.X, start.Y, start.Z) {
		f.add(&PathError{-1, "the start is no place on a machine"})
	}
	for i, m := range moves {
		if !good(m.To.X, m.To.Y, m.To.Z) || (m.Kind.IsArc() && !good(m.Center.X, m.Center.Y)) {
			f.add(&PathError{i, "goes to or around what is no place on a machine"})
		}
	}
}

// cylinder is a part of the tool, up above the tip.
type cylinder struct {
	r, up  float64
	collet bool
}

// body is a checked obstacle.
type body struct {
	outline geom.Loop
	windows []geom.Loop
	box     geom.Box
	topZ    float64
}

func (o Obstacle) body(f *faults, i int) body {
	id := o.ID
	if id == "" {
		id = fmt.Sprintf("obstacle %d", i)
	}
	f.within(id, "height (mm)", o.TopZ, -largestMM, largestMM)
	b := body{outline: o.Outline, windows: o.Windows, topZ: o.TopZ}
	if len(o.Outline) == 0 {
		f.within(id, "X (mm)", o.At.X, -largestMM, largestMM)
		f.within(id, "Y (mm)", o.At.Y, -largestMM, largestMM)
		if f.within(id, "radius (mm)", o.RadiusMM, smallestMM, largestMM) {
			b.outline = geom.Slot(o.At, 0, 0, 2*o.RadiusMM)
		}
	} else if o.RadiusMM != 0 {
		f.add(&InputError{id, "radius beside an outline (mm)", o.RadiusMM, "one of the two"})
	}
	for _, l := range append([]geom.Loop{o.Outline}, o.Windows...) {
		for _, v := range l {
			f.within(id, "X of an outline (mm)", v.X, -largestMM, largestMM)
			f.within(id, "Y of an outline (mm)", v.Y, -largestMM, largestMM)
			f.within(id, "bulge of an outline", v.Bulge, -largestMM, largestMM)
		}
	}
	if f.err() == nil {
		b.box = b.outline.Bounds()
	}
	return b
}

// distance returns how far p is from the body, negative inside.
func (b body) distance(p geom.Vec) float64 {
	d := -b.outline.Depth(p)
	for _, w := range b.windows {
		d = math.Max(d, w.Depth(p))
	}
	return d
}

// firstTouch walks the moves until a cylinder enters the body.
func firstTouch(from Point, moves []Move, b body, parts []cylinder) (Collision, bool) {
	for i, m := range moves {
		best, hit := 2.0, Collision{}
		for _, c := range parts {
			if t, ok := touch(from, m, b, c); ok && t < best {
				best, hit = t, Collision{Move: i, At: m.At(from, t), Collet: c.collet}
			}
		}
		if best <= 1 {
			return hit, true
		}
		from = m.To
	}
	return Collision{}, false
}
