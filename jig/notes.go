package jig

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/program"
	"reseat/jig/setup"
)

// notes are what a maker should know although no rule fails.
func (m made) notes() []string {
	out := slices.Clone(m.job.Board.OutlineNotes)
	add := func(format string, of ...any) { out = append(out, fmt.Sprintf(format, of...)) }
	if c := m.plan.Board; m.job.Climate != nil && c.Missing == nil && c.Extrapolated {
		add("The board's moisture lies outside 6 to 14 %% (%.1f %% made, %.1f %% now), where the coefficients hold: "+
			"take its movement as a rough figure.",
			c.MoistureFrom, c.MoistureTo)
	}
	material, length := m.Template.Material, m.job.Board.LengthMM
	slow := math.Abs(m.Template.Growth.SlowMoisture) * length
	if m.job.Climate != nil && fit.FamilyOf(material) != fit.Wood && slow > worthTellingMM {
		add("The %s plate takes up moisture over weeks; left in the new air it changes by up to %.2f mm over the "+
			"board's length, which is not in the budget.",
			material, slow)
	}
	if len(m.pins) > 0 && m.Stand.Through {
		add("The bed's holes go right through it: lay scrap under the bed before you bore.")
	}
	sheet := m.site.Window != nil && m.job.Template.Make.By != "print"
	if r, t := m.d.Rails, m.job.Template; r != nil && sheet && t.ThicknessMM > r.EdgeMM {
		own := map[string]string{"print": "the printed plate", "sheet": "the plate of " + RailsFile}[r.Plate]
		add("Do not press with the %s plate in place: it stands %s above the board's lowest edge. Glue with %s, or with a "+
			"caul narrower than the board.", t.Material, mm(t.ThicknessMM-r.EdgeMM), cmp.Or(own, "a thinner plate"))
	}
	if m.job.Template.Seat == "pins" && len(m.pins) > 0 {
		add("The plate of %s stands in no set-up: the blank's own holes seat it. It has the same holes, for checking "+
			"bed and blank.", templateFile)
	}
	if m.job.Template.Flip != "none" && !slices.ContainsFunc(m.job.Board.Features, job.Feature.IsUnderside) {
		add("The part is turned over, and no feature is on its underside: all are bored with the top up. One of the " +
			"underside says so (side: under).")
	}
	if !m.job.IsGiven("units") {
		add("The job names no units: bare numbers were read as millimetres.")
	}
	if m.GluesOnPins() {
		deep, pins := "", "use a second set of pins, or pull those of the bed"
		if !m.Glue.Through {
			deep = fmt.Sprintf(", bored %.2f mm deep so that the longest ends flush with it", m.Glue.DepthMM)
		}
		if m.Glue.LengthMM != m.Stand.LengthMM {
			pins = fmt.Sprintf("they are %.4g mm long, those of the bed %.4g", m.Glue.LengthMM, m.Stand.LengthMM)
		}
		add("For gluing the plate goes over pins that stand in the blank's holes%s: %s.", deep, pins)
	}
	for _, q := range m.pockets {
		file := program.PocketsFile(q.face)
		if q.fault != nil && !m.job.IsGiven("pockets") {
			add("%s is not written: %v. Name the measured cutter (pockets.cutter).", file, q.fault)
		}
		if s, ok := setup.ForProgram(m.d.Setups, file); ok && m.job.Template.Flip != "none" {
			add("%s: %s", file, s.Lies)
		}
	}
	for _, p := range []part.Part{m.Template, m.Blank, m.Bed} {
		if f := p.Make.Measured; f != nil && len(f.Overridden) > 0 {
			add("The job's own %s of %s.make overrides what %s tells.", strings.Join(f.Overridden, ", "), p.Key, f.Name)
		}
	}
	if o := m.stockOffer(); o != nil {
		add("With %s (dowel: {standard: %s, class: %s}) %s, would do; the holes for %s need a special reamer.",
			o.Pin, o.Standard, o.Class, o.Reamer, m.Pin.Name())
	}
	if h := m.d.HoldDown; h != nil {
		from := "from one end and a twist in the plane"
		if m.site.LiftMM > 0 {
			from = "from the finger reliefs, then by its sides"
		}
		add("Double-sided tape: at least %.0f cm2 under each part for the whole cut, %.0f for a few minutes. Lift it with "+
			"a "+
			"thin blade %s; do not lever.",
			math.Ceil(h.NeedLastingMM2/mm2PerCM2), math.Ceil(h.NeedShortMM2/mm2PerCM2), from)
	}
	if p := m.d.Print; p.Thinner {
		add("template.stl is the plate as a gluing jig, %.1f mm thick instead of %.1f, so that its rails can stand "+
			"%.1f mm high and still end below the board's edge.",
			p.ThicknessMM, m.job.Template.ThicknessMM, m.job.Rails.HeightMM)
	}
	if m.job.Template.Make.By != "print" && len(m.d.Parts) > 0 {
		add("template.stl is drawn for a printer whose holes come out to size: measure one before the pins go in "+
			"(they come out up to %.1f mm small).", fit.ShrinkMM)
	}
	if s := m.d.Split; s != nil {
		var at []string
		for _, u := range s.SeamsMM {
			at = append(at, fmt.Sprintf("%.0f", u))
		}
		what, loose := "The plate", "; loose, the joint adds what the budget says"
		if m.job.Template.Make.By != "print" {
			what, loose = "The gluing plate", "" // it does not hold the board under a cutter
		}
		add("%s is printed in %d parts (seams at u %s). Push the keys in on a flat bed with the pins in place "+
			"and a straightedge along the window, then glue them%s.",
			what, len(m.d.Parts), strings.Join(at, ", "), loose)
	}
	return out
}

// stockOffer is the pin that would spare special reamers; nil: none is needed, or none spares it.
func (m made) stockOffer() *dowel.Offer {
	for _, h := range m.holes() {
		if h.Stock != nil {
			return h.Stock
		}
	}
	return nil
}
