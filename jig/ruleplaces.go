package jig

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/foolproof"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/plate"
	"reseat/jig/program"
	"reseat/jig/remedy"
	"reseat/jig/site"
)

// pinCount reports whether every pin found a place, and if not, what is in the way
// and what change would help, with its figure.
func (m made) pinCount() []ruling {
	want, have, found := m.job.Dowel.Count, len(m.d.Pins), m.found
	says, key := fmt.Sprintf("%d of %d pins have a place", have, want), "dowel.count"
	open := slices.ContainsFunc(m.foolproof(), func(r ruling) bool { return r.Level != Pass })
	switch {
	case have < want:
	case m.job.IsGiven(key) && want > layout.FewestBlocking:
		says += ", as many as the job asks for; a clear pin holds nothing down"
	case !m.job.IsGiven(key) && !open:
		says += ": the fewest that block every wrong way"
	}
	var remedies []string
	var ways []Remedy
	for i, a := range m.advice {
		if i == 0 {
			key = a.Key
		}
		remedies = append(remedies, a.Says)
		if a.Set != nil {
			ways = append(ways, Remedy{a.Set})
		}
	}
	if have >= 2 && have < want {
		fits := job.Change{Key: "dowel.count", Value: fmt.Sprint(have)}
		remedies, ways = append(remedies, fits.String()+" fits as it is"), append(ways, Remedy{[]job.Change{fits}})
	}
	switch r := found.Refusal; {
	case found.NoPair && r == nil:
		says = "single pins have a place, but no two that could locate: " + map[string]string{
			"none": "they would stand too near each other",
			"long": "turned over about the long axis, both must stand on the datum line or mirror each other across it",
			"short": "turned over about the short axis, both must stand across the board's middle or mirror each other " +
				"about it",
		}[m.job.Template.Flip]
	case have == 0 && r != nil:
		says = fmt.Sprintf("no place for a %s pin: the best one, at u %.1f, v %.1f, lacks %s to %s",
			mm(m.job.Dowel.DiameterMM), r.At.X, r.At.Y, mm(r.LackMM), r.Constraint.What)
		if len(remedies) == 0 {
			remedies = append(remedies, placeRemedy(r.Constraint.ID, r.LackMM))
		}
	}
	if len(remedies) == 0 {
		remedies = append(remedies, fmt.Sprintf("change several at once: no single change up to %g mm of blank, margin, "+
			"keep-outs, travel or cutter is enough, nor are thinner pins", remedy.MostRoomMM))
	}
	if len(m.advice) > 0 && m.advice[0].Lacks != "" {
		says += "; " + m.advice[0].Lacks
	}
	r := judge("pin-count", have == want, Fail, float64(have), float64(want), "pins", says,
		strings.Join(remedies, "; or "), key)
	r.Remedies = ways
	return []ruling{r}
}

// widest returns the radius of the widest hole that a pin has in any part; a slot's
// travel counts as if it ran every way.
func (q Pin) widest() float64 {
	widest := 0.0
	for _, h := range q.holes() {
		widest = math.Max(widest, h.MaxMM)
	}
	return (widest + q.Template.SlotMM) / 2
}

// pinPlaces holds the pins against every constraint on their places, one rule for each
// kind, and against each other.
func (m made) pinPlaces() []ruling {
	if len(m.d.Pins) == 0 {
		return nil // pinCount reports it
	}
	var out []ruling
	rooms := map[string]float64{}
	at := map[string]int{}
	for _, c := range m.spec.Region.Constraints {
		if c.ID == site.Window {
			c.Room = layout.Outside(m.site.Opening) // finger reliefs came after the pins
		}
		for _, q := range m.d.Pins {
			room := c.Room(q.At) - q.widest()
			i, seen := at[c.ID]
			if seen && room-c.NeedMM >= rooms[c.ID] {
				continue
			}
			if !seen {
				i = len(out)
				at[c.ID], out = i, append(out, ruling{})
			}
			rooms[c.ID] = room - c.NeedMM
			out[i] = atLeast(c.ID, room, c.NeedMM, "mm",
				fmt.Sprintf("hole %s is %s from %s, %s needed", q.ID, mm(room), c.What, mm(c.NeedMM)),
				placeRemedy(c.ID, c.NeedMM-room), "dowel")
		}
	}
	least, web := ruling{}, math.Inf(1)
	for i, q := range m.d.Pins {
		for _, o := range m.d.Pins[:i] {
			if d := q.At.Dist(o.At) - q.widest() - o.widest(); d < web {
				web = d
				least = atLeast(site.WebPins, web, m.spec.Region.WebMM, "mm",
					fmt.Sprintf("holes %s and %s leave %s between them, %s needed", o.ID, q.ID, mm(web), mm(m.spec.Region.WebMM)),
					"use fewer or thinner pins", "dowel.count")
			}
		}
	}
	if len(m.d.Pins) > 1 {
		out = append(out, least)
	}
	return out
}

// foolproof: every wrong way on must miss, a wanted flip must fit.
func (m made) foolproof() []ruling {
	if len(m.d.Pins) < 2 {
		return nil
	}
	few := "three"
	if m.job.Template.Flip != "none" {
		few = "four" // an even number
	}
	var out []ruling
	f := m.d.Foolproof
	for _, w := range []struct {
		id, what, flip string
		miss           float64
	}{
		{"foolproof-half-turn", "turned end for end", "", f.HalfTurnMM},
		{"foolproof-flip-long", "turned over about its long axis", "long", f.FlipLongMM},
		{"foolproof-flip-short", "turned over about its short axis", "short", f.FlipShortMM},
	} {
		if w.flip != "" && w.flip == m.job.Template.Flip {
			out = append(out, atMost(w.id, w.miss, layout.FlipFitsMM, "mm",
				fmt.Sprintf("%s, as the job asks, the pattern fits (mismatch %.3f mm)", w.what, w.miss),
				"use an even number of pins and keep both sides of the blank alike", "template.flip"))
			continue
		}
		out = append(out, atLeast(w.id, w.miss, layout.LeastMissMM, "mm",
			fmt.Sprintf("%s, a pin misses its hole by %s, %s needed", w.what, mm(w.miss), mm(layout.LeastMissMM)),
			fmt.Sprintf("use %s pins or more, or give them more room along the board", few),
			"dowel.count"))
	}
	return out
}

// leastLackMM is what a board must lack to go into its window the wrong way: less gives way
// to a firm push, or to a damp day. Common practice, no source.
const leastLackMM = 0.3

// boardWays: the board itself must not go into its window the wrong way round. All the
// ways in which it does are one finding.
func (m made) boardWays() []ruling {
	f := m.d.BoardFoolproof
	if f == nil {
		return nil
	}
	var out []ruling
	var ways, then []string
	first, room := 0, math.Inf(-1)
	under := "its underside would be bored"
	if m.d.Board.CrownRadiusMM > 0 {
		under = "its crown would lie down"
	}
	for turn, w := range []struct {
		id, what, way, flip string
		lacks               float64
		then                string
	}{
		{"board-half-turn", "end for end", "end for end", "", f.HalfTurnMM,
			m.d.Board.endForEnd()},
		{"board-flip-long", "turned over about its long axis", "face down", "long", f.FlipLongMM, under},
		{"board-flip-short", "turned over about its short axis", "face down", "short", f.FlipShortMM, under},
	} {
		if t := foolproof.Misplacement(turn); m.nest != nil {
			w.what, w.way = m.d.BoardWays.Says(t, w.lacks), m.d.BoardWays.Says(t, leastLackMM-roundingMM)
			if t == foolproof.HalfTurn {
				w.then = "its features would be bored in other places"
			}
		}
		lacks := mm(w.lacks)
		if m.nest != nil && w.lacks >= foolproof.MostLackMM {
			lacks += " or more"
		}
		switch {
		case w.flip != "" && w.flip == m.job.Template.Flip:
		case w.lacks >= leastLackMM-roundingMM:
			out = append(out, atLeast(w.id, w.lacks, leastLackMM, "mm",
				fmt.Sprintf("%s, the board is %s too large for its window", w.what, lacks), "", "template.key"))
		default:
			if len(ways) == 0 {
				first = len(out)
				out = append(out, judge(w.id, false, Warn, w.lacks, leastLackMM, "mm", "", "", "template.key"))
			}
			if room = math.Max(room, -w.lacks); !slices.Contains(ways, w.way) {
				ways = append(ways, w.way)
				if !slices.Contains(then, w.then) {
					then = append(then, w.then)
				}
			}
		}
	}
	if len(ways) == 0 {
		return out
	}
	r, spare := &out[first], fmt.Sprintf("clearance %.3f mm", room)
	if room < 0 {
		spare = fmt.Sprintf("all but %.3f mm", -room)
	}
	r.Says = fmt.Sprintf("%s, the board fits its window too, %s: %s", strings.Join(ways, ", or "), spare,
		strings.Join(then, ", or "))
	r.remedy = "mark START and TOP on the board, or cut off a corner that the window fills (template.key: corner)"
	if m.nest != nil {
		r.remedy = "mark START and TOP on the board: only the marks and the template's pins tell the way"
	} else if m.job.Template.Key == "corner" {
		r.remedy = "mark START and TOP on the board: its start end is too narrow to cut a corner off"
	}
	return out
}

// endForEnd says what becomes of the feature that lies farthest off on a board that is put in end for end.
func (b Board) endForEnd() string {
	moved := func(f Feature) geom.Vec { return geom.Vec{X: b.LengthMM - 2*f.At.X, Y: -2 * f.At.Y} }
	at := slices.MaxFunc(b.Features, func(f, o Feature) int {
		return cmp.Compare(moved(f).Norm(), moved(o).Norm())
	})
	axis, is, by := "u", at.At.X, moved(at).X
	if math.Abs(by) < math.Abs(moved(at).Y) {
		axis, is, by = "v", at.At.Y, moved(at).Y
	}
	return fmt.Sprintf("%s would be bored at %s %.1f instead of %.1f", at.Name, axis, is+by, is)
}

// boardPlace: the board in its blank and on the machine.
func (m made) boardPlace() []ruling {
	var out []ruling
	if m.d.Blank != nil {
		least, need := math.Inf(1), 0.0
		corners := m.d.Board.Outline.Corners()
		if m.job.Board.Outline != nil {
			corners = m.d.Board.Outline.Flatten(windowChordMM) // its arcs reach out
		}
		for _, c := range corners {
			least = math.Min(least, m.d.Blank.Outline.Depth(c))
		}
		if m.job.Rails != nil {
			need = m.job.Rails.StripMM
		}
		says := fmt.Sprintf("the board lies %s inside the blank's edge", mm(least))
		if least < 0 {
			says = fmt.Sprintf("the board stands %s over the blank's edge", mm(-least))
		}
		out = append(out, atLeast("board-in-blank", least, need, "mm", says,
			fmt.Sprintf("the blank must be wider or longer by %s (blank.width, blank.length)", mm(2*(need-least))), "blank"))
	}
	if along, across := site.TravelAlong(m.job); along > 0 {
		size := m.d.Board.Outline.Bounds().Size()
		spare := math.Min(along-size.X, across-size.Y)
		out = append(out, atLeast("board-in-travel", spare, 0, "mm",
			fmt.Sprintf("the machine's travel leaves %s beyond the board", mm(spare)),
			fmt.Sprintf("cut it in two set-ups, or on a machine that travels %s farther", mm(-spare)), "machine.travel"))
	}
	return append(out, m.platesInTravel()...)
}

// platesInTravel: the plates that the router cuts, which are alike outside, with its cutter all round, lying
// either way.
func (m made) platesInTravel() []ruling {
	x, y := m.job.Machine.TravelMM[0], m.job.Machine.TravelMM[1]
	var routed []string
	if m.Template.Make.By == "router" {
		routed = append(routed, "template")
	}
	if r := m.d.Rails; r != nil && r.Sheet != nil && m.Rails.Make.By == "router" {
		routed = append(routed, "gluing plate")
	}
	if x == 0 || y == 0 || m.d.Template.Window == nil || len(routed) == 0 {
		return nil
	}
	size, cutter := m.d.Template.Outline.Bounds().Size(), program.PlateCutter(m.job).DiameterMM
	spare := math.Min(math.Max(x, y)-math.Max(size.X, size.Y), math.Min(x, y)-math.Min(size.X, size.Y)) - cutter
	what := fmt.Sprintf("the %s, %.0f x %.0f mm, with a cutter of %.4g mm all round", strings.Join(routed, " and the "), size.X,
		size.Y, cutter)
	says := fmt.Sprintf("%s: the machine travels %s more", what, mm(spare))
	if spare < 0 {
		says = fmt.Sprintf("%s: the machine travels %s less", what, mm(-spare))
	}
	return []ruling{judge("plate-in-travel", spare >= -roundingMM, Warn, spare, 0, "mm", says,
		"cut in two clampings, or elsewhere", "machine.travel")}
}

// narrow: of an outline's window, the narrowest place for its cutter, and where least of the
// plate is left between two parts of it.
func (m made) narrow() (out []ruling) {
	if m.nest == nil {
		return nil
	}
	worst := map[plate.Tightness]plate.Tight{}
	for _, k := range m.nest.Tight {
		if w, seen := worst[k.What]; !seen || k.WidthMM < w.WidthMM {
			worst[k.What] = k
		}
	}
	if k, ok := worst[plate.Neck]; ok {
		out = append(out, atLeast("window-neck", k.WidthMM, 2*site.PlateCutter(m.job), "mm",
			fmt.Sprintf("the window is %s wide at u %.1f v %.1f, narrower than its cutter", mm(k.WidthMM), k.At.X, k.At.Y),
			"a thinner cutter, or a plate cut by laser", "template.make.cutter"))
	}
	if k, ok := worst[plate.Tongue]; ok {
		web := m.spec.Region.WebMM
		out = append(out, judge("window-tongue", k.WidthMM >= web, Warn, k.WidthMM, web, "mm",
			fmt.Sprintf("the plate is %s wide between two parts of the window, at u %.1f v %.1f", mm(k.WidthMM), k.At.X, k.At.Y),
			"a plate of tougher sheet; where it breaks, the window no longer holds the board there", "board.outline"))
	}
	return out
}

// windowWeb: the window must leave the printed or cut plate whole at its ends.
func (m made) windowWeb() []ruling {
	if m.d.Template.Window == nil {
		return nil
	}
	least := math.Inf(1)
	for _, v := range m.d.Template.Window.Flatten(windowChordMM) {
		least = math.Min(least, m.d.Template.Outline.Depth(v))
	}
	return []ruling{atLeast("window-web-plate", least, m.spec.Region.WebMM, "mm",
		fmt.Sprintf("the plate is %s wide round the window", mm(least)), "a larger template.margin", "template.margin")}
}

// lifting: finger reliefs that the job asks for by name must have room.
func (m made) lifting() []ruling {
	asked := m.job.IsGiven("template.lift") && m.job.Template.Lift
	if m.site.Window == nil || !asked && m.site.LiftMM == 0 {
		return nil
	}
	says := fmt.Sprintf("finger reliefs in both long walls of the window, at u %.0f", m.site.LiftMM)
	if m.site.LiftMM == 0 {
		says = "no room for finger reliefs beside the window"
	}
	return []ruling{judge("finger-reliefs", m.site.LiftMM > 0, Warn, m.site.LiftMM, 0, "mm", says,
		"a larger template.margin; rails of a printed plate, and the keys of one in parts, leave none", "template.lift")}
}

// windowChordMM is how closely the window is followed when its distance from the
// plate's edge is taken: a hundredth, far below the webs that it is held against.
const windowChordMM = 0.01
