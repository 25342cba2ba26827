package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/dowel"
	"reseat/jig/job"
	"reseat/jig/layout"
)

// When pins have no place, the job is tried again with one thing changed at a
// time: a wider blank, a larger margin, a smaller keep-out and so on. The least
// change that gives every pin a place is found by halving and told with its
// figure, so that following the advice makes the rule pass.

// Advice is a change to the job that gives every pin a place.
type Advice struct {
	Key   string // of the job file
	Lacks string // what is in the way; "": it is not this
	Says  string
	Set   []job.Change // nil: none of the job file's
	Apply func(*job.Job)
}

// Places is a job whose pins have no place, and what can be asked of a changed one.
type Places struct {
	Job      *job.Job
	Path     bool                // the cutter's path round the board is a constraint
	StepMM   float64             // of the usual grid
	Likely   func(*job.Job) bool // a quick form of Complete, which it never contradicts by much
	Complete func(*job.Job) bool // every pin has a place
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
	// MostRoomMM is the largest widening that is worth advising; a board that needs
	// more wants another set-up. Practice.
	MostRoomMM = 160.0
	// mostAdvice is how many ways out are told.
	mostAdvice = 2
	// The holes' sizes may follow a change: so many steps more are tried, then twice as many.
	adviceMoreSteps = 5
)

func (p Places) levers() []lever {
	up := func(mm float64) float64 { return RoundUp(p.Job, mm) }
	wider := func(j *job.Job, x float64) { j.Blank.WidthMM = up(j.Blank.WidthMM + x) }
	longer := func(j *job.Job, x float64) { j.Blank.LengthMM = up(j.Blank.LengthMM + x) }
	margin := func(j *job.Job, x float64) { j.Template.MarginMM = up(j.Template.MarginMM + x/2) }
	larger := func(j *job.Job, x float64) { wider(j, x); longer(j, x) }
	set := func(key string, mm float64) job.Change { return job.Change{Key: key, Value: FormatLength(p.Job, mm)} }
	width := func(j *job.Job) []job.Change { return []job.Change{set("blank.width", j.Blank.WidthMM)} }
	length := func(j *job.Job) []job.Change { return []job.Change{set("blank.length", j.Blank.LengthMM)} }
	rim := func(j *job.Job) []job.Change { return []job.Change{set("template.margin", j.Template.MarginMM)} }
	both := func(j *job.Job) []job.Change { return append(length(j), width(j)...) }
	free, travel := p.Job.Blank == nil, p.Job.Machine.TravelMM
	cutter := p.Job.Machine.Cutter.DiameterMM
	return []lever{
		{"blank.width", !free, MostRoomMM, wider, "the blank is too narrow", width, ""},
		{"blank.length", !free, MostRoomMM, longer, "the blank is too short", length, ""},
		{"blank", !free, MostRoomMM, larger, "the blank is too small", both, ""},
		{"template.margin", true, 2 * MostRoomMM, margin, "the plate is too small over both sides", rim, ""},
		{"machine.travel", travel[0] > 0 && travel[1] > 0, MostRoomMM, func(j *job.Job, x float64) {
			j.Machine.TravelMM[0] += x
			j.Machine.TravelMM[1] += x
		}, "the machine's travel is too short", nil, "a shorter board or a longer travel"},
		{"board.keep_out", len(p.Job.Board.KeepOut) > 0, MostRoomMM, shrinkKeepOuts,
			"the keep-outs are too large", nil, "smaller keep-outs on every side"},
		{"machine.cutter", p.Path && cutter > 0, cutter / 2,
			func(j *job.Job, x float64) { j.Machine.Cutter.DiameterMM -= x }, "the cutter that goes round the board is too wide",
			func(j *job.Job) []job.Change { return []job.Change{set("machine.cutter", j.Machine.Cutter.DiameterMM)} }, ""},
		{"blank", !free, MostRoomMM, func(j *job.Job, x float64) { larger(j, x); margin(j, x) },
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

// Advise returns the changes that give every pin a place, the least hurtful first.
func (p Places) Advise() []Advice {
	var out []Advice
	for _, l := range p.levers() {
		if len(out) < mostAdvice && l.on {
			if a, ok := p.pull(l, out); ok {
				out = append(out, a)
			}
		}
	}
	for _, other := range []func() (Advice, bool){p.oneMore, p.thinner} {
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
func (p Places) pull(l lever, have []Advice) (Advice, bool) {
	at := func(steps int) *job.Job {
		return p.Job.Changed(func(j *job.Job) { l.apply(j, float64(steps)*adviceStepMM) })
	}
	once := func(serves func(*job.Job) bool) func(steps int) bool { // each job: sizes are rounded
		known := map[string]bool{}
		return func(steps int) bool {
			j, key := at(steps), fmt.Sprint(steps)
			if l.set != nil {
				key = Describe(l.set(j), " ")
			}
			if _, ok := known[key]; !ok {
				known[key] = serves(j)
			}
			return known[key]
		}
	}
	likely, complete := once(p.Likely), once(p.Complete)
	most := int(l.most / adviceStepMM)
	lo, hi := 0, most
	blank := func(a Advice) bool { return strings.HasPrefix(a.Key, "blank") }
	if l.key == "blank" && slices.ContainsFunc(have, blank) || !likely(hi) {
		return Advice{}, false
	}
	halve := func(serves func(steps int) bool) {
		for hi-lo > 1 {
			if m := (lo + hi) / 2; serves(m) {
				hi = m
			} else {
				lo = m
			}
		}
	}
	halve(likely)
	// The holes' sizes may follow the change.
	fails := -1
	for more := adviceMoreSteps; !complete(hi); more *= 2 {
		if hi == most {
			return Advice{}, false
		}
		fails, hi = hi, min(hi+more, most)
	}
	// Finer grids gain no more than two steps of the usual one on either side.
	lo = max(0, fails, hi-int(4*p.StepMM/adviceStepMM))
	if fails < 0 && lo > 0 && complete(lo) {
		lo, hi = 0, lo
	}
	halve(complete)
	x := float64(hi) * adviceStepMM
	a := Advice{Key: l.key, Lacks: l.lacks, Apply: func(j *job.Job) { l.apply(j, x) }}
	if l.set != nil {
		a.Set = l.set(at(hi))
		a.Says = Describe(a.Set, " and ")
	} else {
		a.Says = fmt.Sprintf("%s, by %.1f mm", l.does, x)
	}
	return a, true
}

// oneMore tries an even number where an odd one cannot be turned over.
func (p Places) oneMore() (Advice, bool) {
	n := p.Job.Dowel.Count + 1
	if p.Job.Template.Flip == "none" || n%2 == 1 || n > layout.MostPins {
		return Advice{}, false
	}
	apply := func(j *job.Job) { j.Dowel.Count = n }
	set := []job.Change{{Key: "dowel.count", Value: fmt.Sprint(n)}}
	says := set[0].String() + ": turned over, pins come in pairs unless one stands on the axis"
	return Advice{Key: "dowel.count", Says: says, Set: set, Apply: apply}, p.Complete(p.Job.Changed(apply))
}

// thinner are the diameters of the pins' standard from the next below the job's down to half of it.
func thinner(j *job.Job) (out []float64) {
	known, _ := dowel.Diameters(j.Dowel.Standard) // of an unknown one none is tried
	for _, d := range slices.Backward(known) {
		if d < j.Dowel.DiameterMM && d >= j.Dowel.DiameterMM/2 {
			out = append(out, d)
		}
	}
	return out
}

// thinner looks for the thickest pins of the same standard that all have a place.
func (p Places) thinner() (Advice, bool) {
	for _, d := range thinner(p.Job) {
		apply := func(j *job.Job) { j.Dowel.DiameterMM, j.Dowel.Measured = d, nil }
		if p.Complete(p.Job.Changed(apply)) {
			set := []job.Change{{Key: "dowel.diameter", Value: FormatLength(p.Job, d)}}
			return Advice{Key: "dowel.diameter", Says: set[0].String(), Set: set, Apply: apply}, true
		}
	}
	return Advice{}, false
}
