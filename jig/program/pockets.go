package program

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/pocket"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
)

// Pockets is the plan for boring the features of one face again.
type Pockets struct {
	Face   setup.Face
	Plan   pocket.Plan
	Tool   CutterChoice
	OverMM float64 // how far the highest thing of the set-up stands over Z0
}

// ErrNothing: every feature is as wide and as deep as it should be, or no boring would help.
var ErrNothing = errors.New("no feature has anything left to bore")

// PocketsFile is the program of the first cut of a face's features.
func PocketsFile(up setup.Face) string {
	if up == setup.Under {
		return setup.UnderFile
	}
	return setup.TopFile
}

// TurnOf is how the job turns its part over.
func TurnOf(j *job.Job) setup.Turn {
	return setup.Turn{About: j.Template.Flip, MiddleMM: j.Board.LengthMM / 2}
}

// BowOf is how the job's board is bowed.
func BowOf(j *job.Job) setup.Bow {
	return setup.Bow{SagittaMM: j.Board.BowMM, LengthMM: j.Board.LengthMM}
}

// fretSlotMM is the width of a fret's slot: 0.5 to 0.6 mm for the usual tang. Common
// practice, no source.
const fretSlotMM = 0.6

// pocketSpec is what the pockets of a face are planned from: its features that have a bore,
// and a depth or an inlay. ok is false when there is none.
func pocketSpec(j *job.Job, up setup.Face) (spec pocket.Spec, ok bool) {
	b, k := j.Board, j.Pockets
	spec = pocket.Spec{
		Board: pocket.Board{
			Outline: b.Outline, LengthMM: b.LengthMM, WidthStartMM: b.WidthStartMM, WidthEndMM: b.WidthEndMM,
			ThicknessMM: b.ThicknessMM, CrownRadiusMM: b.CrownRadiusMM,
			FinalRadiusMM: k.FinalCrownRadiusMM, SandMM: k.SandMM, Under: up == setup.Under,
		},
		GlueGapMM: k.GlueGapMM, UndersizeMM: k.FirstUnderMM, StepMM: k.StepMM, OpaqueMM: k.OpaqueMM,
	}
	if b.Frets != nil && up == setup.Top {
		for n := 1; n <= b.Frets.Count; n++ {
			spec.Board.Frets = append(spec.Board.Frets, pocket.Fret{
				Name: fmt.Sprint(n), StationMM: job.FretFromNut(b.Frets.ScaleMM, n), WidthMM: fretSlotMM,
			})
		}
	}
	for _, f := range b.AllFeatures() {
		if f.IsUnderside() != (up == setup.Under) || f.BoreMM == 0 || f.DepthMM == 0 && f.Inlay == nil {
			continue
		}
		q := pocket.Feature{
			Name: f.Name, UMM: f.UMM, VMM: f.VMM, BoreMM: f.BoreMM, DepthMM: f.DepthMM, FallMM: BowOf(j).KeptMM(up, f.UMM),
		}
		if in := f.Inlay; in != nil {
			// Bore and floor follow from the inlay; what the job states is the hole there.
			q.InlaysMM, q.InlayThicknessMM, q.ProudMM = in.MeasuredMM, in.ThicknessMM, k.ProudMM
			q.BoreMM, q.DepthMM = 0, 0
			q.ThereMM, q.ThereDeepMM = bored(j, f)
		}
		spec.Features = append(spec.Features, q)
	}
	return spec, len(spec.Features) > 0
}

// section is where the job says how a feature is bored; for all dots alike.
func section(f job.Feature) string {
	if strings.HasPrefix(f.Key, "board.frets.") {
		return "board.frets.dot"
	}
	if strings.HasPrefix(f.Key, "board.outline.") {
		return "board.outline" // of a drawing's circles
	}
	return f.Key
}

// KeyOf is the job's key of what a remedy of the plan changes, for the feature named.
func KeyOf(j *job.Job, feature, of string) string {
	if of == "cutter" {
		return "pockets.cutter"
	}
	for _, f := range j.Board.AllFeatures() {
		if f.Name == feature {
			return section(f) + "." + of
		}
	}
	return ""
}

// bored returns diameter and depth of the bore that is there; 0: not stated.
func bored(j *job.Job, f job.Feature) (diameter, depth float64) {
	at := section(f)
	if j.IsGiven(at + ".bore") {
		diameter = f.BoreMM
	}
	if diameter > 0 && j.IsGiven(at+".depth") {
		depth = f.DepthMM
	}
	return diameter, depth
}

// OldInlays says what becomes of the inlays in bores that are there already; "": the job
// states none.
func OldInlays(j *job.Job) string {
	for _, f := range j.Board.AllFeatures() {
		if there, _ := bored(j, f); there > 0 && f.Inlay != nil {
			return "Take the old inlays out. Pick them out, or drill them under size; scrape the bores clean of glue."
		}
	}
	return ""
}

// Plan plans the features of a face that are to be bored again; nil when there are none.
// The error has every cause once.
func Plan(j *job.Job, up setup.Face) (*Pockets, error) {
	spec, ok := pocketSpec(j, up)
	if !ok {
		return nil, nil
	}
	c := j.Machine.Cutter
	named := j.Pockets.Cutter.DiameterMM > 0
	if named {
		c = j.Pockets.Cutter
	}
	least, deepest := spec.Extremes()
	return planWith(spec, up, ChooseCutter(j, c, named, "pockets.cutter", least, deepest))
}

func planWith(spec pocket.Spec, up setup.Face, tool CutterChoice) (*Pockets, error) {
	spec.CutterMM = tool.DiameterMM
	plan, err := pocket.NewPlan(spec)
	if err != nil {
		return nil, byCause(err)
	}
	return &Pockets{Face: up, Plan: plan, Tool: tool}, nil
}

// JudgeCutter judges the cutter by the narrowest hole of a program of the features.
func (k *Pockets) JudgeCutter(j *job.Job, frame geom.Rigid, p Program) setup.Finding {
	least := slices.MinFunc(p.Holes, func(a, b Hole) int { return cmp.Compare(a.DiameterMM, b.DiameterMM) })
	least.DepthMM = p.Path.Run.DeepestMM()
	f := tight(j, "board", k.Tool, least, p.Path, func(c job.Cutter) (Program, error) {
		spec, _ := pocketSpec(j, k.Face)
		with := k.Tool
		with.Cutter = c
		q, err := planWith(spec, k.Face, with)
		if err != nil {
			return Program{}, err
		}
		return q.Program(j, frame, 1, geom.Rigid{})
	}, nil)
	f.ID = OnFace(f.ID, p.Path.File)
	return f
}

// depths says what the features' depths count from.
func (k *Pockets) depths(crownMM float64) string {
	most, fall := 0.0, 0.0
	for _, p := range k.Plan.Pockets {
		most = math.Max(most, p.Seat.BelowZ0MM()-p.Seat.AtFeatureMM)
		fall = math.Max(fall, p.Seat.FallMM)
	}
	if fall > 0 {
		return fmt.Sprintf("Depths count from the board's face at each feature; with the bow, taken as a parabola, that "+
			"lies up to %.3f mm below Z0.", most)
	}
	if crownMM == 0 || most == 0 {
		return "Depths count from the board's face."
	}
	return fmt.Sprintf("Depths count from the board's face at each feature; on the crown that lies up to %.3f mm below "+
		"Z0.",
		most)
}

// Program makes the moves of one step. A pocket that is finished in an earlier one is
// left out; when all are, the step does not exist. frame takes the board, top up, to the
// machine, pose moves it to where it was measured to lie. The head is left to Head.
func (k *Pockets) Program(j *job.Job, frame geom.Rigid, step int, pose geom.Rigid) (Program, error) {
	if k.Plan.Steps == 0 {
		return Program{}, ErrNothing
	}
	if step < 1 || step > k.Plan.Steps {
		return Program{}, fmt.Errorf("there is no cut %d; the plan has 1 to %d", step, k.Plan.Steps)
	}
	r := millOf(j, k.Tool.Cutter)
	r.SafeMM += k.OverMM
	var cuts []*toolpath.Cut
	var holes []Hole
	var wrong faultsByID
	for _, p := range k.Plan.Pockets {
		if step > len(p.Cuts) {
			continue
		}
		bore := p.Cuts[step-1].BoreMM
		at := pose.Apply(frame.Apply(TurnOf(j).Lying(k.Face, geom.Vec{X: p.UMM, Y: p.VMM})))
		cut, err := r.Bore(toolpath.Hole{ID: p.Name, At: at, DiameterMM: bore, DepthMM: p.Seat.BelowZ0MM()})
		wrong.add(p.Name, err)
		cuts = append(cuts, cut)
		holes = append(holes, Hole{ID: p.Name, At: at, DiameterMM: bore, DepthMM: p.Seat.BelowZ0MM(), FallMM: p.Seat.FallMM})
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	path, err := r.Program(toolpath.Head{File: PocketsFile(k.Face), Title: j.Title}, cuts)
	cautionTool(path, err)
	return Program{Path: path, Dialect: j.Cutting.Dialect, Part: "board", Holes: holes, Tool: k.Tool}, err
}

// frameOverMM is how far the blank's frame stands above the board's underside when the
// blank is turned over; 0 without one.
func frameOverMM(j *job.Job) float64 {
	if j.Template.Seat == "nest" || j.Blank == nil {
		return 0
	}
	return max(0, j.Blank.ThicknessMM-j.Board.ThicknessMM)
}

// Head is what the program of a step says of the set-up that it runs in: how the part
// lies, on what, where zero is, and where it was measured to lie.
func (k *Pockets) Head(j *job.Job, s setup.Setup, step int, pose geom.Rigid) []string {
	says := append([]string(nil), cautions...)
	says = append(says, s.Lies)
	var on []string
	for _, l := range s.Stack {
		on = append(on, fmt.Sprintf("%s of %s %.4g mm thick", l.Name, cmp.Or(l.Material, "wood"), l.ToMM-l.FromMM))
	}
	if len(on) > 0 {
		in := ""
		if j.Template.Seat == "pins" {
			in = fmt.Sprintf(" The board in it is %.4g mm thick.", j.Board.ThicknessMM)
		}
		says = append(says, "Stock, from the table up: "+strings.Join(on, ", ")+"."+in)
	}
	if s.Zero != nil {
		says = append(says, "Zero: "+s.Zero.Says+".")
	}
	if k.Face == setup.Under {
		says = append(says, mirrored(TurnOf(j)))
		if over := frameOverMM(j); over > 0 {
			says = append(says, fmt.Sprintf("The frame stands %.4g mm above Z0, and the rapids clear it. The stock over the "+
				"underside must already be off.", over))
		}
	}
	says = append(says, k.depths(j.Board.CrownRadiusMM), fmt.Sprintf("Step %d of %d: bores that come out too small are "+
		"cut again, never too large.", step,
		k.Plan.Steps))
	if pose != (geom.Rigid{}) {
		says = append(says, fmt.Sprintf("Moved to where the board was measured to lie: %+.4f degrees, X %+.3f, Y %+.3f "+
			"at the zero.", pose.Angle*180/math.Pi, pose.Shift.X, pose.Shift.Y))
	}
	return says
}

// mirrored tells where the features lie that the job places as seen on the top.
func mirrored(t setup.Turn) string {
	lies := "(u, -v)"
	if t.About == "short" {
		lies = fmt.Sprintf("(%.6g - u, v)", 2*t.MiddleMM)
	}
	return "Features are mirrored: what the job has at (u, v), as seen on the top, is cut at " + lies +
		". X0 Y0 is where it was in the first set-up."
}
