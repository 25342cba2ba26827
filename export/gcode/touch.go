package gcode

import (
	"bufio"
	"fmt"
	"io"
	"math"

	"reseat/jig/touch"
)

// WriteTouches writes a program of touches. Every probing move is G38.2, at which the
// controller stops where nothing is met; the spindle is off. For NGC the probe's results are
// logged to a file between PROBEOPEN and PROBECLOSE (LinuxCNC, G-code overview, "Probe
// Logging"); a small controller writes them to its console. The error is what w returned.
func WriteTouches(w io.Writer, p touch.Program, log string, d Dialect) error {
	t := text{w: bufio.NewWriter(w), d: d}
	t.say("%s", p.File)
	t.say("%s", p.Title)
	t.say("all lengths in mm, feeds in mm/min, dialect %s; spindle OFF, a touch probe in its place", d)
	t.say("X %s to %s, Y %s to %s, Z %s to %s at most, including the return move", mm(p.Min[0]), mm(p.Max[0]),
		mm(p.Min[1]), mm(p.Max[1]), mm(p.Min[2]), mm(p.Max[2]))
	for _, s := range p.Says {
		t.say("%s", s)
	}
	for _, s := range p.Cautions {
		t.say("CAUTION: %s", s)
	}
	t.say("CAUTION: zero is G54 as the operator set it, nothing here changes it")
	t.say("CAUTION: the first move goes straight to Z%s from wherever the probe stands", mm(p.SafeMM))
	t.w.WriteString(preamble + "M5\n")
	if d == NGC {
		fmt.Fprintf(t.w, "G61\n(PROBEOPEN %s)\n", log)
	}
	for i, m := range p.Moves {
		if m.Comment != "" {
			t.say("%s", m.Comment)
		}
		if d == NGC && i == len(p.Moves)-1 {
			t.w.WriteString("(PROBECLOSE)\n")
		}
		t.probing(m)
	}
	t.w.WriteString("M2\n")
	return t.w.Flush()
}

// probing writes a move of a program of touches.
func (t *text) probing(m touch.Move) {
	if m.Kind == touch.Pause {
		t.w.WriteString("M0\n")
		return
	}
	word := map[touch.MoveKind]string{touch.Rapid: "G0", touch.Feed: "G1", touch.Probe: "G38.2"}
	t.line = append(t.line[:0], word[m.Kind]...)
	for i, letter := range []string{" X", " Y", " Z"} {
		if !math.IsNaN(m.To[i]) {
			t.word(letter, steps(m.To[i]))
		}
	}
	if m.FeedMM > 0 {
		t.line = fmt.Appendf(t.line, " F%d", round(m.FeedMM))
	}
	fmt.Fprintf(t.w, "%s\n", t.line)
}
