package jig

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/dowel"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/remedy"
)

// When pins have no place, the job is tried again with one thing changed at a
// time: a wider blank, a larger margin, a smaller keep-out and so on. The least
// change that gives every pin a place is found by halving and told with its
// figure, so that following the advice makes the rule pass.

// advice is a change to the job that gives every pin a place.
type advice struct {
	key   string // of the job file
	says  string
	set   []job.Change // nil: none of the job file's
	apply func(*job.Job)
}

// lever is one thing that can be changed by x millimetres.
type lever struct {
	key   string
	on    bool    // the job has it
	most  float64 // change that is worth advising
	apply func(j *job.Job, x float64)
	lacks string                        // "the blank is too narrow"
	set   func(j *job.Job) []job.Change // what the changed job has, in its own keys
	does  string                        // the same in words, where it has no keys
}

const (
	// adviceStepMM is the fineness of an advised change, as a maker would mark it.
	adviceStepMM = 0.1
	// mostRoomMM is the largest widening that is worth advising; a board that needs
	// more wants another set-up. Practice.
	mostRoomMM = 160.0
	// mostAdvice is how many ways out are told.
	mostAdvice = 2
	// The holes' sizes may follow a change: so often so many steps more are tried.
	adviceTries, adviceMoreSteps = 4, 5
)

func (p plan) levers() []lever {
	up := func(mm float64) float64 { return remedy.Whole(p.job, mm) }
	wider := func(j *job.Job, x float64) { j.Blank.WidthMM = up(j.Blank.WidthMM + x) }
	longer := func(j *job.Job, x float64) { j.Blank.LengthMM = up(j.Blank.LengthMM + x) }
	margin := func(j *job.Job, x float64) { j.Template.MarginMM = up(j.Template.MarginMM + x/2) }
	larger := func(j *job.Job, x float64) { wider(j, x); longer(j, x) }
	set := func(key string, mm float64) job.Change { return job.Change{Key: key, Value: remedy.Length(p.job, mm)} }
	width := func(j *job.Job) []job.Change { return []job.Change{set("blank.width", j.Blank.WidthMM)} }
	length := func(j *job.Job) []job.Change { return []job.Change{set("blank.length", j.Blank.LengthMM)} }
	rim := func(j *job.Job) []job.Change { return []job.Change{set("template.margin", j.Template.MarginMM)} }
	both := func(j *job.Job) []job.Change { return append(length(j), width(j)...) }
	free, travel := p.job.Blank == nil, p.job.Machine.TravelMM
	// The cutter's width counts where its path round the board is a constraint.
	path := slices.ContainsFunc(p.spec.Region.Constraints, func(c layout.Constraint) bool { return c.ID == ruleBoard })
	cutter := p.job.Machine.Cutter.DiameterMM
	return []lever{
		{"blank.width", !free, mostRoomMM, wider, "the blank is too narrow", width, ""},
		{"blank.length", !free, mostRoomMM, longer, "the blank is too short", length, ""},
		{"blank", !free, mostRoomMM, larger, "the blank is too small", both, ""},
		{"template.margin", true, 2 * mostRoomMM, margin, "the plate is too small over both sides", rim, ""},
		{"machine.travel", travel[0] > 0 && travel[1] > 0, mostRoomMM, func(j *job.Job, x float64) {
			j.Machine.TravelMM[0] += x
			j.Machine.TravelMM[1] += x
		}, "the machine's travel is too short", nil, "a shorter board or a larger machine"},
		{"board.keep_out", len(p.job.Board.KeepOut) > 0, mostRoomMM, shrinkKeepOuts,
			"the keep-outs are too large on every side", nil, "smaller ones"},
		{"machine.cutter", path && cutter > adviceStepMM, cutter - adviceStepMM,
			func(j *job.Job, x float64) { j.Machine.Cutter.DiameterMM -= x }, "the cutter that goes round the board is too wide",
			func(j *job.Job) []job.Change { return []job.Change{set("machine.cutter", j.Machine.Cutter.DiameterMM)} }, ""},
		{"blank", !free, mostRoomMM, func(j *job.Job, x float64) { larger(j, x); margin(j, x) },
			"blank and plate are too small", func(j *job.Job) []job.Change { return append(both(j), rim(j)...) }, ""},
	}
}

// shrinkKeepOuts takes x off every side; what is left of a small one is its middle.
func shrinkKeepOuts(j *job.Job, x float64) {
	for i := range j.Board.KeepOut {
		k := &j.Board.KeepOut[i]
		c := k.From.Lerp(k.To, 0.5)
		h := k.To.Sub(c)
		h.X, h.Y = math.Max(adviceStepMM/2, h.X-x), math.Max(adviceStepMM/2, h.Y-x)
		k.From, k.To = c.Sub(h), c.Add(h)
	}
}

// changed returns a copy of the job with f applied.
func changed(j *job.Job, f func(*job.Job)) *job.Job {
	c := *j
	if j.Blank != nil {
		k := *j.Blank
		c.Blank = &k
	}
	c.Board.KeepOut = slices.Clone(j.Board.KeepOut)
	f(&c)
	return &c
}

// likely is a quick form of complete: the holes' sizes stay as they are, only the
// full number of pins is looked for, and only on the usual grid, so that the advice
// leads to places that a rule shows.
func (p plan) likely(j *job.Job) bool {
	spec := p.spec
	g := spec.Region
	site := siteOf(j, g.HoleRadiusMM+spec.TravelMM/2, g.WebMM)
	spec.Region = site.region(j, g.HoleRadiusMM, g.WebMM, standingRails(p.job))
	return spec.PlaceOnGrid().Pins != nil
}

// advise returns the changes that give every pin a place, the least hurtful first.
func (p plan) advise() []advice {
	if len(p.pins) >= p.job.Dowel.Count {
		return nil
	}
	var out []advice
	for _, l := range p.levers() {
		if len(out) < mostAdvice && l.on {
			if a, ok := p.pull(l, out); ok {
				out = append(out, a)
			}
		}
	}
	for _, other := range []func() (advice, bool){p.oneMore, p.thinner} {
		if len(out) < mostAdvice {
			if a, ok := other(); ok {
				out = append(out, a)
			}
		}
	}
	return out
}

// pull finds the least change by one lever, given the advice that there is already: a
// blank that is advised one way is not advised both ways too.
func (p plan) pull(l lever, have []advice) (advice, bool) {
	at := func(steps int) *job.Job {
		return changed(p.job, func(j *job.Job) { l.apply(j, float64(steps)*adviceStepMM) })
	}
	lo, hi := 0, int(l.most/adviceStepMM)
	blank := func(a advice) bool { return strings.HasPrefix(a.key, "blank") }
	if l.key == "blank" && slices.ContainsFunc(have, blank) || !p.likely(at(hi)) {
		return advice{}, false
	}
	halve := func(serves func(*job.Job) bool) {
		for hi-lo > 1 {
			if m := (lo + hi) / 2; serves(at(m)) {
				hi = m
			} else {
				lo = m
			}
		}
	}
	halve(p.likely)
	// The holes' sizes may follow the change.
	for range adviceTries {
		if !complete(at(hi)) {
			hi += adviceMoreSteps
			continue
		}
		// Finer grids gain no more than two steps of the usual one on either side.
		lo = max(0, hi-int(4*p.spec.Region.StepMM/adviceStepMM))
		if lo > 0 && complete(at(lo)) {
			lo, hi = 0, lo
		}
		halve(complete)
		x := float64(hi) * adviceStepMM
		a := advice{key: l.key, apply: func(j *job.Job) { l.apply(j, x) }}
		by, does := fmt.Sprintf(" by %.1f mm", x), l.does
		if l.set != nil {
			a.set = l.set(at(hi))
			by, does = "", remedy.Joined(a.set, " and ")
		}
		a.says = fmt.Sprintf("%s%s for %d pins of %s: %s would do", l.lacks, by, p.job.Dowel.Count,
			mm(p.job.Dowel.DiameterMM), does)
		return a, true
	}
	return advice{}, false
}

// oneMore tries an even number where an odd one cannot be turned over.
func (p plan) oneMore() (advice, bool) {
	n := p.job.Dowel.Count + 1
	if p.job.Template.Flip == "none" || n%2 == 1 || n > layout.MostPins {
		return advice{}, false
	}
	apply := func(j *job.Job) { j.Dowel.Count = n }
	says := fmt.Sprintf("turned over, pins come in pairs unless one stands on the axis: dowel.count %d would do", n)
	set := []job.Change{{Key: "dowel.count", Value: fmt.Sprint(n)}}
	return advice{"dowel.count", says, set, apply}, complete(changed(p.job, apply))
}

// thinner looks for the thickest pins of the same standard that all have a place.
func (p plan) thinner() (advice, bool) {
	known, err := dowel.Diameters(p.job.Dowel.Standard)
	if err != nil {
		return advice{}, false
	}
	for _, d := range slices.Backward(known) {
		if d >= p.job.Dowel.DiameterMM || d < p.job.Dowel.DiameterMM/2 {
			continue
		}
		apply := func(j *job.Job) { j.Dowel.DiameterMM, j.Dowel.Measured = d, nil }
		if complete(changed(p.job, apply)) {
			set := []job.Change{{Key: "dowel.diameter", Value: remedy.Length(p.job, d)}}
			return advice{"dowel.diameter", set[0].String() + " would do", set, apply}, true
		}
	}
	return advice{}, false
}
