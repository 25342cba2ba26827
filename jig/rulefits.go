package jig

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/dowel"
	"reseat/jig/plate"
)

// placedHole is a hole with the names of its pin and of the part that it is in.
type placedHole struct {
	pin, part string
	Hole
}

// holes are those of a pin, in the order of the parts.
func (q Pin) holes() []placedHole {
	out := []placedHole{{q.ID, "template", q.Template}}
	if q.Blank != nil {
		out = append(out, placedHole{q.ID, "blank", *q.Blank})
	}
	return append(out, placedHole{q.ID, "bed", q.Bed})
}

// holes are those of all pins.
func (m made) holes() (out []placedHole) {
	for _, q := range m.d.Pins {
		out = append(out, q.holes()...)
	}
	return out
}

// worthTellingMM is a change of size that a maker would notice in a fit. Common
// practice, no source.
const worthTellingMM = 0.002

// windowEntry: the board must go into the window although the window comes out
// smaller than drawn by what the process strays, half of it on each side, and
// although the board may have swollen.
func (m made) windowEntry() []ruling {
	if m.d.Template.Window == nil {
		return nil
	}
	s, need, drawn := m.swelling(m.job), m.template.process.HalfWidth()/2, m.d.Template.ClearanceMM
	says := fmt.Sprintf("the window leaves %.3f mm on each side of the board, and comes out up to %.3f mm tighter",
		s.leftMM, need)
	if math.Abs(drawn-s.leftMM) >= worthTellingMM {
		grew := "swelled"
		if s.boardMM < 0 {
			grew = "shrank"
		}
		says = fmt.Sprintf("the window was drawn with %.3f mm on each side; since then the board %s by %.3f mm in "+
			"width, which leaves %.3f; the window comes out up to %.3f mm tighter",
			drawn, grew, math.Abs(s.boardMM), s.leftMM, need)
	}
	remedy, key, level := "a larger template.clearance, or measure the process and give template.make.spread",
		"template.clearance", Warn
	if s.leftMM <= 0 {
		level = Fail
		if c := m.d.Climate; c != nil && c.EntersBelowRHPct > 0 {
			remedy = fmt.Sprintf("it goes in again below %.0f %% relative humidity: let it rest there, or a "+
				"template.clearance of %.2f mm",
				math.Floor(c.EntersBelowRHPct), plate.UpTo(drawn-s.leftMM+need, 0.01))
			key = "climate.now"
		}
	}
	return []ruling{judge("board-enters-window", s.leftMM > 0 && s.leftMM >= need-roundingMM, level, s.leftMM, need, "mm",
		says, remedy, key)}
}

// movements tell what could not be computed although the job asks for it.
func (m made) movements() []ruling {
	if m.job.Climate == nil {
		return nil
	}
	var out []ruling
	for _, k := range []struct {
		part, key, names string
		g                growth
	}{
		{"board", "board.wood", "name a wood of the table, or give board.movement_pct", m.plan.board},
		{"template", "template.material", "name a material of the table", m.template.growth},
		{"bed", "bed.material", "name a material of the table", m.bed.growth},
		{"blank", "blank.wood", "name a wood of the table", m.blank.growth},
	} {
		if k.g.missing != nil && (k.part != "blank" || m.blank.carries) {
			out = append(out, judge(k.part+"-movement", false, Warn, 0, 0, "",
				"its movement with the climate is not computed: "+k.g.missing.Error(), k.names, k.key))
		}
	}
	return out
}

// pinsEnter: every pin must enter the tightest of its holes.
func (m made) pinsEnter() []ruling {
	least, where := math.Inf(1), ""
	for _, h := range m.holes() {
		if !h.Pressed && h.ClearMinMM < least {
			least, where = h.ClearMinMM, fmt.Sprintf("%s in the %s", h.pin, h.part)
		}
	}
	if where == "" {
		return nil
	}
	return []ruling{atLeast("pin-enters", least, 0, "mm",
		fmt.Sprintf("the tightest hole, %s, leaves the pin %.3f mm at least", where, least),
		"a pin of class h, or a larger reamer", "dowel.class")}
}

// processes: each must hold the class of its holes.
func (m made) processes() []ruling {
	var out []ruling
	seen := map[string]bool{} // parts whose process was found wanting
	for _, h := range m.holes() {
		if h.Holds || seen[h.part] {
			continue
		}
		seen[h.part] = true
		says := "the process does not hold the hole"
		if len(h.Explain) > 0 {
			says = h.Explain[0]
		}
		out = append(out, judge("process-holds-"+h.part, false, Warn, h.ClearMinMM, 0, "mm",
			fmt.Sprintf("%s in the %s: %s", h.pin, h.part, says), "ream, or take a process that holds it", h.part+".make"))
	}
	return out
}

// cutterRoomToSpiralMM is how much wider than its cutter a hole should be, so that
// the cutter spirals down instead of plunging. Common practice, no source.
const cutterRoomToSpiralMM = 0.5

// cutters: each must be smaller than the holes that it bores, or it plunges and rubs. Of
// several holes the tightest counts. A part for which the job names no boring cutter
// only warns, since another may be at hand.
func (m made) cutters() []ruling {
	var out []ruling
	for _, part := range []string{"template", "blank", "bed"} {
		room, tight := math.Inf(1), placedHole{}
		for _, h := range m.holes() {
			if h.part == part && h.CutterMM > 0 && h.DrawnMM-h.CutterMM < room {
				room, tight = h.DrawnMM-h.CutterMM, h
			}
		}
		if tight.pin == "" {
			continue
		}
		level := Warn
		if room <= 0 && tight.CutterNamed {
			level = Fail
		}
		out = append(out, judge("cutter-in-"+part, room >= cutterRoomToSpiralMM-roundingMM, level, room,
			cutterRoomToSpiralMM, "mm",
			fmt.Sprintf("hole %s of the %s is bored to %s with a cutter of %s",
				tight.pin, part, mm(tight.DrawnMM), mm(tight.CutterMM)),
			fmt.Sprintf("it needs a smaller cutter, so that it can spiral down: name one (%s.make.cutter)", part),
			part+".make"))
	}
	return out
}

// pinStack: the pin stands in the bed by 1.5 d, does not come out below it, holds what
// lies on it and does not stand proud of that.
func (m made) pinStack() []ruling {
	if len(m.d.Pins) == 0 || m.d.Pins[0].Dowel.LengthMM == 0 {
		return nil
	}
	pin, deep, on := m.d.Pins[0].Dowel, m.d.Bed.PinDepthMM, m.carrier()
	l := pin.LengthMM
	var out []ruling
	if len(pin.LengthsMM) > 0 {
		near := slices.MinFunc(pin.LengthsMM, func(a, b float64) int { return cmp.Compare(math.Abs(a-l), math.Abs(b-l)) })
		out = append(out, judge("pin-length", math.Abs(near-l) <= roundingMM, Warn, l, near, "mm",
			fmt.Sprintf("a pin %s long; the nearest standard length of %s is %s", mm(l), pin.Standard, mm(near)),
			"take that one, or cut the pin", "dowel.length"))
	}
	longer := "a longer pin"
	if std := pin.UsefulLengths(m.bed.thicknessMM, on.thicknessMM); len(std) > 0 {
		longer = fmt.Sprintf("a pin of %s", mm(std[0]))
	}
	need, wanted := dowel.BedEngagement*pin.NominalMM, math.Min(on.thicknessMM, dowel.PlateEngagement*pin.NominalMM)
	holds, proud := math.Min(on.thicknessMM, l-deep), math.Max(0, l-deep-on.thicknessMM)
	return append(out,
		atLeast("pin-holds-"+on.name, holds, wanted, "mm",
			fmt.Sprintf("a pin of %.4g mm holds the %s over %s", l, on.name, mm(holds)),
			fmt.Sprintf("%s wanted: %s", mm(wanted), longer), "dowel.length"),
		atLeast("pin-in-bed", deep, need, "mm",
			fmt.Sprintf("a pin of %.4g mm stands %s in the bed and %s in the %s", l, mm(deep), mm(holds), on.name),
			fmt.Sprintf("%s wanted: %s, or a thicker bed", mm(need), longer), "dowel.length"),
		blocks(atMost("pin-proud", proud, 0, "mm",
			fmt.Sprintf("a pin stands %s proud of the %s", mm(proud), on.name),
			"a shorter pin or a thicker bed; a proud pin meets the cutter", "dowel.length")))
}

// gluePins: a gluing pin stands in the blank by 1.5 d and reaches up through the plate.
// In a through hole a pin shorter than blank and plate together would drop below the
// glue land and guide nothing.
func (m made) gluePins() []ruling {
	if !m.glued() || len(m.d.Pins) == 0 || m.d.Pins[0].Dowel.LengthMM == 0 {
		return nil
	}
	pin, blank := m.d.Pins[0].Dowel, m.blank.thicknessMM
	plate, need := gluePlateMM(m.job), dowel.BedEngagement*pin.NominalMM
	deep, hole := blank, "through hole"
	if h := m.d.Pins[0].Blank.DepthMM; h > 0 {
		deep, hole = h, "blind hole"
	}
	above := pin.LengthMM - deep
	remedy := fmt.Sprintf("for gluing a pin of at least %s in a blind hole that leaves it %s high, or of %s through "+
		"blank and plate",
		mm(need+plate), mm(plate), mm(blank+plate))
	for _, l := range pin.LengthsMM {
		if l >= need+plate && l < blank+plate {
			remedy = fmt.Sprintf("for gluing a pin of %s (the next standard length) in a blind hole %s deep", mm(l),
				mm(l-plate))
			break
		}
	}
	holds := math.Min(deep, pin.LengthMM)
	if above < plate-roundingMM {
		holds = 0 // it drops through
	}
	return []ruling{atLeast("glue-pin", holds, need, "mm",
		fmt.Sprintf("a gluing pin of %.4g mm stands %s deep in a %s of the blank and %s above the glue land, in a "+
			"plate of %s",
			pin.LengthMM, mm(math.Min(deep, pin.LengthMM)), hole, mm(above), mm(plate)), remedy, "dowel.length")}
}
