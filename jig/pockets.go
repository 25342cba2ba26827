package jig

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/pocket"
	"reseat/jig/toolpath"
)

// Pockets is the plan for boring the features again.
type Pockets struct {
	Plan     pocket.Plan
	CutterMM float64
}

// pocketsFile is the program of the features' first cut.
const pocketsFile = "pockets.nc"

// fretSlotMM is the width of a fret's slot: 0.5 to 0.6 mm for the usual tang. Common
// practice, no source.
const fretSlotMM = 0.6

// TopUp is said of pockets in a job whose part is turned over. Their coordinates are those
// of the first set-up.
const TopUp = "Top face up, as first cut, never on the turned-over blank."

func turnedOver(j *job.Job) bool { return j.Template.Flip == "long" || j.Template.Flip == "short" }

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
			FinalRadiusMM: k.FinalCrownRadiusMM, SandMM: k.SandMM,
		},
		CutterMM: cutter, GlueGapMM: k.GlueGapMM, UndersizeMM: k.FirstUnderMM, StepMM: k.StepMM, OpaqueMM: k.OpaqueMM,
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

// pocketing is the boring of the features again.
type pocketing struct {
	pockets *Pockets
	program *Program // of the first cut
	fault   error    // why there is no plan
	not     error    // why there is a plan and no program
}

// pocketsOf plans the features and the program of the first cut.
func pocketsOf(j *job.Job) pocketing {
	spec, ok := pocketSpec(j)
	if !ok {
		return pocketing{}
	}
	plan, err := pocket.New(spec)
	if err != nil {
		return pocketing{fault: byCause(err)}
	}
	out := pocketing{pockets: &Pockets{Plan: plan, CutterMM: spec.CutterMM}}
	prog, err := out.pockets.program(j, 1, geom.Rigid{})
	if err != nil {
		out.not = err
		return out
	}
	out.program = &prog
	return out
}

// PocketProgram returns the program of step n, from 1, of the design's pockets, its
// coordinates moved by pose, the placing of the board that was measured: from where
// the board should lie to where it lies, in the machine frame. Unsafe are the rules that
// speak against running it: a way longer than the travel, a pin or a plate in the cutter's
// way.
//
// The error is for a step that no pocket has, a program that cannot be run, and a design
// without pockets.
func PocketProgram(j *job.Job, d *Design, n int, pose geom.Rigid) (p Program, unsafe []Rule, err error) {
	if d.Pockets == nil {
		return Program{}, nil, errors.New("the job has no feature with a bore and a depth or an inlay that its cutter " +
			"can make")
	}
	if p, err = d.Pockets.program(j, n, pose); err != nil {
		return Program{}, nil, err
	}
	anew := []Rule{travelRule(j, p).rule(j), collisionRule(p, obstacles(j, d)).rule(j)}
	for _, r := range d.Rules {
		if r.ID != anew[0].ID && r.ID != anew[1].ID {
			unsafe = append(unsafe, r)
		}
	}
	return p, unsafeOf(append(unsafe, anew...)), nil
}

// unsafeOf returns the failed rules that speak against running the features' program.
func unsafeOf(rules []Rule) []Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r Rule) bool { return !r.Blocks || r.Level != Fail })
}

// program makes the moves of one step. A pocket that is finished in an earlier one is
// left out; when all are, the step does not exist.
func (k *Pockets) program(j *job.Job, step int, pose geom.Rigid) (Program, error) {
	if step < 1 || step > k.Plan.Steps {
		return Program{}, fmt.Errorf("there is no cut %d; the plan has 1 to %d", step, k.Plan.Steps)
	}
	r := routerOf(j.Cutting, "end mill", k.CutterMM)
	var cuts []*toolpath.Cut
	var holes []ProgramHole
	var wrong faultsByID
	for _, p := range k.Plan.Pockets {
		if step > len(p.Cuts) {
			continue
		}
		bore := p.Cuts[step-1].BoreMM
		at := pose.Apply(FrameOf(j).ToMachine.Apply(geom.Vec{X: p.UMM, Y: p.VMM}))
		cut, err := r.Bore(toolpath.Hole{ID: p.Name, At: at, DiameterMM: bore, DepthMM: p.Seat.DepthMM})
		wrong.add(p.Name, err)
		cuts = append(cuts, cut)
		holes = append(holes, ProgramHole{p.Name, at, bore, p.Seat.DepthMM})
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	says := append([]string(nil), cautions...)
	if turnedOver(j) {
		says = append(says, TopUp)
	}
	wood := j.Board.Wood
	if wood == "" {
		wood = "wood"
	}
	says = append(says,
		fmt.Sprintf("Stock: the board, %s, %.4g mm thick, in its template on the bed.", wood, j.Board.ThicknessMM),
		"Zero: X0 Y0 where the datum line starts, Z0 on the board's face on the datum line.",
		fmt.Sprintf("Step %d of %d: bores that come out too small are cut again, never too large.", step, k.Plan.Steps),
	)
	if pose != (geom.Rigid{}) {
		says = append(says, fmt.Sprintf("Moved to where the board was measured to lie: %+.4f degrees, X %+.3f, Y %+.3f "+
			"at the zero.",
			pose.Angle*180/math.Pi, pose.Shift.X, pose.Shift.Y))
	}
	path, err := r.Program(toolpath.Head{File: pocketsFile, Title: j.Title, Says: says}, cuts)
	return Program{path, j.Cutting.Dialect, "board", holes}, err
}

// obstacles are what the cutter must pass while it bores the board: every pin top, the
// template and its rails. Heights count from the board's face on the datum line.
func obstacles(j *job.Job, d *Design) []toolpath.Obstacle {
	face, on := d.Board.ThicknessMM, d.Template.ThicknessMM
	if j.Template.Seat == "pins" {
		on = d.Blank.ThicknessMM
		face = math.Max(face, on)
	}
	var all []toolpath.Obstacle
	add := func(id string, topMM float64, outline geom.Loop, windows ...geom.Loop) {
		all = append(all, toolpath.Obstacle{ID: id, Outline: outline, Windows: windows, TopZ: topMM - face})
	}
	for _, q := range d.Pins {
		top := on // flush, when the job names no length
		if l := j.Dowel.LengthMM; l > 0 {
			top = l - d.Bed.PinDepthMM
		}
		add("pin "+q.ID, top, geom.Slot(q.Machine, 0, 0, q.Dowel.MaxMM))
	}
	at := d.Frame.ToMachine.Loop
	if w := d.Template.Window; w != nil {
		add("template", on, at(d.Template.Outline), at(w))
	}
	if d.Template.MakeBy == "print" && d.Rails != nil {
		for i, l := range d.Rails.Outlines {
			add(fmt.Sprintf("rail %d", i+1), d.Rails.HeightMM, at(l))
		}
	}
	return all
}
