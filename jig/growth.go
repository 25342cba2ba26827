package jig

import (
	"errors"
	"math"

	"reseat/jig/climate"
	"reseat/jig/job"
)

// Two readings of one workshop's thermometer and hygrometer are each good to about
// this, plus or minus, 95 %; what the instrument is off in both drops out. Common
// practice, no source.
const (
	readingC     = 1.0
	readingRHPct = 2.0
)

// A job without a climate is held against a workshop's usual swing to either side of
// usualAir between making and use. Common practice, no source.
var (
	usualAir = climate.Air{TempC: 20, RHPct: 50}
	swing    = climate.Air{TempC: 10, RHPct: 10}
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
	// climateMostRH is the dampest air that the moisture equation is good for.
	climateMostRH = 98.0
)

// growth is how one part changes in size between making and use, mm per mm.
type growth struct {
	climate.Change
	// The change by one reading's error, or by the workshop's swing, each way.
	unsureAlong, unsureAcross float64
	scale                     float64 // of a print, each way, 95 %
	known                     bool    // from the job's climate; otherwise unsure is the swing
	missing                   error   // the material is in no table: nothing is computed
}

// strainer computes the change of a material.
type strainer func(from, to climate.Air) (climate.Change, error)

// sheet is the strain of a plate.
func (p part) sheet(from, to climate.Air) (climate.Change, error) {
	return climate.Strain(p.material, climate.Quarter, from, to)
}

// air converts the job's climate.
func air(a job.Air) climate.Air { return climate.Air{TempC: a.TempC, RHPct: a.RHPct} }

// growthOf works out a part's growth between the job's two climates, or over the
// usual swing when the job names none.
func growthOf(k *job.Climate, strain strainer) (growth, error) {
	from, to, step := usualAir, usualAir, swing
	if k != nil {
		from, to = air(k.Made), air(k.Now)
		// Both readings err.
		step = climate.Air{TempC: readingC * math.Sqrt2, RHPct: readingRHPct * math.Sqrt2}
	}
	c, err := strain(from, to)
	if err != nil {
		return growth{}, err
	}
	out := growth{Change: c, known: k != nil}
	for _, side := range []float64{-1, 1} {
		// A step that would leave the range of the equation is taken as far as it goes;
		// where that is not at all, the other side tells.
		warm, damp := to, to
		warm.TempC += side * step.TempC
		damp.RHPct = math.Max(0, math.Min(climateMostRH, damp.RHPct+side*step.RHPct))
		w, _ := strain(to, warm)
		d, _ := strain(to, damp)
		out.unsureAlong = math.Max(out.unsureAlong, math.Hypot(most(w.Along, w.Unsure), most(d.Along, d.Unsure)))
		out.unsureAcross = math.Max(out.unsureAcross, math.Hypot(most(w.Across, w.Unsure), most(d.Across, d.Unsure)))
	}
	// Between the two climates the material's own figures are unsure as well.
	out.unsureAlong = math.Hypot(out.unsureAlong, c.Unsure)
	out.unsureAcross = math.Hypot(out.unsureAcross, c.Unsure)
	return out, nil
}

// most is how far a change may reach that is unsure by so much either way.
func most(change, unsure float64) float64 { return math.Abs(change) + unsure }

// grown returns the parts with their growth and the board's. A climate that no equation
// covers is a fault of the job; a material that no table has leaves that part out,
// which a rule tells.
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
	of := func(strain strainer) growth {
		g, err := growthOf(k, strain)
		if err != nil {
			return growth{missing: err, known: k != nil}
		}
		return g
	}
	for _, q := range []*part{&p.template, &p.print, &p.bed, &p.blank} {
		q.swing = growthOfWood
		if g, err := growthOf(nil, q.sheet); err == nil {
			q.swing = g.unsureAlong
		}
		if q == &p.blank {
			q.growth = of(wood(j, q.material))
			continue
		}
		q.growth = of(q.sheet)
		if q.growth.missing != nil && k == nil {
			// No table has it and nobody asked: as solid wood along the grain, the least
			// that anything grows.
			q.growth.unsureAlong, q.growth.unsureAcross = growthOfWood, growthOfWood
		}
		if q.make.By == "print" {
			q.growth.scale = printScale
			q.swing += printScale
		}
	}
	switch {
	case k == nil:
	case j.Board.Wood == "":
		p.board = growth{missing: errors.New("the job does not name the board's wood"), known: true}
	default:
		p.board = of(wood(j, j.Board.Wood))
	}
	return p, nil
}

// wood is the strain of solid wood as the board is sawn, for the board's own by the
// movement that the job gives for it.
func wood(j *job.Job, name string) strainer {
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
		out.ClearanceLeftMM, out.EntersBelowRHPct = s.leftMM, p.entersBelow(j)
	}
	return out
}

// entersBelow is the humidity up to which the board goes into its window, %, at the
// temperature of today, the template resting in the same air; 0: any or none. The
// template's own growth depends on the humidity that is looked for; it moves far less
// than the wood, so the rounds close in on it.
func (p parts) entersBelow(j *job.Job) float64 {
	w, err := boardWood(j)
	if err != nil {
		return 0
	}
	made, now := air(j.Climate.Made), air(j.Climate.Now)
	width := math.Max(j.Board.WidthStartMM, j.Board.WidthEndMM)
	template, rh := p.template.growth.Across, 0.0
	for range entryRounds {
		var ok bool
		strain := 2*j.Template.ClearanceMM/width + template
		if rh, ok = climate.HumidityFor(w, climate.Grain(j.Board.Grain), made, now.TempC, strain); !ok {
			return 0
		}
		c, err := p.template.sheet(made, climate.Air{TempC: now.TempC, RHPct: rh})
		if err != nil {
			break // no table has the plate: it counts as it is
		}
		template = c.Across
	}
	return rh
}

// entryRounds leave a thousandth of a percent: each is at least four times as near,
// since no sheet moves a quarter as much as wood does across the grain.
const entryRounds = 10
