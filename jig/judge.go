package jig

import (
	"fmt"
	"math"

	"reseat/dowel"
	"reseat/jig/layout"
	"reseat/jig/rail"
)

// judge asks every rule in a fixed order.
func (b *builder) judge() {
	seated := b.book.rules // what seat and rails had to say
	b.book.rules = nil
	b.book.countRule(b.found, b.advice)
	b.book.zoneRules(b.region, b.found.Pins, b.widest)
	b.book.foolproofRules(b.found.Pins, b.misses)
	b.d.Foolproof = Foolproof(b.misses)
	b.book.placeRules(b.site)
	b.book.windowRule(b.site, b.region.WebMM)
	b.entryRule()
	b.climateRules()
	b.holeRules()
	b.lengthRule()
	b.book.rules = append(b.book.rules, seated...)
	b.book.floatRule(b.d.Seat)
	b.accuracyRule()
	b.assemblyRules()
	b.railRules()
	b.notes()
}

// notes adds what a maker should know although no rule fails.
func (b *builder) notes() {
	add := func(s string) { b.d.Notes = append(b.d.Notes, s) }
	if !b.job.Given("units") {
		add("The job names no units: bare numbers were read as millimetres.")
	}
	if b.d.Blank != nil && !b.blank.carries {
		add("For gluing the pins stand in the blank's holes and the plate goes over them: use a second set of pins, or pull those of the bed.")
	}
}

// widest returns the radius of the widest hole that a pin has in any part; a
// slot's travel counts as if it ran every way.
func (b *builder) widest(p layout.Pin) float64 {
	for _, q := range b.d.Pins {
		if q.At != p.At {
			continue
		}
		widest := 0.0
		for _, h := range q.holes() {
			widest = math.Max(widest, h.hole.MaxMM)
		}
		return (widest + q.Template.SlotMM) / 2
	}
	return b.region.HoleRadiusMM
}

// holeRules: every pin must enter, and the process must hold the class.
func (b *builder) holeRules() {
	if len(b.d.Pins) == 0 {
		return
	}
	least, where := math.Inf(1), ""
	told := map[string]bool{} // parts whose process was found wanting
	for _, p := range b.d.Pins {
		for _, h := range p.holes() {
			if !h.hole.Pressed && h.hole.ClearMinMM < least {
				least, where = h.hole.ClearMinMM, fmt.Sprintf("%s in the %s", p.ID, h.part)
			}
		}
	}
	b.book.atLeast("pin-enters", least, 0, "mm",
		fmt.Sprintf("the tightest hole, %s, leaves the pin %.3f mm at least", where, least),
		"a pin of class h, or a larger reamer", "dowel.class")
	for _, p := range b.d.Pins {
		for _, h := range p.holes() {
			if h.hole.Holds || told[h.part] {
				continue
			}
			told[h.part] = true
			says := "the process does not hold the hole"
			if len(h.hole.Explain) > 0 {
				says = h.hole.Explain[0]
			}
			b.book.judge("process-holds-"+h.part, false, Warn, h.hole.ClearMinMM, 0, "mm", fmt.Sprintf("%s in the %s: %s", p.ID, h.part, says),
				"ream, or take a process that holds it", h.part+".make")
		}
	}
	b.cutterRule()
}

// cutterRoomToSpiralMM is how much wider than its cutter a hole should be, so that
// the cutter spirals down instead of plunging. Common practice, no source.
const cutterRoomToSpiralMM = 0.5

// cutterRule: the cutter must be smaller than the hole that it bores (cut-file rule
// C14). Of several holes the tightest counts. A part for which the job names no
// boring cutter only warns, since another may be at hand.
func (b *builder) cutterRule() {
	for _, part := range []string{"template", "blank", "bed"} {
		room, pin, hole := math.Inf(1), "", Hole{}
		for _, p := range b.d.Pins {
			for _, h := range p.holes() {
				if h.part == part && h.hole.CutterMM > 0 && h.hole.DrawnMM-h.hole.CutterMM < room {
					room, pin, hole = h.hole.DrawnMM-h.hole.CutterMM, p.ID, h.hole
				}
			}
		}
		if pin == "" {
			continue
		}
		level := Warn
		if room <= 0 && hole.CutterNamed {
			level = Fail
		}
		b.book.judge("cutter-in-"+part, room >= cutterRoomToSpiralMM-ruleSlack, level, room, cutterRoomToSpiralMM, "mm",
			fmt.Sprintf("hole %s of the %s is bored to %s with a cutter of %s", pin, part, mm(hole.DrawnMM), mm(hole.CutterMM)),
			fmt.Sprintf("it needs a smaller cutter, so that it can spiral down: name one (%s.make.cutter)", part), part+".make")
	}
}

// partHole is a hole with the name of the part that it is in.
type partHole struct {
	part string
	hole Hole
}

func (p Pin) holes() []partHole {
	out := []partHole{{"template", p.Template}}
	if p.Blank != nil {
		out = append(out, partHole{"blank", *p.Blank})
	}
	return append(out, partHole{"bed", p.Bed})
}

// lengthRule: the pin stands in the bed by 1.5 d, does not come out below it and
// does not stand proud of what lies on the bed.
func (b *builder) lengthRule() {
	l := b.job.Dowel.LengthMM
	if l == 0 || len(b.d.Pins) == 0 {
		return
	}
	on := b.tmpl.thickness
	name := "template"
	if b.blank.carries {
		on, name = b.blank.thickness, "blank"
	}
	need := dowel.BedEngagement * b.pin.NominalMM
	// Sunk as deep as the bed allows, at most flush with what lies on it.
	inBed := math.Min(b.bd.thickness, l)
	proud := math.Max(0, l-inBed-on)
	deep := math.Min(inBed, math.Max(l-on, math.Min(need, l)))
	b.d.Bed.PinDepthMM = deep
	if deep < b.bd.thickness {
		for i := range b.d.Pins {
			b.d.Pins[i].Bed.DepthMM = deep
		}
	}
	if deep >= b.bd.thickness-ruleSlack {
		b.d.Notes = append(b.d.Notes, "The bed's holes go right through it: lay scrap under the bed before you bore.")
	}
	if all := b.pin.LengthsMM; len(all) > 0 {
		near := nearest(all, l)
		b.book.judge("pin-length", math.Abs(near-l) <= ruleSlack, Warn, l, near, "mm",
			fmt.Sprintf("a pin %s long; the nearest standard length of %s is %s", mm(l), b.pin.Standard, mm(near)),
			"take that one, or cut the pin", "dowel.length")
	}
	_, _, std := b.pin.UsefulLengths(b.bd.thickness, on)
	longer := "a longer pin"
	if len(std) > 0 {
		longer = fmt.Sprintf("a pin of %s", mm(std[0]))
	}
	holds := math.Min(on, l-deep)
	wanted := math.Min(on, dowel.PlateEngagement*b.pin.NominalMM)
	b.book.atLeast("pin-in-"+name, holds, wanted, "mm",
		fmt.Sprintf("a pin of %.4g mm holds the %s over %s", l, name, mm(holds)),
		fmt.Sprintf("%s wanted: %s", mm(wanted), longer), "dowel.length")
	b.book.atLeast("pin-in-bed", deep, need, "mm",
		fmt.Sprintf("a pin of %.4g mm stands %s in the bed and %s in the %s", l, mm(deep), mm(math.Min(on, l-deep)), name),
		fmt.Sprintf("%s wanted: %s, or a thicker bed", mm(need), longer), "dowel.length")
	b.book.atMost("pin-proud", proud, 0, "mm",
		fmt.Sprintf("a pin stands %s proud of the %s", mm(proud), name),
		"a shorter pin or a thicker bed; a proud pin meets the cutter", "dowel.length")
}

// nearest returns the value of the list that lies nearest to x.
func nearest(list []float64, x float64) float64 {
	best := list[0]
	for _, v := range list {
		if math.Abs(v-x) < math.Abs(best-x) {
			best = v
		}
	}
	return best
}

// railRules: the pressure must bear on the board, and the rail must clear it.
func (b *builder) railRules() {
	r := b.d.Rails
	if r == nil {
		return
	}
	says := fmt.Sprintf("the rail ends %s below the board's lowest edge: rail %s, edge %s above the glue land",
		mm(r.BearingMM), mm(r.WallMM), mm(r.EdgeMM))
	if r.BearingMM < 0 {
		says = fmt.Sprintf("the wall beside the board stands %s above its lowest edge", mm(-r.BearingMM))
	}
	level := Warn
	if r.BearingMM <= 0 {
		level = Fail
	}
	b.book.judge("rail-below-edge", r.BearingMM >= rail.LeastBearingMM-ruleSlack, level,
		r.BearingMM, rail.LeastBearingMM, "mm", says,
		"lower rails (rails.height) or a thinner plate, so that the pressure bears on the board", "rails.height")
	asked := b.job.Rails.GapMM
	b.book.judge("rail-gap", asked >= leastFilmMM-ruleSlack, Warn, asked, leastFilmMM, "mm",
		fmt.Sprintf("the rail stands %s from the board's edge", mm(r.GapMM)),
		"release film needs room (rails.gap)", "rails.gap")
	if t := b.job.Template; t.Make.By != "print" && b.site.window != nil && t.ThicknessMM > r.EdgeMM {
		b.d.Notes = append(b.d.Notes, fmt.Sprintf(
			"Do not press with the %s plate in place: it stands %s above the board's lowest edge. Glue with the printed plate, or with a caul narrower than the board.",
			t.Material, mm(t.ThicknessMM-r.EdgeMM)))
	}
}

// leastFilmMM is room for release film and its fold: packing tape or
// polypropylene film is 0.05 mm. Common practice, no source.
const leastFilmMM = 0.05
