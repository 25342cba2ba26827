package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/jig/measure"
)

// write prints the report for somebody who stands at the machine.
func (r locateReport) write(w io.Writer) {
	l := r.located
	head := "located"
	switch accuracy := num(r.job.AccuracyMM, 3); {
	case l.Outlier != nil:
		head = "INCONCLUSIVE: A READING IS AN OUTLIER"
	case l.RMSmm > r.job.AccuracyMM:
		head = fmt.Sprintf("INCONCLUSIVE: THE READINGS FIT WORSE THAN %s mm", accuracy)
	case !r.good():
		head = fmt.Sprintf("INCONCLUSIVE: A FEATURE'S PLACE IS KNOWN NO BETTER THAN %s mm", accuracy)
	}
	fmt.Fprintf(w, "%s: %s\n\n", r.job.Title, head)
	fmt.Fprintf(w, "  confidence  %s\n\n", locateSure(l))
	r.writePlace(w)
	r.writeRemedy(w)
	writeNotes(w, l.Notes)
	writeMarkChart(w, l)
}

// locateSure tells what the intervals rest on.
func locateSure(l measure.Located) string {
	from := fmt.Sprintf("%d readings", len(l.Residuals))
	u := l.Uncertainty
	switch {
	case u == nil:
		return "none: " + from + " are just enough; measure one more, or give --error-mm"
	case u.Stated:
		return percent(u.Confidence) + ", from the stated error; " + from
	}
	return percent(u.Confidence) + ", from the scatter of " + from
}

func (r locateReport) writePlace(w io.Writer) {
	l := r.located
	tab := newTable("", ">value", ">+-", "unit", "")
	angle := -1.0
	if u := l.Uncertainty; u != nil {
		angle = degrees(u.AngleHalfRad)
	}
	tab.add("turn", fixed(degrees(l.AngleRad), 4), give(angle, 4), "degrees", "counter-clockwise seen from above is positive")
	place := func(what string, p measure.Place) {
		hx, hy := -1.0, -1.0
		if l.Uncertainty != nil {
			hx, hy = p.Half.X, p.Half.Y
		}
		tab.add(what+", X", fixed(p.Lies.X, 3), give(hx, 3), "mm", moved(p.Lies.X, p.Drawn.X))
		tab.add("  Y", fixed(p.Lies.Y, 3), give(hy, 3), "mm", moved(p.Lies.Y, p.Drawn.Y))
	}
	place("the datum's start", l.Start)
	if r.at != atStart {
		place(r.at, l.At)
	}
	if c := l.Scale; c != nil {
		tab.add("scale", fixed(c.Factor, 5), give(c.Half, 5), "", "measured over drawn distances; nothing is stretched")
	}
	tab.add("fit", fixed(l.RMSmm, 3), "", "mm", "root mean square distance of the readings from where the fit has them")
	tab.write(w, "  ")
	fmt.Fprintln(w)
}

// moved tells where a coordinate was drawn and how far it lies from there.
func moved(lies, drawn float64) string {
	return fmt.Sprintf("drawn at %s: %s mm", fixed(drawn, 3), plusMinus(lies-drawn, 3))
}

// farZeroMM is how far the readings' zero may lie from the datum's start to be taken
// for the program's own: a board that was put back lies within it. Common practice,
// no source.
const farZeroMM = 20.0

// writeRemedy says what to do at the machine. The pose holds with the zero as it was;
// whoever moves the zero must not give the program the pose as well.
func (r locateReport) writeRemedy(w io.Writer) {
	l := r.located
	at := "the datum's start"
	if r.at != atStart {
		at = r.at
	}
	half, ok := r.halfMM()
	says := ""
	switch o := l.Outlier; {
	case o != nil:
		says = fmt.Sprintf("Measure %s (line %d) again; or put # before that line to leave it out, and run this again.", o.Name, o.Line)
	case l.RMSmm > r.job.AccuracyMM:
		says = "Measure every mark again: are they of this board, and are the names right?"
	case !ok:
		says = "Nothing is left to judge the readings by: measure one mark more, or state how well a reading repeats (--error-mm)."
	case !r.good():
		says = fmt.Sprintf("At some feature the place is known to +-%s mm only: measure one mark more, far from the others, and those there are again.", fixed(half, 3))
	}
	if says != "" {
		paragraph(w, "", "", says+" Nothing is offered to type until then.")
		fmt.Fprintln(w)
		return
	}
	fmt.Fprintln(w, "do one of these, never both:")
	pose := fmt.Sprintf("leave board and zero as they are, and let the program take the pose (turn %s degrees, shift X %s Y %s mm):",
		plusMinus(degrees(l.AngleRad), 4), plusMinus(l.Start.Shift.X, 3), plusMinus(l.Start.Shift.Y, 3))
	if far := l.Start.Shift.Norm(); far > farZeroMM {
		pose = fmt.Sprintf("only when the program runs in the work offset that the readings were taken in, whose zero lies %s mm from the datum's start: %s", fixed(far, 1), pose)
	}
	paragraph(w, "  1  ", "     ", pose)
	fmt.Fprintf(w, "       reseat locate %s --job %s --json > pose.json\n", shellWord(r.readings), shellWord(r.job.File))
	fmt.Fprintf(w, "       reseat pocket %s --pose pose.json\n", shellWord(r.job.File))
	paragraph(w, "  2  ", "     ", fmt.Sprintf("set the zero: drive to X %s Y %s, where %s lies in the coordinates that the machine shows now (or jog until the cutter stands over it), and type",
		fixed(l.At.Lies.X, 3), fixed(l.At.Lies.Y, 3), at))
	fmt.Fprintf(w, "       %s\n", r.command())
	paragraph(w, "     ", "     ", "P1 is the work offset G54; where the readings were taken in another one, its number.")
	left, name := r.leftMM()
	says = fmt.Sprintf("The turn stays: %s is then off by %s mm", name, fixed(left, 2))
	if left > r.job.AccuracyMM {
		says += fmt.Sprintf(", more than the job's accuracy of %s mm. Tap the board straight first (reseat datum), or take 1.", num(r.job.AccuracyMM, 3))
	} else {
		says += fmt.Sprintf(", within the job's accuracy of %s mm.", num(r.job.AccuracyMM, 3))
	}
	paragraph(w, "     ", "     ", says)
	fmt.Fprintln(w)
}

// writeMarkChart draws how far each reading lies from where the fit has it.
func writeMarkChart(w io.Writer, l measure.Located) {
	off := make([]float64, len(l.Residuals))
	for i, x := range l.Residuals {
		off[i] = x.OffMM
	}
	scale := chartScale(off)
	end := num(scale, 3)
	fmt.Fprintln(w, "how far each reading lies from where the fit has it, mm")
	tab := newTable("line", "name", ">X", ">Y", ">off", "0 "+strings.Repeat(".", max(0, 2*stickHalf-len(end)-2))+" "+end, "")
	for _, i := range charted(off) {
		x, mark := l.Residuals[i], ""
		if l.Outlier != nil && l.Outlier.Line == x.Line {
			mark = "does not belong"
		}
		n := int(math.Round(2 * stickHalf * x.OffMM / scale))
		tab.add(fmt.Sprint(x.Line), x.Name, plusMinus(x.Off.X, 3), plusMinus(x.Off.Y, 3), fixed(x.OffMM, 3), "|"+strings.Repeat("#", n), mark)
	}
	tab.write(w, "  ")
	fmt.Fprint(w, leftOut(len(off)))
}

// shellWord quotes a path that a shell would take apart.
func shellWord(path string) string {
	if strings.ContainsAny(path, " \t\"'$&|;<>()*?`\\") {
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	}
	return path
}
