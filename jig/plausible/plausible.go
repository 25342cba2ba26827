// Package plausible looks a job over for values that are possible but hardly meant: two
// figures exchanged, a decimal point that slipped, another unit. It judges what the job says,
// never what is made of it. Every limit is common practice, no source, unless it says more.
package plausible

import (
	"fmt"
	"math"

	"reseat/jig/job"
)

// Doubt is a value that is hardly meant.
type Doubt struct {
	Key          string // of the job file; none stands twice
	Value, Limit float64
	Unit         string
	Says, Remedy string
}

const (
	// squareMM over 300 mm: a frame put together with a carpenter's square lies within it.
	squareMM = 1.0
	// positionMM: what a belt with play still repeats to.
	positionMM = 0.3
	// clearanceMM per side: a board with more is not located by its window.
	clearanceMM = 1.0
	// kerfMM: a laser cuts 0.1 to 0.3 mm wide, and a little more in thick sheet.
	kerfMM = 1.0
	// warmC: no workshop is kept warmer; 40 degrees Fahrenheit and more are.
	warmC = 40.0
	// slipMM: what a straightedge or a caliper shows at a glance, and skewMM over their distance.
	slipMM, skewMM = 0.3, 1.0
	// leanDeg: a pin that leans so can be seen to.
	leanDeg = 1.0
	// accuracyMM: what a board that is put back by eye is out by.
	accuracyMM = 0.5
	// farTimes half the width of plate and blank, no pin could stand anyway.
	farTimes = 2
	// fahrenheitZero and fahrenheitPerC turn Fahrenheit into Celsius (their definition).
	fahrenheitZero, fahrenheitPerC = 32.0, 1.8
)

// Doubts returns what is hardly meant, in the order of the job file.
func Doubts(j *job.Job) []Doubt {
	var out []Doubt
	over := func(key string, value, limit float64, says, remedy string) {
		if value > limit {
			out = append(out, Doubt{key, value, limit, "mm", says, remedy})
		}
	}
	b := j.Board
	start, end := b.WidthStartMM, b.WidthEndMM
	widest, narrowest := math.Max(start, end), math.Min(start, end)
	if b.Outline == nil {
		over("board.length", widest, b.LengthMM,
			fmt.Sprintf("the board is wider, %s, than it is long, %s", mm(widest), mm(b.LengthMM)),
			"Are length and width exchanged, or has a decimal point slipped?")
	}
	over("board.thickness", b.ThicknessMM, narrowest,
		fmt.Sprintf("the board is thicker, %s, than it is wide, %s", mm(b.ThicknessMM), mm(narrowest)),
		"Are width and thickness exchanged, or has a decimal point slipped?")
	if b.Frets != nil {
		over("board.width", start, end,
			fmt.Sprintf("a board with frets is narrower at the nut: its start end is %s wide, its far end %s", mm(start),
				mm(end)),
			fmt.Sprintf("Are the two exchanged (board.width {start: %g, end: %g})?", end, start))
		over("board.frets.scale", b.LengthMM, b.Frets.ScaleMM,
			fmt.Sprintf("the board, %s, is longer than its strings, %s", mm(b.LengthMM), mm(b.Frets.ScaleMM)),
			"The scale runs from nut to bridge")
		if in := b.Frets.DotInlay; in != nil {
			over("board.frets.dot.inlay.thickness", in.ThicknessMM, b.ThicknessMM,
				thickInlay("the dots'", in, b), inlayRemedy)
		}
	}
	for _, f := range b.Features {
		if in := f.Inlay; in != nil {
			over(f.Key+".inlay.thickness", in.ThicknessMM, b.ThicknessMM, thickInlay(f.Name+"'s", in, b), inlayRemedy)
		}
	}
	reach := widest/2 + j.Template.MarginMM
	if j.Blank != nil {
		reach = math.Max(reach, j.Blank.WidthMM/2)
	}
	for i, k := range b.KeepOut {
		far := math.Max(math.Abs(k.From.Y), math.Abs(k.To.Y))
		turned := k.From.Y >= 0 && k.To.Y <= b.LengthMM && math.Max(math.Abs(k.From.X), math.Abs(k.To.X)) <= widest/2
		if turned {
			over(fmt.Sprintf("board.keep_out[%d]", i), far, farTimes*reach,
				fmt.Sprintf("the keep-out %q reaches %s to the side, where plate and blank end at %s; with u and v exchanged it "+
					"would lie on the board", k.Name, mm(far), mm(reach)), "Places are [u, v]: along the board first")
		}
	}
	if k := j.Blank; k != nil && j.Template.Seat == "pins" {
		over("blank.thickness", b.ThicknessMM, k.ThicknessMM,
			fmt.Sprintf("the board is thicker, %s, than the blank that it is cut from, %s", mm(b.ThicknessMM),
				mm(k.ThicknessMM)),
			fmt.Sprintf("A blank of at least %s, or a thinner board", mm(b.ThicknessMM)))
	}
	over("machine.square", j.Machine.SquareMM, squareMM,
		fmt.Sprintf("axes out of square by %s over 300 mm, %.2f degrees", mm(j.Machine.SquareMM),
			math.Atan(j.Machine.SquareMM/300)*180/math.Pi),
		"Is it over the whole table, or the difference of two diagonals? Square the machine first")
	over("machine.position", j.Machine.PositionMM, positionMM,
		fmt.Sprintf("a move that repeats to %s only", mm(j.Machine.PositionMM)),
		"Measure it with a dial: come back to one place ten times")
	lean := j.Dowel.LeanRad * 180 / math.Pi
	if lean > leanDeg {
		out = append(out, Doubt{"dowel.lean_deg", lean, leanDeg, "degrees", fmt.Sprintf("pins that lean by %.3g degrees", lean),
			"0.1 to 0.3 is usual: stand them square first"})
	}
	for _, e := range []struct {
		key          string
		value, limit float64
		says         string
	}{
		{"board.width_error", b.WidthErrorMM, slipMM, "a width that is known to"},
		{"machine.straight", j.Machine.StraightMM, slipMM, "a long axis bowed by"},
		{"machine.tram", j.Machine.TramMM, skewMM, "a spindle out of square over 150 mm by"},
		{"template.make.straight", j.Template.Make.StraightMM, slipMM, "walls of the window out of true by"},
		{"template.make.square", j.Template.Make.SquareMM, skewMM, "a plate out of square over 300 mm by"},
	} {
		over(e.key, e.value, e.limit, e.says+" "+mm(e.value), "0.01 to 0.1 mm is usual: has a decimal point slipped?")
	}
	over("template.clearance", j.Template.ClearanceMM, clearanceMM,
		fmt.Sprintf("a window %s larger than the board on each side does not locate it", mm(j.Template.ClearanceMM)),
		"0.05 to 0.2 mm is usual")
	for _, p := range []struct {
		key  string
		kerf float64
	}{{"template", j.Template.Make.KerfMM}, {"bed", j.Bed.Make.KerfMM}, {"blank", kerfOf(j.Blank)}} {
		over(p.key+".make.kerf", p.kerf, kerfMM, fmt.Sprintf("a laser's cut %s wide", mm(p.kerf)),
			"0.1 to 0.3 mm is usual: has a decimal point slipped?")
	}
	if c := j.Climate; c != nil {
		for _, a := range []struct {
			key string
			c   float64
		}{{"climate.made.temp", c.Made.TempC}, {"climate.now.temp", c.Now.TempC}} {
			if a.c > warmC {
				out = append(out, Doubt{a.key, a.c, warmC, "C",
					fmt.Sprintf("a workshop at %g degrees Celsius", a.c),
					fmt.Sprintf("Is that Fahrenheit? It would be %.0f degrees Celsius", (a.c-fahrenheitZero)/fahrenheitPerC)})
			}
		}
	}
	over("accuracy", j.AccuracyMM, accuracyMM,
		fmt.Sprintf("an accuracy of %s is that of a board put back by eye", mm(j.AccuracyMM)),
		"The eye sees 0.1 mm beside an inlay")
	return out
}

const inlayRemedy = "Is it the diameter, or has a decimal point slipped?"

func thickInlay(whose string, in *job.Inlay, b job.Board) string {
	return fmt.Sprintf("%s inlay is thicker, %s, than the board, %s", whose, mm(in.ThicknessMM), mm(b.ThicknessMM))
}

func kerfOf(k *job.Blank) float64 {
	if k == nil {
		return 0
	}
	return k.Make.KerfMM
}

func mm(x float64) string { return fmt.Sprintf("%.4g mm", x) }
