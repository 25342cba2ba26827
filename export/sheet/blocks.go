package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/export"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/units"
)

// How many rows the sheet shows before it points at design.json.
const (
	mostFeatures = 6
	mostSources  = 12
	mostRules    = 12
	mostNotes    = 8
)

// pinName names a pin as on a parts list: standard, size, class. What the job
// leaves out is left out.
func pinName(p jig.Pin) string {
	size := mm(p.Dowel.NominalMM)
	if l := p.Dowel.LengthMM; l > 0 {
		size += " x " + mm(l)
	}
	return strings.Join(strings.Fields(p.Dowel.Standard+" "+size+" "+p.Dowel.Class), " ")
}

// pinTable lists where every pin stands.
func pinTable(d *jig.Design) *figure {
	from := "first"
	if len(d.Pins) > 0 {
		from = cut(d.Pins[0].ID, 20)
	}
	t := table{name: "Pins (mm)", cols: slices.Concat(
		words("id", "role"), numbers("u", "v", "machine\nX", "machine\nY", "from\n"+from),
	)}
	for _, p := range d.Pins {
		t.rows = append(t.rows, []string{
			p.ID, string(p.Role), units.Fixed(p.At.X, 2), units.Fixed(p.At.Y, 2),
			units.Fixed(p.Machine.X, 2), units.Fixed(p.Machine.Y, 2), units.Fixed(p.At.Dist(d.Pins[0].At), 2),
		})
	}
	if len(d.Pins) > 0 {
		t.foot = append(t.foot, "Pins: "+pinName(d.Pins[0])+". Zero is the start of the datum line; "+
			"\"from\" is the distance of the centres.")
	}
	return t.draw()
}

// holeTable lists the holes of every part with the numbers to make them by.
func holeTable(d *jig.Design) *figure {
	t := table{name: "Holes (mm)", cols: slices.Concat(
		words("part", "pins", "hole"), numbers("drawn\nØ", "finished\nmin", "finished\nmax", "deep"),
		words("class", "made by"),
	)}
	for _, g := range d.HoleGroups() {
		h := g.Hole
		hole, deep := string(h.Role), "through"
		if h.SlotMM > 0 {
			hole = fmt.Sprintf("slot %s at %s° to u", units.Fixed(h.SlotMM, 2), units.Fixed(h.SlotAngleUV*180/math.Pi, 2))
		}
		if h.DepthMM > 0 {
			deep = fmt.Sprintf("%s, floor %s", units.Fixed(h.DepthMM, 2), units.Fixed(h.FloorMM, 2))
		}
		t.rows = append(t.rows, []string{
			g.Part, g.Who(), hole, units.Fixed(h.DrawnMM, 3), units.Fixed(h.MinMM, 3), units.Fixed(h.MaxMM, 3),
			deep, h.Class, cut(h.Made, 60),
		})
	}
	t.foot = append(t.foot, "A slot's diameter is its width; its figure is the travel, and its direction "+
		"counter-clockwise from +u.")
	return t.draw()
}

// ruleTable lists what warns or fails, failures first; nil when nothing was checked.
func ruleTable(d *jig.Design) *figure {
	t := table{name: "Rules that warn or fail", cols: words("level", "rule", "finding")}
	for _, want := range []jig.Level{jig.Fail, jig.Warn} {
		for _, r := range d.Rules {
			if r.Level == want {
				t.rows = append(t.rows, []string{string(r.Level), r.ID, r.Says})
			}
		}
	}
	switch {
	case len(d.Rules) == 0:
		return nil
	case len(t.rows) == 0:
		return prose("Rules", []string{fmt.Sprintf("All pass (%d checked).", len(d.Rules))})
	}
	t.shorten(mostRules)
	t.cols[0].wide = picture.TextWidth("level", small)*picture.BoldWider + 2*cellPad
	t.cols[1].wide = 44 // board-enters-window, the longest
	t.cols[2].wide = proseWide - t.cols[0].wide - t.cols[1].wide
	return t.draw()
}

// shorten keeps the first rows of a table and says how many are left out.
func (t *table) shorten(most int) {
	if n := len(t.rows); n > most {
		t.rows = t.rows[:most]
		t.foot = append(t.foot, fmt.Sprintf("and %d more; all in design.json.", n-most))
	}
}

// notes are the design's own sentences and what always holds for a paper.
func notes(d *jig.Design) *figure {
	var s []string
	for i, n := range d.Notes {
		if i == mostNotes {
			s = append(s, "More notes in design.json.")
			break
		}
		s = append(s, n)
	}
	if d.Template.ClearanceMM > 0 && len(d.Template.Window) > 0 {
		s = append(s, "Clearance of board in window: "+mm(d.Template.ClearanceMM)+" per side, too small to show at 1:1.")
	}
	return prose("Notes and safety", append(s,
		"Paper is for checking, never for locating: cut from the cut files, and measure pin distances with calipers.",
		"Seat the pins, then check the datum line with an indicator before the first cut.",
		export.Safety))
}
