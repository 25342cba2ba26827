package jig

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"reseat/jig/cutfile"
	"reseat/jig/part"
	"reseat/jig/program"
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

// cutFiles: what shops ask of them.
func (m made) cutFiles() []ruling {
	var holes []cutfile.Hole
	for _, q := range m.d.Pins {
		of := q.holes()
		if q.Rails != nil {
			of = append(of, placedHole{q.ID, m.Rails.Name, *q.Rails})
		}
		for _, h := range of {
			holes = append(holes, cutfile.Hole{Pin: h.pin, Part: h.part, DrawnMM: h.DrawnMM, FinishMM: h.MinMM})
		}
	}
	return found(cutfile.Judge(m.d.Sheets, []part.Part{m.Template, m.Rails, m.Blank, m.Bed}, holes)...)
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
	need, drawn := m.Template.WindowHalf()/2, m.d.Template.ClearanceMM
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

// measured: a process file's figures hold for the material and thickness that they are of.
func (m made) measured() (out []ruling) {
	for _, p := range []part.Part{m.Template, m.Blank, m.Bed} {
		if f := p.Make.Measured; f != nil {
			says, here := p.MeasuredSays()
			out = append(out, judge("process-measured-"+p.Name, here, Warn, f.ThicknessMM, p.ThicknessMM, "mm", says,
				"cut a coupon in this one: reseat coupon "+m.d.JobFile, p.Key+".make.from"))
		}
	}
	return out
}

// movements tell what could not be computed although the job asks for it.
func (m made) movements() []ruling {
	if m.job.Climate == nil {
		return nil
	}
	var out []ruling
	for _, k := range []struct {
		part, key, names string
		g                part.Growth
	}{
		{"board", "board.wood", "name a wood of the table, or give board.movement_pct", m.plan.Board},
		{"template", "template.material", "name a material of the table", m.Template.Growth},
		{"bed", "bed.material", "name a material of the table", m.Bed.Growth},
		{"blank", "blank.wood", "name a wood of the table", m.Blank.Growth},
	} {
		if k.g.Missing != nil && (k.part != "blank" || m.Blank.Carries) {
			out = append(out, judge(k.part+"-movement", false, Warn, 0, 0, "",
				"the "+k.part+"'s movement with the climate is not computed: "+k.g.Missing.Error(), k.names, k.key))
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

// cutters: each must leave its holes room, or it plunges and rubs for hours. Of several
// holes the tightest counts.
func (m made) cutters() []ruling {
	var all []setup.Finding
	if m.Template.Make.By == "router" && len(m.d.Pins) > 0 {
		q := slices.MinFunc(m.d.Pins, func(a, b Pin) int { return cmp.Compare(a.Template.DrawnMM, b.Template.DrawnMM) })
		all = append(all, program.JudgeHole(m.job, "template", program.PlateCutter(m.job),
			program.Hole{ID: q.ID, DiameterMM: q.Template.DrawnMM}))
	}
	for _, s := range m.stocks {
		if !s.Drilled {
			all = append(all, s.JudgeCutter(m.job, m.d.program(s.File)))
		}
	}
	for _, q := range m.pockets {
		if q.program != nil {
			all = append(all, q.pockets.JudgeCutter(m.job, m.d.Frame.ToMachine, *q.program))
		}
	}
	return found(all...)
}

// pinStands: how the pins stand in the bed, and those of gluing in the blank.
func (m made) pinStands() []ruling {
	if len(m.d.Pins) == 0 {
		return nil
	}
	all := setup.PinRules(m.Pin, m.Stand, m.InBed(), m.Carrier().Name, m.d.Setups)
	if m.GluesOnPins() {
		all = append(all, setup.GluePinRules(m.Pin, m.Glue, m.InBlank(m.job), m.job.Dowel.LengthMM)...)
	}
	return found(all...)
}
