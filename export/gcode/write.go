package gcode

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"reseat/jig/geom"
	"reseat/jig/toolpath"
)

// Dialect is a set of words that a controller understands.
type Dialect string

// The dialects, as the job file calls them.
const (
	// Plain is the smallest common subset of grbl 1.1, LinuxCNC and Marlin. Its comments
	// begin with a semicolon, which every one of them knows.
	Plain Dialect = "plain"

	// NGC adds G61 (keep to the path exactly) for LinuxCNC; grbl takes it too. Its comments
	// stand in parentheses. On Marlin G61 moves to a stored place: never send it there.
	NGC Dialect = "ngc"
)

// preamble sets every mode before the first move.
const preamble = "G21\nG90\nG17\nG94\nG54\n"

// Write writes p as G-code. The same program and dialect give the same bytes.
//
// The file lifts the tool to the safe height, turns the spindle on, makes the moves, each
// cut ending with its lift, turns it off, returns to the zero and ends with M2. Moves shorter than a micrometre are
// left out. The error is what w returned.
func Write(w io.Writer, p *toolpath.Program, d Dialect) error {
	t := text{w: bufio.NewWriterSize(w, 1<<16), d: d}
	t.head(p)
	t.body(p)
	return t.w.Flush()
}

// text is a file in the making. Its writer keeps the first error.
type text struct {
	w    *bufio.Writer
	d    Dialect
	line []byte // being made
	here spot
	feed int64

	arc    [3]geom.Vec // the last one from above, since a helix is the same many times
	center spot        // and where its centre is written
}

func (t *text) say(format string, args ...any) {
	for _, l := range wrap(clean(fmt.Sprintf(format, args...))) {
		if t.d == NGC {
			fmt.Fprintf(t.w, "(%s)\n", l)
		} else {
			fmt.Fprintf(t.w, "; %s\n", l)
		}
	}
}

// mm is a length as a comment has it.
func mm(x float64) string { return string(appendMM(nil, steps(x))) }

// head writes what a person must know before the file runs.
func (t *text) head(p *toolpath.Program) {
	r := p.Run
	t.say("%s", p.File)
	t.say("%s", p.Title)
	t.say("all lengths in mm, feeds in mm/min, dialect %s", t.d)
	t.say("tool: %s, %.4g mm; spindle %d rpm", p.Name, p.DiameterMM, round(p.SpindleRPM))
	t.say("travels X %s to %s, Y %s to %s, Z %s to %s, including the return move",
		mm(r.Min.X), mm(r.Max.X), mm(r.Min.Y), mm(r.Max.Y), mm(r.Min.Z), mm(r.Max.Z))
	t.say("Z0 is the face that is cut, sideways rapids at Z%s, deepest %s below it", mm(p.SafeMM), mm(r.DeepestMM()))
	seconds := int64(math.Ceil(r.TimeS))
	t.say("time %d min %d s without acceleration, rapids taken at %d mm/min", seconds/60, seconds%60,
		toolpath.RapidMMmin)
	for _, s := range p.Says {
		t.say("%s", s)
	}
	for _, s := range p.Cautions {
		t.say("CAUTION: %s", s)
	}
	t.say("CAUTION: zero is G54 as the operator set it, nothing here changes it")
	t.say("CAUTION: the first move goes straight to Z%s from wherever the tool stands", mm(p.SafeMM))
	t.say("CAUTION: dry run first: spindle off, Z zero raised above the deepest cut")
}

// body writes the code.
func (t *text) body(p *toolpath.Program) {
	t.w.WriteString(preamble)
	if t.d == NGC {
		t.w.WriteString("G61\n")
	}
	fmt.Fprintf(t.w, "G0 Z%s\nM3 S%d\n", mm(p.SafeMM), round(p.SpindleRPM))
	// The controller does not know where the program believes the tool to be, so the first
	// move names its place whatever it is.
	t.here = spot{x: math.MaxInt64, z: steps(p.SafeMM)}
	from := toolpath.Point{}
	for _, c := range p.Cuts {
		t.say("%s", c.Says)
		for m := range c.Moves() {
			t.move(from, m)
			from = m.To
		}
	}
	t.w.WriteString("M5\nG0 X0.000 Y0.000\nM2\n") // every cut ends with its lift
}

// move writes a move with every word that it needs, unless nothing of it is left on the
// grid.
func (t *text) move(from toolpath.Point, m toolpath.Move) {
	to := spotOf(m.To)
	arc := m.Kind == toolpath.Arc
	if to == t.here && !arc {
		return
	}
	t.line = append(t.line[:0], [...]string{toolpath.Rapid: "G0", toolpath.Feed: "G1", toolpath.Arc: "G3"}[m.Kind]...)
	if arc || !to.over(t.here) {
		t.word(" X", to.x)
		t.word(" Y", to.y)
	}
	if to.z != t.here.z {
		t.word(" Z", to.z)
	}
	if arc {
		if arc := [3]geom.Vec{from.XY(), m.To.XY(), m.Center}; arc != t.arc {
			t.arc, t.center = arc, center(from, m.To, m.Center)
		}
		t.word(" I", t.center.x-t.here.x)
		t.word(" J", t.center.y-t.here.y)
	}
	if f := round(m.FeedMMmin); m.Kind != toolpath.Rapid && f != t.feed {
		t.line = strconv.AppendInt(append(t.line, " F"...), f, 10)
		t.feed = f
	}
	t.here = to
	t.w.Write(append(t.line, '\n'))
}

func (t *text) word(letter string, n int64) { t.line = appendMM(append(t.line, letter...), n) }
