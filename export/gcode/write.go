package gcode

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"

	"reseat/jig/toolpath"
)

// Limits of a line (rule C01).
const (
	maxCode = 70  // characters of code; grbl keeps 80 with the end of line
	maxLine = 126 // with comment; a serial buffer holds 128
)

// preamble sets every mode before the first move, one word per line, because a
// controller drops a whole line for one word that it does not know (rule C03).
var preamble = []string{"G21", "G90", "G17", "G94", "G54"}

// Write writes p as G-code. The same program and options give the same bytes.
//
// The file lifts the tool to the safe height, turns the spindle on, makes the
// moves, lifts, turns it off, goes home over the parking place and ends with M2.
// Moves shorter than the last decimal are left out.
//
// The error is *ProgramError, with every fault, when the program or the options
// are not fit to be written or the text does not read back as the program; else
// what w returned. Nothing is written in the first case.
func Write(w io.Writer, p *toolpath.Program, o Options) error {
	o = o.filled()
	faults := o.check()
	cause := p.Check()
	var all toolpath.Faults
	if errors.As(cause, &all) {
		for _, e := range all {
			f := Fault{-1, e.Error()}
			var pe *toolpath.PathError
			if errors.As(e, &pe) && pe.Move >= 0 {
				f = Fault{pe.Move, pe.Why}
			}
			faults = append(faults, f)
		}
	}
	if len(faults) > 0 {
		return &ProgramError{p.File, faults, cause}
	}
	t := text{g: o.grid(), o: o}
	t.head(p)
	t.body(p)
	if len(t.faults) == 0 {
		t.readBack(p)
	}
	if len(t.faults) > 0 {
		return &ProgramError{p.File, t.faults, nil}
	}
	_, err := w.Write(t.Bytes())
	return err
}

// text is a file in the making.
type text struct {
	bytes.Buffer
	g      grid
	o      Options
	faults []Fault
	here   spot
	feed   int64
	kept   []kept
}

// kept is a move that was written.
type kept struct {
	move int            // index into Program.Moves
	from toolpath.Point // where it starts in the program
}

func (t *text) fault(move int, format string, args ...any) {
	t.faults = append(t.faults, Fault{move, fmt.Sprintf(format, args...)})
}

func (t *text) line(format string, args ...any) { fmt.Fprintf(t, format+"\n", args...) }

func (t *text) say(format string, args ...any) {
	for _, l := range t.o.Comments.mark(fmt.Sprintf(format, args...)) {
		t.line("%s", l)
	}
}

// head writes what a person must know before the file runs.
func (t *text) head(p *toolpath.Program) {
	t.say("%s", p.File)
	t.say("%s", p.Title)
	t.say("all lengths in mm, feeds in mm/min, dialect %v", t.o.Dialect)
	tool := fmt.Sprintf("%.4g mm", p.Tool.DiameterMM)
	if p.Tool.Name != "" {
		tool = p.Tool.Name + ", " + tool
	}
	t.say("tool: %s; spindle %.0f rpm", tool, p.SpindleRPM)
	if s, err := p.DryRun(0); err == nil {
		t.say("the tip runs over X %.3f to %.3f, Y %.3f to %.3f, Z %.3f to %.3f, parking included", s.Min.X, s.Max.X, s.Min.Y, s.Max.Y, s.Min.Z, s.Max.Z)
		t.say("top of the stock Z%.3f, sideways rapids at Z%.3f, deepest %.3f below the top", p.TopZ, p.SafeZ, s.DeepestMM)
		t.say("at least %d min, longer by every start and stop", int(math.Ceil(s.TimeS()/60)))
	}
	for _, s := range p.Says {
		t.say("%s", s)
	}
	for _, s := range p.Cautions {
		t.say("CAUTION: %s", s)
	}
	t.say("CAUTION: zero is G54 as the operator set it, nothing here changes it")
	t.say("CAUTION: the first move lifts straight up or down to Z%.3f from wherever the tool stands", p.SafeZ)
	t.say("CAUTION: run it first in the air, spindle off, Z zero raised by more than the deepest cut")
}

// body writes the code.
func (t *text) body(p *toolpath.Program) {
	for _, l := range preamble {
		t.line("%s", l)
	}
	if t.o.Dialect == NGC {
		if t.o.BlendMM > 0 {
			t.line("G64 P%s", t.g.print(t.g.round(t.o.BlendMM)))
		} else {
			t.line("G61")
		}
	}
	safe := t.g.print(t.g.round(p.SafeZ))
	t.line("G0 Z%s", safe)
	t.line("M3 S%.0f", math.Round(p.SpindleRPM))
	t.moves(p)
	t.line("G0 Z%s", safe)
	t.line("M5")
	t.line("G0 X%s Y%s", t.g.print(t.g.round(p.Park.X)), t.g.print(t.g.round(p.Park.Y)))
	t.line("M2")
}

// moves writes the moves and the remarks between them.
func (t *text) moves(p *toolpath.Program) {
	from, steps := p.Start(), p.Steps
	t.here = t.g.spot(from)
	for i, m := range p.Moves {
		for len(steps) > 0 && steps[0].Move == i {
			t.say("%s", steps[0].Says)
			steps = steps[1:]
		}
		if i == 0 {
			// The controller does not know where the program believes the tool to be.
			if m.Kind != toolpath.Rapid || m.To.Z != p.SafeZ {
				t.fault(0, "must be a rapid over the first place at the safe height")
				return
			}
			t.straight(0, from, m, true)
		} else if m.Kind.IsArc() {
			t.arc(i, from, m)
		} else {
			t.straight(i, from, m, false)
		}
		from = m.To
	}
}

// straight writes a rapid or a feed, unless nothing of it is left on the grid.
func (t *text) straight(i int, from toolpath.Point, m toolpath.Move, always bool) {
	to := t.g.spot(m.To)
	word, line := "G1", ""
	if m.Kind == toolpath.Rapid {
		word = "G0"
	}
	if always || !to.over(t.here) {
		line += fmt.Sprintf(" X%s Y%s", t.g.print(to.x), t.g.print(to.y))
	}
	if to.z != t.here.z {
		line += " Z" + t.g.print(to.z)
	}
	if line == "" {
		return
	}
	if m.Kind != toolpath.Rapid {
		line += t.feedWord(m)
	}
	t.put(i, from, word+line, to)
}

// arc writes an arc with every word that it needs (rules C08a, C12).
func (t *text) arc(i int, from toolpath.Point, m toolpath.Move) {
	to := t.g.spot(m.To)
	if full := from.XY() == m.To.XY(); full != to.over(t.here) {
		t.fault(i, "is an arc whose two ends fall together at %d decimals: it would become a full turn", t.g)
		return
	}
	c := t.g.center(from, m.To, m.Center)
	r0, r1 := t.g.radius(t.here, c), t.g.radius(to, c)
	if r0 == 0 || math.Abs(r0-r1) > toolpath.RadiiMM {
		t.fault(i, "is an arc of radius %.4f that comes out as %.4f and %.4f at %d decimals", from.XY().Dist(m.Center), r0, r1, t.g)
		return
	}
	word := "G3"
	if m.Kind == toolpath.ArcCW {
		word = "G2"
	}
	line := fmt.Sprintf("%s X%s Y%s", word, t.g.print(to.x), t.g.print(to.y))
	if to.z != t.here.z {
		line += " Z" + t.g.print(to.z)
	}
	line += fmt.Sprintf(" I%s J%s", t.g.print(c.x-t.here.x), t.g.print(c.y-t.here.y))
	t.put(i, from, line+t.feedWord(m), to)
}

// feedWord returns the F word when the feed changes. Feeds are whole mm/min.
func (t *text) feedWord(m toolpath.Move) string {
	f := int64(math.Round(m.FeedMMmin))
	if f == t.feed {
		return ""
	}
	t.feed = f
	return fmt.Sprintf(" F%d", f)
}

func (t *text) put(i int, from toolpath.Point, line string, to spot) {
	if len(line) > maxCode {
		t.fault(i, "needs a line of %d characters; %d are allowed", len(line), maxCode)
	}
	t.line("%s", line)
	t.here = to
	t.kept = append(t.kept, kept{i, from})
}
