package part

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

// Growth is how one part changes in size between making and use, mm per mm.
type Growth struct {
	climate.Growth
	// How far off the plate's size may be as it was made, mm per mm, each way, 95 %.
	ScaleAlong, ScaleAcross float64
	Missing                 error // the material is in no table: nothing is computed
}

// sheet is the strain of a plate.
func (p Part) sheet(from, to climate.Air) (climate.Change, error) {
	return climate.Strain(p.Material, climate.Quarter, from, to)
}

// air converts the job's climate.
func air(a job.Air) climate.Air { return climate.Air{TempC: a.TempC, RHPct: a.RHPct} }

// growthOf works out a part's growth between the job's two climates, or over the
// usual swing when the job names none.
func growthOf(k *job.Climate, s climate.Strainer) Growth {
	if k == nil {
		g, err := climate.Swing(s)
		return Growth{Growth: g, Missing: err}
	}
	g, err := climate.GrowthBetween(air(k.Made), air(k.Now), s)
	return Growth{Growth: g, Missing: err}
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
func (p Parts) grown(j *job.Job) (Parts, error) {
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
	for _, q := range []*Part{&p.Template, &p.Print, &p.Rails, &p.Bed, &p.Blank} {
		q.Swing = growthOfWood
		if g := growthOf(nil, q.sheet); g.Missing == nil {
			q.Swing = g.UnsureAlong
		}
		if q == &p.Blank {
			q.Growth = growthOf(plates, wood(j, q.Material))
			continue
		}
		q.Growth = growthOf(plates, q.sheet)
		if q.Growth.Missing != nil && k == nil {
			// No table has it and nobody asked: as solid wood along the grain, the least
			// that anything grows.
			q.Growth.UnsureAlong, q.Growth.UnsureAcross = growthOfWood, growthOfWood
		}
		q.Growth.ScaleAlong, q.Growth.ScaleAcross = q.scaleUnsure(j.Machine.LongAxis)
		q.Swing += q.Growth.ScaleAlong
	}
	switch {
	case k == nil:
	case j.Board.Wood == "":
		p.Board = Growth{Missing: errors.New("the job does not name the board's wood")}
	default:
		s := wood(j, j.Board.Wood)
		p.Board = growthOf(k, s)
		if j.Board.Measured != nil {
			p.Since = growthOf(&job.Climate{Made: measured(j), Now: k.Now}, s)
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
		w, err := BoardWood(j)
		if err != nil {
			return climate.Change{}, err
		}
		return w.Strain(grain, from, to)
	}
}

// BoardWood is the board's wood as climate knows it.
func BoardWood(j *job.Job) (climate.Wood, error) {
	if m := j.Board.MovementPct; m > 0 {
		return climate.GivenWood(j.Board.Wood, m)
	}
	return climate.LookupWood(j.Board.Wood)
}

// GoesBack is the job with the board as it is now, when it goes back: outline and window
// are drawn for that. Its features stay where they were cut; how far they have moved with
// the wood since is an error source.
func (p Parts) GoesBack(j *job.Job) *job.Job {
	if p.Since.Along == 0 && p.Since.Across == 0 {
		return j
	}
	return j.Changed(func(c *job.Job) {
		c.Board.Outline = c.Board.Outline.Stretch(1+p.Since.Along, 1+p.Since.Across) // nil: straight sides
		c.Board.Holes = nil
		for _, l := range j.Board.Holes {
			c.Board.Holes = append(c.Board.Holes, l.Stretch(1+p.Since.Along, 1+p.Since.Across))
		}
		c.Board.LengthMM += float64(p.Since.Along * c.Board.LengthMM)
		c.Board.WidthStartMM += float64(p.Since.Across * c.Board.WidthStartMM)
		c.Board.WidthEndMM += float64(p.Since.Across * c.Board.WidthEndMM)
	})
}

// AsNow is the job with length and width of its board as they are now, for what is measured
// or cut on it now. Errors as for Build.
func AsNow(j *job.Job) (*job.Job, error) {
	if j.Board.Measured == nil {
		return j, nil
	}
	p, err := Lookup(j)
	if err != nil {
		return nil, err
	}
	return p.GoesBack(j).Changed(func(c *job.Job) { c.Board.Measured = nil }), nil
}

// grownBy is by how much a length has grown to what it is now.
func grownBy(now, strain float64) float64 { return now - now/(1+strain) }

// Climate is what the air did to the board between making and now.
type Climate struct {
	MadeC            float64 `json:"made_temp_c"`
	MadeRHPct        float64 `json:"made_rh_pct"`
	MeasuredC        float64 `json:"measured_temp_c"` // when the stated sizes were
	MeasuredRHPct    float64 `json:"measured_rh_pct"`
	NowC             float64 `json:"now_temp_c"`
	NowRHPct         float64 `json:"now_rh_pct"`
	Wood             string  `json:"wood"` // as the table names it
	MoistureMadePct  float64 `json:"made_moisture_pct"`
	MoistureNowPct   float64 `json:"now_moisture_pct"`
	WidthMM          float64 `json:"board_width_grows_mm"` // at its widest
	LengthMM         float64 `json:"board_length_grows_mm"`
	SinceMM          float64 `json:"board_width_grew_since_measured_mm"` // what the window is drawn wider for
	EntersBelowRHPct float64 `json:"enters_below_rh_pct,omitempty"`      // humidity up to which it goes in; 0: any or none
	Source           string  `json:"source"`
	FromMemory       bool    `json:"from_memory"` // the coefficients are recalled
	Note             string  `json:"note,omitempty"`
}

// ClimateOf sums up, for people and programs, what the climate did to the board; nil
// when the job does not say enough.
func (p Parts) ClimateOf(j *job.Job) *Climate {
	k, g := j.Climate, p.Board
	if k == nil || g.Missing != nil {
		return nil
	}
	width, m := math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM), measured(j)
	out := &Climate{
		MadeC: k.Made.TempC, MadeRHPct: k.Made.RHPct, MeasuredC: m.TempC, MeasuredRHPct: m.RHPct,
		NowC: k.Now.TempC, NowRHPct: k.Now.RHPct,
		Wood: g.Taken, MoistureMadePct: g.MoistureFrom, MoistureNowPct: g.MoistureTo,
		WidthMM: grownBy(width, g.Across), LengthMM: grownBy(j.Board.LengthMM, g.Along),
		SinceMM: grownBy(width, p.Since.Across), Source: g.Source, FromMemory: g.FromMemory, Note: g.Note,
	}
	if w, err := BoardWood(j); err == nil && j.Template.Seat == "nest" {
		gap := 2 * j.Template.ClearanceMM / width
		out.EntersBelowRHPct = climate.EntersBelow(w, climate.Grain(j.Board.Grain), air(k.Now), gap, p.Template.sheet)
	}
	return out
}
