package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/budget"
	"reseat/jig/closing"
	"reseat/jig/glued"
	"reseat/jig/sourced"
	"reseat/jig/units"
)

// barWidth is how many characters the longest bar of the budget's chart has.
const barWidth = 30

// writeBudget prints where the board really ends up: every feature's error, the
// chart of the worst one by source, and what would help most.
func writeBudget(w io.Writer, d *jig.Design) {
	sum := d.Budget
	if sum == nil || len(sum.Features) == 0 {
		return
	}
	worst := sum.Worst()
	fmt.Fprintf(w, "position error, mm: 95 %% (Monte Carlo, %d runs, seed %d), and worst case as the sum of all "+
		"sources\n",
		sum.Trials, sum.Seed)
	tab := command.NewTable("feature", ">u", ">v", ">along 95 %", ">across 95 %", ">95 %", ">worst case", "")
	for i, f := range sum.Features {
		mark := ""
		if i == worst {
			mark = "<"
		}
		tab.Add(f.Name, units.Fixed(f.At.X, 2), units.Fixed(f.At.Y, 2), units.Fixed(f.P95AlongMM, 3),
			units.Fixed(f.P95AcrossMM, 3), units.Fixed(f.P95MM, 3), units.Fixed(f.WorstMM, 3), mark)
	}
	tab.Write(w, "  ")
	f := sum.Features[worst]
	fmt.Fprintf(w, "\nerror budget at %s, mm (#: standard deviation and known bias; dots: up to the worst case)\n",
		f.Name)
	most := 0.0
	for _, t := range f.Contributions {
		most = math.Max(most, t.WorstMM)
	}
	tab = command.NewTable("source", ">worst", ">sd", ">bias", ">share", "")
	for _, t := range f.Contributions {
		off := math.Hypot(t.AlongBiasMM, t.AcrossBiasMM)
		text := ""
		if off >= 0.0005 {
			text = units.Fixed(off, 3)
		}
		tab.Add(t.Source, units.Fixed(t.WorstMM, 3), units.Fixed(t.SDMM, 3), text,
			fmt.Sprintf("%.0f %%", 100*math.Max(0, t.Share)), bar(math.Hypot(t.SDMM, off), t.WorstMM, most))
		if key := assumed(t); key != "" {
			tab.Under("assumed: " + key)
		}
	}
	tab.Write(w, "  ")
	if f.Largest != "" {
		fmt.Fprintf(w, "  largest source: %s (%.0f %%). %s\n", f.Largest, 100*f.LargestShare, f.Remedy)
	}
	fmt.Fprintln(w)
}

// assumed is the key of the job file that would give a term's figure, where the file leaves
// it out.
func assumed(t budget.Contribution) string {
	if !t.Assumed {
		return ""
	}
	return t.Key
}

// writeAssumed names, on one line, the keys whose figures the worst feature's error rests on
// and the job leaves out, the largest share first.
func writeAssumed(w io.Writer, d *jig.Design) {
	if d.Budget == nil || len(d.Budget.Features) == 0 {
		return
	}
	terms := slices.Clone(d.Budget.Features[d.Budget.Worst()].Contributions)
	slices.SortStableFunc(terms, func(a, b budget.Contribution) int { return cmp.Compare(b.Share, a.Share) })
	var keys []string
	for _, t := range terms {
		if k := assumed(t); k != "" && !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	if len(keys) > 0 {
		command.Paragraph(w, "assumed until measured (--full): ", deep, strings.Join(keys, ", "))
	}
}

// bar draws a term to scale.
func bar(usual, worst, most float64) string {
	if most <= 0 {
		return ""
	}
	n := int(math.Round(worst / most * barWidth))
	k := min(n, int(math.Round(usual/most*barWidth)))
	return strings.Repeat("#", k) + strings.Repeat(".", n-k)
}

// writeAssembly prints the probability that all pins assemble.
func writeAssembly(w io.Writer, d *jig.Design) {
	if len(d.Assembly) == 0 {
		return
	}
	a := d.Assembly[0]
	fmt.Fprintf(w, "probability that all pins assemble (Monte Carlo, %d runs, seed %d)\n", a.Trials, a.Seed)
	tab := command.NewTable("part", "onto", ">probability", ">for 99 %", "critical pin")
	for _, a := range d.Assembly {
		extra := fmt.Sprintf("%+.3f mm", a.ExtraFor99MM)
		tab.Add(a.Part, a.On, fmt.Sprintf("%.1f %%", 100*a.Odds), extra, a.Critical.String())
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w, "  for 99 %: clearance change on the diameter (+ needed, - in reserve)")
	fmt.Fprintln(w)
}

// writeClimate prints what the air did to the board.
func writeClimate(w io.Writer, d *jig.Design) {
	c := d.Climate
	if c == nil {
		return
	}
	fmt.Fprintf(w, "climate: made at %s C and %s %% RH (%.1f %% moisture), now %s C and %s %% (%.1f %%)\n",
		units.Decimal(c.MadeC, 1), units.Decimal(c.MadeRHPct, 1), c.MoistureMadePct, units.Decimal(c.NowC, 1),
		units.Decimal(c.NowRHPct, 1), c.MoistureNowPct)
	fmt.Fprintf(w, "  %s: width %s mm, length %s mm", c.Wood, units.Signed(c.WidthMM, 3), units.Signed(c.LengthMM, 3))
	if d.Template.Window != nil {
		if c.SinceMM != 0 {
			fmt.Fprintf(w, "; measured at %s C and %s %%: width %s mm since", units.Decimal(c.MeasuredC, 1),
				units.Decimal(c.MeasuredRHPct, 1), units.Signed(c.SinceMM, 3))
		}
		fmt.Fprintf(w, "; the window is drawn for it now, %s mm clearance per side",
			units.Decimal(d.Template.ClearanceMM, 3))
		if c.EntersBelowRHPct > 0 {
			fmt.Fprintf(w, "; the board goes in up to %.0f %% RH", math.Floor(c.EntersBelowRHPct))
		}
	}
	fmt.Fprintf(w, "\n  coefficients: %s", c.Source)
	if c.Note != "" {
		fmt.Fprintf(w, "; %s", c.Note)
	}
	fmt.Fprint(w, "\n\n")
}

// valueText writes a figure or a range to three digits, as good as such figures are.
func valueText(f sourced.Value) string {
	if f.Unit == "mm" && f.Most < 0.001 {
		return "under 0.001 mm"
	}
	s := units.Significant(f.Least, 3)
	if f.Most != f.Least {
		s += " to " + units.Significant(f.Most, 3)
	}
	return strings.TrimSpace(s + " " + f.Unit)
}

// writeGluing prints what the gluing needs, before the rails' own figures are trusted.
func writeGluing(w io.Writer, d *jig.Design) {
	if d.Rails == nil || d.Rails.Gluing == nil {
		return
	}
	g := d.Rails.Gluing
	fmt.Fprintf(w, "gluing with %s\n", d.Rails.Glue)
	tab := command.NewTable("what", "figure", "source")
	for _, f := range []struct {
		what string
		fig  sourced.Value
	}{
		{"glue to spread", g.Mass},
		{"squeeze-out", g.SqueezeOut},
		{"glue relief chamfer", g.Chamfer},
		{"pressure", g.Pressure},
		{"closing force", g.Force},
		{"clamps of " + g.ClampForce.String(), g.Clamps},
		{"open time", g.OpenTime},
	} {
		if f.fig.IsKnown() {
			tab.Add(f.what, valueText(f.fig), string(f.fig.Mark))
		}
	}
	if p := d.Rails.Glued; p != nil {
		for _, f := range []struct {
			what string
			fig  sourced.Value
		}{
			{"water into the board", p.Water.Water},
			{"cupping of a board left free", p.Water.CupMM},
			{"bowing of a board left free", p.Water.BowMM},
			{"time in the clamps", p.Times.Clamped},
			{"lift the plate after", p.Times.Release},
			{"time to full load", p.Times.Load},
		} {
			if f.fig.IsKnown() {
				tab.Add(f.what, valueText(f.fig), string(f.fig.Mark))
			}
		}
	}
	tab.Write(w, "  ")
	writeClosing(w, d.Rails.Glued)
	fmt.Fprintln(w)
}

// writeClosing prints what reaches which part of the pressure asked for, and the caul.
func writeClosing(w io.Writer, f *glued.Plan) {
	if f == nil {
		return
	}
	c := f.Caul
	fmt.Fprintf(w, "  side load of clamps 2 degrees out of square %s N: rail deflection %s mm\n",
		units.Significant(f.SideN, 3),
		units.Decimal(f.Rail.DeflectionMM, 3))
	tab := command.NewTable("strip left beside the board, mm", "95 %", "worst case")
	for _, e := range f.Edges {
		tab.Add(e.Name, units.Fixed(e.LowMM, 2)+" to "+units.Fixed(e.HighMM, 2),
			units.Fixed(e.LeastMM, 2)+" to "+units.Fixed(e.MostMM, 2))
	}
	tab.Write(w, "  ")
	fmt.Fprintf(w, "  caul of %s, %s mm high or more: under %d clamps %s mm apart the pressure stays over %s of the "+
		"mean\n", c.Material,
		units.Decimal(c.HeightMM, 1), f.Clamps.Count, units.Decimal(c.SpacingMM, 0), units.Significant(c.Least, 2))
	lost := ""
	for _, way := range append([]closing.Clamping{f.Clamps}, f.Others...) {
		fmt.Fprintf(w, "  %s: %s N in all, %s MPa, %s\n", way.Name, units.Significant(way.ForceN, 3),
			units.Significant(way.PressureMPa, 2), way.Verdict())
		if l := way.Lost(); l != "" && lost == "" {
			lost = "with " + way.Name + ": " + l
		}
	}
	command.Paragraph(w, "  ", "  ", lost)
}
