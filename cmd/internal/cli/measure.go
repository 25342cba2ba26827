package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"reseat/jig/measure"
)

// measureFlags say how something was measured; datum and locate share them.
type measureFlags struct {
	probeMM    float64 // diameter
	errorMM    float64
	confidence float64
}

func (m *measureFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.Float64Var(&m.probeMM, "probe-mm", 0, "diameter of the probe that touched the edges, mm; 0: its radius is already out")
	f.Float64Var(&m.errorMM, "error-mm", 0, "a reading repeats to plus or minus this, 95 %, mm (default: judged by the scatter)")
	f.Float64Var(&m.confidence, "confidence", 95, "of the intervals and the verdict, percent (50 to 99.99)")
}

// precision checks the flags, and the lengths that come with them.
func (m measureFlags) precision(lengths ...flagLength) (measure.Precision, error) {
	var bad []error
	for _, f := range append(lengths, flagLength{"--probe-mm", m.probeMM}, flagLength{"--error-mm", m.errorMM}) {
		if math.IsNaN(f.mm) || math.IsInf(f.mm, 0) || f.mm < 0 {
			bad = append(bad, &usageError{fmt.Sprintf("%s %g: want a length in mm, zero or more", f.flag, f.mm)})
		}
	}
	c := m.confidence
	switch {
	case c > 0 && c < 1:
		bad = append(bad, &usageError{fmt.Sprintf("--confidence %g: want percent: %g", c, 100*c)})
	case !(c >= leastPercent && c <= mostPercent):
		bad = append(bad, &usageError{fmt.Sprintf("--confidence %g: want %g to %g percent, such as 95", c, leastPercent, mostPercent)})
	}
	return measure.Precision{Confidence: c / 100, ErrorMM: m.errorMM}, allOf(bad...)
}

// flagLength is a flag that holds a length.
type flagLength struct {
	flag string
	mm   float64
}

// The confidence that can be asked for; beyond, a handful of readings says nothing.
const leastPercent, mostPercent = 50.0, 99.99

// textWidth is where running text is broken, in characters: it fits a terminal of
// 100 columns beside its indent.
const textWidth = 92

// paragraph prints text broken at textWidth, later lines indented further.
func paragraph(w io.Writer, first, rest, text string) {
	line := first
	empty := true
	for _, word := range strings.Fields(text) {
		switch {
		case empty:
			line += word
		case len(line)+1+len(word) > textWidth:
			fmt.Fprintln(w, line)
			line = rest + word
		default:
			line += " " + word
		}
		empty = false
	}
	fmt.Fprintln(w, line)
}

func writeNotes(w io.Writer, notes []measure.Note) {
	for _, n := range notes {
		paragraph(w, "note: ", "      ", n.Says)
	}
	if len(notes) > 0 {
		fmt.Fprintln(w)
	}
}

// noteJSON is a note for other programs.
type noteJSON struct {
	Lines []int  `json:"lines,omitempty"` // of the readings file
	Says  string `json:"says"`
}

func notesJSON(notes []measure.Note) []noteJSON {
	out := []noteJSON{}
	for _, n := range notes {
		out = append(out, noteJSON(n))
	}
	return out
}

// known returns a half width as JSON shows it: nil when nothing is left to judge by.
func known(half float64) *float64 {
	if half < 0 {
		return nil
	}
	return &half
}

// degrees is for people only; inside, angles are radians.
func degrees(rad float64) float64 { return rad * 180 / math.Pi }
