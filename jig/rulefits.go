package jig

import (
	"fmt"
	"math"

	"reseat/jig/setup"
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
// smaller than drawn by what the process strays, half of it on each side.
func (m made) windowEntry() []ruling {
	if m.d.Template.Window == nil {
		return nil
	}
	need, drawn := m.template.process.HalfWidth()/2, m.d.Template.ClearanceMM
	says := fmt.Sprintf("the window leaves %.3f mm on each side of the board, and comes out up to %.3f mm tighter",
		drawn, need)
	if c := m.d.Climate; c != nil && math.Abs(c.SinceMM) >= worthTellingMM {
		says += fmt.Sprintf("; it is drawn for the board now, %+.3f mm in width since it was measured", c.SinceMM)
	}
	level := Warn
	if drawn <= 0 {
		level = Fail
	}
	return []ruling{judge("board-enters-window", drawn > 0 && drawn >= need-roundingMM, level, drawn, need, "mm", says,
		"a larger template.clearance, or measure the process and give template.make.spread", "template.clearance")}
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

// pinStands: how the pins stand in the bed, and those of gluing in the blank.
func (m made) pinStands() []ruling {
	if len(m.d.Pins) == 0 {
		return nil
	}
	all := setup.PinRules(m.pin, m.stand, m.inBed(), m.carrier().name, m.d.Setups)
	if m.glued() {
		all = append(all, setup.GluePinRules(m.pin, m.glue, m.inBlank(m.job), m.job.Dowel.LengthMM)...)
	}
	var out []ruling
	for _, f := range all {
		out = append(out, ruling{Rule{ID: f.ID, Level: Level(f.Level), Value: f.Value, Limit: f.Limit, Unit: "mm", Says: f.Says,
			Blocks: f.Blocks}, f.Remedy, "dowel.length"})
	}
	return out
}
