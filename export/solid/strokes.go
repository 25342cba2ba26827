package solid

import (
	"errors"
	"math"

	"reseat/export/solid/plan"
	"reseat/jig"
	"reseat/jig/geom"
)

// markTolMM is the furthest that the walls of marks may lie from the true ones. They
// locate nothing, a nozzle is four times as wide, and with this much the round end of
// a common stroke, 0.6 wide, takes five edges.
const markTolMM = 0.09

// shortestMM is the shortest edge that a mark's border keeps. Shorter ones come about
// where strokes join; seen from the far end of a plate they would make needles.
const shortestMM = 0.06

// capsule is the area that a disc of radius r sweeps from p to q.
type capsule struct {
	p, q geom.Vec
	r    float64
	box  geom.Box
}

// outline returns the capsule's contour.
func (c *capsule) outline() geom.Loop {
	d := c.q.Sub(c.p)
	return geom.Slot(c.p.Lerp(c.q, 0.5), math.Atan2(d.Y, d.X), d.Norm(), 2*c.r)
}

// distance returns how far p lies from the border, negative inside.
func (c *capsule) distance(p geom.Vec) float64 { return math.Sqrt(segmentDistance2(p, c.p, c.q)) - c.r }

// capsules returns what the strokes of a mark sweep, piece by piece.
func capsules(m jig.PrintMark) []capsule {
	var out []capsule
	for _, s := range m.Strokes {
		s = coarse(s, m.WidthMM/strokeShare)
		from := s[0]
		for i, p := range s[1:] {
			// Steps that shape nothing are left out, but not a dot.
			if p.Dist(from) < straightMM && (i < len(s)-2 || from != s[0]) {
				continue
			}
			box := geom.EmptyBox().Include(from).Include(p).Grow(m.WidthMM / 2)
			out = append(out, capsule{from, p, m.WidthMM / 2, box})
			from = p
		}
	}
	return out
}

// strokeShare: a stroke is laid in chords that stay within this part of its own width, which
// still reads as the letter it is; every chord more is a dozen facets.
const strokeShare = 4

// tieMM: of two points as far off the first is taken, on every machine.
const tieMM = 1e-6

// coarse leaves out points of a stroke that stay within tol of the chord that is left.
//
// Reference: D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number of points
// required to represent a digitized line, The Canadian Cartographer 10 (1973) 112-122.
func coarse(s []geom.Vec, tol float64) []geom.Vec {
	worst, at := 0.0, 0
	for i := 1; i < len(s)-1; i++ {
		if d := math.Sqrt(segmentDistance2(s[i], s[0], s[len(s)-1])); d > worst+tieMM {
			worst, at = d, i
		}
	}
	if worst <= tol {
		return []geom.Vec{s[0], s[len(s)-1]}
	}
	return append(coarse(s[:at+1], tol), coarse(s[at:], tol)[1:]...)
}

// addMarks adds the borders of what the marks cover, each mark's strokes
// united, as one loop.
func (d *drawing) addMarks(marks []jig.PrintMark) error {
	if len(marks) == 0 {
		return nil
	}
	k := d.add(part{name: "marks", role: markPart, level: level(marks[0].LevelMM)}, nil)
	for _, m := range marks {
		rings, err := d.union(capsules(m))
		if err != nil {
			return err
		}
		for _, r := range rings {
			d.contours = append(d.contours, plan.Contour{Points: d.grid.snapAll(straighten(shorten(r), 0)), Loop: k})
		}
	}
	return nil
}

// shorten leaves out corners that lie nearer than shortestMM to the one kept before
// them, the last ones instead of the first.
func shorten(ring []geom.Vec) []geom.Vec {
	out := ring[:1:1]
	for _, p := range ring[1:] {
		if p.Dist(out[len(out)-1]) >= shortestMM {
			out = append(out, p)
		}
	}
	for len(out) > 3 && out[len(out)-1].Dist(out[0]) < shortestMM {
		out = out[:len(out)-1]
	}
	if len(out) < 3 {
		return ring
	}
	return out
}

// union returns the border of what the pieces cover together, which lies on its
// left. It lays them over each other in a plan of their own, so that borders
// inside it do not come into the plate's.
func (d *drawing) union(pieces []capsule) ([][]geom.Vec, error) {
	// What the two plans may weld is taken off the chord.
	chord := markTolMM - shortestMM - 2*(d.grid.snapMM()+math.Sqrt2*float64(d.grid.weldUnits())*d.grid.unitMM)
	var contours []plan.Contour
	for _, c := range pieces {
		contours = append(contours, plan.Contour{Points: d.grid.snapAll(outward(c.outline(), chord, 0))})
	}
	pl, err := plan.New(contours, 1, d.grid.weldUnits())
	if err != nil {
		return nil, err
	}
	return d.border(pl)
}

// border follows the edges between what is inside loop 0 and what is not. It must not
// touch itself.
func (d *drawing) border(pl *plan.Plan) (rings [][]geom.Vec, err error) {
	after := map[int32]int32{}
	var starts []int32
	for _, t := range pl.Triangles {
		if !pl.Faces[t.Face].Inside(0) {
			continue
		}
		for i, n := range t.Next {
			if !t.Fixed[i] || pl.Faces[pl.Triangles[n].Face].Inside(0) {
				continue
			}
			a, b := t.V[(i+1)%3], t.V[(i+2)%3]
			if _, ok := after[a]; ok {
				return nil, errors.New("the strokes of a mark touch each other in a point")
			}
			after[a] = b
			starts = append(starts, a)
		}
	}
	for _, s := range starts {
		var ring []geom.Vec
		for v := s; ; {
			next, there := after[v]
			if !there {
				break
			}
			ring = append(ring, d.grid.mm(pl.Points[v]))
			delete(after, v)
			v = next
		}
		if ring != nil {
			rings = append(rings, ring)
		}
	}
	return rings, nil
}
