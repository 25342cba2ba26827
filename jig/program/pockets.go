package program

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

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

// PocketsFile is the program of the features' first cut.
const PocketsFile = "pockets.nc"

// fretSlotMM is the width of a fret's slot: 0.5 to 0.6 mm for the usual tang. Common
// practice, no source.
const fretSlotMM = 0.6

// TopUp is said of pockets in a job whose part is turned over. Their coordinates are those
// of the first set-up.
const TopUp = "Top face up, as first cut, never on the turned-over blank."

// TurnedOver reports whether the job turns its part over.
func TurnedOver(j *job.Job) bool { return j.Template.Flip == "long" || j.Template.Flip == "short" }

// pocketSpec is what the pockets are planned from: the features that have a bore, and
// a depth or an inlay. ok is false when there is none.
func pocketSpec(j *job.Job) (spec pocket.Spec, ok bool) {
	b, k := j.Board, j.Pockets
	cutter := cmp.Or(k.Cutter.DiameterMM, j.Machine.Cutter.DiameterMM)
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
	if j.Given(at + ".bore") {
		diameter = f.BoreMM
	}
	if diameter > 0 && j.Given(at+".depth") {
		depth = f.DepthMM
	}
	return diameter, depth
}

// OldInlays says what becomes of the inlays in bores that are there already; "": the job
// states none.
func OldInlays(j *job.Job) string {
	for _, f := range j.Board.AllFeatures() {
		if there, _ := bored(j, f); there > 0 && f.Inlay != nil {
			return "Old inlays out. Pick them out, or drill them under size; scrape the bores clean of glue."
		}
	}
	return ""
}

// Plan plans the features that are to be bored again; nil when there are none. The error
// has every cause once.
func Plan(j *job.Job) (*Pockets, error) {
	spec, ok := pocketSpec(j)
	if !ok {
		return nil, nil
	}
	plan, err := pocket.New(spec)
	if err != nil {
		return nil, byCause(err)
	}
	return &Pockets{Plan: plan, CutterMM: spec.CutterMM}, nil
}

// depths says what the features' depths count from.
func (k *Pockets) depths(crownMM float64) string {
	most := 0.0
	for _, p := range k.Plan.Pockets {
		most = math.Max(most, p.Seat.DepthMM-p.Seat.AtFeatureMM)
	}
	if crownMM == 0 || most == 0 {
		return "Depths count from the board's face."
	}
	return fmt.Sprintf("Depths count from the board's face at each feature; on the crown that lies up to %.3f mm below Z0.",
		most)
}

// Program makes the moves of one step. A pocket that is finished in an earlier one is
// left out; when all are, the step does not exist. frame takes the board to the machine, pose
// moves it to where it was measured to lie.
func (k *Pockets) Program(j *job.Job, frame geom.Rigid, step int, pose geom.Rigid) (Program, error) {
	if k.Plan.Steps == 0 {
		return Program{}, errors.New("no feature has anything left to bore")
	}
	if step < 1 || step > k.Plan.Steps {
		return Program{}, fmt.Errorf("there is no cut %d; the plan has 1 to %d", step, k.Plan.Steps)
	}
	r := routerOf(j.Cutting, "end mill", k.CutterMM)
	var cuts []*toolpath.Cut
	var holes []Hole
	var wrong faultsByID
	for _, p := range k.Plan.Pockets {
		if step > len(p.Cuts) {
			continue
		}
		bore := p.Cuts[step-1].BoreMM
		at := pose.Apply(frame.Apply(geom.Vec{X: p.UMM, Y: p.VMM}))
		cut, err := r.Bore(toolpath.Hole{ID: p.Name, At: at, DiameterMM: bore, DepthMM: p.Seat.DepthMM})
		wrong.add(p.Name, err)
		cuts = append(cuts, cut)
		holes = append(holes, Hole{p.Name, at, bore, p.Seat.DepthMM})
	}
	if err := wrong.err(); err != nil {
		return Program{}, err
	}
	says := append([]string(nil), cautions...)
	if TurnedOver(j) {
		says = append(says, TopUp)
	}
	wood := j.Board.Wood
	wood = cmp.Or(wood, "wood")
	says = append(says,
		fmt.Sprintf("Stock: the board, %s, %.4g mm thick, in its template on the bed.", wood, j.Board.ThicknessMM),
		"Zero: X0 Y0 where the datum line starts, Z0 on the board's face on the datum line.",
		k.depths(j.Board.CrownRadiusMM),
		fmt.Sprintf("Step %d of %d: bores that come out too small are cut again, never too large.", step, k.Plan.Steps),
	)
	if pose != (geom.Rigid{}) {
		says = append(says, fmt.Sprintf("Moved to where the board was measured to lie: %+.4f degrees, X %+.3f, Y %+.3f "+
			"at the zero.",
			pose.Angle*180/math.Pi, pose.Shift.X, pose.Shift.Y))
	}
	path, err := r.Program(toolpath.Head{File: PocketsFile, Title: j.Title, Says: says}, cuts)
	return Program{path, j.Cutting.Dialect, "board", holes}, err
}
