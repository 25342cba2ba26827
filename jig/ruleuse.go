package jig

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"reseat/fit"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/pocket"
	"reseat/jig/program"
	"reseat/jig/rail"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// railsLaid reports rails and gluing that are missing.
func (m made) railsLaid() []ruling {
	if m.job.Rails == nil {
		return nil
	}
	var out []ruling
	if m.d.Template.Window == nil {
		out = append(out, judge("rail-on-plate", false, Warn, 0, 0, "",
			"a plate without a window carries no rails", "leave rails out, or glue in a nest (template.seat: nest)", "rails"))
	} else if m.job.Blank == nil {
		out = append(out, judge("rail-onto-blank", false, Warn, 0, 0, "",
			"no gluing is planned: the job has rails, and no blank that the board is glued onto",
			"describe the blank (blank: {length: .., width: .., thickness: .., wood: ..}), or leave rails out", "rails"))
	}
	return append(out, missing("rail-gluing", Warn, "the gluing is not computed", m.rail.glue, "rails")...)
}

// leastFilmMM is room for release film and its fold: packing tape or
// polypropylene film is 0.05 mm. Common practice, no source.
const leastFilmMM = 0.05

// railHeight: the pressure must bear on the board, and the rail must clear it.
func (m made) railHeight() []ruling {
	r := m.d.Rails
	if r == nil {
		return nil
	}
	says := fmt.Sprintf("the rail ends %s below the board's lowest edge: rail %s, edge %s above the glue land",
		mm(r.BearingMM), mm(r.WallMM), mm(r.EdgeMM))
	level := Warn
	if r.BearingMM < 0 {
		says = fmt.Sprintf("the wall beside the board stands %s above its lowest edge", mm(-r.BearingMM))
	}
	if r.BearingMM < rail.LeastBearingMM-roundingMM {
		says += ". The pressure must bear on the board"
	}
	if r.BearingMM <= 0 {
		level = Fail
	}
	asked := m.job.Rails.GapMM
	return []ruling{
		judge("rail-below-edge", r.BearingMM >= rail.LeastBearingMM-roundingMM, level, r.BearingMM, rail.LeastBearingMM,
			"mm", says,
			"lower rails with a thinner plate, or none", "rails.height"),
		judge("rail-gap", asked >= leastFilmMM-roundingMM, Warn, asked, leastFilmMM, "mm",
			fmt.Sprintf("the rail stands %s from the board's edge", mm(r.GapMM)),
			fmt.Sprintf("a gap of %s: release film needs room (rails.gap)", mm(leastFilmMM)), "rails.gap"),
	}
}

// programs: each must fit the machine and the set-up that it runs in; those that are not
// written are reported.
func (m made) programs() []ruling {
	var out []ruling
	for _, u := range m.d.Unwritten {
		out = append(out, missing("program-"+u.Part, Warn, u.File+" is not written", errors.New(u.Why), "cutting")...)
	}
	for _, p := range m.d.Programs {
		s, _ := setup.ForProgram(m.d.Setups, p.Path.File)
		out = append(out, found(program.Judge(m.job, p, s)...)...)
	}
	return out
}

// pocketing reports the plan's findings, one rule for each kind, by its worst feature. A
// job that does not speak of pockets, and whose cutter does not go into the features,
// gets a note instead of a failed rule.
func (m made) pocketing() []ruling {
	var out []ruling
	var findings []pocket.Finding
	n, steps := 0, 0
	for _, q := range m.pockets {
		if q.pockets != nil {
			n += len(q.pockets.Plan.Pockets)
			steps = max(steps, q.pockets.Plan.Steps)
			findings = append(findings, q.pockets.Plan.Findings...)
		} else if m.job.IsGiven("pockets") {
			out = append(out, missing(program.OnFace("pockets", program.PocketsFile(q.face)), Fail, "the features of the "+
				q.face.Name()+" cannot be bored again", q.fault, "pockets")...)
		}
	}
	if n > 0 && len(findings) == 0 {
		return append(out, judge("pockets", true, Warn, float64(n), float64(n), "pockets",
			fmt.Sprintf("%s can be bored again, in %s", units.Count(n, "feature"), units.Count(steps, "step")), "", "pockets"))
	}
	worse := func(f, g pocket.Finding) bool {
		if f.Fails != g.Fails {
			return f.Fails
		}
		return math.Abs(f.Value-f.LimitMM) > math.Abs(g.Value-g.LimitMM)
	}
	var worst []pocket.Finding // of each kind
	at, count := map[string]int{}, map[string]int{}
	for _, f := range findings {
		count[f.Rule]++
		if i, seen := at[f.Rule]; !seen {
			at[f.Rule], worst = len(worst), append(worst, f)
		} else if worse(f, worst[i]) {
			worst[i] = f
		}
	}
	for _, f := range worst {
		level, says := Warn, f.Says
		if f.Fails {
			level = Fail
		}
		if n := count[f.Rule]; n > 1 {
			says += fmt.Sprintf(" (and %d more like it)", n-1)
		}
		r := judge("pocket-"+strings.ReplaceAll(f.Rule, " ", "-"), false, level, f.Value, f.LimitMM, "mm", says,
			f.Remedy.Says, "pockets")
		if f.Of != "" {
			c := job.Change{Key: program.KeyOf(m.job, f.Feature, f.Of), Value: fmt.Sprintf("%.2f mm", f.ToMM)}
			if strings.HasSuffix(c.Key, ".measured") {
				c.Value = "[" + c.Value + "]"
			}
			r.key, r.Remedies = c.Key, []Remedy{{Set: []job.Change{c}}}
		}
		out = append(out, r)
	}
	return out
}

// bows: a bowed board is pressed flat, or keeps its bow and its features their own heights.
func (m made) bows() []ruling {
	b := program.BowOf(m.job)
	if b.SagittaMM == 0 {
		return nil
	}
	fall, name := 0.0, "its ends"
	for _, f := range m.job.Board.AllFeatures() {
		if h := b.FallMM(setup.Face(f.Side), f.UMM); h > fall && f.BoreMM > 0 {
			fall, name = h, f.Name
		}
	}
	says := fmt.Sprintf("the board is %s and stays so: %s lies up to %.3f mm lower than Z0 and is bored deeper by that. "+
		"The bow is taken as a parabola", b.Describe(setup.Top), name, fall)
	if b.IsFlatOnTape() {
		says = fmt.Sprintf("the board is %s, and tape holds it flat; not pressed flat, %s would come %.3f mm too shallow",
			b.Describe(setup.Top), name, fall)
	}
	return []ruling{judge("board-bow", b.IsFlatOnTape(), Warn, math.Abs(b.SagittaMM), setup.PressedMM, "mm", says,
		"put shims under it, and touch the face at each feature; add to the depth what it lies off the parabola",
		"board.bow")}
}

// printBed: the plate, or the largest of its parts, must fit the printer.
func (m made) printBed() []ruling {
	bed := m.Print.Make.BedMM
	if bed[0] == 0 || bed[1] == 0 || len(m.d.Parts) == 0 {
		return nil
	}
	spare, size := math.Inf(1), geom.Vec{}
	for _, q := range m.d.Parts {
		s := q.Outline.Bounds().Size()
		if f := math.Max(math.Min(bed[0]-s.X, bed[1]-s.Y), math.Min(bed[1]-s.X, bed[0]-s.Y)); f < spare {
			spare, size = f, s
		}
	}
	what, remedy := "the plate", "a larger printer, or a plate from sheet"
	if m.d.Template.MakeBy != "print" {
		what, remedy = "the printed gluing plate", "a larger printer, or a smaller margin"
	}
	if n := len(m.d.Parts); n > 1 {
		what = fmt.Sprintf("the largest of %d parts", n)
	}
	if m.cut.fault != nil {
		remedy = m.cut.fault.Error() + "; " + remedy
	}
	return []ruling{atLeast("print-fits-bed", spare, 0, "mm",
		fmt.Sprintf("%s of %.1f x %.1f mm leaves %s on the printer's bed", what, math.Max(size.X, size.Y), math.Min(size.X,
			size.Y), mm(spare)),
		remedy, "template.make.bed")}
}

// printLayers: the plate must be whole layers thick.
func (m made) printLayers() []ruling {
	if m.d.Template.MakeBy != "print" {
		return nil
	}
	t := m.d.Template.ThicknessMM
	off := math.Abs(t/part.LayerMM-math.Round(t/part.LayerMM)) * part.LayerMM
	return []ruling{judge("print-layers", off < roundingMM, Warn, off, 0, "mm",
		fmt.Sprintf("the plate is %.2f mm thick, layers are %.1f mm", t, part.LayerMM),
		"a whole number of layers: the slicer rounds the rest", "template.thickness")}
}

// printWalls: rails and walls must take two lines of the nozzle.
func (m made) printWalls() []ruling {
	if m.d.Template.MakeBy != "print" {
		return nil
	}
	lines := 2 * m.Print.Make.NozzleMM
	var out []ruling
	wall, where := math.Inf(1), ""
	thinner := func(w float64, says string) {
		if w < wall {
			wall, where = w, says
		}
	}
	for _, p := range m.d.Parts {
		for _, h := range p.Holes {
			// Between the chamfered mouths, as they lie on the printer's bed.
			r := (h.Diameter+h.Travel)/2 + p.FootMM
			thinner(p.Outline.Depth(h.Center)-r-p.FootMM, fmt.Sprintf("hole %s to the edge", h.ID))
			if p.Window != nil {
				thinner(-p.Window.Depth(h.Center)-r-p.WindowFootMM, fmt.Sprintf("hole %s to the window", h.ID))
			}
		}
	}
	if len(m.d.Print.Rails) > 0 {
		width, l := math.Inf(1), m.d.Print.Rails[0].Outline // both rails are alike
		for i := range l {
			width = math.Min(width, l.Edge(i).Length())
		}
		out = append(out, atLeast("print-rail-width", width, lines, "mm",
			fmt.Sprintf("a rail is %s wide, two lines of the nozzle, %s, needed", mm(width), mm(lines)), "a finer nozzle",
			"template.make.nozzle"))
	}
	if where != "" {
		out = append(out, atLeast("print-wall", wall, lines, "mm",
			fmt.Sprintf("the thinnest wall, %s, is %s, two lines of the nozzle, %s, needed", where, mm(wall), mm(lines)),
			"a larger template.margin or thinner pins", "template.margin"))
	}
	return out
}

// printMeasured: a printer's holes must have been measured.
func (m made) printMeasured() []ruling {
	if m.d.Template.MakeBy != "print" {
		return nil
	}
	mk := m.Print.Make
	says := fmt.Sprintf("holes come out %.2f mm off what is drawn, as measured", mk.BiasMM)
	if !mk.IsGiven("bias") {
		says = fmt.Sprintf("no hole of this printer has been measured. Holes come out up to %.1f mm small (web: %s)",
			fit.ShrinkMM, fit.ShrinkSource)
	}
	return []ruling{judge("print-holes-measured", mk.IsGiven("bias"), Warn, mk.BiasMM, 0, "mm", says,
		"print a hole, measure it and give template.make.bias; give a long print's shrink_pct too", "template.make")}
}
