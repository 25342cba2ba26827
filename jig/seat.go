package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/seat"
)

// seating is what the board lies on: the plate or blank on its pins, and the board
// in its window. Both are nil when the board cannot be seated; nest is nil without
// a window.
type seating struct{ pins, nest seat.Seat }

// seat computes the float that is left once the board lies in place.
func (b *builder) seat() seating {
	b.d.Seat = Seat{Kind: b.job.Template.Seat}
	if len(b.d.Pins) < 2 {
		return seating{}
	}
	points := b.featurePoints()
	s, err := b.seats()
	var f seat.Float
	if err == nil {
		list := []seat.Seat{s.pins}
		if s.nest != nil {
			list = append(list, s.nest)
		}
		f, err = seat.Series(points, list...)
	}
	if err != nil {
		b.book.judge("seat", false, Fail, 0, 0, "", "the board cannot be seated", err.Error(), "template")
		return seating{}
	}
	b.d.Seat.ThetaMax = f.ThetaMax
	for i, m := range f.At {
		b.d.Seat.Features = append(b.d.Seat.Features, FeatureFloat{
			Name: b.d.Board.Features[i].Name, At: points[i], AlongMM: m.Along, AcrossMM: m.Across, WorstMM: m.Worst,
		})
	}
	return s
}

// seats makes the supports that the board lies on.
func (b *builder) seats() (s seating, err error) {
	// The part that the board is located by: its hole and the bed's both leave
	// the pin some play.
	loose := func(p Pin) float64 {
		var sum float64
		for _, h := range b.seatHoles(p) {
			sum += math.Max(0, h.ClearMaxMM)
		}
		return sum
	}
	if b.allRound() {
		var all seat.RoundSet
		for _, p := range b.d.Pins {
			all.Holes, all.Clearances = append(all.Holes, p.At), append(all.Clearances, loose(p))
		}
		s.pins, err = all.Seat()
	} else {
		s.pins, err = seat.PinPair{
			Round: b.d.Pins[0].At, Slot: b.d.Pins[1].At,
			RoundClearance: loose(b.d.Pins[0]), SlotClearance: loose(b.d.Pins[1]),
		}.Seat()
	}
	if err != nil || b.site.walls == nil {
		return s, err
	}
	nest := seat.Nest{Window: b.site.walls.Corners(), Board: b.site.outline.Flatten(floatChordMM)}
	switch b.job.Template.Push {
	case "left":
		nest.Push = []seat.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: 1})}
	case "right":
		nest.Push = []seat.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: -1})}
	}
	s.nest, err = nest.Seat()
	return s, err
}

// floatChordMM is how closely rounded corners are followed when the float is
// computed: a micrometre, below every clearance.
const floatChordMM = 1e-3
