package report

import (
	"fmt"
	"io"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// PocketPlan prints how each feature of a face is bored.
func PocketPlan(w io.Writer, d *jig.Design, k *jig.Pockets, step int) {
	of := ""
	if k.Face == setup.Under {
		of = " of the underside"
	}
	fmt.Fprintf(w, "%s: features%s bored again with a cutter of %s mm\nstep %d of %d, lengths in mm\n", d.Title, of,
		units.Decimal(k.Tool.DiameterMM, 3), step, k.Plan.Steps)
	tab := command.NewTable("feature", ">u", ">v", ">this cut", ">final cut", ">helix radius", ">depth", ">below Z0",
		">proud", ">inlay left", ">board left")
	for _, p := range k.Plan.Pockets {
		now, helix := "done", ""
		if len(p.Cuts) == 0 {
			now = "none"
		}
		if step <= len(p.Cuts) {
			c := p.Cuts[step-1]
			now, helix = units.Fixed(c.BoreMM, 3), units.Fixed(c.HelixMM, 3)
		}
		proud, left := "", ""
		if p.Seat.HasInlay {
			proud, left = units.Fixed(p.Seat.LeastProudMM, 2), units.Fixed(p.Seat.LeftMM, 2)
		}
		tab.Add(p.Name, units.Fixed(p.UMM, 2), units.Fixed(p.VMM, 2), now, units.Fixed(p.Size.BoreMM, 3),
			helix,
			units.Fixed(p.Seat.AtFeatureMM, 3), units.Fixed(p.Seat.BelowZ0MM(), 3), proud, left, units.Fixed(p.Seat.UnderMM, 2))
	}
	tab.Write(w, "  ")
	fmt.Fprintln(w, "  cuts are diameters; depth counts from the face at the feature, below Z0 from the face on the datum "+
		"line; proud and inlay left are the least over the whole disc")
	if z := k.Plan.Pockets[0].Size; z.Inlays > 0 { // the features of one batch are told once
		fmt.Fprintf(w, "  largest of %d inlays, %s mm, and a glue gap of %s mm\n", z.Inlays, units.Fixed(z.LargestMM, 3),
			units.Fixed(z.BoreMM-z.LargestMM, 3))
	}
	for _, f := range k.Plan.Findings {
		level := jig.Warn
		if f.Fails {
			level = jig.Fail
		}
		fmt.Fprintf(w, "%s  %s. Remedy: %s\n", level, f.Says, f.Remedy.Says)
	}
	fmt.Fprintln(w)
}
