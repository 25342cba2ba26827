package glued

import (
	"errors"
	"math"

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
func (c Case) place(f *Figures) error {
	j, p := c.Job, c.Parts.GluePlate(c.Job)
	b, r, machine := j.Board, j.Rails, j.Machine.PositionMM
	on, err := seat.PinPair{
		Round: c.Pins[0].At, Slot: c.Pins[1].At, RoundClearance: c.Pins[0].PlayMM, SlotClearance: c.Pins[1].PlayMM,
	}.Seat()
	if err != nil {
		return err
	}
	at := gluing.Place{
		LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM, StripMM: r.StripMM,
		Contour: c.Contour, MiddleMM: b.Center().Y, RoomMM: c.roomMM(), Hold: gluing.Free, SideN: f.SideN, GivesMM: f.Rail.GivesMM,
		GrowsMM: f.Water.GrowsMM.Most, Pins: motion.Pins{At: []geom.Vec{c.Pins[0].At, c.Pins[1].At}}, OnPins: on,
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
	for _, t := range all.Features[all.Worst()].Terms {
		f.Terms = append(f.Terms, Term{t.Source, t.WorstMM, t.SDMM, t.Share})
	}
	return nil
}

// roomMM is what a film leaves between board and walls: left, right, start, far end.
func (c Case) roomMM() (out [4]float64) {
	r, t := c.Job.Rails, c.Job.Template
	gaps := [4]float64{r.GapMM, r.GapMM, r.GapMM, r.GapMM}
	if r.Plate == "template" { // its own window
		g := plate.Gaps(t.ClearanceMM, t.Push)
		gaps = [4]float64{g[plate.Left], g[plate.Right], g[plate.Start], g[plate.Far]}
	}
	for i, g := range gaps {
		out[i] = max(0, g-r.FilmMM)
	}
	return out
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
