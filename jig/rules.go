package jig

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
)

// ruleBook collects the verdicts in the order in which they are asked for.
type ruleBook struct {
	job   *job.Job
	rules []Rule
}

// atLeast passes when value >= limit. says is told on pass; remedy is added
// otherwise. key is the job file's key that the remedy changes.
func (b *ruleBook) atLeast(id string, value, limit float64, unit, says, remedy, key string) {
	b.judge(id, value >= limit-ruleSlack, Fail, value, limit, unit, says, remedy, key)
}

// atMost passes when value <= limit.
func (b *ruleBook) atMost(id string, value, limit float64, unit, says, remedy, key string) {
	b.judge(id, value <= limit+ruleSlack, Fail, value, limit, unit, says, remedy, key)
}

func (b *ruleBook) judge(id string, ok bool, bad Level, value, limit float64, unit, says, remedy, key string) {
	r := Rule{ID: id, Level: Pass, Value: value, Limit: limit, Unit: unit, Says: says}
	if !ok {
		r.Level = bad
		r.Says = says + "; " + remedy
		r.Line = b.job.Pos(key).Line
	}
	b.rules = append(b.rules, r)
}

// ruleSlack forgives rounding when a value meets its limit exactly: a nanometre,
// a thousand times below what anything here is known to.
const ruleSlack = 1e-6

// mm writes a length for a sentence: two decimals, no "-0.00".
func mm(x float64) string {
	if math.Abs(x) < 0.005 {
		x = 0
	}
	return fmt.Sprintf("%.2f mm", x)
}

// zoneRules judges the pins against every zone, one rule for each kind of zone.
func (b *ruleBook) zoneRules(g *layout.Region, pins []layout.Pin, hole func(layout.Pin) float64) {
	if len(pins) == 0 {
		return // countRule has told it
	}
	done := map[string]bool{}
	for _, z := range g.Constraints {
		if done[z.ID] {
			continue
		}
		done[z.ID] = true
		least, need, what, pin := math.Inf(1), 0.0, "", 0
		for _, o := range g.Constraints {
			if o.ID != z.ID {
				continue
			}
			for i, p := range pins {
				if d := o.Room(p.At) - hole(p) - o.NeedMM; d < least {
					least, need, what, pin = d, o.NeedMM, o.What, i
				}
			}
		}
		b.atLeast(z.ID, least+need, need, "mm",
			fmt.Sprintf("hole P%d is %s from %s, %s needed", pin+1, mm(least+need), what, mm(need)),
			zoneRemedy(z.ID, -least), "dowel")
	}
	if len(pins) > 1 {
		least, a, c := math.Inf(1), 0, 0
		for i := range pins {
			for k := range i {
				if d := pins[i].At.Dist(pins[k].At) - hole(pins[i]) - hole(pins[k]); d < least {
					least, a, c = d, k, i
				}
			}
		}
		b.atLeast(ruleWebPins, least, g.WebMM, "mm",
			fmt.Sprintf("holes P%d and P%d leave %s between them, %s needed", a+1, c+1, mm(least), mm(g.WebMM)),
			"use fewer or thinner pins", "dowel.count")
	}
}

// countRule tells whether every pin found a place, and if not, what is in the way
// and what change would help, with its figure.
func (b *ruleBook) countRule(pt layout.Pattern, ways []advice) {
	want := b.job.Dowel.Count
	says := fmt.Sprintf("%d of %d pins have a place", len(pt.Pins), want)
	key := "dowel.count"
	var remedies []string
	for i, a := range ways {
		if i == 0 {
			key = a.key
		}
		remedies = append(remedies, a.says)
	}
	if n := len(pt.Pins); n >= 2 && n < want {
		remedies = append(remedies, fmt.Sprintf("dowel.count %d fits as it is", n))
	}
	switch {
	case pt.Lonely && pt.Refusal == nil:
		says = "single pins have a place, but no two that could locate: " + map[string]string{
			"none":  "they would stand too near each other",
			"long":  "turned over about the long axis, both must stand on the datum line or mirror each other across it",
			"short": "turned over about the short axis, both must stand across the board's middle or mirror each other about it",
		}[b.job.Template.Flip]
	case len(pt.Pins) == 0 && pt.Refusal != nil:
		r := pt.Refusal
		says = fmt.Sprintf("no place for a %s pin: the best one, at u %.1f, v %.1f, lacks %s to %s",
			mm(b.job.Dowel.DiameterMM), r.At.X, r.At.Y, mm(r.LackMM), r.Constraint.What)
		if len(remedies) == 0 {
			remedies = append(remedies, zoneRemedy(r.Constraint.ID, r.LackMM))
		}
	}
	if len(remedies) == 0 {
		remedies = append(remedies, fmt.Sprintf("no single change up to %g mm of blank, margin, keep-outs, travel or cutter would do: use fewer or thinner pins", mostRoomMM))
	}
	b.judge("pin-count", len(pt.Pins) == want, Fail, float64(len(pt.Pins)), float64(want), "pins", says, strings.Join(remedies, "; or "), key)
}

// zoneRemedy says what would give a pin the room that it lacks.
func zoneRemedy(id string, lack float64) string {
	switch id {
	case ruleBlank:
		return fmt.Sprintf("a blank wider and longer by %s (blank.width, blank.length), or thinner pins", mm(2*lack))
	case ruleBoard:
		return fmt.Sprintf("a cutter thinner by %s (machine.cutter), a narrower strip, or thinner pins", mm(lack))
	case ruleWindow, rulePlateEdge:
		return fmt.Sprintf("a template.margin larger by %s, or thinner pins", mm(lack))
	case ruleKeepOut:
		return fmt.Sprintf("a keep-out smaller by %s on that side (board.keep_out), or thinner pins", mm(lack))
	case ruleRail:
		return fmt.Sprintf("a template.margin larger by %s, or a thinner rail", mm(lack))
	case ruleTravel:
		return fmt.Sprintf("a board shorter or a travel longer by %s (machine.travel)", mm(2*lack))
	}
	return "thinner pins"
}

// foolproofRules: every wrong way on must miss, a wanted flip must fit.
func (b *ruleBook) foolproofRules(pins []layout.Pin, misses layout.Foolproof) {
	if len(pins) < 2 {
		return
	}
	few := "three"
	if b.job.Template.Flip != "none" {
		few = "four" // an even number
	}
	for _, w := range []struct {
		id, what, flip string
		miss           float64
	}{
		{"foolproof-half-turn", "turned end for end", "", misses.HalfTurnMM},
		{"foolproof-flip-long", "turned over about its long axis", "long", misses.FlipLongMM},
		{"foolproof-flip-short", "turned over about its short axis", "short", misses.FlipShortMM},
	} {
		if w.flip != "" && w.flip == b.job.Template.Flip {
			b.atMost(w.id, w.miss, layout.FlipFitsMM, "mm",
				fmt.Sprintf("%s, as the job asks, the pattern fits (miss %.3f mm)", w.what, w.miss),
				"use an even number of pins and keep both sides of the blank alike", "template.flip")
			continue
		}
		b.atLeast(w.id, w.miss, layout.LeastMissMM, "mm",
			fmt.Sprintf("%s, a pin misses its hole by %s at best", w.what, mm(w.miss)),
			fmt.Sprintf("at least %s is wanted: use %s pins or more, or give them more room along the board", mm(layout.LeastMissMM), few),
			"dowel.count")
	}
}

// placeRules: the board in its blank and on the machine, the plate on the machine.
func (b *ruleBook) placeRules(s site) {
	j := b.job
	if s.blank != nil {
		least := math.Inf(1)
		for _, c := range s.outline.Corners() {
			least = math.Min(least, s.blank.Depth(c))
		}
		need := 0.0
		if j.Rails != nil {
			need = j.Rails.StripMM
		}
		says := fmt.Sprintf("the board lies %s inside the blank's edge", mm(least))
		if least < 0 {
			says = fmt.Sprintf("the board stands %s over the blank's edge", mm(-least))
		}
		b.atLeast("board-in-blank", least, need, "mm", says,
			fmt.Sprintf("the blank must be wider or longer by %s (blank.width, blank.length)", mm(2*(need-least))), "blank")
	}
	if along, across := travelAlong(j); along > 0 {
		size := s.outline.Bounds().Size()
		spare := math.Min(along-size.X, across-size.Y)
		b.atLeast("board-in-travel", spare, 0, "mm",
			fmt.Sprintf("the machine's travel leaves %s beyond the board", mm(spare)),
			"turn the board (machine.long_axis) or cut it in two set-ups", "machine.travel")
	}
}

// floatRule holds the float alone against the wanted accuracy.
func (b *ruleBook) floatRule(seat Seat) {
	worst := FeatureFloat{WorstMM: -1}
	for _, f := range seat.Features {
		if f.WorstMM > worst.WorstMM {
			worst = f
		}
	}
	if worst.WorstMM < 0 {
		return
	}
	remedy := "tighter holes or a longer baseline"
	key := "accuracy"
	if seat.Kind == "nest" && b.job.Template.Push == "none" {
		remedy = "push the board against two stops (template.push), or a smaller template.clearance"
		key = "template.clearance"
	}
	b.atMost("float", worst.WorstMM, b.job.AccuracyMM, "mm",
		fmt.Sprintf("float alone lets %s move by %s", worst.Name, mm(worst.WorstMM)), remedy, key)
}

// windowRule: the window must leave the printed or cut plate whole at its ends.
func (b *ruleBook) windowRule(s site, web float64) {
	if s.window == nil {
		return
	}
	least := math.Inf(1)
	for _, v := range s.window.Flatten(windowChordMM) {
		least = math.Min(least, s.plate.Depth(v))
	}
	b.atLeast("window-web-plate", least, web, "mm",
		fmt.Sprintf("the plate is %s wide round the window", mm(least)), "a larger template.margin", "template.margin")
}

// windowChordMM is how closely the window is followed when its distance from the
// plate's edge is taken: a hundredth, far below the webs that it is held against.
const windowChordMM = 0.01

// layerMM is the usual layer of a printer; heights snap to it. Source:
// cut-file rule B10, printparams.com (FOUND there).
const layerMM = 0.2

// slimmest returns the shortest side of a contour and its index.
func slimmest(l geom.Loop) (int, float64) {
	at, least := 0, math.Inf(1)
	for i := range l {
		if d := l.Edge(i).Length(); d < least {
			at, least = i, d
		}
	}
	return at, least
}
