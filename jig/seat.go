package jig

import (
	"math"

	"reseat/jig/geom"
	"reseat/jig/register"
)

// seat computes the float that is left once the board lies in place.
func (b *builder) seat() {
	t := b.job.Template
	b.d.Seat = Seat{Kind: t.Seat}
	if len(b.d.Pins) < 2 {
		return
	}
	// The part that the board is located by: its hole and the bed's both leave
	// the pin some play.
	loose := func(p Pin) float64 {
		h := p.Template
		if b.blank.carries {
			h = *p.Blank
		}
		return math.Max(0, h.ClearMaxMM) + math.Max(0, p.Bed.ClearMaxMM)
	}
	pins := register.PinPair{
		Round: b.d.Pins[0].At, Slot: b.d.Pins[1].At,
		RoundClearance: loose(b.d.Pins[0]), SlotClearance: loose(b.d.Pins[1]),
	}
	var nest *register.Nest
	if b.site.walls != nil {
		nest = &register.Nest{
			Window: b.nestWindow(), Board: b.site.outline.Flatten(floatChordMM),
		}
		switch t.Push {
		case "left":
			nest.Push = []register.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: 1})}
		case "right":
			nest.Push = []register.Wall{nest.WallToward(geom.Vec{X: -1}), nest.WallToward(geom.Vec{Y: -1})}
		}
	}
	points := b.featurePoints()
	f, err := register.SeatFloat(pins, nest, points)
	if err != nil {
		b.book.judge("seat", false, Fail, 0, 0, "", "the board cannot be seated", err.Error(), "template")
		return
	}
	b.d.Seat.ThetaMax = f.ThetaMax
	for i, m := range f.At {
		b.d.Seat.Features = append(b.d.Seat.Features, FeatureFloat{
			Name: b.d.Board.Features[i].Name, At: points[i], AlongMM: m.Along, AcrossMM: m.Across, WorstMM: m.Worst,
		})
	}
}

// floatChordMM is how closely rounded corners are followed when the float is
// computed: a micrometre, below every clearance.
const floatChordMM = 1e-3

// nestWindow returns the window as the float sees it: straight walls, corners
// rounded like the window's own; reliefs do not locate.
func (b *builder) nestWindow() []geom.Vec {
	if b.site.relief > 0 {
		return b.site.walls.Corners()
	}
	return b.site.window.Flatten(floatChordMM)
}
