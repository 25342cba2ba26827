package jig

import (
	"math"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/job"
)

// TestPairAgainstBruteForce holds the search against an exhaustive one: every
// pair of allowed positions on a coarse grid, judged by a plate that is moved
// rather than by the formula. The search may be worse by 2 % at most.
func TestPairAgainstBruteForce(t *testing.T) {
	const grid, worse = 7.0, 1.02
	for _, tc := range []struct {
		name   string
		change func(*job.Job)
	}{
		{"nest", nil},
		{"keep-outs at both ends", func(j *job.Job) {
			j.Board.KeepOut = []job.KeepOut{
				{Name: "head", From: geom.Vec{X: -90, Y: -30}, To: geom.Vec{X: -1, Y: 30}},
				{Name: "heel", From: geom.Vec{X: 480, Y: -50}, To: geom.Vec{X: 600, Y: 20}},
			}
		}},
		{"own pins", func(j *job.Job) { j.Template.Seat = "pins" }},
		{"small board", func(j *job.Job) {
			j.Board.LengthMM, j.Board.WidthStartMM, j.Board.WidthEndMM = 60, 30, 34
			j.Board.Features = []job.Feature{{Name: "a", UMM: 10, VMM: 12}, {Name: "b", UMM: 55}}
			j.Blank.LengthMM = 260
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b, err := newBuilder(parse(t, tc.change))
			if err != nil {
				t.Fatal(err)
			}
			if err := b.pattern(); err != nil {
				t.Fatal(err)
			}
			g, features, r := b.ground, b.featurePoints(), b.locatingError()
			var free []geom.Vec
			for u := math.Ceil(g.box.Min.X/grid) * grid; u <= g.box.Max.X; u += grid {
				for v := math.Ceil(g.box.Min.Y/grid) * grid; v <= g.box.Max.Y; v += grid {
					p := geom.Vec{X: u, Y: v}
					if s, _ := g.slack(p, g.holeR+b.travel/2); s >= 0 {
						free = append(free, p)
					}
				}
			}
			best := math.Inf(1)
			for i := range free {
				for k := range i {
					if free[i].Dist(free[k]) > 2*g.holeR+b.travel+g.web {
						best = math.Min(best, movedError(free[i], free[k], r, features))
					}
				}
			}
			if len(free) < 4 || math.IsInf(best, 1) {
				t.Fatalf("the coarse grid has only %d places", len(free))
			}
			got := movedError(b.found.pins[0].at, b.found.pins[1].at, r, features)
			if got > worse*best {
				t.Errorf("search %.5f mm, brute force %.5f mm", got, best)
			}
			t.Logf("search %.5f mm, brute force over %d places %.5f mm", got, len(free), best)
		})
	}
}

// movedError moves the plate by the four combinations of errors across at the two
// pins and the error along at the first, and takes the worst along and across
// motion of each feature: pairError without its formula.
func movedError(a, b geom.Vec, r float64, features []geom.Vec) float64 {
	t := b.Sub(a).Unit()
	n := t.Left()
	l := a.Dist(b)
	worst := 0.0
	for _, f := range features {
		along, across := 0.0, 0.0
		for _, ea := range []float64{-r, r} {
			for _, eb := range []float64{-r, r} {
				theta := (eb - ea) / l
				// Motion of f: the error at a, plus the turn about a.
				m := n.Scale(ea).Add(f.Sub(a).Left().Scale(theta))
				along = math.Max(along, r+math.Abs(m.Dot(t)))
				across = math.Max(across, math.Abs(m.Dot(n)))
			}
		}
		worst = math.Max(worst, math.Hypot(along, across))
	}
	return worst
}
