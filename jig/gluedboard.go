package jig

import (
	"reseat/jig/account"
	"reseat/jig/budget"
	"reseat/jig/glued"
)

// gluedOf works out how the board is glued onto the blank; nil when nothing is, or no more is
// known of it.
func (p plan) gluedOf(r *Rails) (*glued.Plan, error) {
	if r == nil || r.Gluing == nil || !p.GluesOnPins() {
		return nil, nil
	}
	c := glued.Case{
		Job: p.job, Parts: p.Parts, Gluing: *r.Gluing, MarginMM: p.site.BarMM(), Split: p.isSplit(), Seed: simulationSeed,
	}
	c.Wedged = len(p.site.Wedges()) > 0
	c.Contour = p.nest.Glued(p.job.Rails.GapMM, p.job.Rails.FilmMM)
	over := p.GluePlate(p.job).Name
	for _, q := range p.pins {
		pin := account.Pin{At: q.At}
		pin.Enters(*q.In(over), q.Dowel)
		pin.Enters(*q.Blank, q.Dowel)
		c.Pins = append(c.Pins, pin)
	}
	for _, f := range features(p.job) {
		c.Features = append(c.Features, budget.Feature{Name: f.Name, At: f.At})
	}
	f, err := glued.Compute(c)
	if err != nil {
		return nil, err
	}
	return &f, nil
}

// gluedRules judge how the board is glued.
func (m made) gluedRules() []ruling {
	if m.d.Rails == nil || m.d.Rails.Glued == nil {
		return missing("gluing", Warn, "caul, clamps and the board's place on the blank are not computed", m.rail.glued,
			"rails")
	}
	return found(m.d.Rails.Glued.Judge(m.job)...)
}
