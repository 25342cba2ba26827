package jig

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

// advice is a change to the job that gives every pin a place.
type advice struct {
	key   string // of the job file
	addMM float64
	says  string
	apply func(*job.Job)
}

// lever is one thing that can be changed by x millimetres.
type lever struct {
	key   string
	apply func(j *job.Job, x float64)
	says  func(j *job.Job, x float64) string
	most  float64
}

const (
	// adviceStepMM is the fineness of an advised change, as a maker would mark it.
	adviceStepMM = 0.1
	// mostRoomMM is the largest widening that is worth advising; a board that needs
	// more wants another set-up. Common practice, no source.
	mostRoomMM = 160.0
	// mostAdvice is how many ways out are told.
	mostAdvice = 2
)

func (b *builder) levers() []lever {
	j := b.job
	var out []lever
	add := func(key string, most float64, apply func(*job.Job, float64), says func(*job.Job, float64) string) {
		out = append(out, lever{key, apply, says, most})
	}
	pins := fmt.Sprintf("%d pins of %s", j.Dowel.Count, mm(j.Dowel.DiameterMM))
	if j.Blank != nil {
		wider := func(j *job.Job, x float64) { j.Blank.WidthMM += x }
		longer := func(j *job.Job, x float64) { j.Blank.LengthMM += x }
		margin := func(j *job.Job, x float64) { j.Template.MarginMM += x / 2 }
		add("blank.width", mostRoomMM, wider, func(j *job.Job, x float64) string {
			return fmt.Sprintf("the blank is too narrow by %.1f mm for %s: blank.width %.1f mm would do", x, pins, j.Blank.WidthMM)
		})
		add("blank.length", mostRoomMM, longer, func(j *job.Job, x float64) string {
			return fmt.Sprintf("the blank is too short by %.1f mm for %s: blank.length %.1f mm would do", x, pins, j.Blank.LengthMM)
		})
		add("blank", mostRoomMM, func(j *job.Job, x float64) { wider(j, x); longer(j, x) }, func(j *job.Job, x float64) string {
			return fmt.Sprintf("the blank is too small by %.1f mm both ways for %s: blank.length %.1f mm and blank.width %.1f mm would do",
				x, pins, j.Blank.LengthMM, j.Blank.WidthMM)
		})
		add("template.margin", 2*mostRoomMM, margin, marginSays(pins))
	} else {
		add("template.margin", 2*mostRoomMM, func(j *job.Job, x float64) { j.Template.MarginMM += x / 2 }, marginSays(pins))
	}
	if x, _ := travelAlong(j); x > 0 {
		add("machine.travel", mostRoomMM, func(j *job.Job, x float64) {
			j.Machine.TravelMM[0] += x
			j.Machine.TravelMM[1] += x
		}, func(_ *job.Job, x float64) string {
			return fmt.Sprintf("the machine's travel is too short by %.1f mm for %s: a shorter board, or the other long_axis", x, pins)
		})
	}
	if len(j.Board.KeepOut) > 0 {
		add("board.keep_out", mostRoomMM, shrinkKeepOuts, func(_ *job.Job, x float64) string {
			return fmt.Sprintf("the keep-outs take too much room: %.1f mm off each of their sides would do for %s", x, pins)
		})
	}
	if c := j.Machine.CutterMM; b.cutterCounts() && c > adviceStepMM {
		add("machine.cutter", c-adviceStepMM, func(j *job.Job, x float64) { j.Machine.CutterMM -= x }, func(j *job.Job, x float64) string {
			return fmt.Sprintf("the cutter that goes round the board is too wide by %.1f mm for %s: machine.cutter %.1f mm would do", x, pins, j.Machine.CutterMM)
		})
	}
	if j.Blank != nil {
		both := func(j *job.Job, x float64) {
			j.Blank.WidthMM += x
			j.Blank.LengthMM += x
			j.Template.MarginMM += x / 2
		}
		add("blank", mostRoomMM, both, func(j *job.Job, x float64) string {
			return fmt.Sprintf("blank and plate are too small by %.1f mm both ways for %s: blank.length %.1f mm, blank.width %.1f mm and template.margin %.1f mm would do",
				x, pins, j.Blank.LengthMM, j.Blank.WidthMM, j.Template.MarginMM)
		})
	}
	return out
}

func marginSays(pins string) func(*job.Job, float64) string {
	return func(j *job.Job, x float64) string {
		return fmt.Sprintf("the plate is too small by %.1f mm on each side for %s: template.margin %.1f mm would do", x/2, pins, j.Template.MarginMM)
	}
}

// cutterCounts: the zone of the cutter's path is there.
func (b *builder) cutterCounts() bool {
	return slices.ContainsFunc(b.region.Constraints, func(c layout.Constraint) bool { return c.ID == ruleBoard })
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
	if j.Rails != nil {
		k := *j.Rails
		c.Rails = &k
	}
	c.Board.KeepOut = slices.Clone(j.Board.KeepOut)
	f(&c)
	return &c
}

// complete reports whether every pin of the changed job has a place.
func complete(j *job.Job) bool {
	b, err := newBuilder(j)
	if err != nil {
		return false
	}
	return b.pattern() == nil && len(b.found.Pins) == j.Dowel.Count
}

// likely is a quick form of complete: the holes' sizes stay as they are, only the
// full number of pins is looked for, and only on the usual grid, so that the advice
// leads to places that a rule shows.
func (b *builder) likely(j *job.Job) bool {
	g := b.region
	site := lay(j, g.HoleRadiusMM+b.travel/2, g.WebMM)
	spec := b.spec()
	spec.Region = site.region(j, g.HoleRadiusMM, g.WebMM, b.standingRails())
	return spec.Fits()
}

// advise returns the changes that give every pin a place, the least hurtful first.
func (b *builder) advise() []advice {
	if len(b.found.Pins) >= b.job.Dowel.Count {
		return nil
	}
	var out []advice
	for _, l := range b.levers() {
		if len(out) == mostAdvice {
			break
		}
		at := func(steps int) *job.Job {
			return changed(b.job, func(j *job.Job) { l.apply(j, float64(steps)*adviceStepMM) })
		}
		lo, hi := 0, int(l.most/adviceStepMM)
		if slices.ContainsFunc(out, func(a advice) bool { return strings.HasPrefix(a.key, "blank") }) && l.key == "blank" ||
			!b.likely(at(hi)) {
			continue
		}
		for hi-lo > 1 {
			if m := (lo + hi) / 2; b.likely(at(m)) {
				hi = m
			} else {
				lo = m
			}
		}
		// The holes' sizes may follow the change.
		for range adviceTries {
			if j := at(hi); complete(j) {
				x := float64(hi) * adviceStepMM
				out = append(out, advice{l.key, x, l.says(j, x), func(j *job.Job) { l.apply(j, x) }})
				break
			}
			hi += adviceMoreSteps
		}
	}
	for _, other := range []func() (advice, bool){b.oneMore, b.thinner} {
		if len(out) < mostAdvice {
			if a, ok := other(); ok {
				out = append(out, a)
			}
		}
	}
	return out
}

// oneMore tries an even number where an odd one cannot be turned over.
func (b *builder) oneMore() (advice, bool) {
	n := b.job.Dowel.Count + 1
	if b.job.Template.Flip == "none" || n%2 == 1 || n > layout.MostPins {
		return advice{}, false
	}
	apply := func(j *job.Job) { j.Dowel.Count = n }
	return advice{
		key: "dowel.count", apply: apply,
		says: fmt.Sprintf("turned over, pins come in pairs unless one stands on the axis: dowel.count %d would do", n),
	}, complete(changed(b.job, apply))
}

// thinner looks for the thickest pins of the same standard that all have a place.
func (b *builder) thinner() (advice, bool) {
	known, err := dowel.Diameters(b.job.Dowel.Standard)
	if err != nil {
		return advice{}, false
	}
	for _, d := range slices.Backward(known) {
		if d >= b.job.Dowel.DiameterMM || d < b.job.Dowel.DiameterMM/2 {
			continue
		}
		apply := func(j *job.Job) { j.Dowel.DiameterMM, j.Dowel.Measured = d, nil }
		if complete(changed(b.job, apply)) {
			return advice{
				key: "dowel.diameter", addMM: d - b.job.Dowel.DiameterMM, apply: apply,
				says: fmt.Sprintf("pins of %s would all have a place (dowel.diameter)", mm(d)),
			}, true
		}
	}
	return advice{}, false
}

const (
	adviceTries     = 4
	adviceMoreSteps = 5
)
