package jig

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig/account"
	"reseat/jig/geom"
	"reseat/jig/glued"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/outlined"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/site"
)

// plan is the pattern of a job: its parts, the places of the pins, their holes. What
// follows in Build works from it and changes nothing in it.
type plan struct {
	job *job.Job
	parts
	arrangement
	pins []Pin
}

// parts are the pin and the plates that its pattern goes through.
type parts struct {
	part.Parts
	searched layout.Searched
	nest     *outlined.Nest // of a board with an outline; nil: another, or none
}

func partsOf(j *job.Job) (parts, error) {
	p, err := part.Lookup(j)
	return parts{Parts: p}, err
}

// arrangement is where the pins stand.
type arrangement struct {
	site        site.Site
	spec        layout.Spec // that they were searched with
	found       layout.Pattern
	errors      layout.Errors // between the bed and the part that seats on it
	allowanceMM float64       // of the clear holes
}

// planOf places the pins of a job and sizes their holes. Patterns are kept and taken from those
// searched.
func planOf(j *job.Job, searched layout.Searched) (plan, error) {
	p, err := partsOf(j)
	if err != nil {
		return plan{}, err
	}
	p.searched = searched
	j = p.GoesBack(j)
	if p.nest, err = outlined.NestOf(j, site.CornerReach(j)); err != nil {
		key := "board.outline"
		if errors.Is(err, outlined.ErrNoLands) {
			key = "rails"
		}
		return plan{}, j.Fault(key, err)
	}
	a, err := p.arrange(j, false)
	if err != nil {
		return plan{}, err
	}
	if j.Dowel.Count == 0 { // from here on it is the number found, or that the rules ask for
		a.spec.Count = max(len(a.found.Pins), layout.FewestBlocking)
		if j.Template.Flip != "none" && len(a.found.Pins) < layout.FewestBlocking {
			a.spec.Count = layout.FewestBlocking + 1 // turned over, they come in pairs
		}
		j = j.Changed(func(c *job.Job) { c.Dowel.Count = a.spec.Count })
	}
	pins, err := p.size(j, a)
	out := plan{j, p, a, pins}
	out.site = out.lifted()
	return out, err
}

// complete reports whether every pin of the job has a place; near: and two of them locate as the job
// wants the board to come back.
func complete(j *job.Job, near bool) bool {
	p, err := partsOf(j)
	if err != nil {
		return false
	}
	a, err := p.arrange(j, true)
	return err == nil && a.found.Pins != nil && !(near && a.found.ObjectiveMM > j.AccuracyMM)
}

// arrange places the pins, as many as have a place, or all or none. Holes are sized
// twice: at their widest before the search, since the search must know how much room
// they take, and as needed when the places are known.
func (p parts) arrange(j *job.Job, all bool) (arrangement, error) {
	a := arrangement{errors: p.errors(j.Machine.PositionMM)}
	t := p.Template
	web := plate.LeastWebMM(t.Material, t.Make.By, t.ThicknessMM, t.Make.NozzleMM, p.Pin.NominalMM)
	reach := j.Board.LengthMM + 2*(j.Template.MarginMM+p.Pin.NominalMM)
	width := math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM) + 2*j.Template.MarginMM
	a.spec = layout.Spec{
		Count: j.Dowel.Count, Flip: layout.Flip(j.Template.Flip), AllRound: allRound(j),
		LengthMM: j.Board.LengthMM, TravelMM: a.errors.TravelMM(reach),
	}
	for _, f := range features(j) {
		a.spec.Features = append(a.spec.Features, f.At)
	}
	var turned func(geom.Vec) geom.Vec
	if slices.ContainsFunc(features(j), plan{job: j}.cutTurned) {
		turned = plan{job: j}.turned() // what then errs is the most
	}
	a.allowanceMM = a.errors.BoundMM(reach, width)
	r, err := p.widestClear(j, a.allowanceMM)
	if err == nil {
		a.spec.Causes, a.spec.ElsewhereMM, err = account.Causes(j, p.Parts, turned, a.spec.Features, p.nest.Against())
	}
	if err != nil {
		return a, err
	}
	a, err = p.placeAll(j, a, r, web)
	if err != nil || a.found.Pins != nil || all {
		return a, err
	}
	return p.placeFewer(j, a, r, web)
}

// placeAll searches the pattern for holes of radius r, and for wider ones as long as those
// that a short baseline needs come out wider than assumed. No pins: not all have a place.
func (p parts) placeAll(j *job.Job, a arrangement, r, web float64) (arrangement, error) {
	for range mostRounds {
		a = p.drawn(j, a, r, web)
		if a.found = p.searched.Place(a.spec); a.found.Pins == nil {
			return a, nil
		}
		need, err := p.needed(j, &a)
		if err != nil || need <= r {
			return a, err
		}
		r = need * roundGrowth
	}
	a.found = layout.Pattern{} // ever wider holes leave an ever shorter baseline
	return a, nil
}

// placeFewer searches the pattern with as many pins as have a place in holes of radius r.
func (p parts) placeFewer(j *job.Job, a arrangement, r, web float64) (arrangement, error) {
	a = p.drawn(j, a, r, web)
	refused := a.found
	for n := j.Dowel.Count - 1; n >= 2; n-- {
		fewer := a.spec
		fewer.Count = n
		if a.found = p.searched.PlaceOnGrid(fewer); a.found.Pins == nil {
			continue
		}
		if need, err := p.needed(j, &a); err != nil || need <= r {
			return a, err
		}
	}
	a.found = refused
	return a, nil
}

// drawn returns the arrangement with its parts drawn for holes of radius r.
func (p parts) drawn(j *job.Job, a arrangement, r, web float64) arrangement {
	a.site = site.Draw(j, p.nest, r+a.spec.TravelMM/2, web)
	a.spec.Region = a.site.Region(j, r, web, glued.StandingRails(j))
	a.spec.PlayMM = r - p.Pin.MinMM/2
	return a
}

// needed sets the allowance that the clear pins found need, and returns the radius of their holes.
func (p parts) needed(j *job.Job, a *arrangement) (float64, error) {
	a.allowanceMM = a.errors.LargestMM(a.found.Pins)
	return p.widestClear(j, a.allowanceMM)
}

// mostRounds bounds how often the search is done again because the clear holes
// came out wider than it had assumed, and roundGrowth how much more is assumed
// then. Wider holes are pushed apart, which lengthens the baseline and needs less
// allowance, so one more round nearly always does.
const (
	mostRounds  = 5
	roundGrowth = 1.05
)

func allRound(j *job.Job) bool { return j.Dowel.Locate == "all round" }

// widestClear returns the radius of the widest clear hole in any part.
func (p parts) widestClear(j *job.Job, allowance float64) (float64, error) {
	widest := 0.0
	for _, q := range p.All() {
		h, err := q.Hole(p.Pin, Clear, allowance, 0, 0)
		if err != nil {
			return 0, j.Fault(q.Key+".make", err)
		}
		widest = math.Max(widest, h.MaxMM/2)
	}
	return widest, nil
}

// size makes the holes of every pin in every part.
func (p parts) size(j *job.Job, a arrangement) ([]Pin, error) {
	var out []Pin
	frame := FrameOf(j)
	for i, q := range a.found.Pins {
		along := a.found.Pins[1].At.Sub(a.found.Pins[0].At)
		pin := Pin{ID: fmt.Sprintf("P%d", i+1), Role: q.Role, At: q.At, Machine: frame.ToMachine.Apply(q.At), Dowel: p.Pin}
		if i > 0 && q.Role == out[i-1].Role { // made alike
			pin.Template, pin.Print, pin.Bed, pin.Blank = out[i-1].Template, out[i-1].Print, out[i-1].Bed, out[i-1].Blank
			pin.Rails = out[i-1].Rails
			out = append(out, pin)
			continue
		}
		var fault error
		hole := func(in part.Part) Hole {
			h, err := in.Hole(p.Pin, q.Role, a.allowanceMM, a.spec.TravelMM, math.Atan2(along.Y, along.X))
			if err != nil && fault == nil {
				fault = j.Fault(in.Key+".make", err)
			}
			if h.SlotMM > 0 {
				h.SlotAngleXY = math.Remainder(h.SlotAngleUV+frame.ToMachine.Angle, 2*math.Pi)
			}
			return h
		}
		pin.Template, pin.Print, pin.Bed = hole(p.Template), hole(p.Print), hole(p.Bed)
		if p.Rails.Name != "" {
			h := hole(p.Rails)
			pin.Rails = &h
		}
		pin.Bed.DepthMM, pin.Bed.FloorMM = p.Stand.Blind(), p.Stand.FloorMM
		if p.Blank.Name != "" {
			blank := p.Blank
			if p.Together && p.Bed.Make.By == "drill" {
				blank.ThereMM = pin.Bed.DrawnMM // drilled through both
			}
			h := hole(blank)
			h.DepthMM, h.FloorMM = p.Glue.Blind(), p.Glue.FloorMM
			pin.Blank = &h
		}
		if fault != nil {
			return nil, fault
		}
		out = append(out, pin)
	}
	return out, nil
}

// errors are those between the bed and whichever part goes over its pins with the most:
// one slot and one clear hole then serve for all of them.
func (p parts) errors(machine float64) layout.Errors {
	var e layout.Errors
	for _, q := range p.All() {
		if q.Carries {
			e.PositionMM = math.Max(e.PositionMM, q.PositionMM(machine))
			e.GrowthPerMM = math.Max(e.GrowthPerMM, q.Swing)
		}
	}
	e.PositionMM += p.Bed.PositionMM(machine)
	e.GrowthPerMM += p.Bed.Swing
	return e
}
