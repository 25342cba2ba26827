package cli

import (
	"fmt"
	"io"
	"strings"

	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/sourced"
)

// pinTitle names the pin with its limits.
func pinTitle(p dowel.Pin) string {
	size := num(p.NominalMM, 4) + " mm"
	if p.Inch() {
		size = pinSize(p.Standard, p.NominalMM) + " in"
	}
	if p.Class != "" {
		size += " " + p.Class
	}
	return fmt.Sprintf("%s pin (%s, %s to %s mm)", size, p.Standard, limit(p.MinMM), limit(p.MaxMM))
}

func writeTitle(w io.Writer, r dowel.Request) {
	what := "hole"
	if r.Slot {
		what = "slot"
	}
	fmt.Fprintf(w, "%s, %s to %s, by %s in %s mm of %s\n\n", pinTitle(r.Pin), what, r.Purpose, r.Process.Kind, num(r.ThicknessMM, 2), takenAs(r.Material))
}

// writeRefused tells a press fit that would craze the plate.
func writeRefused(w io.Writer, r dowel.Request, e *dowel.PressError) {
	writeTitle(w, r)
	fmt.Fprintf(w, "REFUSED: %s\n", e)
}

func writeHole(w io.Writer, o holeOptions, r dowel.Request, choices []dowel.Choice) {
	c := choices[0]
	writeTitle(w, r)
	if !c.Holds {
		fmt.Fprintln(w, "NO HOLE SERVES; the nearest:")
	}
	for _, line := range c.Explain {
		fmt.Fprintf(w, "- %s\n", line)
	}
	fmt.Fprintln(w)
	tab := newTable("", "")
	tab.add("class", className(c))
	tab.add("finished", limit(c.MinMM)+" to "+limit(c.MaxMM)+" mm")
	tab.add("made by", c.Made)
	tab.add("draw", drawnHow(o, r, c))
	if c.PreDrill != nil {
		tab.add("pre-drill", drillName(c.PreDrill.Metric)+" or "+drillName(c.PreDrill.Inch)+"; leaves "+num(c.PreDrill.LowMM, 3)+" mm or more")
	}
	if c.Reamer != nil {
		tab.add("reamer", limit(c.Reamer.MinMM)+" to "+limit(c.Reamer.MaxMM)+" mm")
		for i, b := range c.Reamer.Buy {
			head := "  buy"
			if i > 0 {
				head = "  or"
			}
			tab.add(head, b)
		}
	}
	tab.add("clearance", play(c.ClearanceMinMM)+" to "+play(c.ClearanceMaxMM)+" mm"+negativeNote(c))
	tab.add("odds", odds(c.Odds)+" that a pin enters without force")
	if c.ChamferMM > 0 {
		tab.add("chamfer", num(c.ChamferMM, 2)+" mm by 45 degrees")
	}
	writeBody(w, tab)
	fmt.Fprintln(w)
	for i, step := range c.Steps {
		fmt.Fprintf(w, "  %d. %s\n", i+1, step)
	}
	if o.all {
		writeCandidates(w, choices)
	}
	fmt.Fprintf(w, "\nPin: %s.\nProcess, as taken:\n", r.Pin.Source)
	for _, a := range r.Process.Assumed {
		fmt.Fprintf(w, "- %s %s", a.What, strings.TrimSpace(num(a.Taken, 3)+" "+a.Range.Unit))
		if a.Range.Mark == sourced.Given {
			fmt.Fprintln(w, ", as given")
			continue
		}
		fmt.Fprintf(w, ", of %s to %s (%s: %s)\n", num(a.Range.Least, 3), num(a.Range.Most, 3), a.Range.Mark, a.Range.Source)
	}
}

// writeBody prints a table without its empty head.
func writeBody(w io.Writer, t *table) {
	var b strings.Builder
	t.write(&b, "  ")
	_, body, _ := strings.Cut(b.String(), "\n")
	fmt.Fprint(w, body)
}

func className(c dowel.Choice) string {
	if c.Class == "plain" && c.Within != "" {
		return "none of its own; the limits lie within " + c.Within
	}
	if c.Class == "plain" {
		return "none; the limits say what it is"
	}
	return c.Class
}

// drawnHow says what to draw and what has been taken out of it.
func drawnHow(o holeOptions, r dowel.Request, c dowel.Choice) string {
	var notes []string
	opened := strings.Contains(c.Made, ", then ")
	if opened {
		notes = append(notes, "under size, opened afterwards")
	}
	if bias := r.Process.BiasAt(r.Pin.NominalMM); bias != 0 && !opened {
		notes = append(notes, fmt.Sprintf("a bias of %+.3f mm taken out", bias))
	}
	switch {
	case o.kerfMM > 0:
		notes = append(notes, fmt.Sprintf("%s mm true size, a kerf of %s mm taken out", fixed(c.DrawnMM, 2), num(o.kerfMM, 3)))
	case r.Process.Kind == fit.Laser:
		notes = append(notes, "true size: kerf not taken out, see --kerf-mm")
	}
	s := fixed(drawnMM(o, c), 2) + " mm"
	if len(notes) > 0 {
		s += " (" + strings.Join(notes, "; ") + ")"
	}
	return s
}

// drawnMM is the size to draw, kerf taken out.
func drawnMM(o holeOptions, c dowel.Choice) float64 { return c.DrawnMM - o.kerfMM }

// play writes a clearance with its sign.
func play(mm float64) string {
	s := fixed(mm, 3)
	if mm > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

func negativeNote(c dowel.Choice) string {
	if play(c.ClearanceMinMM)[0] == '-' {
		return " (minus: interference)"
	}
	return ""
}

// odds writes a probability; what is not quite certain is not rounded to certainty.
func odds(p float64) string {
	switch {
	case p > 0.9995 && p < 1:
		return "over 99.9 %"
	case p < 0.0005 && p > 0:
		return "under 0.1 %"
	}
	return fixed(100*p, 1) + " %"
}

// writeCandidates lists every hole that was looked at.
func writeCandidates(w io.Writer, choices []dowel.Choice) {
	fmt.Fprint(w, "\nEvery candidate, the chosen one first:\n\n")
	tab := newTable(">", "class", "made by", ">least mm", ">greatest mm", ">least play", ">greatest play", ">odds", "serves", "reamer")
	for i, c := range choices {
		serves, reamer := "no", "-"
		if c.Holds {
			serves = "yes"
		}
		if c.Reamer != nil {
			reamer, _, _ = strings.Cut(c.Reamer.Buy[0], " (")
		}
		tab.add(fmt.Sprint(i+1), c.Class, c.Made, limit(c.MinMM), limit(c.MaxMM), play(c.ClearanceMinMM), play(c.ClearanceMaxMM), odds(c.Odds), serves, reamer)
	}
	tab.write(w, "  ")
}
