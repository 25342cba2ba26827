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
	ID string
	At Point // of the tool's tip when it touches
}

func (c Collision) String() string {
	return fmt.Sprintf("the cutter meets %s at X%.3f Y%.3f Z%.3f", c.ID, c.At.X, c.At.Y, c.At.Z)
}

// touchMM is how deep a cutter must enter an obstacle before that counts: a cutter that
// just runs along a wall is clear. The result is exact for lines and arcs up to this.
const touchMM = 1e-6

// Collisions returns which obstacles the tool meets on its way, a cylinder of its diameter
// without end upward: the first touch of each, in the order of the moves. Rapids are taken
// as straight.
func (p *Program) Collisions(obstacles []Obstacle) []Collision {
	var met []Collision
	r := p.DiameterMM / 2
	reach := make([]geom.Box, len(obstacles))
	for i, o := range obstacles {
		reach[i] = o.Outline.Bounds().Grow(r)
	}
	done := make([]bool, len(obstacles))
	for from, m := range p.Moves() {
		box := m.around(from)
		for i, o := range obstacles {
			if done[i] || !overlap(box, reach[i]) {
				continue
			}
			if t, ok := o.touch(from, m, r); ok {
				done[i] = true
				met = append(met, Collision{o.ID, m.at(from, t)})
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

// distance returns how far p is from the obstacle, negative inside.
func (o Obstacle) distance(p geom.Vec) float64 {
	d := -o.Outline.Depth(p)
	for _, w := range o.Windows {
		d = math.Max(d, w.Depth(p))
	}
	return d
}
