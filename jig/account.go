package jig

import (
	"fmt"
	"math"

	"reseat/fit"
	"reseat/jig/assembly"
	"reseat/jig/budget"
)

// trials of each simulation; 0: what the packages themselves take. Tests of
// other things lower it.
var trials = 0

// account adds up where the board really ends up, and whether it goes on at all.
func (b *builder) account(s seating) error {
	b.d.Climate = b.climateOf()
	if s.pins == nil {
		return nil
	}
	spec := budget.Spec{Sources: b.sources(s), Trials: trials, Seed: budgetSeed}
	for _, f := range b.d.Board.Features {
		spec.Features = append(spec.Features, budget.Feature{Name: f.Name, At: f.At})
	}
	sum, err := budget.Compute(spec)
	if err != nil {
		return fmt.Errorf("jig: error budget: %w", err)
	}
	b.d.Budget = &sum
	return b.assemble()
}

// assemble computes the odds for every pair of parts: what seats on the bed, and,
// for gluing, the template on the blank.
func (b *builder) assemble() error {
	over := func(on part, holes func(Pin) (Hole, Hole), c part) error {
		spec := assembly.Spec{Trials: trials, Seed: budgetSeed}
		var ids []string
		for _, p := range b.d.Pins {
			h, k := holes(p)
			if b.neverBinds(p, h) && b.neverBinds(p, k) {
				continue
			}
			spec.Joints = append(spec.Joints, b.joint(p, h, k, c, on))
			ids = append(ids, p.ID)
		}
		r, err := assembly.Simulate(spec)
		if err != nil {
			return fmt.Errorf("jig: odds of assembly: %w", err)
		}
		tight := 0
		for i, t := range r.Tightest {
			if t > r.Tightest[tight] {
				tight = i
			}
		}
		b.d.Assembly = append(b.d.Assembly, Assembly{
			Part: c.name, On: on.name, Odds: r.Odds, OddsLow: r.OddsLow, OddsHigh: r.OddsHigh,
			Trials: r.Trials, Seed: r.Seed, ExtraFor99MM: r.ExtraFor99MM, Tightest: ids[tight],
		})
		return nil
	}
	if b.blank.carries {
		return over(b.bd, func(p Pin) (Hole, Hole) { return *p.Blank, p.Bed }, b.blank)
	}
	if err := over(b.bd, func(p Pin) (Hole, Hole) { return p.Template, p.Bed }, b.tmpl); err != nil {
		return err
	}
	if b.blank.name == "" {
		return nil
	}
	return over(b.blank, func(p Pin) (Hole, Hole) { return p.Template, *p.Blank }, b.tmpl)
}

// neverBinds reports whether a clear hole is so wide that its pin enters wherever the
// locating pins put the plate; it then has no part in the odds.
func (b *builder) neverBinds(p Pin, h Hole) bool {
	if p.Role != Clear || h.Role != Clear {
		return p.Role == Clear // stands fast in it, or loosely; the other hole decides
	}
	return h.ClearMinMM >= b.play.clearAllowance(p.At, b.d.Pins[0].At, b.d.Pins[1].At)-ruleSlack
}

// joint is one pin with the hole h that goes over it and the hole k that it stands
// in. A driven pin stands without play; a loose one brings its own.
func (b *builder) joint(p Pin, h, k Hole, c, on part) assembly.Joint {
	j := assembly.Joint{At: p.At, TravelMM: h.SlotMM, AngleRad: h.SlotAngle}
	pin := p.Dowel
	j.ClearMM, j.ClearSDMM = h.MeanMM-pin.MeanMM(), math.Hypot(h.SDMM, pin.SDMM)
	if !k.Pressed {
		// The play in both holes adds up. Where the pin does not enter k, that binds,
		// whatever play h has, and pin-enters tells it.
		j.ClearMM += math.Max(0, k.MeanMM-pin.MeanMM())
		j.ClearSDMM = math.Hypot(j.ClearSDMM, math.Hypot(k.SDMM, pin.SDMM))
	}
	m := b.job.Machine.PositionMM
	j.PositionSDMM = math.Hypot(c.positionMM(m), on.positionMM(m)) / fit.Normal95
	return j
}

// accuracyRule holds the budget's 95 % figure against the wanted accuracy and says
// what would help most.
func (b *builder) accuracyRule() {
	sum := b.d.Budget
	if sum == nil {
		return
	}
	i := sum.Worst()
	if i < 0 {
		return
	}
	f := sum.Features[i]
	says := fmt.Sprintf("with every source of error %s comes back within %.3f mm in 95 %% of seatings, %.3f mm at worst", f.Name, f.P95MM, f.WorstMM)
	remedy := "a better process"
	if t, share, ok := f.Largest(); ok {
		remedy = fmt.Sprintf("%s makes up %.0f %% of it. %s", t.Source, 100*share, t.Remedy)
	}
	b.book.atMost("accuracy", f.P95MM, b.job.AccuracyMM, "mm", says, remedy, "accuracy")
}

// Odds of assembly: below wantedOdds a maker should know that a hole may have to be
// opened, below leastOdds the plate is likely to be forced. Locating holes are drawn so
// that nineteen pins of twenty enter at once. Common practice, no source.
const (
	wantedOdds = 0.95
	leastOdds  = 0.80
)

// assemblyRules: every pin must enter, in all pairs of parts.
func (b *builder) assemblyRules() {
	for _, a := range b.d.Assembly {
		level := Warn
		if a.Odds < leastOdds {
			level = Fail
		}
		b.book.judge("assembly-"+a.Part+"-on-"+a.On, a.Odds >= wantedOdds, level, a.Odds, wantedOdds, "",
			fmt.Sprintf("all pins enter when the %s goes on the %s in %.1f %% of assemblies", a.Part, a.On, 100*a.Odds),
			fmt.Sprintf("%.3f mm more clearance on the diameter would make it 99 %%; %s holds it up most often; or let two pins locate (dowel.locate: round and slot)", math.Max(0, a.ExtraFor99MM), a.Tightest),
			"dowel.locate")
	}
}
