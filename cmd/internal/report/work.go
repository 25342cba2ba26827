package report

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// writeWork prints the order of work: of each set-up where it is, its file and tool, where
// zero is, and what is checked first before going on; its steps where there is nothing to
// check. Otherwise these are for the full text.
func writeWork(w io.Writer, d *jig.Design, written []export.File) {
	if len(d.Setups) == 0 {
		return
	}
	writeTake(w, d)
	zeroed := map[string]int{} // where zero is -> the set-up that told it
	for _, s := range d.Setups {
		line, zero := titled(s, written), ""
		if s.Zero != nil {
			if n, text := zeroed[s.Zero.Says]; text {
				line += fmt.Sprintf(", zero as in %d", n)
			} else {
				zero, zeroed[s.Zero.Says] = s.Zero.Says, s.Number
			}
		}
		command.Paragraph(w, fmt.Sprintf("%2d  ", s.Number), deep, line)
		if zero != "" {
			command.Paragraph(w, deep+"zero: ", deep+deep, zero)
		}
		if len(s.Checks) > 0 {
			command.Paragraph(w, deep+"check: ", deep+deep, Checks(s.Checks[:1]))
		} else { // its program is not written, and that is all it says
			command.Paragraph(w, deep, deep, strings.Join(s.Steps, " "))
		}
	}
}

func writeTake(w io.Writer, d *jig.Design) {
	command.Paragraph(w, "have ready: ", deep, strings.Join(TakeList(d), "; "))
}

// TakeList lists what must lie ready: stock, pins and cutters.
func TakeList(d *jig.Design) []string {
	stock := func(what, of string, l geom.Loop, thick float64) string {
		size := l.Bounds().Size()
		return fmt.Sprintf("%s %s %s x %s x %s", what, of, units.Decimal(size.X, 1), units.Decimal(size.Y, 1),
			units.Decimal(thick, 2))
	}
	take := []string{stock("bed", d.Bed.Material, d.Bed.Outline, d.Bed.ThicknessMM)}
	if d.Seat.Kind == "nest" && d.Template.MakeBy != "print" {
		take = append(take, stock("template", d.Template.Material, d.Template.Outline, d.Template.ThicknessMM))
	}
	if r := d.Rails; r != nil && r.Sheet != nil {
		take = append(take, stock("gluing plate", r.Sheet.Material, d.Template.Outline, r.Sheet.ThicknessMM))
	}
	if k := d.Blank; k != nil {
		take = append(take, stock("blank", k.Wood, k.Outline, k.ThicknessMM))
	}
	pins := map[float64]int{} // of each length
	var mills []string
	for _, s := range d.Setups {
		for _, q := range s.Pins {
			if q.After { // put in here; elsewhere it stands already
				pins[q.LengthMM]++
			}
		}
		if t := s.Tool; t != nil {
			mills = append(mills, t.Name+" "+units.Decimal(t.DiameterMM, 3))
		}
	}
	for _, l := range slices.Sorted(maps.Keys(pins)) {
		p := d.Pins[0].Dowel
		take = append(take, fmt.Sprintf("%d pins %s x %s", pins[l], p.Name(), strings.TrimSuffix(p.SizeSold(l), " mm")))
	}
	slices.Sort(mills)
	return append(take, slices.Compact(mills)...)
}

// ToolList lists what else must lie ready: what opens holes, what holds, measures and glues.
func ToolList(d *jig.Design) []string {
	var out, with []string
	add := func(says string) {
		if !slices.Contains(out, says) {
			out = append(out, says)
		}
	}
	for _, g := range d.HoleGroups() {
		used := g.Part != "print" || slices.ContainsFunc(d.Setups, func(s setup.Setup) bool { return s.Place == "printer" })
		if g.Hole.Reamer != "" && used && (g.Part != "template" || d.Seat.Kind == "nest") {
			part := g.Part
			if part == "print" || part == "rails" {
				part = setup.GluingPlate
			}
			size, _, _ := strings.Cut(g.Hole.Reamer, ", a reamer") // the set-up tells how it is sold
			add("reamer for the " + part + ": " + size)
		}
	}
	if h := d.HoldDown; h != nil && len(h.Parts) > 0 {
		add("double-sided tape, a thin spatula")
	}
	for _, s := range d.Setups {
		for _, c := range s.Checks {
			if tool := measures[c.With]; tool != "" && !slices.Contains(with, tool) {
				with = append(with, tool)
			}
		}
		if s.ID != setup.GlueUp {
			continue
		}
		for _, l := range s.Stack {
			if l.Name == setup.Film || l.Name == setup.Pad || l.Name == setup.Caul {
				add(fmt.Sprintf("%s: %s, %s thick", l.Name, l.Material, units.Decimal(l.ToMM-l.FromMM, 2)))
			}
		}
	}
	if r := d.Rails; r != nil && r.Glued != nil {
		add(fmt.Sprintf("glue: %s; %d clamps of %s N", r.Glue, r.Glued.Clamps.Count, units.Significant(r.Glued.Clamps.EachN, 2)))
	}
	if len(with) > 0 {
		add("to measure: " + strings.Join(with, ", "))
	}
	return out
}

// measures are what checks are made with and must lie ready, as it is called there.
var measures = map[string]string{
	"caliper": "caliper", "0.05 mm feeler": "0.05 mm feeler", "dial, reseat datum": "dial indicator",
	"depth gauge": "depth gauge", "rule": "rule",
}

// titled is a set-up's title with its place, files and tool. A program that a failed rule
// keeps from being written is named as that.
func titled(s setup.Setup, written []export.File) string {
	with := append([]string{s.Place}, s.Files...)
	if s.Program != "" {
		is := s.Program
		if !slices.ContainsFunc(written, func(f export.File) bool { return f.Name == s.Program }) {
			is += " NOT WRITTEN"
		}
		with = append(with, is)
	}
	if t := s.Tool; t != nil {
		with = append(with, fmt.Sprintf("%s %s, reach %s", t.Name, units.Decimal(t.DiameterMM, 3),
			units.Fixed(t.ReachNeededMM, 1)))
	}
	return fmt.Sprintf("%s (%s)", s.Title, strings.Join(with, ", "))
}

// Checks tells checks with their figures and limits, and what they are taken with:
// once where they are taken with the same.
func Checks(checks []setup.Check) string {
	var out []string
	for i, c := range checks {
		s, low, high := c.What, units.Fixed(c.Low, 2), units.Fixed(c.High, 2)
		switch {
		case c.Unit != "" && c.Expected == 0:
			s += " within " + high
		case c.Unit != "":
			s += fmt.Sprintf(" %s, %s to %s", units.Fixed(c.Expected, 2), low, high)
		}
		if i == len(checks)-1 || checks[i+1].With != c.With {
			s += " (" + c.With + ")"
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}

// writeSetups prints each set-up whole: stack, pins, steps, checks, and cautions that no
// earlier one had.
func writeSetups(w io.Writer, d *jig.Design, written []export.File) {
	var cautioned []string
	for _, s := range d.Setups {
		command.Paragraph(w, "", deep, fmt.Sprintf("set-up %d: %s: %s", s.Number, titled(s, written), s.Part))
		held := "held: " + s.LocatedBy
		if s.FaceUp != "" {
			held = s.FaceUp.Name() + " up; " + held
		}
		command.Paragraph(w, "  ", deep, held)
		tab := command.NewTable("from below", ">from", ">to", "")
		for _, l := range s.Stack {
			tab.Add(l.Name, units.Fixed(l.FromMM, 2), units.Fixed(l.ToMM, 2), l.Material)
		}
		for _, q := range alike(s.Pins) {
			text := "length " + units.Decimal(q.LengthMM, 2)
			if q.After {
				text += ", put in after cutting"
			}
			tab.Add("pins "+q.ID, units.Fixed(q.FromMM, 2), units.Fixed(q.ToMM, 2), text)
		}
		tab.Write(w, "  ")
		if s.Zero != nil {
			command.Paragraph(w, "  zero: ", deep, fmt.Sprintf("%s (Z0 at %s)", s.Zero.Says, units.Fixed(s.Zero.ZMM, 2)))
		}
		for i, t := range s.Steps {
			command.Paragraph(w, fmt.Sprintf("  %d. ", i+1), deep+" ", t)
		}
		for _, c := range s.Checks {
			command.Paragraph(w, "  check: ", deep, Checks([]setup.Check{c}))
		}
		for _, c := range s.Cautions {
			if !slices.Contains(cautioned, c) {
				cautioned = append(cautioned, c)
				command.Paragraph(w, "  caution: ", deep, c)
			}
		}
		fmt.Fprintln(w)
	}
}

// alike joins pins that stand alike under their names.
func alike(pins []setup.Pin) []setup.Pin {
	var out []setup.Pin
	for _, q := range pins {
		if n := len(out); n > 0 && out[n-1].FromMM == q.FromMM && out[n-1].ToMM == q.ToMM && out[n-1].After == q.After {
			out[n-1].ID += " " + q.ID
			continue
		}
		out = append(out, q)
	}
	return out
}
