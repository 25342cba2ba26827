package setup

import (
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Derive returns the set-ups of a job in the order of work.
func Derive(w Work) []Setup {
	var all []Setup
	switch {
	case len(w.Pattern) == 0: // nothing stands, so nothing can be put back
	case w.Nest:
		all = []Setup{w.boreBed(), w.cutPlate()}
		if w.plateOnMachine() {
			slices.Reverse(all) // once the bed with its pins lies there, nothing is cut out of sheet
		}
		all = append(all, w.faces()...)
		all = append(all, w.liftOff())
	default:
		if w.Together {
			all = append(all, w.boreTogether())
		} else {
			// The bed last: the zero that it is bored with can then be kept.
			all = append(all, w.boreBlank(), w.boreBed())
		}
		all = append(all, w.faces()...)
		all = append(all, w.free())
	}
	if len(all) > 0 && w.Glue != nil {
		all = append(all, w.boreForGluing())
		if w.ownPlate() {
			all = append(all, w.cutGluingPlate())
		}
		all = append(all, w.dryRun(), w.glueUp(), w.release())
	}
	for i := range all {
		all[i].Number = i + 1
		all[i].Tool = w.tool(all[i])
	}
	return all
}

// faces seats the board, bores its top, turns it over and bores its underside, as far as
// the job wants them.
func (w Work) faces() []Setup {
	out := []Setup{w.seatBoard()}
	if w.runs(TopFile) {
		out = append(out, w.bore(Top, TopFile))
	}
	if w.turned() {
		out = append(out, w.turnOver())
		if w.runs(UnderFile) {
			out = append(out, w.bore(Under, UnderFile))
		}
	}
	return out
}

func (w Work) run(file string) (r Run, ok bool) {
	i := slices.IndexFunc(w.Runs, func(r Run) bool { return r.File == file })
	if i < 0 {
		return Run{}, false
	}
	return w.Runs[i], true
}

func (w Work) runs(file string) bool {
	_, ok := w.run(file)
	return ok
}

// tool is what cuts in a set-up, and how deep it goes below all that stands there.
func (w Work) tool(s Setup) *Tool {
	r, ok := w.run(s.Program)
	if !ok || s.Zero == nil {
		return nil
	}
	return &Tool{Name: r.Tool, DiameterMM: r.CutterMM, ReachNeededMM: r.DeepestMM + s.OverMM()}
}

// plateOnMachine: the plate is cut on the machine that bores the bed.
func (w Work) plateOnMachine() bool { return w.Template.MadeBy == "router" }

func (w Work) turned() bool { return w.Turn.About == "long" || w.Turn.About == "short" }

// alongX: the board lies along the machine's X, its start end to the left; otherwise along
// Y, its start end near the operator.
func (w Work) alongX() bool {
	return math.Abs(w.Frame.Apply(geom.Vec{X: 1}).Sub(w.Frame.Apply(geom.Vec{})).X) > 0.5
}

// Heights of the stack on the machine.

// bedTop is the height of the bed's top.
func (w Work) bedTop() float64 { return w.Bed.ThicknessMM }

// faceMM is the height of the board's face that is up, on its datum line.
func (w Work) faceMM(up Face) float64 {
	if !w.Nest && up == Top {
		// The board's top is flush with its blank's.
		return w.bedTop() + w.Blank.ThicknessMM
	}
	return w.bedTop() + w.Board.ThicknessMM
}

// onBed is what lies on the machine while the board is worked on, with a face up.
func (w Work) onBed(up Face) []Layer {
	at := w.bedTop()
	out := []Layer{w.bed()}
	lie := func(name string, p Part) {
		out = append(out, Layer{
			Name: name, Material: p.Material, FromMM: at, ToMM: at + p.ThicknessMM,
			Outline: w.lying(p.Outline, up), Window: w.lying(p.Window, up),
		})
	}
	if !w.Nest {
		lie("blank", *w.Blank)
		return out
	}
	lie("template", w.Template)
	lie("board", w.Board)
	return append(out, w.rails(w.Template, at, up)...)
}

// rails are those of a plate that lies at a height; a plate that is as high has none.
func (w Work) rails(p Part, atMM float64, up Face) (out []Layer) {
	if p.RailTopMM <= p.ThicknessMM {
		return nil
	}
	for i, l := range p.Rails {
		out = append(out, Layer{
			Name: fmt.Sprintf("rail %d", i+1), Material: p.Material,
			FromMM: atMM + p.ThicknessMM, ToMM: atMM + p.RailTopMM, Outline: w.lying(l, up),
		})
	}
	return out
}

func (w Work) bed() Layer {
	return Layer{Name: "bed", Material: w.Bed.Material, ToMM: w.bedTop(), Outline: w.Bed.Outline}
}

// lying is a contour as it lies with a face up.
func (w Work) lying(l geom.Loop, up Face) geom.Loop {
	if up != Under || l == nil {
		return l
	}
	// Turning over is a mirror seen from above: bulges change sign, and the order is
	// reversed so that the contour runs counter-clockwise again.
	out := make(geom.Loop, len(l))
	for i, v := range l {
		out[i] = geom.Vertex{Vec: w.turnedPlace(v.Vec), Bulge: -v.Bulge}
	}
	return out.Reverse()
}

// turnedPlace is where a place of the part lies when it is turned over, machine frame.
func (w Work) turnedPlace(p geom.Vec) geom.Vec {
	return w.Frame.Apply(w.Turn.Lying(Under, w.Frame.Inverse().Apply(p)))
}

// standing are the pins in the bed or, for gluing, in the blank, whose top is at height.
func (w Work) standing(s Stand, heightMM float64, after bool) []Pin {
	var out []Pin
	for _, q := range w.Pattern {
		from := heightMM - s.DepthMM
		out = append(out, Pin{
			ID: q.ID, LengthMM: s.LengthMM, FromMM: from, ToMM: from + s.LengthMM, After: after,
			At: q.At, RadiusMM: w.PinMostMM / 2, ProudMM: s.OverMM,
		})
	}
	return out
}

// Where zero is.

// zeroOnStock is X0 Y0 at the datum's start on a stock that nothing locates yet, as far
// from its end and side as the operator can take with a rule.
func (w Work) zeroOnStock(stock geom.Loop, what string, z float64) *Zero {
	b := stock.Bounds()
	end, side := -b.Min.Y, -b.Min.X
	ends := "from the near end and %.1f from the left side"
	if w.alongX() {
		end, side = -b.Min.X, -b.Min.Y
		ends = "from the left end and %.1f from the near side"
	}
	return &Zero{
		X: "where the datum line starts", Y: "where the datum line starts", Z: "top of the " + what, ZMM: z,
		FromEndMM: &end, FromSideMM: &side,
		Says: fmt.Sprintf("X0 Y0 lies %.1f "+ends+" of the %s, Z0 on its top", end, side, what),
	}
}

// zeroOnPin is X0 Y0 found again by a pin of the bed.
func (w Work) zeroOnPin(up Face, face string) *Zero {
	p := w.Pattern[0]
	z := &Zero{
		X: "where the datum line started in the first set-up", Y: "where the datum line started in the first set-up",
		Z: face, ZMM: w.faceMM(up), Pin: p.ID,
	}
	where := fmt.Sprintf("its centre is X%.3f Y%.3f", noMinusZero(p.At.X), noMinusZero(p.At.Y))
	how := map[string]string{
		"pin":         "indicate pin " + p.ID,
		"edge finder": "find pin " + p.ID + " with the edge finder, both sides in X and in Y",
		"paper":       "find pin " + p.ID + " with paper between it and the cutter, both sides in X and in Y",
		"eye":         "set the cutter over pin " + p.ID + " by eye",
	}[w.ZeroBy]
	z.Says = fmt.Sprintf("%s: %s; Z0 on %s", how, where, face)
	if w.ZeroBy == "kept" {
		z.Says = fmt.Sprintf("X0 Y0 as kept since the bed was bored (pin %s: %s); Z0 on %s", p.ID, where, face)
	}
	return z
}

// noMinusZero is x, but zero where it would be written as minus zero.
func noMinusZero(x float64) float64 {
	if math.Abs(x) < 5e-4 { // half of the last digit told
		return 0
	}
	return x
}

// boardFace is the face that Z0 lies on, in words.
func (w Work) boardFace(up Face) string {
	where := ""
	if w.CrownMM > 0 && up == Top {
		where = ", on the datum line"
	}
	if !w.Bow.IsFlatOnTape() {
		where += ", at its " + w.Bow.Highest(up)
	}
	if up == Under {
		return fmt.Sprintf("the board's underside, %.2f above the bed", w.Board.ThicknessMM) + where
	}
	if !w.Nest {
		return "the board's top, flush with the blank's"
	}
	return "the board's top" + where
}

// Checks.

// pinHeight is how high pins stand over the part that they are pressed into.
func pinHeight(s Stand, over string, plateMM float64) []Check {
	up := s.LengthMM - s.DepthMM
	high := up + s.OverMM
	if plateMM >= up { // where it is not, a rule fails
		high = math.Min(plateMM, high)
	}
	return []Check{{
		What: "each pin above the " + over, With: "caliper", Expected: up, Low: up - s.OverMM, High: high, Unit: "mm",
	}}
}

// apartMM is the least distance of two pins that tells something of the pattern, and
// caliperMM what a large caliper still takes. Common practice, no source.
const (
	apartMM   = 40
	caliperMM = 290
)

// pinDistance is over the two pins farthest apart that a caliper takes.
func (w Work) pinDistance() []Check {
	far, from, to := 0.0, "", ""
	for i, p := range w.Pattern {
		for _, q := range w.Pattern[:i] {
			if d := p.At.Dist(q.At); d > far && d+w.PinMM <= caliperMM {
				far, from, to = d, q.ID, p.ID
			}
		}
	}
	if far < apartMM {
		return nil
	}
	over := far + w.PinMM
	// Both holes are off along the line between them.
	off := math.Sqrt2 * w.PositionMM
	return []Check{{
		What: fmt.Sprintf("over pins %s and %s", from, to), With: "caliper",
		Expected: over, Low: over - off, High: over + off, Unit: "mm",
	}}
}

func yes(what, with string) Check { return Check{What: what, With: with} }
