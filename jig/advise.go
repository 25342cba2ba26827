package jig

import (
	"slices"

	"reseat/jig/glued"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/outlined"
	"reseat/jig/remedy"
	"reseat/jig/site"
)

// likely is a quick form of complete: the holes' sizes stay as they are, only the
// full number of pins is looked for, and only on the usual grid, so that the advice
// leads to places that a rule shows.
func (p plan) likely(j *job.Job) bool {
	spec := p.spec
	g := spec.Region
	nest, err := outlined.NestOf(j, site.CornerReach(j))
	if err != nil {
		return false
	}
	s := site.Draw(j, nest, g.HoleRadiusMM+spec.TravelMM/2, g.WebMM)
	spec.Region = s.Region(j, g.HoleRadiusMM, g.WebMM, glued.StandingRails(p.job))
	return spec.FitsOnGrid()
}

// advise returns the changes that give every pin a place, the least hurtful first; where there are any
// that bring the board back as near as the job wants, these alone.
func (p plan) advise() []remedy.Advice {
	if len(p.pins) >= p.job.Dowel.Count {
		return nil
	}
	for _, near := range []bool{true, false} {
		all := remedy.Places{
			Job: p.job, StepMM: p.spec.Region.StepMM, Likely: p.likely,
			Complete: func(j *job.Job) bool { return complete(j, near) },
			Path:     slices.ContainsFunc(p.spec.Region.Constraints, func(c layout.Constraint) bool { return c.ID == site.BoardPath }),
		}.Advise()
		if len(all) > 0 {
			return all
		}
	}
	return nil
}
