package seat

import (
	"math"
	"slices"
	"testing"

	"reseat/jig/geom"
)

// TestHoldsByHand: a free rectangle's middle goes with the mean of opposite walls. Its sides err at either end, its
// ends as wholes.
func TestHoldsByHand(t *testing.T) {
	const long, wide, e = 300.0, 40.0, 0.01
	stops, err := Contour{Outline: geom.Taper(long, wide, wide), Gaps: []float64{0.1}}.Holds()
	if err != nil {
		t.Fatal(err)
	}
	moved := func(wall func(Stop) float64) (q Pose) {
		for _, s := range stops {
			k := wall(s)
			q.DU, q.DV, q.Theta = q.DU+k*s.PerMM.DU, q.DV+k*s.PerMM.DV, q.Theta+k*s.PerMM.Theta
		}
		return q
	}
	far := vec(long, 0)
	for name, c := range map[string]struct {
		wall func(Stop) float64
		want geom.Vec // of the datum line's far end
	}{
		"left":    {func(s Stop) float64 { return e * math.Max(0, s.Normal.Y) }, vec(0, e/2)},
		"far end": {func(s Stop) float64 { return e * math.Max(0, s.Normal.X) }, vec(e/2, 0)},
	} {
		if got := moved(c.wall).Motion(far); got.Dist(c.want) > 1e-9 {
			t.Errorf("%s: the far end goes by %v, by hand %v", name, got, c.want)
		}
	}
	var walls []int
	for _, s := range stops {
		if !slices.Contains(walls, s.Wall) {
			walls = append(walls, s.Wall)
		}
	}
	if len(walls) != 6 || slices.Max(walls) != 5 {
		t.Errorf("walls %v, want six", walls)
	}
}

// TestHoldsFollow: a window that moves rigidly takes the middle of the poses along; where the
// wall at one stretch gives way, the middle of poses that are drawn within goes as is told.
func TestHoldsFollow(t *testing.T) {
	for name, l := range curved() {
		c := Contour{Outline: l, Gaps: []float64{0.1}}
		stops, err := c.Holds()
		if err != nil {
			t.Fatal(name, err)
		}
		for _, q := range []Pose{{DU: 1}, {DV: 1}, {Theta: 0.01}} {
			var got Pose
			for _, s := range stops {
				k := s.Normal.Dot(q.Motion(s.At))
				got.DU, got.DV, got.Theta = got.DU+k*s.PerMM.DU, got.DV+k*s.PerMM.DV, got.Theta+k*s.PerMM.Theta
			}
			off := math.Max(got.Motion(vec(0, 0)).Dist(q.Motion(vec(0, 0))),
				got.Motion(vec(140, 40)).Dist(q.Motion(vec(140, 40))))
			if off > 0.02 {
				t.Errorf("%s: %+v for %+v", name, got, q)
			}
		}
		// Every edge's gap by itself, by the middle of the seat's own poses. At a smooth joint of a
		// rounding a place belongs to both edges.
		middle := func(gaps []float64) Pose {
			s, err := Contour{Outline: l, Gaps: gaps}.Seat()
			if err != nil {
				t.Fatal(name, err)
			}
			const n = 1 << 17
			var sum Pose
			for k := range n { // Roberts' sequence: multiples of powers of 1/g, g^4 = g + 1
				at := func(step float64) float64 { _, x := math.Modf(0.5 + step*float64(k)); return x }
				q := s.Place([3]float64{at(0.8191725133961644), at(0.671043606703789), at(0.5497004779019702)})
				sum.DU, sum.DV, sum.Theta = sum.DU+q.DU/n, sum.DV+q.DV/n, sum.Theta+q.Theta/n
			}
			return sum
		}
		if name == "rounded" || !deep() && name != "notched" {
			continue
		}
		for i := range l {
			const step = 0.01
			wide, near := slices.Repeat([]float64{0.1}, len(l)), slices.Repeat([]float64{0.1}, len(l))
			wide[i] += step
			near[i] -= step
			a, b := middle(wide), middle(near)
			var told Pose
			for _, s := range stops {
				if e := l.Edge(i); e.Distance(s.At) < 1e-6 && onlyOf(l, i, s) {
					told.DU, told.DV, told.Theta = told.DU+s.PerMM.DU, told.DV+s.PerMM.DV, told.Theta+s.PerMM.Theta
				}
			}
			at := vec(60, 10)
			drawn := a.Motion(at).Sub(b.Motion(at)).Scale(1 / (2 * step))
			if off := drawn.Dist(told.Motion(at)); off > 0.07 {
				t.Errorf("%s, edge %d: the middle goes by %v per mm, told %v", name, i, drawn, told.Motion(at))
			}
		}
	}
}

// onlyOf reports whether a stop lies on the wall of edge i: at a corner its normal tells.
func onlyOf(l geom.Loop, i int, s Stop) bool {
	e := l.Edge(i)
	a, b := e.Tangents()
	if outward(a).Dot(s.Normal) > 0.9999 && s.At.Dist(e.P) < 1 || outward(b).Dot(s.Normal) > 0.9999 &&
		s.At.Dist(e.Q) < 1 {
		return true
	}
	return e.IsArc() && s.At.Dist(e.P) > 1e-6 && s.At.Dist(e.Q) > 1e-6
}
