package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/jig/measure"
)

// writeDatum prints the report for somebody who stands at the machine: the verdict,
// the figures, what to do, the chart.
func writeDatum(w io.Writer, j datumJob, r measure.DatumReport) {
	fmt.Fprintf(w, "%s: %s\n\n", j.title, shouted(r.Verdict))
	fmt.Fprintf(w, "  tolerance   %s mm over the board's %s mm (%s)\n", fixed(r.ToleranceMM, 3), num(j.lengthMM, 2), j.toleranceFrom)
	fmt.Fprintf(w, "  confidence  %s\n\n", datumSure(r))
	writeDatumFigures(w, j, r)
	fmt.Fprintln(w)
	writeDatumRemedy(w, j, r)
	writeNotes(w, r.Notes)
	writeDatumChart(w, r)
}

// shouted writes a verdict that needs a hand in capitals.
func shouted(v measure.Verdict) string {
	if v == measure.Parallel {
		return string(v)
	}
	return strings.ToUpper(string(v))
}

// datumSure tells what the intervals rest on.
func datumSure(r measure.DatumReport) string {
	var on []string
	for _, e := range r.UsedEdges {
		on = append(on, string(e))
	}
	from := fmt.Sprintf("%d readings on %s", r.Points, strings.Join(on, " and "))
	u := r.Uncertainty
	switch {
	case u == nil:
		return "none: " + from + " are just enough to lay the line; measure more, or give --error-mm"
	case u.Stated:
		return percent(u.Confidence) + ", from the stated error; " + from
	}
	return percent(u.Confidence) + ", from the scatter of " + from
}

func percent(part float64) string { return num(100*part, 2) + " %" }

// give writes the half width of an interval; "" when it is not known.
func give(half float64, n int) string {
	if half < 0 {
		return ""
	}
	return fixed(half, n)
}

func writeDatumFigures(w io.Writer, j datumJob, r measure.DatumReport) {
	tab := newTable("", ">value", ">+-", "unit", "")
	angleHalf, runoutHalf, offsetHalf, sd := -1.0, -1.0, -1.0, ""
	if u := r.Uncertainty; u != nil {
		angleHalf, runoutHalf, offsetHalf = degrees(u.AngleHalfRad), u.RunoutHalfMM, u.OffsetHalfMM
		sd = "root mean square of the readings from the line"
		if u.ExtrapolatedMM > j.lengthMM/2 {
			sd += "; more than half the board was not measured"
		}
	}
	tab.add("angle", fixed(degrees(r.AngleRad), 4), give(angleHalf, 4), "degrees", "counter-clockwise seen from above is positive")
	swung := "straight"
	if r.RunoutMM > 0 {
		swung = fmt.Sprintf("the far end lies towards %s", r.Other.Direction)
	}
	tab.add("runout", fixed(r.RunoutMM, 3), give(runoutHalf, 3), "mm", swung)
	if r.OffsetKnown {
		tab.add("start off by", fixed(r.OffsetMM, 3), give(offsetHalf, 3), "mm", "to the left of where the program has it is positive")
	}
	if b := r.Bow; b != nil {
		says := "no more than scatter"
		if b.Significant {
			says = "the middle from the chord between the ends, to the left positive"
		}
		tab.add("bow", fixed(b.SagittaMM, 3), give(b.HalfMM, 3), "mm", says)
	}
	if e := r.Edges; e != nil {
		says := "no more than scatter"
		if e.Twisted {
			says = "the edges widen more than the job's taper; less is negative"
		}
		tab.add("twist", fixed(degrees(e.TwistRad), 4), give(degrees(e.TwistHalfRad), 4), "degrees", says)
		if e.WidthKnown {
			tab.add("width, start", fixed(e.WidthStartMM, 3), give(e.WidthStartHalfMM, 3), "mm", "more than the job says is positive")
			tab.add("width, far", fixed(e.WidthFarMM, 3), give(e.WidthFarHalfMM, 3), "mm", "")
		}
	}
	tab.add("scatter", fixed(r.RMSmm, 3), "", "mm", sd)
	tab.write(w, "  ")
}

// writeDatumRemedy says what to do: tap here, or there, or turn the program. With a
// reading that does not belong it is what the others ask for.
func writeDatumRemedy(w io.Writer, j datumJob, r measure.DatumReport) {
	angle, runout, fine := r.AngleRad, r.RunoutMM, r.Pass
	head := "do one of these:"
	if o := r.Outlier; o != nil {
		angle, runout = o.Without.AngleRad, o.Without.RunoutMM
		fine = runout <= r.ToleranceMM
		head = fmt.Sprintf("do one of these, which the readings without line %d ask for:", o.Line)
	}
	switch r.Verdict {
	case measure.Parallel:
		fmt.Fprintf(w, "leave it as it is\n\n")
		return
	case measure.CannotTell:
		do := "measure more points, nearer to both ends; or repeat them, and mean it"
		if o := r.Outlier; o != nil {
			do = fmt.Sprintf("measure the point of line %d again", o.Line)
		}
		fmt.Fprintf(w, "first %s\n", do)
		if fine {
			fmt.Fprintln(w)
			return
		}
		head = "then most likely " + head
	}
	far, start, pin := r.Tap, r.Other, r.AtPin
	far.MM, start.MM = runout, runout
	if angle*r.AngleRad < 0 {
		far.Toward, far.Direction, start.Toward, start.Direction = start.Toward, start.Direction, far.Toward, far.Direction
	}
	fmt.Fprintln(w, head)
	if j.pin.stationMM > 0 {
		mm := runout * pin.StationMM / j.lengthMM
		fmt.Fprintf(w, "  tap at %s, station %s mm: %s towards %s, to the %s; the start end stays\n",
			j.pin.name(), num(pin.StationMM, 1), hundredths(mm), far.Direction, far.Toward)
	}
	for _, t := range []measure.Tap{far, start} {
		stays := start.End
		if t.End == start.End {
			stays = far.End
		}
		fmt.Fprintf(w, "  tap the %s end: %s towards %s, to the %s; the %s end stays\n", t.End, hundredths(t.MM), t.Direction, t.Toward, stays)
	}
	fmt.Fprintf(w, "  leave the board, and turn the program by %s degrees about the datum's start (reseat pocket --turn-deg)\n", plusMinus(degrees(angle), 4))
	paragraph(w, "", "", "Left and right are seen from the start end. Spindle off while you tap; measure again before you cut.")
	fmt.Fprintln(w)
}

// plusMinus writes a figure with its sign and n decimals.
func plusMinus(x float64, n int) string {
	s := fixed(x, n)
	if x > 0 && s[0] != '-' {
		return "+" + s
	}
	return s
}

// hundredths is the shop's word for a small length.
func hundredths(mm float64) string {
	switch n := int(math.Round(100 * mm)); {
	case n >= 1000: // a board that lies a centimetre off is told in mm
		return num(mm, 1) + " mm"
	case n == 1:
		return "1 hundredth of a mm"
	default:
		return fmt.Sprintf("%d hundredths of a mm", n)
	}
}

// writeDatumChart draws how far each reading lies from the straight line, so that a
// bow shows as a bow.
func writeDatumChart(w io.Writer, r measure.DatumReport) {
	off := fromLine(r)
	scale := chartScale(off)
	fmt.Fprintln(w, "how far each reading lies from the fitted straight line, mm, to the left positive")
	tab := newTable("line", "on", ">station", ">off by", stickHead(scale), "")
	for _, i := range charted(off) {
		x, mark := r.Residuals[i], ""
		if r.Outlier != nil && r.Outlier.Line == x.Line {
			mark = "does not belong"
		}
		// Left of the line is drawn on the left.
		tab.add(fmt.Sprint(x.Line), string(x.On), fixed(x.StationMM, 1), fixed(off[i], 3), stick(-off[i], scale), mark)
	}
	tab.write(w, "  ")
	fmt.Fprint(w, leftOut(len(off)))
}

// fromLine lists how far the readings lie from the straight line, to the left positive.
func fromLine(r measure.DatumReport) []float64 {
	out := make([]float64, len(r.Residuals))
	for i, x := range r.Residuals {
		out[i] = x.FromLineMM
	}
	return out
}
