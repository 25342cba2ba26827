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
				p, err := planOf(parse(t, func(j *job.Job) { j.Board.CrownRadiusMM, j.Board.Frets, j.Template.Flip = 0, nil, c.flip }))
				if err != nil {
					t.Fatal(err)
				}
				nest, err := seat.Nest{Window: turned(p.site.walls).Corners(), Board: turned(p.site.outline).Corners()}.Seat()
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
