package layout

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestSurveyMissesNothing holds the survey, which walks by distances, against one that
// asks every constraint at every point of the grid.
func TestSurveyMissesNothing(t *testing.T) {
	for seed := range uint64(60) {
		g := randomWorld(rand.New(rand.NewPCG(seed, 1))).Region
		if size := g.Box.Size(); size.X*size.Y > 60000 {
			continue // the plain one takes too long
		}
		var plain []place
		most, by := math.Inf(-1), -1
		lo, hi := g.numbers()
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				p := g.point(x, y)
				s, c := g.clearance(p, math.Inf(-1))
				if s > most {
					most, by = s, c
				}
				if s >= -roundingMM {
					plain = append(plain, place{p, min(s, enoughMM)})
				}
			}
		}
		if got := g.survey(enoughMM); !slices.Equal(got, plain) {
			t.Fatalf("world %d: the survey finds %d places, or others, want %d", seed, len(got), len(plain))
		}
		if best, c := g.nearest(); best.clearance != most || c != by && g.Constraints[c].ID != g.Constraints[by].ID {
			t.Fatalf("world %d: nearest place has %g by %d, want %g by %d", seed, best.clearance, c, most, by)
		}
	}
}

// TestBoxRooms holds the closed form for rectangles against the general one.
func TestBoxRooms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		b := geom.Box{Min: geom.Vec{X: f("x", -50, 50), Y: f("y", -50, 50)}}
		b.Max = b.Min.Add(geom.Vec{X: f("long", 10, 200), Y: f("wide", 10, 200)})
		r := f("corner", 0.5, 5)
		p := geom.Vec{X: f("u", -120, 320), Y: f("v", -120, 320)}
		for _, c := range []struct{ got, want float64 }{
			{b.Rounded(r)(p), geom.RoundCorners(geom.Rect(b), r).Depth(p)},
			{b.Rounded(0)(p), geom.Rect(b).Depth(p)},
			{OutsideBox(b)(p), Outside(geom.Rect(b))(p)},
		} {
			// Both are a few roundings of coordinates of some hundred millimetres.
			if math.Abs(c.got-c.want) > 1e-10 {
				rt.Fatalf("%g, the general form gives %g", c.got, c.want)
			}
		}
	})
}
