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

// measured is the air that the board's stated sizes were measured in.
func measured(j *job.Job) job.Air {
	if m := j.Board.Measured; m != nil {
		return *m
	}
	return j.Climate.Now
}

// grown returns the parts with their growth and the board's. A climate that no equation
// covers is a fault of the job; a material that no table has leaves that part out,
// which a rule reports.
func (p parts) grown(j *job.Job) (parts, error) {
	k := j.Climate
	plates := k // between their making and use
	if k != nil {
		if j.Template.Seat == "nest" {
			// A nest is made for a board that is free already: bed and plate are cut now.
			plates = &job.Climate{Made: k.Now, Now: k.Now}
		}
		var faults []error
		for _, a := range []struct {
			key string
			air job.Air
		}{{"climate.made", k.Made}, {"climate.now", k.Now}, {"board.measured", measured(j)}} {
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
			q.growth = growthOf(plates, wood(j, q.material))
			continue
		}
		q.growth = growthOf(plates, q.sheet)
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
		s := wood(j, j.Board.Wood)
		p.board = growthOf(k, s)
		if j.Board.Measured != nil {
			p.since = growthOf(&job.Climate{Made: measured(j), Now: k.Now}, s)
		}
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

// goesBack is the job with the board as it is now, when it goes back: outline and window
// are drawn for that. Its features stay where they were cut; how far they have moved with
// the wood since is an error source.
func (p parts) goesBack(j *job.Job) *job.Job {
	if p.since.Along == 0 && p.since.Across == 0 {
		return j
	}
	return j.Changed(func(c *job.Job) {
		c.Board.LengthMM += float64(p.since.Along * c.Board.LengthMM)
		c.Board.WidthStartMM += float64(p.since.Across * c.Board.WidthStartMM)
		c.Board.WidthEndMM += float64(p.since.Across * c.Board.WidthEndMM)
	})
}

// AsNow is the job with length and width of its board as they are now, for what is measured
// or cut on it now. Errors as for Build.
func AsNow(j *job.Job) (*job.Job, error) {
	if j.Board.Measured == nil {
		return j, nil
	}
	p, err := partsOf(j)
	if err != nil {
		return nil, err
	}
	return p.goesBack(j).Changed(func(c *job.Job) { c.Board.Measured = nil }), nil
}

// grew is by how much a length has grown to what it is now.
func grew(now, strain float64) float64 { return now - now/(1+strain) }

// climateOf sums up, for people and programs, what the climate did to the board; nil
// when the job does not say enough.
func (p parts) climateOf(j *job.Job) *Climate {
	k, g := j.Climate, p.board
	if k == nil || g.missing != nil {
		return nil
	}
	width, m := math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM), measured(j)
	out := &Climate{
		MadeC: k.Made.TempC, MadeRHPct: k.Made.RHPct, MeasuredC: m.TempC, MeasuredRHPct: m.RHPct,
		NowC: k.Now.TempC, NowRHPct: k.Now.RHPct,
		Wood: g.Taken, MoistureMadePct: g.MoistureFrom, MoistureNowPct: g.MoistureTo,
		WidthMM: grew(width, g.Across), LengthMM: grew(j.Board.LengthMM, g.Along),
		SinceMM: grew(width, p.since.Across), Source: g.Source, FromMemory: g.FromMemory, Note: g.Note,
	}
	if w, err := boardWood(j); err == nil && j.Template.Seat == "nest" {
		gap := 2 * j.Template.ClearanceMM / width
		out.EntersBelowRHPct = climate.EntersBelow(w, climate.Grain(j.Board.Grain), air(k.Now), gap, p.template.sheet)
	}
	return out
}
