package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// deep is by how much what belongs to a line is indented.
const deep = "    "

// Design prints a design for a maker to act on: whether it holds, what does not, the order
// of work, and where the files are; full: every table too.
func Design(w io.Writer, d *jig.Design, dir string, done export.Result, full bool) {
	writeVerdict(w, d)
	writeFailures(w, d, true)
	if full {
		fmt.Fprintln(w)
		writeSetups(w, d, done.Files)
		writeTables(w, d)
		writeRules(w, d)
	} else {
		writeWork(w, d, done.Files)
	}
	writeFiles(w, dir, done, full)
}

// writeTables prints all that the design says in figures.
func writeTables(w io.Writer, d *jig.Design) {
	writeParts(w, d)
	writePins(w, d)
	writeHoles(w, d)
	writeFloat(w, d)
	writeClimate(w, d)
	writeBudget(w, d)
	writeAssembly(w, d)
	writePrograms(w, d)
	if HoldDown(w, d); d.HoldDown != nil {
		fmt.Fprintln(w)
	}
	writeGluing(w, d)
	for _, n := range d.Notes {
		command.Paragraph(w, "note: ", deep, n)
	}
	if len(d.Notes) > 0 {
		fmt.Fprintln(w)
	}
}

func writeParts(w io.Writer, d *jig.Design) {
	b, t := d.Board, d.Template
	crown := "flat"
	if b.CrownRadiusMM > 0 {
		crown = "crown radius " + units.Decimal(b.CrownRadiusMM, 1)
	}
	tab := command.NewTable("part", "size, mm", "made of")
	wide := units.Decimal(b.WidthStartMM, 2) + " to " + units.Decimal(b.WidthEndMM, 2)
	if b.Outlined {
		wide, crown = units.Decimal(b.WidthStartMM, 2), "an outline of "+edges(b.Outline)
	}
	tab.Add("board", fmt.Sprintf("%s x %s x %s, %s", units.Decimal(b.LengthMM, 2), wide,
		units.Decimal(b.ThicknessMM, 2), crown), b.Wood)
	size := t.Outline.Bounds().Size()
	made := t.Material + ", by " + t.MakeBy
	switch {
	case t.KerfMM != 0:
		made += fmt.Sprintf(", kerf %s applied", units.Decimal(t.KerfMM, 3))
	case t.EdgeMM != 0:
		made += fmt.Sprintf(", edge %s applied", units.Decimal(t.EdgeMM, 3))
	case t.MakeBy != "print":
		made += ", drawn true size"
	}
	tab.Add("template", fmt.Sprintf("%s x %s x %s", units.Decimal(size.X, 2), units.Decimal(size.Y, 2),
		units.Decimal(t.ThicknessMM, 2)), made)
	if t.Window != nil {
		ws := fmt.Sprintf("%s clearance per side", units.Decimal(t.ClearanceMM, 3))
		if t.ReliefMM > 0 {
			ws += fmt.Sprintf(", corners relieved R%s", units.Decimal(t.ReliefMM, 2))
		}
		if len(t.Stops) > 0 && b.Outlined {
			ws += fmt.Sprintf(", board pushed against %d places", len(t.Stops))
		} else if len(t.Stops) > 0 {
			ws += fmt.Sprintf(", board pushed to the %s and %s walls", t.Stops[0].Wall, t.Stops[1].Wall)
		}
		tab.Add("window", ws, "")
	}
	if k := d.Blank; k != nil {
		tab.Add("blank", fmt.Sprintf("%s x %s x %s", units.Decimal(k.LengthMM, 2), units.Decimal(k.WidthMM, 2),
			units.Decimal(k.ThicknessMM, 2)), k.Wood)
	}
	bed := d.Bed.Outline.Bounds().Size()
	tab.Add("bed", fmt.Sprintf("%s x %s x %s at least", units.Decimal(bed.X, 1), units.Decimal(bed.Y, 1),
		units.Decimal(d.Bed.ThicknessMM, 2)), d.Bed.Material)
	if r := d.Rails; r != nil {
		tab.Add("rails", fmt.Sprintf("%s high, %s from the board, strips %s", units.Decimal(r.HeightMM, 2),
			units.Decimal(r.GapMM, 3), units.Decimal(r.StripMM, 2)), "")
	}
	tab.Write(w, "")
	fmt.Fprintln(w)
}

// edges counts the edges of a contour, as a maker knows them.
func edges(l geom.Loop) string {
	arcs := 0
	for i := range l {
		if l.Edge(i).IsArc() {
			arcs++
		}
	}
	return fmt.Sprintf("%d edges, %d of them arcs", len(l), arcs)
}

func writePins(w io.Writer, d *jig.Design) {
	if len(d.Pins) == 0 {
		return
	}
	p := d.Pins[0].Dowel
	fmt.Fprintf(w, "pins: %d of %s, %.4f to %.4f mm", len(d.Pins),
		p.Name(), p.MinMM, p.MaxMM)
	fmt.Fprint(w, standing(d.MachinePin, "bed"))
	if d.GluingPin != nil {
		fmt.Fprint(w, "; for gluing", standing(d.GluingPin, "blank"))
	}
	fmt.Fprintf(w, "\nu runs along the datum line from the start end (machine %s), v to its left; X0 Y0 is the datum's "+
		"start\n",
		map[string]string{"x": "+X", "y": "+Y"}[d.Frame.LongAxis])
	tab := command.NewTable("pin", "role", ">u", ">v", ">X", ">Y")
	for _, q := range d.Pins {
		tab.Add(q.ID, string(q.Role), units.Fixed(q.At.X, 3), units.Fixed(q.At.Y, 3), units.Fixed(q.Machine.X, 3),
			units.Fixed(q.Machine.Y, 3))
	}
	tab.Write(w, "  ")
	if p := d.Pattern; p.Limits != "" {
		fmt.Fprintf(w, "the pattern minimises %s: %s mm\n%s\n", p.Objective, units.Fixed(p.ObjectiveMM, 3), p.Limits)
	}
	fmt.Fprintf(w, "foolproofing: least pin-to-hole mismatch when misplaced: half turn %s, flipped long %s, flipped "+
		"short %s mm\n\n",
		units.Fixed(d.Foolproof.HalfTurnMM, 2), units.Fixed(d.Foolproof.FlipLongMM, 2),
		units.Fixed(d.Foolproof.FlipShortMM, 2))
}

// standing tells the length of pins and the holes that they stand in.
func standing(s *setup.Stand, part string) string {
	if s.Through {
		return fmt.Sprintf(", %s mm long, through the %s", units.Decimal(s.LengthMM, 2), part)
	}
	return fmt.Sprintf(", %s mm long, %s mm deep in the %s, which leaves %s", units.Decimal(s.LengthMM, 2),
		units.Decimal(s.DepthMM, 2), part, units.Decimal(s.FloorMM, 2))
}

func writeHoles(w io.Writer, d *jig.Design) {
	if len(d.Pins) == 0 {
		return
	}
	fmt.Fprintln(w, "holes to make, mm")
	tab := command.NewTable("part", "pins", "hole", ">draw", ">finished", ">clearance", ">deep")
	groups := d.HoleGroups()
	for _, g := range groups {
		h := g.Hole
		what, depth := string(h.Role), "through"
		made := []string{h.Class, "by " + h.Made}
		if h.SlotMM > 0 {
			what = "slot"
			made = append(made, fmt.Sprintf("travel %s at %s deg from +u", units.Decimal(h.SlotMM, 2),
				units.Fixed(h.SlotAngleUV*180/math.Pi, 2)))
		}
		if h.DepthMM > 0 {
			depth = units.Fixed(h.DepthMM, 2)
			made = append(made, "floor "+units.Fixed(h.FloorMM, 2))
		}
		tab.Add(g.Part, g.Who(), what, units.Fixed(h.DrawnMM, 3), fmt.Sprintf("%.3f to %.3f", h.MinMM, h.MaxMM),
			fmt.Sprintf("%s to %s", units.Fixed(h.ClearMinMM, 3), units.Fixed(h.ClearMaxMM, 3)), depth)
		tab.Under(strings.Join(made, "; "))
	}
	tab.Write(w, "  ")
	for i, g := range groups {
		if len(g.Hole.Steps) == 0 || sameStepsBefore(groups[:i], g) {
			continue
		}
		// Parts whose holes are made alike are told once.
		who := g.Part + " " + g.Who()
		for _, o := range groups[i+1:] {
			if slices.Equal(o.Hole.Steps, g.Hole.Steps) {
				who += ", " + o.Part + " " + o.Who()
			}
		}
		fmt.Fprintf(w, "  %s:\n", who)
		for i, s := range g.Hole.Steps {
			fmt.Fprintf(w, "    %d. %s\n", i+1, s)
		}
	}
	fmt.Fprintln(w)
}

// sameStepsBefore reports whether an earlier group has the same steps.
func sameStepsBefore(earlier []jig.HoleGroup, g jig.HoleGroup) bool {
	return slices.ContainsFunc(earlier, func(o jig.HoleGroup) bool { return slices.Equal(o.Hole.Steps, g.Hole.Steps) })
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
		units.Fixed(d.Seat.ThetaMax*180/math.Pi, 4), units.Fixed(d.Seat.ThetaMax*d.Board.LengthMM, 3))
	tab := command.NewTable("feature", ">u", ">v", ">along", ">across", ">worst")
	for _, f := range d.Seat.Features {
		tab.Add(f.Label(), units.Fixed(f.At.X, 2), units.Fixed(f.At.Y, 2), units.Fixed(f.AlongMM, 3),
			units.Fixed(f.AcrossMM, 3), units.Fixed(f.WorstMM, 3))
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w)
}

// writeRules prints every rule with its figure and limit.
func writeRules(w io.Writer, d *jig.Design) {
	tab := command.NewTable("level", "rule", ">value", ">limit", "unit")
	for _, r := range d.Rules {
		tab.Add(string(r.Level), r.ID, ruleValue(r.Value, r.Unit), ruleValue(r.Limit, r.Unit), r.Unit)
		tab.Under(RemedyLine(d, r) + r.Says)
	}
	tab.Write(w, "")
}

// ruleValue writes a value or limit of a rule: what is counted without decimals.
func ruleValue(x float64, unit string) string {
	switch unit {
	case "pins", "pockets", "files":
		return units.Decimal(x, 0)
	}
	return units.Fixed(x, 3)
}

// RemedyLine names the line of the job file that a remedy would change.
func RemedyLine(d *jig.Design, r jig.Rule) string {
	if r.Level == jig.Pass || r.Line == 0 {
		return ""
	}
	return fmt.Sprintf("%s:%d: ", d.JobFile, r.Line)
}

// writeFiles prints where the files are; full: each with its purpose.
func writeFiles(w io.Writer, dir string, done export.Result, full bool) {
	if full {
		fmt.Fprintf(w, "\nwritten to %s\n", dir)
		tab := command.NewTable("file", ">bytes", "for")
		for _, f := range done.Files {
			tab.Add(f.Name, fmt.Sprint(f.Bytes), export.Purpose(f.Name))
		}
		tab.Write(w, "  ")
	} else {
		fmt.Fprintf(w, "%d files in %s\nLengths in mm. Every step, figure and file: --full.\n", len(done.Files), dir)
	}
	for _, name := range done.Removed {
		fmt.Fprintf(w, "  removed, no longer part of this design: %s\n", name)
	}
	for _, name := range done.Edited {
		fmt.Fprintf(w, "  NOT part of this design, left because it was edited: %s\n", name)
	}
	fmt.Fprintln(w, export.Safety)
}
