package sheet

import (
	"fmt"

	"reseat/export/picture"
	"reseat/jig"
)

// How many rows the sheet shows before it points at design.json.
const (
	mostFeatures = 6
	mostSources  = 12
	mostRules    = 12
	mostNotes    = 8
)

// holeTable lists every hole of the template with the figures to cut it by.
func holeTable(d *jig.Design) *figure {
	from := "first"
	if len(d.Pins) > 0 {
		from = picture.Shorten(picture.Plain(d.Pins[0].ID), small, 20)
	}
	t := table{name: "Holes in the template (mm)", cols: []column{
		{head: []string{"id"}},
		{head: []string{"role"}},
		{head: []string{"u"}, right: true},
		{head: []string{"v"}, right: true},
		{head: []string{"machine", "X"}, right: true},
		{head: []string{"machine", "Y"}, right: true},
		{head: []string{"from", from}, right: true},
		{head: []string{"drawn", "Ø"}, right: true},
		{head: []string{"finished", "min"}, right: true},
		{head: []string{"finished", "max"}, right: true},
		{head: []string{"class"}},
		{head: []string{"slot", "travel"}, right: true},
		{head: []string{"made by"}},
	}}
	for _, p := range d.Pins {
		h := p.Template
		slot := "-"
		if h.SlotMM > 0 {
			slot = fixed(h.SlotMM, 2, false)
		}
		t.rows = append(t.rows, []string{
			p.ID, string(h.Role), fixed(p.At.X, 2, false), fixed(p.At.Y, 2, false),
			fixed(p.Machine.X, 2, false), fixed(p.Machine.Y, 2, false),
			fixed(p.At.Dist(d.Pins[0].At), 2, false),
			fixed(h.DrawnMM, 3, false), fixed(h.MinMM, 3, false), fixed(h.MaxMM, 3, false),
			h.Class, slot, picture.Shorten(picture.Plain(h.Made), small, 60),
		})
	}
	if len(d.Pins) > 0 {
		t.foot = append(t.foot, "Pins: "+pinName(d.Pins[0])+". Zero is the start of the datum line; \"from\" is the distance of the centres; a slot's size is its width.")
	}
	return t.draw()
}

// ruleTable lists what warns or fails, failures first.
func ruleTable(d *jig.Design, width float64) *figure {
	var bad []jig.Rule
	for _, want := range []jig.Level{jig.Fail, jig.Warn} {
		for _, r := range d.Rules {
			if r.Level == want {
				bad = append(bad, r)
			}
		}
	}
	if len(bad) == 0 {
		if len(d.Rules) == 0 {
			return nil
		}
		return prose("Rules", width, []string{fmt.Sprintf("All hold (%d checked).", len(d.Rules))})
	}
	level := column{head: []string{"level"}, wide: picture.TextWidth("level", small)*picture.BoldWider + 2*cellPad}
	id := column{head: []string{"rule"}, wide: 34}
	says := column{head: []string{"what was found"}}
	says.wide = width - level.wide - id.wide
	t := table{name: "Rules that warn or fail", cols: []column{level, id, says}}
	for i, r := range bad {
		if i == mostRules {
			t.foot = append(t.foot, fmt.Sprintf("and %d more; all in design.json.", len(bad)-mostRules))
			break
		}
		t.rows = append(t.rows, []string{string(r.Level), r.ID, r.Says})
	}
	return t.draw()
}

// notes are the design's own sentences and what always holds for a paper.
func notes(d *jig.Design, width float64) *figure {
	var s []string
	for i, n := range d.Notes {
		if i == mostNotes {
			s = append(s, "More notes in design.json.")
			break
		}
		s = append(s, n)
	}
	if n := thinnerNote(d); n != "" {
		s = append(s, n)
	}
	if d.Template.ClearanceMM > 0 && len(d.Template.Window) > 0 {
		s = append(s, fmt.Sprintf("Window to board: %s each side, too small to show at 1:1.", mm(d.Template.ClearanceMM)))
	}
	s = append(s,
		"Paper checks, it never locates: cut from the cut files, and measure pin distances with calipers.",
		"Seat the pins, then check the datum line with an indicator before metal meets wood.",
		"Cutting, dust, glue fumes and laser fire hurt: protect eyes, ears and lungs, hold the work down, never leave a laser alone. The machine's manual, local rules and trained people come first.")
	return prose("Notes and cautions", width, s)
}
