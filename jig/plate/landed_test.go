package plate

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// The window of a plate for gluing: the board goes in, touches lands that lie at the gap and
// nothing else, and what is set back takes the squeeze-out.
func TestLandedWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(60, 900).Draw(t, "length")
		start := rapid.Float64Range(25, 90).Draw(t, "start")
		board := geom.Taper(length, start, start*rapid.Float64Range(0.8, 1.4).Draw(t, "taper"))
		push := rapid.SampledFrom([]string{"none", "left", "right"}).Draw(t, "push")
		l := Landed{
			Board: board, Gaps: Gaps(rapid.Float64Range(0.05, 0.5).Draw(t, "gap"), push), DeepMM: 4,
			CutterMM: rapid.SampledFrom([]float64{0, 1.5, 3.175}).Draw(t, "cutter"),
		}
		l.SqueezeMM3 = rapid.Float64Range(0, 4).Draw(t, "squeeze") * length
		switch push {
		case "left":
			l.Free = []Wall{Right, Far}
		case "right":
			l.Free = []Wall{Left, Far}
		}
		w := l.Window()
		if w.RoomMM3 < l.SqueezeMM3*(1-1e-9) || w.SetbackMM < setbackMM {
			t.Fatalf("room %.1f mm3 of %.1f, set back %.3f", w.RoomMM3, l.SqueezeMM3, w.SetbackMM)
		}
		walls := Walls(board, l.Gaps)
		radius := math.Max(roundMM, l.CutterMM)
		for i := range w.Loop {
			e := w.Loop.Edge(i)
			if e.IsArc() && math.Abs(e.Arc().R) < radius-1e-9 {
				t.Fatalf("a corner of %.3f mm", e.Arc().R)
			}
			for _, p := range []geom.Vec{e.P, e.At(0.5)} {
				// Outside of the walls or on a land: the inside belongs to the board.
				if d := depth(walls, p); d > 1e-6 {
					t.Fatalf("%v stands %.6f into the board's room", p, d)
				}
			}
		}
		touched := map[Wall]bool{}
		for _, k := range w.Lands {
			for _, p := range []geom.Vec{k.P, k.Q} {
				if d := depth(walls, p); math.Abs(d) > 1e-6 {
					t.Fatalf("a land %.6f off its wall", d)
				}
			}
			touched[wallOf(walls, k)] = true
		}
		if want := 4 - len(l.Free); len(touched) != want {
			t.Fatalf("lands on %d walls, want %d", len(touched), want)
		}
		for _, k := range w.Wedges {
			// The pair as it just touches fits its pocket with room at both ends.
			half, along := (1+wedgeOut)*k.LengthMM/2, k.Push.Left()
			for _, at := range []float64{-half, half} {
				back := k.At.Add(along.Scale(at)).Sub(k.Push.Scale(k.NominalMM() - 0.05))
				if !w.Loop.Contains(back) {
					t.Fatalf("the pair at %v stands out of its pocket", k.At)
				}
			}
			if d := board.Depth(k.At); math.Abs(d) > 1e-6 {
				t.Fatalf("a pair pushes %.6f off the board's edge", d)
			}
		}
	})
}

// depth is how far inside convex walls a point lies.
func depth(walls geom.Loop, p geom.Vec) float64 {
	least := math.Inf(1)
	for i := range walls {
		e := walls.Edge(i)
		least = math.Min(least, e.Q.Sub(e.P).Unit().Cross(p.Sub(e.P)))
	}
	return least
}

func wallOf(walls geom.Loop, k geom.Edge) Wall {
	for i := range walls {
		e := walls.Edge(i)
		if along := e.Q.Sub(e.P).Unit(); math.Abs(along.Cross(k.P.Sub(e.P)))+math.Abs(along.Cross(k.Q.Sub(e.P))) < 1e-6 {
			return Wall(i)
		}
	}
	return -1
}

// DriveMM is how much wider the pair becomes when it is driven home.
func (k Wedge) DriveMM() float64 { return WedgeSlope * wedgeOut * k.LengthMM }

// A pair of wedges is as wide all along, lies apart from the next on its sheet, and drives by a
// tenth of what it is driven.
func TestWedges(t *testing.T) {
	edge := geom.Rect(geom.Box{Max: geom.Vec{X: 500, Y: 115}})
	long, short := wedgeFor(478, 1), wedgeFor(50, 1)
	if long.LengthMM != 60 || short.LengthMM != 25 || long.NominalMM() != 16 || long.DriveMM() != 2 {
		t.Errorf("%+v %+v: %g and %g", long, short, long.NominalMM(), long.DriveMM())
	}
	parts := LayWedges([]Wedge{long, long, short}, edge)
	for i, p := range parts {
		if p.Area() < 0 {
			t.Errorf("wedge %d runs clockwise", i)
		}
		if box := p.Bounds(); box.Min.X < 500+wedgeApartMM-1e-9 || box.Max.Y > 115 || box.Min.Y < 0 {
			t.Errorf("wedge %d lies at %+v", i, box)
		}
		for _, q := range parts[:i] {
			for k := range p {
				if d := -q.Depth(p[k].Vec); d < 5.5 {
					t.Errorf("wedges %d apart %.3f", i, d)
				}
			}
		}
	}
}

// What a pair covers runs counter-clockwise, ends at the board's edge and lies in its pocket.
func TestPair(t *testing.T) {
	l := Landed{Board: geom.Taper(478, 42, 55), Gaps: Gaps(0.15, "right"), Free: []Wall{Left, Far}, DeepMM: 4}
	w := l.Window()
	for _, k := range w.Wedges {
		p := k.Pair()
		if p.Area() <= 0 || math.Abs(p.Area()-(1+wedgeOut)*k.LengthMM*k.NominalMM()) > 1e-6 {
			t.Errorf("area %.3f", p.Area())
		}
		for i := range p {
			if d := w.Loop.Depth(p[i].Vec); d < -1e-6 && !l.Board.Contains(p[i].Vec) {
				t.Errorf("%v stands %.4f into the plate", p[i], -d)
			}
			if d := l.Board.Depth(p[i].Vec); d > 1e-6 {
				t.Errorf("%v stands %.4f into the board", p[i], d)
			}
		}
	}
}
