package account

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/seat"
	"reseat/jig/setup"
)

// errs is the error that causes leave at a feature for a round hole at a and a slot at b.
func errs(c layout.Causes, elsewhere float64, a, b, f geom.Vec) float64 {
	l2, g := math.Pow(a.Dist(b), 2), f.Sub(a)
	if c.Holds {
		g = c.Held.Sub(a)
	}
	turn := (math.Pow(c.RoundMM*f.Dist(b), 2) + math.Pow(c.SlotMM*f.Dist(a), 2)) / l2
	return math.Sqrt(elsewhere*elsewhere + c.AlongMM*c.AlongMM + turn +
		math.Pow(c.GrowthAlong*g.X, 2) + math.Pow(c.GrowthAcross*g.Y, 2))
}

// TestCausesRankAsTheBudget: over pairs of pins anywhere about the board, the figures that the
// search is given rank them as the simulated budget does, on the whole better than the sum of the
// worst cases would; what the pins alone leave is the same as in the budget.
func TestCausesRankAsTheBudget(t *testing.T) {
	const pairs, runs = 40, 1024
	for _, name := range []string{
		"jobs/bouzouki-fingerboard", "jobs/dulcimer-inches", "jobs/neck-second-side", "cases/long-unpushed", "cases/narrow-blank",
	} {
		j, err := job.Read("../../testdata/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		parts, err := part.Lookup(j)
		if err != nil {
			t.Fatal(err)
		}
		c := Case{Job: j, Parts: parts, Window: j.Template.Seat == "nest", Pins: make([]Pin, 2)}
		if j.Template.Flip != "none" {
			turn := program.TurnOf(j)
			c.Turned = func(at geom.Vec) geom.Vec { return turn.Lying(setup.Under, at) }
		}
		var features []geom.Vec
		var spec budget.Spec
		for _, f := range j.Board.AllFeatures() {
			at := geom.Vec{X: f.UMM, Y: f.VMM}
			features, spec.Features = append(features, at), append(spec.Features, budget.Feature{At: at})
		}
		c.Features = features
		causes, elsewhere, err := Causes(j, parts, c.Turned, features, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range []layout.Role{layout.Round, layout.Slot} {
			if err := c.Pins[i].play(j, parts, r); err != nil {
				t.Fatal(err)
			}
		}
		r := rand.New(rand.NewPCG(1, 2))
		var told, p95, worst []float64
		spec.Trials, spec.Seed = runs, 1
		for len(told) < pairs {
			at := func() geom.Vec {
				return geom.Vec{X: (1.2*r.Float64() - 0.1) * j.Board.LengthMM, Y: 160*r.Float64() - 80}
			}
			a, b := at(), at()
			if c.Turned != nil {
				a.Y, b.Y = 0, 0 // on the axis that the part is turned over about
			}
			if a.Dist(b) < j.Board.LengthMM/4 {
				continue
			}
			c.Pins[0].At, c.Pins[1].At = a, b
			if c.OnPins, err = (seat.PinPair{
				Round: a, Slot: b, RoundClearance: c.Pins[0].MostMM, SlotClearance: c.Pins[1].MostMM,
			}).Seat(); err != nil {
				t.Fatal(err)
			}
			spec.Sources = c.Sources()
			sum, err := budget.Compute(spec)
			if err != nil {
				t.Fatal(err)
			}
			most := 0.0
			for i, f := range features {
				most = max(most, errs(causes, elsewhere[i], a, b, f))
			}
			w := sum.Features[sum.Worst()]
			told, p95, worst = append(told, most), append(p95, w.P95MM), append(worst, w.WorstMM)

			vars, _ := c.parted()
			only := causes
			only.GrowthAlong, only.GrowthAcross = 0, 0
			round, slot := c.plays()
			play := layout.Causes{AlongMM: round, RoundMM: round, SlotMM: slot}
			listed := math.Sqrt(math.Pow(errs(only, 0, a, b, features[0]), 2) - math.Pow(errs(play, 0, a, b, features[0]), 2))
			if got := half95(vars, features[0]); math.Abs(got-listed) > 1e-9 {
				t.Errorf("%s, %v %v: %.6f mm from the holes, %.6f by the sources", name, a, b, listed, got)
			}
		}
		square, sum := alike(told, p95), alike(worst, p95)
		t.Logf("%s: ranks %.4f alike, by the sum of worst cases %.4f", name, square, sum)
		if square < 0.98 || square < sum-0.02 {
			t.Errorf("%s: ranks %.4f alike, by the sum of worst cases %.4f", name, square, sum)
		}
	}
}

// alike is Spearman's coefficient of rank correlation.
func alike(x, y []float64) float64 {
	ranks := func(of []float64) []int {
		order, rank := make([]int, len(of)), make([]int, len(of))
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(i, k int) int { return cmp.Compare(of[i], of[k]) })
		for k, i := range order {
			rank[i] = k
		}
		return rank
	}
	rx, ry, sum, n := ranks(x), ranks(y), 0.0, float64(len(x))
	for i := range rx {
		sum += math.Pow(float64(rx[i]-ry[i]), 2)
	}
	return 1 - 6*sum/(n*(n*n-1))
}
