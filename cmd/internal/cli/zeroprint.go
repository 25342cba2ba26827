package cli

import (
	"fmt"
	"io"

	"reseat/jig/measure"
)

// clearMM is how far above the top Z zero is typed, so that nobody drives the tip
// into the wood to set it.
const clearMM = 10.0

func (r zeroReport) write(w io.Writer) {
	if r.job != nil {
		fmt.Fprintf(w, "%s: zero\n\n", r.job.Title)
	}
	if r.rim != nil {
		r.writeRim(w)
	}
	if r.edges != nil {
		r.writeEdges(w)
	}
	if r.top != nil {
		r.writeTop(w)
	}
	fmt.Fprintln(w, "P1 is the work offset G54; where the touches were read in another one, its number.")
	if r.rim != nil || r.edges != nil {
		fmt.Fprintln(w, "A zero does not turn the board: whether it lies parallel is for  reseat datum.")
	}
}

// writeDoubt says why nothing is offered to type; false when there is no doubt.
func writeDoubt(w io.Writer, doubt string) bool {
	if doubt == "" {
		return false
	}
	paragraph(w, "", "", "INCONCLUSIVE. "+doubt+" Nothing is offered to type until then.")
	fmt.Fprintln(w)
	return true
}

// sure tells what an interval rests on.
func sure(confidence float64, stated bool) string {
	if stated {
		return percent(confidence) + " interval, from the stated error"
	}
	return percent(confidence) + " interval, from the scatter"
}

func (r zeroReport) writeRim(w io.Writer) {
	z := r.rim
	what := "rim"
	if r.at != "" {
		what = "rim of " + r.at
	}
	fmt.Fprintf(w, "%s: %d points over %s degrees\n", what, len(z.Residuals), fixed(degrees(z.ArcRad), 0))
	hx, hy, hd, says := -1.0, -1.0, -1.0, ""
	if u := z.Uncertainty; u != nil {
		hx, hy, hd, says = u.Half.X, u.Half.Y, u.DiameterHalfMM, sure(u.Confidence, u.Stated)
	}
	tab := newTable("", ">value", ">+-", "unit", "")
	tab.add("centre, X", fixed(z.Center.X, 3), give(hx, 3), "mm", says)
	tab.add("  Y", fixed(z.Center.Y, 3), give(hy, 3), "mm", "")
	size := "the probe taken out"
	if r.spec.DiameterMM > 0 {
		size = "drawn " + num(r.spec.DiameterMM, 3)
	}
	tab.add("diameter", fixed(z.DiameterMM, 3), give(hd, 3), "mm", size)
	tab.add("fit", fixed(z.RMSmm, 3), "", "mm", "root mean square of the points from the circle")
	tab.write(w, "  ")
	fmt.Fprintln(w)
	if !writeDoubt(w, r.rimDoubt()) {
		fmt.Fprintf(w, "drive to X %s Y %s and type\n  %s\n\n", fixed(z.Center.X, 3), fixed(z.Center.Y, 3), r.rimCommand())
	}
	if r.job != nil && z.Uncertainty != nil {
		writeZeroBudget(w, r.job.Machine.Zero, z.Uncertainty.WorstMM)
	}
	writeNotes(w, z.Notes)
	r.writeRimChart(w)
}

// rimCommand sets the zero so that the centre gets the coordinates it was drawn at.
func (r zeroReport) rimCommand() string {
	return fmt.Sprintf("G10 L20 P1 X%s Y%s", num(r.drawn.X, 3), num(r.drawn.Y, 3))
}

// writeZeroBudget holds what came out against what the error budget counts.
func writeZeroBudget(w io.Writer, method string, half float64) {
	for _, m := range measure.ZeroMethods() {
		if m.Name != method {
			continue
		}
		says := "which this keeps"
		if half > m.HalfMM {
			says = "which this does not keep: touch more points, or name another way in the job"
		}
		paragraph(w, "", "", fmt.Sprintf("the job's error budget counts %s mm for zero found by %q, %s (%s mm)", fixed(m.HalfMM, 3), method, says, fixed(half, 3)))
		fmt.Fprintln(w)
	}
}

func (r zeroReport) writeRimChart(w io.Writer) {
	off := r.rim.Residuals
	scale := chartScale(off)
	fmt.Fprintln(w, "how far each point lies from the circle, mm, outward positive")
	tab := newTable("line", ">off", barHead(scale, "in", "out"), "")
	for _, i := range charted(off) {
		mark := ""
		if o := r.rim.Odd; o != nil && o.Index == i {
			mark = "does not belong"
		}
		tab.add(fmt.Sprint(r.lines[i]), fixed(off[i], 3), stick(off[i], scale), mark)
	}
	tab.write(w, "  ")
	fmt.Fprint(w, leftOut(len(off)))
	fmt.Fprintln(w)
}

func (r zeroReport) writeEdges(w io.Writer) {
	z := r.edges
	fmt.Fprintf(w, "edges: %d touches\n", len(z.Residuals))
	turn, width, says := -1.0, -1.0, ""
	x, y := r.edgeHalves()
	if u := z.Uncertainty; u != nil {
		turn, width, says = degrees(u.AngleHalfRad), u.WidthHalfMM, "; "+sure(u.Confidence, u.Stated)
	}
	tab := newTable("", ">value", ">+-", "unit", "")
	knowsX, knowsY := r.edgeAxes()
	if knowsX {
		tab.add("the datum's start, X", fixed(z.Start.X, 3), give(x, 3), "mm", moved(z.Start.X, 0)+says)
	}
	if knowsY {
		tab.add("the datum's start, Y", fixed(z.Start.Y, 3), give(y, 3), "mm", moved(z.Start.Y, 0)+says)
	}
	if z.AngleKnown {
		tab.add("turn", fixed(degrees(z.AngleRad), 4), give(turn, 4), "degrees", "counter-clockwise seen from above is positive")
	}
	if z.WidthKnown {
		tab.add("width", fixed(z.WidthOffMM, 3), give(width, 3), "mm", "more than the job says is positive")
	}
	tab.add("fit", fixed(z.RMSmm, 3), "", "mm", "root mean square of the touches from their edges")
	tab.write(w, "  ")
	drive := ""
	if knowsX {
		drive += " X " + fixed(z.Start.X, 3)
	}
	if knowsY {
		drive += " Y " + fixed(z.Start.Y, 3)
	}
	fmt.Fprintln(w)
	if !writeDoubt(w, r.edgesDoubt()) {
		fmt.Fprintf(w, "drive to%s and type\n  %s\n\n", drive, r.edgeCommand())
	}
	writeNotes(w, z.Notes)
	off := make([]float64, len(z.Residuals))
	for i, t := range z.Residuals {
		off[i] = t.OffMM
	}
	scale := chartScale(off)
	fmt.Fprintln(w, "how far each touch lies from its edge, mm, outward positive")
	tab = newTable("line", "edge", ">off", barHead(scale, "in", "out"))
	for _, i := range charted(off) {
		tab.add(fmt.Sprint(z.Residuals[i].Line), string(z.Residuals[i].Kind), fixed(off[i], 3), stick(off[i], scale))
	}
	tab.write(w, "  ")
	fmt.Fprintln(w, leftOut(len(off)))
}

// edgeAxes tells which machine coordinates of the datum's start the touches tell.
func (r zeroReport) edgeAxes() (x, y bool) {
	if r.job.Machine.LongAxis == "x" {
		return r.edges.AlongKnown, r.edges.AcrossKnown
	}
	return r.edges.AcrossKnown, r.edges.AlongKnown
}

// edgeHalves are the half widths of the datum's start on the machine; negative: not
// known. The board lies along an axis but for its small turn.
func (r zeroReport) edgeHalves() (x, y float64) {
	u := r.edges.Uncertainty
	switch {
	case u == nil:
		return -1, -1
	case r.job.Machine.LongAxis == "x":
		return u.AlongHalfMM, u.AcrossHalfMM
	}
	return u.AcrossHalfMM, u.AlongHalfMM
}

// edgeCommand sets zero at the datum's start on the axes that the touches tell.
func (r zeroReport) edgeCommand() string {
	c := "G10 L20 P1"
	x, y := r.edgeAxes()
	if x {
		c += " X0"
	}
	if y {
		c += " Y0"
	}
	return c
}

func (r zeroReport) writeTop(w io.Writer) {
	z := r.top
	crown := "flat"
	if c := r.job.Board.CrownRadiusMM; c > 0 {
		crown = fmt.Sprintf("crown radius %s mm", num(c, 1))
	}
	fmt.Fprintf(w, "top, %s: %d touches\n", crown, len(z.Touches))
	half, says := -1.0, "the top on the datum line"
	if u := z.Uncertainty; u != nil {
		half = u.HalfMM
		says += "; " + sure(u.Confidence, u.Stated)
	}
	tab := newTable("", ">value", ">+-", "unit", "")
	tab.add("Z", fixed(z.ZMM, 3), give(half, 3), "mm", says)
	if u := z.Uncertainty; u != nil {
		tab.add("  readings", "", give(u.ReadingMM, 3), "mm", "")
		tab.add("  feeler", "", give(u.FeelerMM, 3), "mm", "--feeler-error-mm")
		tab.add("  place", "", give(u.AcrossMM, 3), "mm", "--across-error-mm on the crown's slope")
	}
	tab.write(w, "  ")
	fmt.Fprintln(w)
	if !writeDoubt(w, r.topDoubt()) {
		fmt.Fprintf(w, "raise to Z %s and type\n  %s\nthen Z0 is the top on the datum line, for this tool\n\n", fixed(z.ZMM+clearMM, 3), topCommand())
	}
	writeNotes(w, z.Notes)
	tab = newTable("line", ">beside the datum line", ">top there is lower by", ">Z of the datum line", ">off")
	for _, t := range z.Touches {
		tab.add(fmt.Sprint(t.Line), fixed(t.VMM, 2), fixed(t.RiseMM, 3), fixed(t.ZMM, 3), plusMinus(t.ZMM-z.ZMM, 3))
	}
	tab.write(w, "  ")
	fmt.Fprintln(w)
}

func topCommand() string { return fmt.Sprintf("G10 L20 P1 Z%s", num(clearMM, 3)) }
