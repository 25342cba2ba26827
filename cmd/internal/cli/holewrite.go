package cli

import (
	"fmt"
	"io"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/dowel"
	"reseat/fit"
	"reseat/jig/sourced"
	"reseat/jig/units"
)

// purposeNames are what the trade calls the purposes.
var purposeNames = map[dowel.Purpose]string{
	dowel.Press: "press fit", dowel.Locate: "locating fit", dowel.Slide: "running fit",
}

// writeTitle names the pin with its limits, and what is asked.
func writeTitle(w io.Writer, r dowel.Request) {
	p := r.Pin
	size := units.Decimal(p.NominalMM, 4) + " mm"
	if p.IsInch() {
		size = units.Inches(p.NominalMM) + " in"
	}
	what := "hole"
	if r.Slot {
		what = "slot"
	}
	if name := purposeNames[r.Purpose]; name != "" {
		what += " for a " + name
	} else {
		what = "clearance " + what
	}
	fmt.Fprintf(w, "%s pin (%s, %s), %s, by %s in %s mm of %s\n\n", strings.TrimSpace(size+" "+p.Class), p.Title(),
		limits(p.MinMM, p.MaxMM), what, r.Process.Kind, units.Decimal(r.ThicknessMM, 2), takenAs(r.Material))
}

func writeHole(w io.Writer, o holeOptions, r dowel.Request, choices []dowel.Choice) {
	c := choices[0]
	writeTitle(w, r)
	if !c.Holds {
		fmt.Fprintln(w, "No suitable hole; the nearest:")
	}
	for _, line := range c.Explain {
		fmt.Fprintf(w, "- %s\n", line)
	}
	fmt.Fprintln(w)
	tab := command.NewTable("", "")
	class := c.Class
	switch {
	case class == dowel.Plain && c.Within != "":
		class = "none of its own; the limits lie within " + c.Within
	case class == dowel.Plain:
		class = "none; the limits say what it is"
	}
	tab.Add("class", class)
	tab.Add("finished", limits(c.MinMM, c.MaxMM))
	tab.Add("made by", c.Made)
	tab.Add("draw", drawnHow(o, r, c))
	if c.PreDrill != nil {
		tab.Add("pre-drill", preDrill(*c.PreDrill))
	}
	if o := c.Stock; o != nil {
		tab.Add("easier to buy", fmt.Sprintf("%s with %s: %s that a pin enters", o.Pin, o.Reamer, probability(o.Odds)))
	}
	if c.Reamer != nil {
		tab.Add("reamer", limits(c.Reamer.MinMM, c.Reamer.MaxMM))
		addReamers(tab, "  ", c.Reamer.Buy)
	}
	note := ""
	if strings.HasPrefix(clearance(c.ClearanceMinMM), "-") {
		note = " (minus: interference)"
	}
	tab.Add("clearance", clearance(c.ClearanceMinMM)+" to "+clearance(c.ClearanceMaxMM)+" mm"+note)
	tab.Add("probability", probability(c.Odds)+" that a pin enters without force"+withReamer(c))
	if c.ChamferMM > 0 {
		tab.Add("chamfer", units.Decimal(c.ChamferMM, 2)+" mm by 45 degrees")
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w)
	for i, step := range c.Steps {
		fmt.Fprintf(w, "  %d. %s\n", i+1, step)
	}
	if o.all {
		writeCandidates(w, choices)
	}
	fmt.Fprintf(w, "\nPin: %s.\nProcess, as taken:\n", r.Pin.Source)
	for _, a := range r.Process.Assumed {
		fmt.Fprintf(w, "- %s %s", a.What, strings.TrimSpace(units.Decimal(a.Taken, 3)+" "+a.Range.Unit))
		if a.Range.Mark == sourced.Given {
			fmt.Fprintln(w, ", as given")
			continue
		}
		if a.Range.Most > a.Range.Least {
			fmt.Fprintf(w, ", of %s to %s", units.Decimal(a.Range.Least, 3), units.Decimal(a.Range.Most, 3))
		}
		fmt.Fprintf(w, " (%s: %s)\n", a.Range.Mark, a.Range.Source)
	}
}

// preDrill names the drills that leave stock for the reamer.
func preDrill(d dowel.PreReamSize) string {
	leaves := units.Decimal(d.LowMM, 3) + " to " + units.Decimal(d.HighMM, 3) + " mm"
	var names []string
	for _, x := range []*dowel.DrillSize{d.Metric, d.Inch} {
		if x != nil {
			names = append(names, x.String())
		}
	}
	if names == nil {
		return "none of the series leaves " + leaves
	}
	return strings.Join(names, " or ") + "; leaves " + leaves
}

// withReamer says which reamer a probability is of.
func withReamer(c dowel.Choice) string {
	if c.Reamer == nil {
		return ""
	}
	return ", reamed with " + limits(c.Reamer.MadeMinMM, c.Reamer.MadeMaxMM)
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
		notes = append(notes, fmt.Sprintf("%s mm true size, a kerf of %s mm taken out", units.Fixed(c.DrawnMM, 2),
			units.Decimal(o.kerfMM, 3)))
	case r.Process.Kind == fit.Laser:
		notes = append(notes, "true size: kerf not taken out, see --kerf-mm")
	}
	s := units.Fixed(c.DrawnMM-o.kerfMM, 2) + " mm"
	if len(notes) > 0 {
		s += " (" + strings.Join(notes, "; ") + ")"
	}
	return s
}

// clearance writes a clearance with its sign.
func clearance(mm float64) string {
	s := units.Fixed(mm, 3)
	if mm > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// probability writes a share; what is not quite certain is not rounded to certainty.
func probability(p float64) string {
	switch {
	case p > 0.9995 && p < 1:
		return "over 99.9 %"
	case p < 0.0005 && p > 0:
		return "under 0.1 %"
	}
	return units.Fixed(100*p, 1) + " %"
}

// writeCandidates lists every hole that was looked at.
func writeCandidates(w io.Writer, choices []dowel.Choice) {
	fmt.Fprint(w, "\nEvery candidate, the chosen one first:\n\n")
	tab := command.NewTable(">", "class", ">minimum mm", ">maximum mm", ">min. clearance", ">max. clearance", ">enters", "suitable")
	for i, c := range choices {
		suitable, made := "no", c.Made
		if c.Holds {
			suitable = "yes"
		}
		if c.Reamer != nil {
			reamer, _, _ := strings.Cut(c.Reamer.Buy[0], " (")
			made += "; reamer: " + reamer
		}
		tab.Add(fmt.Sprint(i+1), c.Class, limit(c.MinMM), limit(c.MaxMM), clearance(c.ClearanceMinMM),
			clearance(c.ClearanceMaxMM), probability(c.Odds), suitable)
		tab.Under(made)
	}
	tab.Write(w, "  ")
}

// holeRecord has the keys of a hole in design.json where it can.
type holeRecord struct {
	Pin         pinRecord      `json:"pin"`
	Material    string         `json:"material"`
	Family      fit.Family     `json:"family"`
	ThicknessMM float64        `json:"thickness_mm"`
	Process     fit.Process    `json:"process"`
	KerfMM      float64        `json:"kerf_mm"`
	Purpose     dowel.Purpose  `json:"purpose"`
	Slot        bool           `json:"slot"`
	Choice      *dowel.Choice  `json:"choice,omitempty"`
	Candidates  []dowel.Choice `json:"candidates,omitempty"`
	Refused     *refusal       `json:"refused,omitempty"`
}

// refusal is a press fit that would craze the plate.
type refusal struct {
	Says string `json:"says"`
	*dowel.PressError
}

// record is what --json prints; the kerf is taken out of what is drawn.
func (o holeOptions) record(r dowel.Request, choices []dowel.Choice, refused *dowel.PressError) holeRecord {
	out := holeRecord{
		Pin: recordOf(r.Pin), Material: r.Material, Family: fit.FamilyOf(r.Material), ThicknessMM: r.ThicknessMM,
		Process: r.Process, KerfMM: o.kerfMM, Purpose: r.Purpose, Slot: r.Slot,
	}
	if refused != nil {
		out.Refused = &refusal{refused.Error(), refused}
		return out
	}
	for i := range choices {
		choices[i].DrawnMM -= o.kerfMM
	}
	out.Choice = &choices[0]
	if o.all {
		out.Candidates = choices
	}
	return out
}
