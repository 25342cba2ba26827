package budget

import (
	"math"
	"math/rand"
	"testing"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// TestWorstAgainstSigns holds the walk round the zonotope against every
// combination of signs: the farthest point is at one of them.
func TestWorstAgainstSigns(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for range 300 {
		z := randomZonotope(r, r.Intn(11))
		want := 0.0
		for signs := range 1 << len(z.generators) {
			p := z.centre
			for i, g := range z.generators {
				p = p.Add(g.Scale(float64(2*(signs>>i&1) - 1)))
			}
			want = math.Max(want, p.Norm())
		}
		if got := z.farthest(); !near(got, want, roundTol) {
			t.Fatalf("%+v: %v, all signs give %v", z, got, want)
		}
		if got := farthest(z.reach); got > want*(1+roundTol) || got < want*(1-worstTolerance) {
			t.Fatalf("%+v: search by reach %v, all signs give %v", z, got, want)
		}
	}
}

// randomZonotope has generators along the axes, twice the same, opposite and of
// no length among the others.
func randomZonotope(r *rand.Rand, n int) zonotope {
	var z zonotope
	for i := range n {
		g := geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}
		switch r.Intn(8) {
		case 0:
			g.X = 0
		case 1:
			g.Y = 0
		case 2:
			g = geom.Vec{}
		case 3:
			if i > 0 {
				g = z.generators[i-1].Scale(float64(1 - 2*r.Intn(2)))
			}
		}
		z.generators = append(z.generators, g)
	}
	if r.Intn(2) > 0 {
		z.centre = geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}
	}
	return z
}

// TestWorstWithPlay: a play in a box of poses moves a feature over a zonotope,
// so that the whole source has an exact answer.
func TestWorstWithPlay(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for range 100 {
		mid, half := pose(0.1*r.NormFloat64(), 0.1*r.NormFloat64(), 1e-3*r.NormFloat64()), pose(r.Float64(), r.Float64(), 1e-3*r.Float64())
		at := geom.Vec{X: 500 * r.Float64(), Y: 50 * r.NormFloat64()}
		own := 0.1 * float64(r.Intn(2))
		z := zonotope{
			centre: mid.Motion(at).Add(geom.Vec{X: 0.2}),
			generators: []geom.Vec{
				{X: half.DU}, {Y: half.DV}, pose(0, 0, half.Theta).Motion(at), // play
				{X: 0.3}, {Y: 1e-3 * at.X}, // causes
				{X: own}, {Y: own},
			},
		}
		f := one(t, at, Source{
			Name: "all", Play: boxPlay{mid, half}, OwnHalf: own,
			Vars: []Var{along(0.3, Sign), {Field{VU: 1e-3}, 1, Uniform}, along(0.2, Known)},
		})
		for _, c := range []struct {
			name      string
			got, want float64
		}{
			{"any way", f.Terms[0].WorstMM, z.farthest()},
			{"along", f.Terms[0].AlongWorstMM, max(z.reach(geom.Vec{X: 1}), z.reach(geom.Vec{X: -1}))},
			{"across", f.Terms[0].AcrossWorstMM, max(z.reach(geom.Vec{Y: 1}), z.reach(geom.Vec{Y: -1}))},
		} {
			if !near(c.got, c.want, worstTolerance) {
				t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
			}
		}
	}
}

// TestWorstOfFloat holds the worst case of a seat's play against the check
// values of the two-pin linear programme (design, section 8): pins 400 apart,
// clearances 0.03 and 0.05.
func TestWorstOfFloat(t *testing.T) {
	pins, err := seat.PinPair{Slot: geom.Vec{X: 400}, RoundClearance: 0.03, SlotClearance: 0.05}.Seat()
	if err != nil {
		t.Fatal(err)
	}
	src := Source{Name: "pins", Play: reachOnly{pins}}
	for _, c := range []struct {
		name          string
		u             float64
		along, across float64
	}{{"middle", 200, 0.0150, 0.0200}, {"beyond the slot", 600, 0.0150, 0.0450}} {
		f := one(t, geom.Vec{X: c.u}, src)
		const printed = 1e-10 // the values are exact; what is left is rounding
		if math.Abs(f.AlongWorstMM-c.along) > printed || math.Abs(f.AcrossWorstMM-c.across) > printed {
			t.Errorf("%s: along %v across %v, want %v %v", c.name, f.AlongWorstMM, f.AcrossWorstMM, c.along, c.across)
		}
		direct, _ := seat.PinPair{Slot: geom.Vec{X: 400}, RoundClearance: 0.03, SlotClearance: 0.05}.Float([]geom.Vec{{X: c.u}})
		if !near(f.WorstMM, direct.At[0].Worst, worstTolerance) {
			t.Errorf("%s: worst %v, closed form %v", c.name, f.WorstMM, direct.At[0].Worst)
		}
	}
}

// reachOnly is a seat whose poses are not asked for.
type reachOnly struct{ seat.Seat }

func (reachOnly) Place([3]float64) seat.Pose { return seat.Pose{} }
