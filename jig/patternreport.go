package jig

import (
	"fmt"
	"strings"

	"reseat/jig/layout"
	"reseat/jig/site"
)

// Pattern tells what the pins were placed for and what keeps them from doing better.
type Pattern struct {
	ObjectiveMM float64     `json:"objective_mm"` // error at the worst feature from the two locating pins, 95 %
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

// ways tell, for each constraint on the pins' places, the keys of the job file that move
// it out of the way, what more of that is called, and what helps a pin that lacks room.
var ways = map[string]struct {
	keys         []string
	more, remedy string
	twice        bool // the lack counts on both sides
}{
	site.PlateEdge: {[]string{"template.margin"}, "more template.margin",
		"a template.margin larger by %s, or thinner pins", false},
	site.Window: {nil, "", "a template.margin larger by %s, or thinner pins", false},
	site.Rail:   {nil, "", "a template.margin larger by %s, or a thinner rail", false},
	site.BoardPath: {[]string{"machine.cutter"}, "less machine.cutter",
		"a cutter thinner by %s (machine.cutter), a narrower strip, or thinner pins", false},
	site.KeepOut: {[]string{"board.keep_out"}, "less of the keep-out on that side",
		"a keep-out smaller by %s on that side (board.keep_out), or thinner pins", false},
	site.Travel: {[]string{"machine.travel"}, "more travel at each end (machine.travel)",
		"a board shorter or a travel longer by %s (machine.travel)", true},
	site.InBlank: {[]string{"blank.length", "blank.width"}, "more blank at each end and side (blank.length, blank.width)",
		"a blank wider and longer by %s (blank.width, blank.length), or thinner pins", true},
}

// placeRemedy says what would give a pin the room that it lacks.
func placeRemedy(id string, lack float64) string {
	w := ways[id]
	if w.twice {
		lack *= 2
	}
	return fmt.Sprintf(w.remedy, mm(lack))
}

// report puts objective and limits into words.
func (p plan) report() Pattern {
	s, pt := p.spec, p.found
	r := Pattern{
		ObjectiveMM: pt.ObjectiveMM,
		Objective: "the 95 % error that P1 and P2 leave at the worst feature (holes' places, clearance, growth from the " +
			"round pin)",
	}
	if s.AllRound {
		r.Objective = "the 95 % error at the worst feature (holes' places, clearance) as if only P1 and P2 located; " +
			"all pins do, so it is an upper bound"
	}
	if len(pt.Pins) < 2 {
		return r
	}
	if pt.PairReplaced {
		odd := ""
		if s.Flip != layout.NoFlip && s.Count%2 == 1 {
			odd = "an even dowel.count, "
		}
		r.Limits = fmt.Sprintf("P1 and P2 gave way to the other pins; the best pair would leave %.3f instead of %.3f "+
			"mm at the worst feature: %sfewer or thinner pins, or more room for them, would allow it",
			pt.BestPairMM, pt.ObjectiveMM, odd)
		return r
	}
	for _, l := range s.Limits(pt.Pins) {
		r.Room = append(r.Room, pinLimits(l))
	}
	if len(r.Room) == 0 {
		r.Limits = "more room would not help the locating pins"
		return r
	}
	l := r.Room[0]
	stand, as := "P1 and P2 stand", "well"
	if len(l.Pins) == 1 {
		stand = l.Pins[0] + " stands"
	} else if l.Apart {
		as = "far apart"
	}
	var words []string
	for _, id := range strings.Split(l.Zone, ",") {
		words = append(words, ways[id].more)
	}
	allow := "allows"
	if len(words) > 1 {
		allow = "allow"
	}
	r.Limits = fmt.Sprintf("%s as %s as %s %s; %.4g mm %s would take the worst error from the pins from %.3f to %.3f mm",
		stand, as, l.What, allow, l.MoreMM, strings.Join(words, " and "), l.WouldMM+l.GainMM, l.WouldMM)
	return r
}

// pinLimits puts a limit of the search into the words of the job.
func pinLimits(l layout.Limit) PinLimits {
	out := PinLimits{GainMM: l.GainMM, WouldMM: l.WouldMM, Apart: l.Apart}
	var ids, what []string
	for _, c := range l.Constraints {
		ids, what = append(ids, c.ID), append(what, c.What)
		out.MoreMM = c.RelaxMM
		out.Keys = append(out.Keys, ways[c.ID].keys...)
	}
	out.Zone, out.What = strings.Join(ids, ","), strings.Join(what, " and ")
	for _, i := range l.Pins {
		out.Pins = append(out.Pins, fmt.Sprintf("P%d", i+1))
	}
	return out
}
