package jig

import (
	"cmp"
	"errors"
	"math"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/outlined"
	"reseat/jig/seat"
	"reseat/jig/setup"
)

// seating is what the board lies on, the plate or blank on its pins and the board in
// its window, and the float that is left. Both supports are nil when the board cannot be
// seated; nest is nil without a window.
type seating struct {
	pins, nest seat.Seat
	float      Seat
	fault      error // why it cannot be seated; nil too when the pins are missing
}

// seat lays the board in place.
func (p plan) seat() seating {
	s := seating{float: Seat{Kind: p.job.Template.Seat}}
	if len(p.pins) < 2 {
		return s
	}
	pins, nest, err := p.supports()
	list := []seat.Seat{pins}
	if nest != nil {
		list = append(list, nest)
	}
	var f seat.Float
	if err == nil {
		f, err = seat.Series(p.spec.Features, list...)
	}
	if err != nil {
		s.fault = err
		return s
	}
	s.pins, s.nest, s.float.ThetaMax = pins, nest, f.ThetaMax
	for i, k := range features(p.job) {
		m := f.At[i]
		s.float.Features = append(s.float.Features, FeatureFloat{
			Name: k.Name, At: k.At, Side: k.Side, AlongMM: m.Along, AcrossMM: m.Across, WorstMM: m.Worst,
		})
	}
	return s
}

// Room is how far off a board may lie though its seat is whole, mm.
type Room struct {
	FloatMM float64 `json:"float_mm"` // that it can be moved by
	ErrorMM float64 `json:"error_mm"` // that holes, walls, growth and zero may be off by, 95 %
}

// SeatRoom tells the room askew, over the board's length, and aside at a station of the datum
// line, of a board that lies on its pins or in its window with a face up. A pushed board
// may be drawn from its walls. Errors as for Build, and of a seat that takes no board.
func SeatRoom(j *job.Job, up setup.Face, stationMM float64) (askew, aside Room, err error) {
	p, err := planOf(j, nil)
	if err != nil {
		return askew, aside, err
	}
	free := p
	free.job = p.job.Changed(func(c *job.Job) { c.Template.Push = "none" })
	s := free.seat()
	if s.pins == nil {
		return askew, aside, cmp.Or(s.fault, errors.New("the pins have no place"))
	}
	at, far := geom.Vec{X: stationMM}, geom.Vec{X: j.Board.LengthMM}
	askew.FloatMM = s.float.ThetaMax * far.X
	for _, dir := range []geom.Vec{{Y: 1}, {Y: -1}} { // a pushed board has its room on one side
		reach := s.pins.Reach(at, dir)
		if s.nest != nil {
			reach += s.nest.Reach(at, dir)
		}
		if p.nest != nil { // drawn from its stops it moves from there
			reach -= p.nest.Home.Rest.Motion(at).Dot(dir)
		}
		aside.FloatMM = math.Max(aside.FloatMM, reach)
	}
	for _, source := range p.lying(p.seat(), nil, up == setup.Under).Sources() {
		for _, v := range source.Vars {
			askew.ErrorMM = math.Hypot(askew.ErrorMM, v.Half*(v.Field.At(far).Y-v.Field.At(geom.Vec{}).Y))
			aside.ErrorMM = math.Hypot(aside.ErrorMM, v.Half*v.Field.At(at).Y)
		}
	}
	return askew, aside, nil
}

// supports are the pins, and the window where there is one, as the float sees them.
func (p plan) supports() (pins, nest seat.Seat, err error) {
	// The part that the board is located by: its hole and the bed's both leave
	// the pin some play.
	loose := func(q Pin) float64 {
		var sum float64
		for _, h := range p.seatHoles(q) {
			sum += math.Max(0, h.ClearMaxMM)
		}
		return sum
	}
	if p.spec.AllRound {
		var all seat.RoundSet
		for _, q := range p.pins {
			all.Holes, all.Clearances = append(all.Holes, q.At), append(all.Clearances, loose(q))
		}
		pins, err = all.Seat()
	} else {
		pins, err = seat.PinPair{
			Round: p.pins[0].At, Slot: p.pins[1].At,
			RoundClearance: loose(p.pins[0]), SlotClearance: loose(p.pins[1]),
		}.Seat()
	}
	if err != nil || p.site.Window == nil {
		return pins, nil, err
	}
	if p.nest != nil && p.job.Template.Push == "none" {
		nest, err = p.nest.Free()
		return pins, nest, err
	} else if p.nest != nil {
		nest, err = p.nest.Seat()
		return pins, nest, cmp.Or(p.nest.Fault, err)
	}
	// The walls alone hold the board: the window's corners never touch it.
	n := seat.Nest{Window: p.site.Walls.Corners(), Board: p.site.Outline.Flatten(floatChordMM)}
	switch p.job.Template.Push {
	case "left":
		n.Push = []seat.Wall{n.WallToward(geom.Vec{X: -1}), n.WallToward(geom.Vec{Y: 1})}
	case "right":
		n.Push = []seat.Wall{n.WallToward(geom.Vec{X: -1}), n.WallToward(geom.Vec{Y: -1})}
	}
	nest, err = n.Seat()
	return pins, nest, err
}

// seatHoles are the holes that leave the pin some play when the board lies in place.
func (p plan) seatHoles(q Pin) []Hole {
	if p.Blank.Carries {
		return []Hole{*q.Blank, q.Bed}
	}
	return []Hole{q.Template, q.Bed}
}

// boardLacks is what the board lacks to go into its window each wrong way round; nil
// without a window. The walls that locate keep it out, and the window's key.
func (p plan) boardLacks(ways outlined.WrongWays) *Foolproof {
	lack := func(t foolproof.Misplacement) float64 {
		return foolproof.Lack(p.site.Filled.Corners(), p.site.Outline, t)
	}
	if ways != nil {
		lack = ways.Lack
	} else if p.site.Walls == nil {
		return nil
	}
	return &Foolproof{lack(foolproof.HalfTurn), lack(foolproof.FlipLong), lack(foolproof.FlipShort)}
}

// floatChordMM is how closely rounded corners are followed when the float is
// computed: a micrometre, below every clearance.
const floatChordMM = 1e-3
