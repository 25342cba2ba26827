package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// TestSurveyMissesNothing holds the survey by patches against one that asks every
// constraint at every point of the grid.
func TestSurveyMissesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		g := randomWorld(rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))).Region
		var plain [][]spot
		most, by := math.Inf(-1), -1
		lo, hi := g.gridBox()
		for i := lo[0]; i <= hi[0]; i++ {
			var col []spot
			for k := lo[1]; k <= hi[1]; k++ {
				p := geom.Vec{X: float64(i) * g.StepMM, Y: float64(k) * g.StepMM}
				s, z := g.clearance(p, g.HoleRadiusMM)
				if s > most {
					most, by = s, z
				}
				if s >= 0 {
					col = append(col, spot{p, math.Min(s, enoughSlackMM)})
				}
			}
			if col != nil {
				plain = append(plain, col)
			}
		}
		if d := cmp.Diff(plain, g.survey(enoughSlackMM), cmp.AllowUnexported(spot{})); d != "" {
			rt.Fatalf("the survey differs: %s", d)
		}
		if best, z := g.nearest(); best.slack != most || z != by && g.Constraints[z].ID != g.Constraints[by].ID {
			rt.Fatalf("nearest place has %g by %d, want %g by %d", best.slack, z, most, by)
		}
	})
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
			{b.Rounded(r)(p), Inside(geom.RoundCorners(geom.Rect(b), r))(p)},
			{b.Rounded(0)(p), Inside(geom.Rect(b))(p)},
			{OutsideBox(b)(p), Outside(geom.Rect(b))(p)},
		} {
			// Both are a few roundings of coordinates of some hundred millimetres.
			if math.Abs(c.got-c.want) > 1e-10 {
				rt.Fatalf("%g, the general form gives %g", c.got, c.want)
			}
		}
	})
}
