package gluing

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/motion"
	"reseat/jig/seat"
)

// bouzouki is a fingerboard wedged to the left rail on a plate with two pins.
func bouzouki() PlacedBoard {
	round, slot := geom.Vec{X: -30, Y: 0}, geom.Vec{X: 520, Y: 0}
	pins, err := seat.PinPair{Round: round, Slot: slot, RoundClearance: 0.03, SlotClearance: 0.05}.Seat()
	if err != nil {
		panic(err)
	}
	return PlacedBoard{
		LengthMM: 478, WidthStartMM: 41.5, WidthEndMM: 55, StripMM: 1, RoomMM: [4]float64{0.15, 0.15, 0.15, 0.15},
		Hold: Wedged, Side: "left", DeflectionMM: 0.02, Pins: motion.Pins{At: []geom.Vec{round, slot}}, OnPins: pins,
		PlateHoleMM: 0.05, BlankHoleMM: 0.03, LeanRad: 0.2 * math.Pi / 180, LeanHeightMM: 3, WallMM: 0.05,
		WidthErrorMM: 0.02,
		Features:     []budget.Feature{{Name: "dot", At: geom.Vec{X: 300}}}, Seed: 1,
	}
}

// inRails is the largest move of a point along a direction by gonum's simplex: each corner of the
// board stays inside each wall. Walls and moves are written out anew, by the sides' slope.
func inRails(t *rapid.T, p PlacedBoard, at, dir geom.Vec) float64 {
	slope := (p.WidthEndMM - p.WidthStartMM) / 2 / p.LengthMM
	root, l := math.Hypot(1, slope), p.LengthMM
	type wall struct{ x, y, room float64 } // outward normal
	walls := []wall{{-slope / root, 1 / root, p.RoomMM[0]}, {-slope / root, -1 / root, p.RoomMM[1]}, {-1, 0, p.RoomMM[2]},
		{1, 0, p.RoomMM[3]}}
	far := []float64{p.WidthStartMM / 2, p.WidthStartMM / 2, 0, l} // how far out each side lies from the datum's start
	far[0], far[1] = far[0]/root, far[1]/root
	var g, h []float64
	for i, w := range walls {
		for _, c := range [][2]float64{{0, p.WidthStartMM / 2}, {0, -p.WidthStartMM / 2}, {l, p.WidthEndMM / 2},
			{l, -p.WidthEndMM / 2}} {
			g = append(g, w.x, w.y, (-w.x*c[1]+w.y*c[0])/l)
			h = append(h, far[i]+w.room-w.x*c[0]-w.y*c[1])
		}
	}
	c := []float64{-dir.X, -dir.Y, -(-dir.X*at.Y + dir.Y*at.X) / l}
	cn, an, bn := lp.Convert(c, mat.NewDense(len(h), 3, g), h, nil, nil)
	v, _, err := lp.Simplex(cn, an, bn, 1e-10, nil)
	if err != nil {
		t.Skip("simplex gave up:", err)
	}
	return -v
}

// The float between the rails is a linear programme's.
func TestFloatBetweenRails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := bouzouki()
		p.Hold = Free
		p.LengthMM = rapid.Float64Range(100, 900).Draw(t, "length")
		p.WidthStartMM, p.WidthEndMM = rapid.Float64Range(20, 60).Draw(t, "start"), rapid.Float64Range(20, 90).Draw(t, "end")
		for i := range p.RoomMM {
			p.RoomMM[i] = rapid.Float64Range(0.02, 0.4).Draw(t, "room")
		}
		s, err := p.between()
		if err != nil {
			t.Fatal(err)
		}
		at := geom.Vec{X: rapid.Float64Range(0, p.LengthMM).Draw(t, "u"), Y: rapid.Float64Range(-20, 20).Draw(t, "v")}
		angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "direction")
		dir := geom.Vec{X: math.Cos(angle), Y: math.Sin(angle)}
		if got, want := s.Reach(at, dir), inRails(t, p, at, dir); math.Abs(got-want) > 1e-7 {
			t.Fatalf("%g, the linear programme %g", got, want)
		}
		// A board that has skated touches a rail, and lies within both.
		q := skated{s, p.touches(true), p.touches(false)}.Place([3]float64{rapid.Float64Range(0, 0.999).Draw(t, "a"),
			rapid.Float64Range(0, 0.999).Draw(t, "b"),
			rapid.Float64Range(0, 0.999).Draw(t, "c")})
		left := math.Inf(1)
		for i, c := range p.corners() {
			n, room := p.normal(false), p.RoomMM[1]
			if i > 1 {
				n, room = p.normal(true), p.RoomMM[0]
			}
			left = min(left, room-n.Dot(q.Motion(c)))
		}
		if math.Abs(left) > 1e-9 {
			t.Fatalf("%g is left to the rails", left)
		}
	})
}

// The contract's board: 480 x 42 to 56 in 0.10 all round moves 0.10147 across and 0.1000 along.
func TestContractFloat(t *testing.T) {
	p := PlacedBoard{LengthMM: 480, WidthStartMM: 42, WidthEndMM: 56, RoomMM: [4]float64{0.1, 0.1, 0.1, 0.1}, Hold: Free}
	s, err := p.between()
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range []float64{0, 240, 480} {
		a, b := s.Reach(geom.Vec{X: u}, geom.Vec{Y: 1}), s.Reach(geom.Vec{X: u}, geom.Vec{X: 1})
		if math.Abs(a-0.10147) > 5e-6 || math.Abs(b-0.1) > 5e-7 {
			t.Errorf("at %g: across %.5f, along %.4f", u, a, b)
		}
	}
}

func TestBudgetOfHolds(t *testing.T) {
	at := map[Hold]budget.FeatureBudget{}
	for _, hold := range []Hold{Free, Wedged, Sprung} {
		p := bouzouki()
		p.Hold, p.SideN, p.SpringN, p.GrowsMM = hold, 400, 15, 0.1
		b, edges, err := p.Budget()
		if err != nil {
			t.Fatal(err)
		}
		at[hold] = b.Features[0]
		if len(b.Features) != 1 || len(edges) != 6 {
			t.Fatalf("%d features, %d edges", len(b.Features), len(edges))
		}
		for _, e := range edges {
			if !(e.LeastMM <= e.LowMM && e.LowMM < p.StripMM && p.StripMM < e.HighMM && e.HighMM <= e.MostMM) {
				t.Errorf("%s: %+v", hold, e)
			}
		}
		var names []string
		for _, x := range at[hold].Contributions {
			names = append(names, x.Source)
		}
		if all := strings.Join(names, ", "); strings.Contains(all, "skating") != (hold == Sprung) {
			t.Errorf("%s: %s", hold, all)
		}
	}
	// Wedged, nothing of the gap is left; a spring gives up the whole of it.
	w, f, s := at[Wedged], at[Free], at[Sprung]
	if w.Contributions[0].WorstMM > 1e-9 || math.Abs(f.Contributions[0].AcrossWorstMM-0.1522) > 1e-3 ||
		!near(s.Contributions[1].AcrossWorstMM, 0.15, 1e-9) {
		t.Errorf("%+v\n%+v\n%+v", w.Contributions[0], f.Contributions[0], s.Contributions[1])
	}
	if !(w.P95MM < s.P95MM && w.P95MM < f.P95MM) {
		t.Errorf("wedged %g, sprung %g, free %g", w.P95MM, s.P95MM, f.P95MM)
	}
	p := bouzouki()
	p.Hold, p.SideN, p.SpringN = Sprung, 10, 15
	if src, err := p.Sources(); err != nil || src[1].Name != "rail deflection" {
		t.Errorf("a finger that holds lets the board skate: %v", err)
	}
}

// A wedged board is laid on its neck part by part: pins that err and lean, holes that err, a plate
// on them in exact plane geometry, a board along a wall that errs. The budget's 95 % across is what
// 95 % of them stay within.
func TestBudgetLaid(t *testing.T) {
	p := bouzouki()
	tight, err := seat.PinPair{Round: p.Pins.At[0], Slot: p.Pins.At[1]}.Seat()
	if err != nil {
		t.Fatal(err)
	}
	p.OnPins = tight
	b, _, err := p.Budget()
	if err != nil {
		t.Fatal(err)
	}
	const runs = 40000
	r := rand.New(rand.NewPCG(3, 1))
	normal := func(half float64) geom.Vec {
		return geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}.Scale(half / 1.95996)
	}
	within := 0
	dot, c := p.Features[0].At, p.corners()
	for range runs {
		lean := p.LeanRad * p.LeanHeightMM
		var pin, hole [2]geom.Vec
		for i, at := range p.Pins.At {
			pin[i] = at.Add(normal(p.BlankHoleMM)).Add(normal(lean))
			hole[i] = at.Add(normal(p.PlateHoleMM))
		}
		turn := math.Atan2(pin[1].Y-pin[0].Y, pin[1].X-pin[0].X) - math.Atan2(hole[1].Y-hole[0].Y, hole[1].X-hole[0].X)
		// The rail's face at either end, and the board half as wide again as it was measured wrong.
		a := c[3].Add(geom.Vec{Y: normal(p.WallMM).X + normal(p.WidthErrorMM/2).X})
		e := c[2].Add(geom.Vec{Y: normal(p.WallMM).X + normal(p.WidthErrorMM/2).X})
		tilt := math.Atan2(e.Y-a.Y, e.X-a.X) - math.Atan2(c[2].Y-c[3].Y, c[2].X-c[3].X)
		rot := func(v geom.Vec, by float64) geom.Vec {
			s, k := math.Sincos(by)
			return geom.Vec{X: k*v.X - s*v.Y, Y: s*v.X + k*v.Y}
		}
		onPlate := a.Add(rot(dot.Sub(c[3]), tilt))
		at := pin[0].Add(rot(onPlate.Sub(hole[0]), turn))
		gives := (2*r.Float64() - 1) * p.DeflectionMM
		if math.Abs(at.Y+gives-dot.Y) <= b.Features[0].P95AcrossMM {
			within++
		}
	}
	if share := float64(within) / runs; math.Abs(share-0.95) > 0.004 { // 3.7 standard deviations
		t.Errorf("%.4f of the boards stay within %.4f", share, b.Features[0].P95AcrossMM)
	}
}
