package jig

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
)

// Pattern tells what the pins were placed for and what keeps them from doing better.
type Pattern struct {
	ObjectiveMM float64     `json:"objective_mm"` // worst error at any feature from the two locating pins
	Objective   string      `json:"objective"`    // what was made small, in words
	Limits      string      `json:"limits"`       // what keeps it from being smaller, in words
	Room        []PinLimits `json:"room"`         // the same in figures, the most helpful first
}

// PinLimits is one thing that keeps the locating pins from better places.
type PinLimits struct {
	Zone    string   `json:"rule"`                  // the rule's name, such as "pin-in-blank"
	Pins    []string `json:"pins"`                  // those that it stops: "P1", "P2"
	Keys    []string `json:"keys"`                  // of the job file, that would move it
	MoreMM  float64  `json:"more_mm"`               // by how much it was moved away for the figures below
	WouldMM float64  `json:"objective_would_be_mm"` // to what the worst error at a feature would then fall
	GainMM  float64  // by how much
	What    string   // "the blank's edge"
	Apart   bool     // the pins would then stand farther apart
}

// moreRoomMM is how much room is added on trial to tell what more would bring: a
// strip that a maker can find. Common practice, no source.
const moreRoomMM = 10.0

// moreRoom is how far a zone is thought away: a cutter can only be thinner by half,
// and window and rails stay where the board is.
func moreRoom(j *job.Job, id string) float64 {
	switch id {
	case ruleWindow, ruleRail:
		return 0
	case ruleBoard:
		return math.Min(moreRoomMM, j.Machine.CutterMM/2)
	}
	return moreRoomMM
}

// leastGain is the least share of the error by which more room must lower it to be
// worth telling; below it, the choice between nearly equal pairs does as much.
const leastGain = 0.005

// zoneKeys names the keys of the job file that move a zone out of the way.
func zoneKeys(id string) []string {
	switch id {
	case rulePlateEdge:
		return []string{"template.margin"}
	case ruleBlank:
		return []string{"blank.length", "blank.width"}
	case ruleBoard:
		return []string{"machine.cutter"}
	case ruleKeepOut:
		return []string{"board.keep_out"}
	case ruleTravel:
		return []string{"machine.travel"}
	}
	return nil
}

// limits tells what would let the locating pins do better: for each zone by
// itself, and for all that bound the plate together when none by itself helps,
// the pair walks to better places with the zone moved away by moreRoomMM. It walks
// with the same strides without, so that the difference is the zone's alone.
func (s patternSpec) limits(pins []placed) []PinLimits {
	w := s.walker(pins[0].at, pins[1].at)
	_, _, now := w.walk(w.a, w.b, nil)
	floor := leastGain * now
	var out []PinLimits
	try := func(off map[int]bool) {
		a, b, e := w.walk(w.a, w.b, off)
		if p, ok := s.anew(off); ok {
			// The best places may lie where no short way leads.
			v := s.walker(p.round.at, p.slot.at)
			if p, q, f := v.walk(v.a, v.b, off); f < e {
				a, b, e = p, q, f
			}
		}
		if now-e < floor {
			return
		}
		l := PinLimits{GainMM: s.errorMM * (now - e), WouldMM: s.errorMM * e}
		var zones, what []string
		for i, z := range s.ground.zones {
			if !off[i] {
				continue
			}
			zones, what = append(zones, z.id), append(what, z.what)
			l.MoreMM = z.give
			l.Keys = append(l.Keys, zoneKeys(z.id)...)
		}
		l.Apart = a.Dist(b) > w.a.Dist(w.b)+s.ground.step
		l.Zone, l.What = strings.Join(zones, ","), strings.Join(what, " and ")
		for i, p := range []geom.Vec{a, b} {
			if w.broken(p, off) {
				l.Pins = append(l.Pins, fmt.Sprintf("P%d", i+1))
			}
		}
		at := len(out)
		for at > 0 && out[at-1].GainMM < l.GainMM {
			at--
		}
		out = append(out[:at], append([]PinLimits{l}, out[at:]...)...)
	}
	every := map[int]bool{}
	for i, z := range s.ground.zones {
		every[i] = z.give > 0
	}
	if try(every); len(out) == 0 {
		return nil // not even all of it together
	}
	out = nil
	edges := map[int]bool{}
	for i, z := range s.ground.zones {
		if z.give == 0 {
			continue
		}
		try(map[int]bool{i: true})
		if z.id == rulePlateEdge || z.id == ruleBlank || z.id == ruleTravel {
			edges[i] = true
		}
	}
	if len(out) == 0 && len(edges) > 1 {
		try(edges)
	}
	return out
}

// walker moves a pair about to lower its error at the features.
type walker struct {
	spec patternSpec
	f    finder
	a, b geom.Vec
	// with a flip, the second pin's move follows from the first's
	images bool
	axis   bool
}

func (s patternSpec) walker(a, b geom.Vec) walker {
	w := walker{spec: s, f: s.finder(), a: a, b: b}
	if s.flip != "none" {
		w.images = s.image(w.a).Dist(w.b) < ruleSlack
		w.axis = !w.images
	}
	return w
}

// room returns the slack at p when some zones are moved away.
func (w walker) room(p geom.Vec, off map[int]bool) float64 {
	least := math.Inf(1)
	for i := range w.spec.ground.zones {
		s := w.spec.ground.zones[i].slack(p, w.spec.ground.holeR)
		if off[i] {
			s += w.spec.ground.zones[i].give
		}
		if least = math.Min(least, s); least < 0 {
			break
		}
	}
	return least
}

// broken reports whether a zone that was moved away would stop a pin at p.
func (w walker) broken(p geom.Vec, off map[int]bool) bool {
	for i, z := range w.spec.ground.zones {
		if off[i] && z.slack(p, w.spec.ground.holeR) < 0 {
			return true
		}
	}
	return false
}

// anew searches the pair on a coarse grid with some zones moved away.
func (s patternSpec) anew(off map[int]bool) (pair, bool) {
	g := *s.ground
	g.zones = slices.Clone(g.zones)
	for i := range g.zones {
		if off[i] {
			g.zones[i].need -= g.zones[i].give
			g.box = g.box.Grow(g.zones[i].give)
		}
	}
	g.step *= anewSteps
	s.ground = &g
	cols := g.survey(enoughSlackMM + s.travel/2)
	f := s.finder()
	if s.flip != "none" {
		return s.choosePair(f, cols)
	}
	var all []spot
	for _, c := range cols {
		all = append(all, c...)
	}
	if len(all) < 2 {
		return pair{}, false
	}
	search := &pairSearch{root: newBlock(all), least: f.least, travel: f.travel, aim: f.features}
	p, _ := search.run(nil)
	if p == nil {
		return pair{}, false
	}
	return f.measure(p[0], p[1]), true
}

// anewSteps is how much coarser that grid is; the walk from there is on the fine one.
const anewSteps = 4

// walk returns the places to which the pair comes from a and b, and its error for
// an error of 1 at a pin.
func (w walker) walk(a, b geom.Vec, off map[int]bool) (_, _ geom.Vec, err float64) {
	err = w.f.features.error(a, b)
	for range tidyRounds {
		before := err
		for _, k := range tidyReach {
			d := k * w.f.step
			for moved := true; moved; {
				moved = false
				for _, m := range w.moves(d) {
					p, q := a.Add(m[0]), b.Add(m[1])
					if p.Dist(q) < w.f.least {
						continue
					}
					e := w.f.features.error(p, q)
					if e >= err*(1-walkGain) {
						continue
					}
					rp, rq := w.room(p, off), w.room(q, off)
					if rp >= 0 && rq >= 0 && math.Max(rp, rq) >= w.f.travel {
						a, b, err, moved = p, q, e, true
					}
				}
			}
		}
		if err == before {
			break
		}
	}
	return a, b, err
}

// walkGain is the least share of the error that a step must gain, so that a walk
// along a valley of rounding ends.
const walkGain = 1e-6

// moves returns the moves of both pins by d that the flip allows.
func (w walker) moves(d float64) [][2]geom.Vec {
	dirs := []geom.Vec{{}, {X: d}, {X: -d}, {Y: d}, {Y: -d}}
	if w.axis {
		dirs = []geom.Vec{{}, {X: d}, {X: -d}}
		if w.spec.flip == "short" {
			dirs = []geom.Vec{{}, {Y: d}, {Y: -d}}
		}
	}
	var out [][2]geom.Vec
	for _, p := range dirs {
		if w.images {
			q := w.spec.image(p).Sub(w.spec.image(geom.Vec{}))
			out = append(out, [2]geom.Vec{p, q})
			continue
		}
		for _, q := range dirs {
			out = append(out, [2]geom.Vec{p, q})
		}
	}
	return out
}

// report puts objective and limits into words.
func (s patternSpec) report(pt pattern) Pattern {
	r := Pattern{
		ObjectiveMM: pt.objectiveMM,
		Objective:   "the least error at the worst feature, the holes of the two locating pins being off by what both plates' places err",
	}
	if s.allRound {
		r.Objective = "the least error at the worst feature if only the first two pins located; all of them do, so it is an upper bound"
	}
	if len(pt.pins) < 2 {
		return r
	}
	if pt.gaveWay {
		odd := ""
		if s.flip != "none" && s.count%2 == 1 {
			odd = "an even dowel.count, "
		}
		r.Limits = fmt.Sprintf("P1 and P2 gave way to the other pins; the best pair would leave %.3f instead of %.3f mm at the worst feature: %sfewer or thinner pins, or more room for them, would allow it",
			pt.aloneMM, pt.objectiveMM, odd)
		return r
	}
	r.Room = s.limits(pt.pins)
	if len(r.Room) == 0 {
		r.Limits = fmt.Sprintf("more room would not help the locating pins: the %.3f mm that they leave at the worst feature come from the %.3f mm by which their holes may be off",
			pt.objectiveMM, s.errorMM)
		return r
	}
	l := r.Room[0]
	stand, as := "P1 and P2 stand", "well"
	if len(l.Pins) == 1 {
		stand = l.Pins[0] + " stands"
	} else if l.Apart {
		as = "far apart"
	}
	more := map[string]string{
		"template.margin": "more template.margin",
		"machine.cutter":  "less machine.cutter",
		"board.keep_out":  "less of the keep-out on that side",
		"machine.travel":  "more travel at each end (machine.travel)",
		"blank.length":    "more blank at each end and side (blank.length, blank.width)",
	}
	var words []string
	for _, k := range l.Keys {
		if w := more[k]; w != "" {
			words = append(words, w)
		}
	}
	r.Limits = fmt.Sprintf("%s as %s as %s %s; %.4g mm %s would take the worst error from the pins from %.3f to %.3f mm",
		stand, as, l.What, allows(l.What), l.MoreMM, strings.Join(words, " and "), l.WouldMM+l.GainMM, l.WouldMM)
	return r
}

func allows(what string) string {
	if strings.Contains(what, " and ") {
		return "allow"
	}
	return "allows"
}
