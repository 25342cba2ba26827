package cli

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"reseat/export"
	"reseat/jig"
	"reseat/jig/units"
)

// num writes a number with up to n decimals, fixed with exactly n.
var num, fixed = units.Decimal, units.Fixed

// writeSummary prints the design for a maker to act on: what lies where, what to
// drill and how, how far the board can still move, what does not hold.
func writeSummary(w io.Writer, d *jig.Design) {
	fmt.Fprintf(w, "%s\n\n", d.Title)
	writeParts(w, d)
	writePins(w, d)
	writeHoles(w, d)
	writeFloat(w, d)
	writeClimate(w, d)
	writeBudget(w, d)
	writeAssembly(w, d)
	writePrograms(w, d)
	writeGluing(w, d)
	for _, n := range d.Notes {
		fmt.Fprintf(w, "note: %s\n", n)
	}
	if len(d.Notes) > 0 {
		fmt.Fprintln(w)
	}
	writeRules(w, d, false)
}

func writeParts(w io.Writer, d *jig.Design) {
	b, t := d.Board, d.Template
	crown := "flat"
	if b.CrownRadiusMM > 0 {
		crown = "crown radius " + num(b.CrownRadiusMM, 1)
	}
	tab := newTable("part", "size, mm", "made of")
	tab.add("board", fmt.Sprintf("%s x %s to %s x %s, %s", num(b.LengthMM, 2), num(b.WidthStartMM, 2),
		num(b.WidthEndMM, 2), num(b.ThicknessMM, 2), crown), b.Wood)
	size := t.Outline.Bounds().Size()
	made := t.Material + ", by " + t.MakeBy
	switch {
	case t.KerfMM > 0:
		made += fmt.Sprintf(", kerf %s applied", num(t.KerfMM, 3))
	case t.MakeBy != "print":
		made += ", drawn true size"
	}
	tab.add("template", fmt.Sprintf("%s x %s x %s", num(size.X, 2), num(size.Y, 2), num(t.ThicknessMM, 2)), made)
	if t.Window != nil {
		ws := fmt.Sprintf("%s clearance per side", num(t.ClearanceMM, 3))
		if t.ReliefMM > 0 {
			ws += fmt.Sprintf(", corners relieved R%s", num(t.ReliefMM, 2))
		}
		if len(t.Stops) > 0 {
			ws += fmt.Sprintf(", board pushed to the %s and %s walls", t.Stops[0].Wall, t.Stops[1].Wall)
		}
		tab.add("window", ws, "")
	}
	if k := d.Blank; k != nil {
		tab.add("blank", fmt.Sprintf("%s x %s x %s", num(k.LengthMM, 2), num(k.WidthMM, 2), num(k.ThicknessMM, 2)), k.Wood)
	}
	bed := d.Bed.Outline.Bounds().Size()
	tab.add("bed", fmt.Sprintf("%s x %s x %s at least", num(bed.X, 1), num(bed.Y, 1), num(d.Bed.ThicknessMM, 2)), d.Bed.Material)
	if r := d.Rails; r != nil {
		tab.add("rails", fmt.Sprintf("%s high, %s from the board, strips %s", num(r.HeightMM, 2), num(r.GapMM, 3), num(r.StripMM, 2)), "")
	}
	tab.write(w, "")
	fmt.Fprintln(w)
}

func writePins(w io.Writer, d *jig.Design) {
	if len(d.Pins) == 0 {
		return
	}
	p := d.Pins[0].Dowel
	fmt.Fprintf(w, "pins: %d of %s, %.4f to %.4f mm", len(d.Pins), pinName(d), p.MinMM, p.MaxMM)
	if d.Bed.PinDepthMM > 0 {
		fmt.Fprintf(w, ", %s mm deep in the bed", num(d.Bed.PinDepthMM, 2))
	}
	fmt.Fprintf(w, "\nu runs along the datum line from the start end (machine %s), v to its left; X0 Y0 is the datum's start\n",
		map[string]string{"x": "+X", "y": "+Y"}[d.Frame.LongAxis])
	tab := newTable("pin", "role", ">u", ">v", ">X", ">Y")
	for _, q := range d.Pins {
		tab.add(q.ID, string(q.Role), fixed(q.At.X, 3), fixed(q.At.Y, 3), fixed(q.Machine.X, 3), fixed(q.Machine.Y, 3))
	}
	tab.write(w, "  ")
	if p := d.Pattern; p.Limits != "" {
		fmt.Fprintf(w, "the pattern minimises %s: %s mm\n%s\n", p.Objective, fixed(p.ObjectiveMM, 3), p.Limits)
	}
	fmt.Fprintf(w, "foolproofing: least pin-to-hole mismatch when misplaced: half turn %s, flipped long %s, flipped short %s mm\n\n",
		fixed(d.Foolproof.HalfTurnMM, 2), fixed(d.Foolproof.FlipLongMM, 2), fixed(d.Foolproof.FlipShortMM, 2))
}

func pinName(d *jig.Design) string {
	p := d.Pins[0].Dowel
	return strings.TrimSpace(fmt.Sprintf("%s %s %s", p.Standard, num(p.NominalMM, 3), p.Class))
}

// holeGroup is a set of pins whose holes in one part are made alike.
type holeGroup struct {
	part string
	pins []string
	hole jig.Hole
}

func holeGroups(d *jig.Design) []holeGroup {
	var out []holeGroup
	add := func(part, id string, h jig.Hole) {
		for i := range out {
			g := &out[i]
			if g.part == part && g.hole.Role == h.Role && g.hole.Class == h.Class &&
				g.hole.DrawnMM == h.DrawnMM && g.hole.SlotMM == h.SlotMM {
				g.pins = append(g.pins, id)
				return
			}
		}
		out = append(out, holeGroup{part, []string{id}, h})
	}
	for _, p := range d.Pins {
		add("template", p.ID, p.Template)
	}
	for _, p := range d.Pins {
		if p.Blank != nil {
			add("blank", p.ID, *p.Blank)
		}
	}
	for _, p := range d.Pins {
		add("bed", p.ID, p.Bed)
	}
	return out
}

func writeHoles(w io.Writer, d *jig.Design) {
	if len(d.Pins) == 0 {
		return
	}
	fmt.Fprintln(w, "holes to make, mm")
	tab := newTable("part", "pins", "hole", "class", ">draw", ">finished", ">clearance", "made by")
	groups := holeGroups(d)
	for _, g := range groups {
		h := g.hole
		what := string(h.Role)
		if h.SlotMM > 0 {
			what = fmt.Sprintf("slot, travel %s", num(h.SlotMM, 2))
		}
		tab.add(g.part, strings.Join(g.pins, " "), what, h.Class, fixed(h.DrawnMM, 3),
			fmt.Sprintf("%.3f to %.3f", h.MinMM, h.MaxMM),
			fmt.Sprintf("%s to %s", fixed(h.ClearMinMM, 3), fixed(h.ClearMaxMM, 3)), h.Made)
	}
	tab.write(w, "  ")
	for i, g := range groups {
		if len(g.hole.Steps) == 0 || told(groups[:i], g) {
			continue
		}
		// Parts whose holes are made alike are told once.
		who := g.part + " " + strings.Join(g.pins, " ")
		for _, o := range groups[i+1:] {
			if slices.Equal(o.hole.Steps, g.hole.Steps) {
				who += ", " + o.part + " " + strings.Join(o.pins, " ")
			}
		}
		fmt.Fprintf(w, "  %s:\n", who)
		for i, s := range g.hole.Steps {
			fmt.Fprintf(w, "    %d. %s\n", i+1, s)
		}
	}
	fmt.Fprintln(w)
}

// told reports whether an earlier group has the same steps.
func told(earlier []holeGroup, g holeGroup) bool {
	for _, o := range earlier {
		if slices.Equal(o.hole.Steps, g.hole.Steps) {
			return true
		}
	}
	return false
}

func writeFloat(w io.Writer, d *jig.Design) {
	if len(d.Seat.Features) == 0 {
		return
	}
	how := "on its pins"
	if d.Seat.Kind == "nest" {
		how = "in the window, the template on its pins"
	}
	fmt.Fprintf(w, "float of the board %s: +-, mm; rotation +-%s deg, %s mm over the board\n", how,
		fixed(d.Seat.ThetaMax*180/math.Pi, 4), fixed(d.Seat.ThetaMax*d.Board.LengthMM, 3))
	tab := newTable("feature", ">u", ">v", ">along", ">across", ">worst")
	for _, f := range d.Seat.Features {
		tab.add(f.Name, fixed(f.At.X, 2), fixed(f.At.Y, 2), fixed(f.AlongMM, 3), fixed(f.AcrossMM, 3), fixed(f.WorstMM, 3))
	}
	tab.write(w, "  ")
	fmt.Fprintln(w)
}

// writeRules prints the rules: all of them, or those that do not pass.
func writeRules(w io.Writer, d *jig.Design, all bool) {
	bad := 0
	tab := newTable("level", "rule", ">value", ">limit", "unit", "")
	for _, r := range d.Rules {
		if r.Level != jig.Pass {
			bad++
		}
		if all || r.Level != jig.Pass {
			tab.add(string(r.Level), r.ID, fixed(r.Value, 3), fixed(r.Limit, 3), r.Unit, at(d, r)+r.Says)
		}
	}
	if len(tab.rows) > 0 {
		tab.write(w, "")
	}
	if bad == 0 {
		fmt.Fprintf(w, "all %d rules hold\n", len(d.Rules))
		return
	}
	fails := 0
	for _, r := range d.Rules {
		if r.Level == jig.Fail {
			fails++
		}
	}
	fmt.Fprintf(w, "%d of %d rules: %d fail, %d warn\n", bad, len(d.Rules), fails, bad-fails)
}

// at names the line of the job file that a remedy would change.
func at(d *jig.Design, r jig.Rule) string {
	if r.Level == jig.Pass || r.Line == 0 {
		return ""
	}
	return fmt.Sprintf("%s:%d: ", d.JobFile, r.Line)
}

func writeFiles(w io.Writer, dir string, done export.Result) {
	fmt.Fprintf(w, "\nwritten to %s\n", dir)
	tab := newTable("file", ">bytes", "for")
	for _, f := range done.Files {
		tab.add(f.Name, fmt.Sprint(f.Bytes), purpose(f.Name))
	}
	tab.write(w, "  ")
	for _, name := range done.Removed {
		fmt.Fprintf(w, "  removed, no longer part of this design: %s\n", name)
	}
	for _, name := range done.Edited {
		fmt.Fprintf(w, "  NOT part of this design, left because it was edited: %s\n", name)
	}
	fmt.Fprintln(w, "\n"+safety)
}

// safety is told wherever files are handed over.
const safety = "Safety: wear eye, hearing and breathing protection, clamp the work, never leave a laser alone.\n" +
	"The machine's manual, local rules and trained people come first."

// purpose says what a file is for.
func purpose(name string) string {
	if strings.HasPrefix(name, "template-") {
		return "print this part of the template"
	}
	return purposes[name]
}

// purposes says what each file is for.
var purposes = map[string]string{
	"template.dxf":   "cut the template from sheet",
	"template.stl":   "print the template, its rails on it if it has any",
	"bores.nc":       "bore the bed's pin holes: G-code",
	"bores-blank.nc": "bore the blank's pin holes: G-code",
	"pockets.nc":     "bore the features again, first cut: G-code",
	"template.svg":   "a picture of what prints",
	"template.3mf":   "the printed parts in one file, with their unit",
	"blank.dxf":      "bore the blank's waste frame",
	"bed.dxf":        "bore the bed",
	"holes.csv":      "every hole with its limits",
	"drawing.svg":    "the drawing, 1:1",
	"design.json":    "the whole design for other programs",
}
