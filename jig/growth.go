package jig

import (
	"errors"
	"math"

	"reseat/jig/climate"
	"reseat/jig/job"
)

const (
	// printScale is what a measured and scaled print still errs by, mm per mm, 95 %: a
	// printer's own 0.5 % above 100 mm (web, a printing service) is measured off on one
	// printed length. Common practice, no source.
	printScale = 5e-4
	// growthOfWood is solid wood's growth along the grain over 2 % of moisture, the
	// usual swing: 0.000067 per 1 % (derived from the Wood Handbook's 0.1 to 0.2 % of
	// shrinkage along the grain).
	growthOfWood = 2 * 0.000067
)

// growth is how one part changes in size between making and use, mm per mm.
type growth struct {
	climate.Growth
	scale   float64 // of a print, each way, 95 %
	missing error   // the material is in no table: nothing is computed
}

// sheet is the strain of a plate.
func (p part) sheet(from, to climate.Air) (climate.Change, error) {
	return climate.Strain(p.material, climate.Quarter, from, to)
}

// air converts the job's climate.
func air(a job.Air) climate.Air { return climate.Air{TempC: a.TempC, RHPct: a.RHPct} }

// growthOf works out a part's growth between the job's two climates, or over the
// usual swing when the job names none.
func growthOf(k *job.Climate, s climate.Strainer) growth {
	if k == nil {
		g, err := climate.Swing(s)
		return growth{Growth: g, missing: err}
	}
	g, err := climate.Between(air(k.Made), air(k.Now), s)
	return growth{Growth: g, missing: err}
}

// grown returns the parts with their growth and the board's. A climate that no equation
// covers is a fault of the job; a material that no table has leaves that part out,
// which a rule reports.
func (p parts) grown(j *job.Job) (parts, error) {
	k := j.Climate
	if k != nil {
		var faults []error
		for _, a := range []struct {
			key string
			air job.Air
		}{{"climate.made", k.Made}, {"climate.now", k.Now}} {
			if _, err := climate.EMC(air(a.air)); err != nil {
				faults = append(faults, j.Fault(a.key, err))
			}
		}
		if err := job.Join(faults...); err != nil {
			return p, err
		}
	}
	for _, q := range []*part{&p.template, &p.print, &p.bed, &p.blank} {
		q.swing = growthOfWood
		if g := growthOf(nil, q.sheet); g.missing == nil {
			q.swing = g.UnsureAlong
		}
		if q == &p.blank {
			q.growth = growthOf(k, wood(j, q.material))
			continue
		}
		q.growth = growthOf(k, q.sheet)
		if q.growth.missing != nil && k == nil {
			// No table has it and nobody asked: as solid wood along the grain, the least
			// that anything grows.
			q.growth.UnsureAlong, q.growth.UnsureAcross = growthOfWood, growthOfWood
		}
		if q.make.By == "print" {
			q.growth.scale = printScale
			q.swing += printScale
		}
	}
	switch {
	case k == nil:
	case j.Board.Wood == "":
		p.board = growth{missing: errors.New("the job does not name the board's wood")}
	default:
		p.board = growthOf(k, wood(j, j.Board.Wood))
	}
	return p, nil
}

// wood is the strain of solid wood as the board is sawn, for the board's own by the
// movement that the job gives for it.
func wood(j *job.Job, name string) climate.Strainer {
	grain := climate.Grain(j.Board.Grain)
	return func(from, to climate.Air) (climate.Change, error) {
		if j.Board.MovementPct == 0 || name != j.Board.Wood {
			return climate.Strain(name, grain, from, to)
		}
		w, err := boardWood(j)
		if err != nil {
			return climate.Change{}, err
		}
		return w.Strain(grain, from, to)
	}
}

// boardWood is the board's wood as climate knows it.
func boardWood(j *job.Job) (climate.Wood, error) {
	if m := j.Board.MovementPct; m > 0 {
		return climate.GivenWood(j.Board.Wood, m)
	}
	return climate.LookupWood(j.Board.Wood)
}

// swelling is what the board's movement leaves of the window's clearance.
type swelling struct {
	boardMM, windowMM float64 // growth of the board's width at its widest, and of the window there
	leftMM            float64 // clearance per side that is left, the least of width and length
}

func (p parts) swelling(j *job.Job) swelling {
	t, k := j.Template, j.Board
	s := swelling{leftMM: t.ClearanceMM}
	if j.Climate == nil || p.board.missing != nil {
		return s
	}
	width := math.Max(k.WidthStartMM, k.WidthEndMM)
	s.boardMM, s.windowMM = p.board.Across*width, p.template.growth.Across*width
	length := (p.board.Along - p.template.growth.Along) * k.LengthMM
	s.leftMM -= math.Max(s.boardMM-s.windowMM, length) / 2
	return s
}

// climateOf sums up, for people and programs, what the climate did to the board; nil
// when the job does not say enough.
func (p parts) climateOf(j *job.Job) *Climate {
	k, g := j.Climate, p.board
	if k == nil || g.missing != nil {
		return nil
	}
	s := p.swelling(j)
	out := &Climate{
		MadeC: k.Made.TempC, MadeRHPct: k.Made.RHPct, NowC: k.Now.TempC, NowRHPct: k.Now.RHPct,
		Wood: g.Taken, MoistureMadePct: g.MoistureFrom, MoistureNowPct: g.MoistureTo,
		WidthMM: s.boardMM, LengthMM: g.Along * j.Board.LengthMM, WindowMM: s.windowMM,
		Source: g.Source, FromMemory: g.FromMemory, Note: g.Note,
	}
	if j.Template.Seat == "nest" {
		out.ClearanceLeftMM = s.leftMM
		if w, err := boardWood(j); err == nil {
			gap := 2 * j.Template.ClearanceMM / math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM)
			out.EntersBelowRHPct = climate.EntersBelow(w, climate.Grain(j.Board.Grain), air(k.Made), air(k.Now), gap,
				p.template.sheet)
		}
	}
	return out
}
