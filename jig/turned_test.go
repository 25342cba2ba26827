package jig

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/seat"
)

// TestFloatTurnedOver: turned over, the holes and walls that locate the board turn with it,
// so that a feature of the underside floats as far as it does at its own place with the top
// up. Here plate, holes, board and feature are turned in space and the float is asked anew.
func TestFloatTurnedOver(t *testing.T) {
	for _, c := range []struct{ seat, flip string }{{"nest", "long"}, {"nest", "short"}, {"pins", "long"}, {"pins", "short"}} {
		t.Run(c.seat+" "+c.flip, func(t *testing.T) {
			d := build(t, parse(t, func(j *job.Job) {
				j.Board.CrownRadiusMM, j.Board.Frets = 0, nil
				j.Template.Seat, j.Template.Flip, j.Template.Push = c.seat, c.flip, "none"
				j.Board.Features = []job.Feature{{Name: "top", UMM: 60, VMM: 14, Side: "top"},
					{Name: "under", UMM: 430, VMM: -17, Side: "under"}}
			}))
			over := func(p geom.Vec) geom.Vec {
				about, through := r3.Vec{X: 1}, r3.Vec{}
				if c.flip == "short" {
					about, through = r3.Vec{Y: 1}, r3.Vec{X: d.Board.LengthMM / 2}
				}
				q := r3.Add(through, r3.Rotate(r3.Sub(r3.Vec{X: p.X, Y: p.Y}, through), math.Pi, about))
				return geom.Vec{X: q.X, Y: q.Y}
			}
			turned := func(l geom.Loop) (out geom.Loop) {
				for _, p := range l.Flatten(1e-3) {
					out = append(out, geom.Vertex{Vec: over(p)})
				}
				return out.Reverse()
			}
			play := func(q Pin) float64 {
				h := q.Template
				if c.seat == "pins" {
					h = *q.Blank
				}
				return max(0, h.ClearMaxMM) + max(0, q.Bed.ClearMaxMM)
			}
			round, slot := d.Pins[0], d.Pins[1]
			pins, err := seat.PinPair{Round: over(round.At), Slot: over(slot.At), RoundClearance: play(round),
				SlotClearance: play(slot)}.Seat()
			if err != nil {
				t.Fatal(err)
			}
			all := []seat.Seat{pins}
			if c.seat == "nest" {
				p, err := planOf(parse(t, func(j *job.Job) {
					j.Board.CrownRadiusMM, j.Board.Frets, j.Template.Flip = 0, nil, c.flip
				}), nil)
				if err != nil {
					t.Fatal(err)
				}
				nest, err := seat.Nest{Window: turned(p.site.Walls).Corners(), Board: turned(p.site.Outline).Corners()}.Seat()
				if err != nil {
					t.Fatal(err)
				}
				all = append(all, nest)
			}
			f, err := seat.Series([]geom.Vec{over(d.Board.Features[1].At)}, all...)
			if err != nil {
				t.Fatal(err)
			}
			got, want := d.Seat.Features[1], f.At[0]
			if got.Side != "under" || math.Abs(got.WorstMM-want.Worst) > 2e-3 || math.Abs(got.AlongMM-want.Along) > 2e-3 ||
				math.Abs(got.AcrossMM-want.Across) > 2e-3 { // a hundredth of the clearance: rounded corners as polygons
				t.Errorf("got %+v, want %+v", got, want)
			}
		})
	}
}

// TestBudgetOfFaces: a feature of the top is cut again with the part put back as it was, where
// holes bored together err alike and the axes lean as before; one of the underside, at the
// same place, has the lean twice, and twice what its pins err across.
func TestBudgetOfFaces(t *testing.T) {
	j := parse(t, func(j *job.Job) {
		j.Board.CrownRadiusMM, j.Board.Frets, j.Machine.SquareMM, j.Blank.BoredWithBed = 0, nil, 0.3, true
		j.Template.Seat, j.Template.Flip, j.Template.Push = "pins", "long", "none"
		j.Machine.Zero = "kept" // found on the round pin it would leave the turn about that alone
		j.Board.Features = []job.Feature{{Name: "top", UMM: 400, VMM: 12, Side: "top"},
			{Name: "under", UMM: 400, VMM: 12, Side: "under"}}
	})
	d := build(t, j)
	top, under := d.Budget.Features[0], d.Budget.Features[1]
	const square, holes, play = "out of square", "hole position, bed and blank bored together", "pin clearance"
	if a, b := term(t, top, square).WorstMM, term(t, under, square).WorstMM; a <= 0 || math.Abs(b-2*a) > 1e-9 {
		t.Errorf("out of square: top %g, underside %g, want twice that", a, b)
	}
	if a, b := term(t, top, holes).WorstMM, term(t, under, holes).WorstMM; a != 0 || b < 2*j.Machine.PositionMM {
		t.Errorf("hole position: top %g, want none; underside %g", a, b)
	}
	if a, b := term(t, top, play).WorstMM, term(t, under, play).WorstMM; a <= 0 || a != b {
		t.Errorf("pin clearance: top %g, underside %g", a, b)
	}
	// Without a feature of the underside the top's stand for what it must meet.
	j.Board.Features[1].Side = "top"
	for _, f := range build(t, j).Budget.Features {
		if got, want := f.P95MM, d.Budget.Features[1].P95MM; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s of a job with no feature of the underside: %g, want %g", f.Name, got, want)
		}
	}
}
