package jig

import (
	"errors"
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/pocket"
	"reseat/jig/toolpath"
)

// Pockets is the plan for boring the features again.
type Pockets struct {
	Plan     pocket.Plan
	CutterMM float64
	Step     int // that pockets.nc cuts, from 1
}

// pocketsFile is the program of the features.
const pocketsFile = "pockets.nc"

// fretSlotMM is the width of a fret's slot: 0.5 to 0.6 mm for the usual tang. Common
// practice, no source.
const fretSlotMM = 0.6

// pocketSpec is what the pockets are planned from: the features that have a bore, and
// a depth or an inlay. ok is false when there is none.
func pocketSpec(j *job.Job) (spec pocket.Spec, ok bool) {
	b, k := j.Board, j.Pockets
	cutter := k.CutterMM
	if cutter == 0 {
		cutter = j.Machine.CutterMM
	}
	spec = pocket.Spec{
		Board: pocket.Board{
			LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
			ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM,
		},
		Cutting: pocket.Cutting{CutterMM: cutter, GlueGapMM: k.GlueGapMM, UndersizeMM: k.FirstUnderMM, StepMM: k.StepMM},
		Limits:  pocket.Limits{OpaqueMM: k.OpaqueMM},
	}
	if b.Frets != nil {
		for n := 1; n <= b.Frets.Count; n++ {
			spec.Board.Frets = append(spec.Board.Frets, pocket.Fret{
				Name: fmt.Sprint(n), StationMM: job.FretFromNut(b.Frets.ScaleMM, n), WidthMM: fretSlotMM,
			})
		}
	}
	for _, f := range b.AllFeatures() {
		if f.BoreMM == 0 || f.DepthMM == 0 && f.Inlay == nil {
			continue
		}
		q := pocket.Feature{Name: f.Name, UMM: f.UMM, VMM: f.VMM, BoreMM: f.BoreMM, DepthMM: f.DepthMM}
		if in := f.Inlay; in != nil {
			// Bore and floor follow from the inlay; what the job states is the hole there.
			q.InlaysMM, q.InlayThicknessMM, q.ProudMM = in.MeasuredMM, in.ThicknessMM, k.ProudMM
			q.BoreMM, q.DepthMM = 0, 0
		}
		spec.Features = append(spec.Features, q)
	}
	return spec, len(spec.Features) > 0
}

// pockets plans the features and writes the program of the first cut. A job that does
// not speak of pockets, and whose cutter does not go into the features, gets a note
// instead of a failed rule.
func (b *builder) pockets() {
	spec, ok := pocketSpec(b.job)
	if !ok {
		return
	}
	plan, err := pocket.New(spec)
	if err != nil {
		if !b.job.Given("pockets") {
			b.d.Notes = append(b.d.Notes, fmt.Sprintf("%s is not written: %v. Name the measured cutter (pockets.cutter).", pocketsFile, firstLine(err)))
			return
		}
		b.book.judge("pockets", false, Fail, 0, 0, "", "the features cannot be bored again", err.Error(), "pockets")
		return
	}
	b.d.Pockets = &Pockets{Plan: plan, CutterMM: spec.Cutting.CutterMM, Step: 1}
	b.pocketRules(plan)
	p, holes, err := b.d.Pockets.program(b.d, b.settings(), geom.Rigid{})
	if err != nil {
		b.assembleProgram(pocketsFile, "board", nil, toolpath.Tool{}, toolpath.Settings{}, nil, nil, err)
		return
	}
	run, err := p.DryRun(0)
	if err != nil {
		b.assembleProgram(pocketsFile, "board", nil, toolpath.Tool{}, toolpath.Settings{}, nil, nil, err)
		return
	}
	b.d.Programs = append(b.d.Programs, Program{p, run, b.job.Cutting.Dialect, "board", holes})
	b.programRule("program-board", p, run)
	b.collisionRule(p)
}

// pocketRules tells the plan's findings, one rule for each kind, by its worst feature.
func (b *builder) pocketRules(plan pocket.Plan) {
	var kinds []string
	worst, count := map[string]pocket.Finding{}, map[string]int{}
	for _, f := range plan.Findings {
		w, seen := worst[f.Rule]
		if !seen {
			kinds = append(kinds, f.Rule)
		}
		if !seen || w.Level == pocket.Warn && f.Level == pocket.Fail ||
			w.Level == f.Level && math.Abs(f.Value-f.LimitMM) > math.Abs(w.Value-w.LimitMM) {
			worst[f.Rule] = f
		}
		count[f.Rule]++
	}
	for _, kind := range kinds {
		f, level, more := worst[kind], Warn, ""
		if f.Level == pocket.Fail {
			level = Fail
		}
		if n := count[kind]; n > 1 {
			more = fmt.Sprintf(" (and %d more)", n-1)
		}
		b.book.judge("pocket-"+hyphened(kind), false, level, f.Value, f.LimitMM, "mm", f.Says+more, pocketRemedy(kind), "pockets")
	}
	if len(kinds) == 0 {
		b.book.judge("pockets", true, Warn, float64(len(plan.Pockets)), float64(len(plan.Pockets)), "pockets",
			fmt.Sprintf("%d features can be bored again, in %d steps", len(plan.Pockets), plan.Steps), "", "pockets")
	}
}

// pocketRemedy is what would help against a kind of finding.
func pocketRemedy(kind string) string {
	switch kind {
	case "opaque", "floor", "depth":
		return "a thinner or thicker inlay, or another pockets.proud"
	case "fret", "edge", "web":
		return "a smaller inlay, or another place"
	case "glue line", "one more", "bore":
		return "measure the inlays again, or sort them (inlay.measured)"
	}
	return "see the pockets of the job"
}

// hyphened makes a rule's name of a finding's.
func hyphened(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == ' ' {
			out[i] = '-'
		}
	}
	return string(out)
}

// firstLine is an error's text up to its first line's end.
func firstLine(err error) string {
	s := err.Error()
	for i, r := range s {
		if r == '\n' {
			return s[:i]
		}
	}
	return s
}

// PocketProgram returns the program of step n, from 1, of the design's pockets, its
// coordinates moved by pose, the placing of the board that was measured: from where
// the board should lie to where it lies, in the machine frame.
//
// Errors: *pocket.StepError for a step that no pocket has, those of jig/toolpath, and
// an error when the design has no pockets.
func PocketProgram(j *job.Job, d *Design, n int, pose geom.Rigid) (Program, error) {
	if d.Pockets == nil {
		return Program{}, errors.New("jig: the job has no feature with a bore and a depth or an inlay that its cutter can make")
	}
	k := *d.Pockets
	k.Step = n
	b := &builder{job: j, d: d}
	p, holes, err := k.program(d, b.settings(), pose)
	if err != nil {
		return Program{}, err
	}
	run, err := p.DryRun(0)
	if err != nil {
		return Program{}, err
	}
	return Program{p, run, j.Cutting.Dialect, "board", holes}, nil
}

// program makes the moves of one step. A pocket that is finished in an earlier one is
// left out; when all are, the step does not exist.
func (k Pockets) program(d *Design, s toolpath.Settings, pose geom.Rigid) (*toolpath.Program, []ProgramHole, error) {
	tool := toolpath.Tool{Name: "end mill", DiameterMM: k.CutterMM}
	var cuts []*toolpath.Cut
	var holes []ProgramHole
	var faults []error
	var none error
	for _, p := range k.Plan.Pockets {
		c, err := p.Step(k.Step)
		if err != nil {
			none = err
			continue
		}
		at := pose.Apply(d.Frame.ToMachine.Apply(geom.Vec{X: p.UMM, Y: p.VMM}))
		cut, err := toolpath.Bore(toolpath.Hole{ID: p.Name, At: at, DiameterMM: c.BoreMM, FloorZ: -p.Seat.DepthMM}, tool, s)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		cuts = append(cuts, cut)
		holes = append(holes, ProgramHole{p.Name, at, c.BoreMM, p.Seat.DepthMM})
	}
	if err := errors.Join(faults...); err != nil {
		return nil, nil, err
	}
	if len(cuts) == 0 {
		return nil, nil, none
	}
	says := append([]string(nil), cautions...)
	says = append(says,
		fmt.Sprintf("Tool: %s of %.3f mm, measured over the cutting edges.", tool.Name, tool.DiameterMM),
		fmt.Sprintf("Stock: the board, %s, %.4g mm thick, in its template on the bed.", orWood(d.Board.Wood), d.Board.ThicknessMM),
		"Zero: X0 Y0 where the datum line starts, Z0 on the board's face on the datum line.",
		fmt.Sprintf("Step %d of %d: bores that come out too small are cut again, never too large.", k.Step, k.Plan.Steps),
	)
	if pose != (geom.Rigid{}) {
		says = append(says, fmt.Sprintf("Moved to where the board was measured to lie: %+.4f degrees, X %+.3f, Y %+.3f at the zero.",
			pose.Angle*180/math.Pi, pose.Shift.X, pose.Shift.Y))
	}
	p, err := toolpath.Assemble(toolpath.Head{File: pocketsFile, Title: d.Title, Says: says}, tool, s, cuts)
	return p, holes, err
}

func orWood(wood string) string {
	if wood == "" {
		return "wood"
	}
	return wood
}

// collisionRule: the cutter must pass every pin top, the template and its rails.
// Heights count from the board's face on the datum line.
func (b *builder) collisionRule(p *toolpath.Program) {
	face := b.job.Board.ThicknessMM
	on := b.tmpl.thickness
	if b.blank.carries {
		on = b.blank.thickness
		face = math.Max(face, on)
	}
	var all []toolpath.Obstacle
	for _, q := range b.d.Pins {
		top := on // flush, when the job names no length
		if l := b.job.Dowel.LengthMM; l > 0 {
			top = l - b.d.Bed.PinDepthMM
		}
		all = append(all, toolpath.Obstacle{ID: "pin " + q.ID, At: q.Machine, RadiusMM: q.Dowel.MaxMM / 2, TopZ: top - face})
	}
	if w := b.d.Template.Window; w != nil {
		all = append(all, toolpath.Obstacle{
			ID: "template", Outline: b.d.Frame.ToMachine.Loop(b.d.Template.Outline), Windows: []geom.Loop{b.d.Frame.ToMachine.Loop(w)}, TopZ: on - face,
		})
	}
	if b.job.Template.Make.By == "print" && b.d.Rails != nil {
		for i, l := range b.d.Rails.Outlines {
			all = append(all, toolpath.Obstacle{
				ID: fmt.Sprintf("rail %d", i+1), Outline: b.d.Frame.ToMachine.Loop(l), TopZ: b.d.Rails.HeightMM - face,
			})
		}
	}
	start, moves := p.Path()
	hits, err := toolpath.Clear(start, moves, p.Tool, all)
	if err != nil {
		b.book.judge("cutter-clear", false, Warn, 0, 0, "", "the cutter's way past pins and template is not checked", err.Error(), "template")
		return
	}
	says := "the cutter passes every pin, the template and its rails"
	if len(hits) > 0 {
		says = hits[0].String()
	}
	b.book.judge("cutter-clear", len(hits) == 0, Fail, float64(len(hits)), 0, "", says, "shorter pins, a thinner plate, or a smaller cutter", "template")
}
