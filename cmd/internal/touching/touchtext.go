package touching

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"reseat/cmd/internal/command"
	"reseat/export/gcode"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/touch"
	"reseat/jig/units"
)

// What a plan of touches tells people: the list, what cannot be touched, and the head of its
// program.

// seated is the set-up in which the board lies ready with a face up; it has no zero when
// there is none.
func seated(all []setup.Setup, up setup.Face) setup.Setup {
	id := setup.SeatBoard
	if up == setup.Under {
		id = setup.TurnOver
	}
	for _, s := range all {
		if s.ID == id {
			return s
		}
	}
	return setup.Setup{}
}

// blockedText tells what cannot be touched and why, a sentence for each cause.
func blockedText(p touch.Plan) (says []string) {
	var causes []string
	of := map[string][]string{}
	edges := false
	for _, b := range p.Blocked {
		edge := b.What == reading.OnLeft || b.What == reading.OnRight || b.What == reading.OnStart
		edges = edges || edge
		cause := fmt.Sprintf("%s stands %s mm above the height that the probe's tip would need", b.By,
			units.Fixed(b.OverMM, 1))
		switch {
		case b.By == "":
			cause = "not there yet: the board is still a part of its blank"
		case b.By == "corner":
			cause = "no straight stretch is long enough"
		case b.By == "outline":
			cause = "it is nowhere straight for long enough"
		case b.By == "rim":
			cause = "another feature or the board's edge cuts the rim"
		case b.By == "bore":
			cause = fmt.Sprintf("bore not given, too narrow or too shallow for a probe of %s mm", units.Decimal(p.ProbeMM, 3))
		}
		if len(of[cause]) == 0 {
			causes = append(causes, cause)
		}
		of[cause] = append(of[cause], b.What)
	}
	for _, c := range causes {
		says = append(says, fmt.Sprintf("Cannot be touched: %s (%s).", command.Listed(of[c]), c))
	}
	if p.For == touch.Datum && edges && len(p.Touches) > 0 && p.Touches[0].What == reading.OnDatum {
		with := "the rims of the bores on the datum line"
		if !p.ByProgram {
			with = "a pointed cutter over marks and the scribed datum line"
		}
		says = append(says, "In place of the edges: "+with+".")
	}
	if _, enough := p.Answers(); p.For == touch.Datum && !enough && len(p.Touches) > 0 {
		says = append(says, fmt.Sprintf("The touches reach over %.0f %% of the length only, where a bow of the board "+
			"looks like a turn.", math.Floor(100*p.ReachPart)))
	}
	return says
}

// shortText is what would reach enough, tried: a smaller ball, or touching by hand.
func shortText(s touch.Spec) string {
	short := func(mm float64, program bool) bool {
		s.ProbeMM, s.ByProgram = mm, program
		p, err := touch.NewPlan(s)
		_, enough := p.Answers()
		return err != nil || !enough
	}
	ball, program := s.ProbeMM, s.ByProgram
	for _, mm := range []float64{2, 1.5, 1, 0.5} {
		if program && mm < ball && !short(mm, true) {
			return fmt.Sprintf("A ball of %g mm reaches enough: --probe-mm %g.", mm, mm)
		}
	}
	if program && !short(ball, false) {
		return "By hand enough can be touched: leave out --probe."
	}
	return "Neither a smaller ball nor touching by hand reaches enough: what is there is not enough for a sure answer."
}

// tellPlan prints the list of touches.
func tellPlan(w io.Writer, p touch.Plan, j *job.Job, notes []string, files []touchFile) {
	fmt.Fprintf(w, "%s: touches for reseat %s, %s up\n\n", j.Title, p.For, p.Up.Name())
	t := command.NewTable(">touch", "on", ">station", ">X", ">Y", ">tip Z", "toward", ">from X", ">Y")
	for i := 0; i < len(p.Touches); i++ {
		q := p.Touches[i]
		if n := p.Bore(i); n > 0 { // its touches are one reading, of the centre
			i += n - 1
			t.Add(fmt.Sprintf("%d-%d", q.Number, q.Number+n-1), onText(p, q), units.Fixed(q.Station.X, 1),
				units.Fixed(q.From.X, 3), units.Fixed(q.From.Y, 3), units.Fixed(q.TipMM, 1), "all 4 sides", "", "")
			continue
		}
		row := []string{fmt.Sprint(q.Number), onText(p, q), units.Fixed(q.Station.X, 1), units.Fixed(q.At.X, 3),
			units.Fixed(q.At.Y, 3), units.Fixed(q.TipMM, 1), towardText(p, q), "", ""}
		if q.Dir != (geom.Vec{}) {
			row[7], row[8] = units.Fixed(q.From.X, 1), units.Fixed(q.From.Y, 1)
		}
		t.Add(row...)
	}
	t.Write(w, "  ")
	fmt.Fprintln(w)
	command.Paragraph(w, "", "", fmt.Sprintf("X and Y: centre of the %s mm probe as it touches, or "+
		"of the bore, expected in "+
		"work offset G54. Z: its tip over Z0, which lies on %s.", units.Decimal(p.ProbeMM, 3), p.Zero))
	for _, s := range notes {
		command.Paragraph(w, "", "", s)
	}
	plan, last := files[0].path, files[len(files)-1].path
	fmt.Fprintf(w, "\nwritten: %s", plan)
	if p.ByProgram {
		fmt.Fprintf(w, ", %s", last)
	}
	fmt.Fprintln(w)
	if p.ByProgram {
		log := "a new console log of it, with what $# prints"
		if j.Cutting.Dialect == string(gcode.NGC) {
			log = "the file " + probeLog(last) + " that it makes (PROBEOPEN)"
		}
		command.Paragraph(w, "", "", fmt.Sprintf("Dry run first, zero raised, a finger on the probe. "+
			"Then run %s, keep %s, and "+
			"give that as it is:", last, log))
		fmt.Fprintf(w, "  $ reseat %s LOG --job %s --plan %s\n", p.For, command.ShellWord(j.File), command.ShellWord(plan))
		return
	}
	command.Paragraph(w, "", "", "Fill in the empty columns with what the machine shows; a line that you leave out "+
		"gets a # before it. Then:")
	fmt.Fprintf(w, "  $ reseat %s %s --job %s\n", p.For, command.ShellWord(plan), command.ShellWord(j.File))
}

// onText names what is touched.
func onText(p touch.Plan, t touch.Touch) string {
	switch {
	case t.Mark != "" && t.IsProbed():
		return "rim of " + t.Mark
	case t.Mark != "":
		return t.Mark + ", centre"
	case t.What == reading.OnDatum:
		return "datum line"
	case t.What == reading.OnTop:
		return p.Up.Name()
	}
	return t.What + " edge"
}

// towardText is the way of the touch: the axis that it mostly runs along.
func towardText(p touch.Plan, t touch.Touch) string {
	switch {
	case t.What == reading.OnTop:
		return "-Z"
	case !t.IsProbed():
		return "pointed cutter"
	case math.Abs(t.Dir.X) >= math.Abs(t.Dir.Y):
		return signed(t.Dir.X) + "X"
	}
	return signed(t.Dir.Y) + "Y"
}

func signed(x float64) string {
	if x < 0 {
		return "-"
	}
	return "+"
}

// headed writes what a person must know before a program of touches runs.
func headed(g *touch.Program, p touch.Plan, seat setup.Setup) {
	g.Says = append(g.Says, seat.Lies,
		fmt.Sprintf("probe: ball %s mm, stylus longer than %s, Z at its lowest point; Z0 lies on %s, touched off with "+
			"this very probe", units.Decimal(p.ProbeMM, 3), units.Fixed(p.StylusMM, 1), p.Zero))
	if seat.Zero.Pin != "" && p.For != touch.Zero {
		g.Says = append(g.Says, seat.Zero.X+" is X0 Y0: "+seat.Zero.Says)
	}
	g.Says = append(g.Says, fmt.Sprintf("%d touches, each twice: at %d mm/min, back, at %d mm/min, which counts",
		len(p.Touches), touch.FastFeed, touch.SlowFeed))
	g.Cautions = append(g.Cautions,
		"the machine's manual, local rules and trained people come before this file",
		"spindle off and locked; probe fitted, its lead clear; test that the controller sees it: touch it by hand",
		"dry run first: Z0 raised above everything, stop each probing move by touching the probe by hand",
		"where a probing move meets nothing the controller stops with an alarm: do not go on, find out why")
	if p.For == touch.Zero {
		g.Cautions = append(g.Cautions, fmt.Sprintf("nothing lies on the bed but its pins, until the program pauses; X0 "+
			"Y0 by eye to 1 mm: pin %s stands where it was bored", p.Rim))
	}
	if slices.ContainsFunc(p.Touches, func(t touch.Touch) bool { return t.Mark != "" && t.Mark != p.Rim }) {
		g.Cautions = append(g.Cautions, "every bore that is touched is open and clean, no inlay in it: the ball goes down "+
			"into it")
	}
}

// probeLog is the file that an RS274/NGC controller logs a program's touches to: the
// program's name, in characters that no comment trips over.
func probeLog(program string) string {
	base := filepath.Base(program)
	return strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("._-", r) {
			return '-'
		}
		return r
	}, strings.TrimSuffix(base, filepath.Ext(base))) + ".log"
}

// inTravel refuses a program whose way is longer than the machine's travel.
func inTravel(j *job.Job, g touch.Program) error {
	for i, axis := range []string{"X", "Y", "Z"} {
		if t, way := j.Machine.TravelMM[i], g.Max[i]-g.Min[i]; t > 0 && way > t {
			return fmt.Errorf("the touches take %s mm of travel in %s, the machine has %s (machine.travel); touch by hand, "+
				"without --probe, what can be reached", units.Fixed(way, 1), axis, units.Fixed(t, 1))
		}
	}
	return nil
}
