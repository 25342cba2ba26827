package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Obstacle is something that stands on the bed and must not be touched: a body with an
// outline, from its top all the way down.
type Obstacle struct {
	ID      string
	Outline geom.Loop   // counter-clockwise
	Windows []geom.Loop // openings in Outline, counter-clockwise, inside it
	TopZ    float64
}

// Collision is the first touch of one obstacle.
type Collision struct {
	ID   string
	Part string  // of the tool that touches: "cutter", "collet"
	TopZ float64 // of what it meets
	At   Point   // of the tool's tip when it touches
}

func (c Collision) String() string {
	return fmt.Sprintf("the %s meets %s with the tip at X%.3f Y%.3f Z%.3f", c.Part, c.ID, c.At.X, c.At.Y, c.At.Z)
}

// touchMM is how deep a cutter must enter an obstacle before that counts: a cutter that
// just runs along a wall is clear. The result is exact for lines and arcs up to this.
const touchMM = 1e-6

// Collisions returns which obstacles the tool meets on its way: the first touch of each by
// each part of the tool, in the order of the moves. The tool is a cylinder of its diameter
// without end upward and, where its collet is known, one of that from BelowMM above the tip
// up. Rapids are taken as straight.
func (p *Program) Collisions(obstacles []Obstacle) []Collision {
	type meeting struct {
		Obstacle
		part    string
		aboveMM float64 // of that part over the tip
		r       float64
		box     geom.Box // of the tip, when it may touch
		done    bool
	}
	var all []meeting
	add := func(part string, diameter, aboveMM float64) {
		for _, o := range obstacles {
			o.TopZ -= aboveMM // seen from the tip
			all = append(all, meeting{o, part, aboveMM, diameter / 2, o.Outline.Bounds().Grow(diameter / 2), false})
		}
	}
	add("cutter", p.DiameterMM, 0)
	if p.ColletMM > 0 {
		add("collet", p.ColletMM, p.BelowMM)
	}
	var met []Collision
	for from, m := range p.Moves() {
		box := m.around(from)
		for i := range all {
			o := &all[i]
			if o.done || !overlap(box, o.box) {
				continue
			}
			if t, ok := o.touch(from, m, o.r); ok {
				o.done = true
				met = append(met, Collision{o.ID, o.part, o.TopZ + o.aboveMM, m.at(from, t)})
			}
		}
	}
	return met
}

func overlap(a, b geom.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// around returns a box that holds the move, seen from above; of an arc the whole circle's.
func (m Move) around(from Point) geom.Box {
	if m.Kind != Arc {
		return m.bounds(from)
	}
	r := from.XY().Dist(m.Center)
	return geom.EmptyBox().Include(m.Center).Grow(r)
}

// disc returns the middle and radius of a disc that holds the move, seen from above.
func (m Move) disc(from Point) (geom.Vec, float64) {
	if m.Kind == Arc {
		return m.Center, from.XY().Dist(m.Center)
	}
	return from.XY().Lerp(m.To.XY(), 0.5), from.XY().Dist(m.To.XY()) / 2
}

// distance returns how far p is from the obstacle, negative inside.
func (o Obstacle) distance(p geom.Vec) float64 {
	d := -o.Outline.Depth(p)
	for _, w := range o.Windows {
		d = math.Max(d, w.Depth(p))
	}
	return d
}
