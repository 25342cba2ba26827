package report

import (
	"fmt"
	"io"
	"math"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/holddown"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
	"reseat/jig/units"
)

// DryRun prints what a program does, before it runs.
func DryRun(w io.Writer, p jig.Program) {
	r := p.Path.Run
	fmt.Fprintf(w, "dry run of %s: %s in %s, %s min without acceleration\n", p.Path.File, units.Count(len(p.Path.Cuts), "cut"),
		units.Count(r.Passes, "pass"), minutes(r))
	fmt.Fprintf(w, "  X %s to %s, Y %s to %s, Z %s to %s\n", units.Fixed(r.Min.X, 3), units.Fixed(r.Max.X, 3),
		units.Fixed(r.Min.Y, 3), units.Fixed(r.Max.Y, 3), units.Fixed(r.Min.Z, 3), units.Fixed(r.Max.Z, 3))
	fmt.Fprintf(w, "  deepest %s mm below the face, %s mm per pass\n", units.Fixed(r.DeepestMM(), 3),
		units.Fixed(r.PassMM, 3))
}

// minutes are whole ones, a part of one counts.
func minutes(r toolpath.Summary) string { return fmt.Sprintf("%.0f", math.Ceil(r.TimeS/60)) }

// PrintTape prints whether tape holds the parts, and how they come off it again.
func PrintTape(w io.Writer, d *jig.Design) {
	if d.HoldDown == nil {
		return
	}
	HoldDown(w, d)
	fmt.Fprintln(w, "  lifting the parts afterwards:")
	for i, s := range d.Lifting {
		fmt.Fprintf(w, "    %d. %s\n", i+1, s)
	}
	fmt.Fprintln(w)
}

// HoldDown prints whether tape holds the parts.
func HoldDown(w io.Writer, d *jig.Design) {
	if d.HoldDown == nil {
		return
	}
	h := d.HoldDown
	fmt.Fprintf(w, "tape: %s N sideways and %s N of lift (%s N in the mean) by a %s cutter, factor %s\n",
		units.Significant(h.SidewaysN, 3), units.Significant(h.LiftN, 3), units.Significant(h.MeanLiftN, 3), h.Edge(),
		units.Significant(holddown.Factor, 3))
	fmt.Fprintf(w, "  %s N/mm2 at a chip of %s mm (%s: %s); a dull cutter takes %s times a sharp one (practice).%s\n",
		units.Significant(h.Specific.Least, 3), units.Decimal(h.ChipMM, 3), h.Specific.Mark, h.Specific.Source,
		units.Significant(h.Dull, 2), h.ThinSays())
	tab := command.NewTable("under", ">can be laid, cm2", ">needed for minutes, cm2", ">for the whole cut, cm2", "verdict")
	for _, p := range h.Parts {
		tab.Add(p.Name, units.Significant(p.AvailableMM2/100, 3), units.Significant(h.NeedShortMM2/100, 3),
			units.Significant(h.NeedLastingMM2/100, 3), string(p.Level))
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w, "  minutes: most of sideways and lift; the whole cut: the mean lift, under which tape creeps")
	if s := setup.Sealing(d.Bed.Material); s != "" {
		fmt.Fprintf(w, "  %s\n", s)
	}
}

// writePrograms lists the programs of a design with what they do, before they run.
func writePrograms(w io.Writer, d *jig.Design) {
	if len(d.Programs) == 0 {
		return
	}
	fmt.Fprintln(w, "dry run of the programs: mm, zero at the datum's start on top of what is cut; "+
		"time without acceleration")
	tab := command.NewTable("file", "part", ">tool", ">cuts", ">passes", ">deep", ">a pass", ">min", "X", "Y")
	for _, p := range d.Programs {
		r := p.Path.Run
		tab.Add(p.Path.File, p.Part, units.Decimal(p.Path.DiameterMM, 3), fmt.Sprint(len(p.Path.Cuts)), fmt.Sprint(r.Passes),
			units.Fixed(r.DeepestMM(), 2), units.Fixed(r.PassMM, 2), minutes(r),
			fmt.Sprintf("%s to %s", units.Fixed(r.Min.X, 1), units.Fixed(r.Max.X, 1)),
			fmt.Sprintf("%s to %s", units.Fixed(r.Min.Y, 1), units.Fixed(r.Max.Y, 1)))
	}
	tab.Write(w, "  ")
	for _, p := range d.Programs {
		fmt.Fprintf(w, "  %s: %s of %s mm: %s\n", p.Path.File, p.Path.Name, units.Decimal(p.Path.DiameterMM, 3), p.Tool.Why)
	}
	fmt.Fprintln(w)
}
