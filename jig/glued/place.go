package glued

import (
	"errors"
	"math"

	"reseat/fit"
	"reseat/jig/account"
	"reseat/jig/budget"
	"reseat/jig/geom"
	"reseat/jig/gluing"
	"reseat/jig/motion"
	"reseat/jig/plate"
	"reseat/jig/seat"
)

// trials of the simulation, a power of two: a hundred seeds differ by no more than a hundredth
// (derived), and no gluing is known that well.
const trials = 2048

// place sets where the board lies on the blank: the budget of the gluing set-up.
func (c Case) place(f *Plan) error {
	j, p := c.Job, c.Parts.GluePlate(c.Job)
	b, r, machine := j.Board, j.Rails, j.Machine.PositionMM
	on, err := seat.PinPair{
		Round: c.Pins[0].At, Slot: c.Pins[1].At, RoundClearance: c.Pins[0].MostMM, SlotClearance: c.Pins[1].MostMM,
	}.Seat()
	if err != nil {
		return err
	}
	room, film := c.roomMM()
	at := gluing.PlacedBoard{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM, StripMM: r.StripMM,
		Contour: c.Contour, MiddleMM: b.Center().Y, RoomMM: room, Film: film, Hold: gluing.Free, SideN: f.SideN,
		DeflectionMM: f.Rail.DeflectionMM,
		GrowsMM:      f.Water.GrowsMM.Most, Pins: motion.Pins{At: []geom.Vec{c.Pins[0].At, c.Pins[1].At}}, OnPins: on,
		OnPinsScale: usual(c.Pins[:2]),
		PlateHoleMM: p.PositionMM(machine), BlankHoleMM: c.Parts.Blank.PositionMM(machine),
		LeanRad: j.Dowel.LeanRad, LeanHeightMM: p.ThicknessMM / 2,
		WallMM:       math.Hypot(p.SpreadHalf()/2, p.Make.StraightMM),
		WidthErrorMM: b.WidthErrorMM, Features: c.outermost(), Trials: trials, Seed: c.Seed,
	}
	if c.Wedged {
		at.Hold, at.Side = gluing.Wedged, r.Push
	}
	all, edges, err := at.Budget()
	if loose := (seat.Unheld{}); errors.As(err, &loose) {
		f.Loose = loose.Error()
		return nil
	}
	if err != nil {
		return err
	}
	f.Edges = edges
	for _, p := range all.Features {
		f.Place = append(f.Place, Spot{p.Name, p.At, p.WorstMM, p.P95MM, p.Largest, p.Remedy})
	}
	for _, t := range all.Features[all.Worst()].Contributions {
		f.Contributions = append(f.Contributions, Contribution{t.Source, t.WorstMM, t.SDMM, t.Share})
	}
	return nil
}

// usual is the usual play of pins as a share of the largest.
func usual(pins []account.Pin) budget.ClearanceShare {
	var mean, sd, most float64
	for _, q := range pins {
		mean, sd, most = mean+(q.LeastMM+q.MostMM)/2, sd+q.HalfMM/fit.Normal95, most+q.MostMM
	}
	if most == 0 {
		return budget.ClearanceShare{}
	}
	return budget.ClearanceShare{Mean: mean / most, SD: sd / most}
}

// roomMM is what a film leaves between board and walls, left, right, start and far end, and by how much
// it holds the board off walls that leave it no room: those of a template that the board is pushed home in.
func (c Case) roomMM() (out [4]float64, film geom.Vec) {
	r, t := c.Job.Rails, c.Job.Template
	gaps := plate.GluedGaps(r.GapMM, r.FilmMM, r.Push)
	if r.Plate == "template" || r.Plate == "print" && t.Make.By == "print" { // one window for both
		gaps = plate.Gaps(t.ClearanceMM, t.Push)
	}
	var left [4]float64
	for i, g := range gaps {
		left[i] = g - r.FilmMM
	}
	for i, off := range left {
		if across := (i + 2) % 4; off < 0 && c.Contour == nil {
			left[i], left[across] = 0, max(0, left[across]+off)
			switch plate.Wall(i) {
			case plate.Left:
				film.Y = off
			case plate.Right:
				film.Y = -off
			case plate.Start:
				film.X = -off
			case plate.Far:
				film.X = off
			}
		}
	}
	return [4]float64{left[plate.Left], left[plate.Right], left[plate.Start], left[plate.Far]}, film
}

// outermost are the features at either end. Every source moves the board by a field that grows evenly
// along it, so that no feature between is off by more than the farther of these, across by a little.
func (c Case) outermost() []budget.Feature {
	if len(c.Features) < 3 {
		return c.Features
	}
	first, last := c.Features[0], c.Features[0]
	for _, f := range c.Features {
		if f.At.X < first.At.X {
			first = f
		}
		if f.At.X > last.At.X {
			last = f
		}
	}
	return []budget.Feature{first, last}
}
