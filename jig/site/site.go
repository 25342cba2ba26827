// Package site draws what the pins are placed on, the board, its window, plate and blank, and
// states the constraints on their places.
package site

import (
	"fmt"
	"math"

	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/layout"
	"reseat/jig/outlined"
	"reseat/jig/plate"
	"reseat/jig/program"
	"reseat/jig/rail"
	"reseat/jig/units"
)

// Names of the rules on the pins' places.
const (
	PlateEdge = "pin-web-plate"
	Window    = "pin-web-window"
	BoardPath = "pin-clear-of-cutter"
	InBlank   = "pin-in-blank"
	KeepOut   = "pin-clear-of-keep-out"
	Travel    = "pin-in-travel"
	Rail      = "pin-clear-of-rail"
	WebPins   = "pin-web-pin"
)

// Site is what the pins are placed on: the board, the window round it, plate and blank.
type Site struct {
	Outline  geom.Loop // the board
	Walls    geom.Loop // the window's straight walls, nil without a window
	Key      plate.Key // the corner that the window fills
	Filled   geom.Loop // the walls with that corner
	Window   geom.Loop // with reliefs or roundings
	Opening  geom.Loop // as the template is cut: the window with its finger reliefs
	LiftMM   float64   // station of the finger reliefs; 0: none
	ReliefMM float64
	Plate    geom.Loop
	MarginMM float64
	Landed   *plate.LandedWindow // of the plate from sheet that the board is glued in; nil: another
	Printed  geom.Loop           // the window of the printed plate that it is glued in; nil: another
	Pairs    []plate.Wedge       // of wedges that push it there
	Blank    geom.Loop           // nil: none
	StepMM   float64             // of the grid that pin positions stand on
}

// gridStepMM and gridStepInch are the grids that pin positions stand on, counted
// from the datum's start: whole millimetres, or sixteenths of an inch for a job
// in inches, so that the hole table can be read with a rule. gridStepLongMM is
// used for boards over longBoardMM to keep the survey short.
const (
	gridStepMM     = 1.0
	gridStepLongMM = 2.0
	gridStepInch   = 25.4 / 16
	longBoardMM    = 800.0
)

const (
	// KeepOutMM is the room left between a hole and a keep-out or a gluing rail. Practice.
	KeepOutMM = 1.0
	// cutterRoomMM is the air between a passing cutter and a pin or its hole, which
	// covers a collet's runout and a board that is not quite at zero. Practice.
	cutterRoomMM = 1.0
)

// Draw draws board, window, plate and blank for holes that reach r from their
// centre, slots included, and webs of web. The margin grows when the job's
// cannot carry the holes.
func Draw(j *job.Job, nest *outlined.Nest, r, web float64) Site {
	b, t := j.Board, j.Template
	s := Site{Key: keyOf(j), Outline: Board(j), StepMM: gridStepMM}
	if b.LengthMM > longBoardMM {
		s.StepMM = gridStepLongMM
	}
	if j.Units == units.Inch {
		s.StepMM = gridStepInch
	}
	box := s.Outline.Bounds()
	if nest != nil {
		s.Window, s.ReliefMM = nest.Window, nest.ReliefMM
		box = s.Window.Bounds()
	} else if t.Seat == "nest" {
		cutter, board := CornerReach(j), geom.Taper(b.LengthMM, b.WidthStartMM, b.WidthEndMM)
		s.Walls = plate.Walls(board, plate.Gaps(t.ClearanceMM, t.Push))
		s.Filled = s.Key.Fill(board, s.Walls)
		s.Window, s.ReliefMM = plate.Window(s.Walls, b.CornerRadiusMM, cutter, t.Make.KerfMM+t.Make.EdgeMM)
		s.Window = s.Key.Opening(s.Window, s.Filled, cutter)
		box = s.Window.Bounds()
	}
	// One grid step more, so that a position on the grid falls between the webs.
	s.MarginMM = math.Max(t.MarginMM, 2*(r+web)+s.StepMM)
	if t.Seat == "pins" || j.Blank != nil {
		// The pins must also clear the cutter that goes round the board.
		s.MarginMM = math.Max(s.MarginMM, BoardRoom(j)+2*r+web+s.StepMM)
	}
	if j.Rails != nil && j.Rails.Plate == "sheet" {
		if nest != nil {
			s.Landed = nest.Landed
		} else {
			s.Landed = landed(j)
		}
		room := s.Landed.Loop.Bounds().Size().Sub(box.Size()).Scale(0.5)
		s.MarginMM = math.Max(s.MarginMM, math.Max(room.X, room.Y)+2*r+web+s.StepMM)
	} else if j.Rails != nil && t.Seat == "nest" {
		if j.Rails.Plate == "print" && nest == nil {
			s.Printed, s.Pairs = s.printedWindow(j)
			room := s.Printed.Bounds().Size().Sub(box.Size()).Scale(0.5)
			s.MarginMM = math.Max(s.MarginMM, math.Max(room.X, room.Y)+2*r+web+s.StepMM)
		}
		// And the rail that stands beside the window.
		beside := math.Max(j.Rails.GapMM, 2*j.Template.ClearanceMM) + rail.WidthMM + KeepOutMM
		s.MarginMM = math.Max(s.MarginMM, beside+2*r+web+s.StepMM)
	}
	s.Plate = plate.Outline(box, s.MarginMM, s.StepMM)
	if k := j.Blank; k != nil {
		s.Blank = plate.CenteredRect(b.Center(), k.LengthMM, k.WidthMM)
	}
	return s
}

// landed is the window of the plate from sheet that a straight-sided board is glued in.
func landed(j *job.Job) *plate.LandedWindow {
	b, k := j.Board, j.Rails
	l := plate.Landed{
		Board: geom.Taper(b.LengthMM, b.WidthStartMM, b.WidthEndMM), Gaps: plate.GluedGaps(k.GapMM, k.FilmMM, k.Push), DeepMM: k.ThicknessMM,
	}
	l.CutterMM, l.SqueezeMM3 = outlined.GlueCutter(j), outlined.SqueezeMM3(j)
	l.Free = plate.PushedFrom(k.Push)
	w := l.Window()
	return &w
}

// PlateCutter is the radius of the cutter that cuts the plate; 0: none does.
func PlateCutter(j *job.Job) float64 {
	if j.Template.Make.By != "router" {
		return 0
	}
	return program.PlateCutter(j).DiameterMM / 2
}

// beamMM is the radius that a laser's beam, or a line of a printer's nozzle, leaves in a sharp
// inside corner at least: half of a common kerf of 0.3 mm, where the job names none. Practice.
const beamMM = 0.15

// CornerReach is the radius that what makes the plate leaves in a sharp inside corner: the cutter's;
// half of a laser's kerf; half of a nozzle. A sharp board corner pushed home would stand on that.
func CornerReach(j *job.Job) float64 {
	switch mk := j.Template.Make; mk.By {
	case "router":
		return PlateCutter(j)
	case "laser":
		return math.Max(beamMM, mk.KerfMM/2)
	case "print":
		return math.Max(beamMM, mk.NozzleMM/2)
	}
	return 0
}

// keyOf is the corner of the board that the job wants cut off.
func keyOf(j *job.Job) plate.Key {
	if t := j.Template; t.Key == "corner" {
		return plate.NewKey(j.Board.WidthStartMM, t.ClearanceMM, j.Board.CornerRadiusMM, CornerReach(j), t.Push)
	}
	return plate.Key{}
}

// Board is the board's contour, counter-clockwise.
func Board(j *job.Job) geom.Loop {
	b := j.Board
	if b.Outline != nil {
		return b.Outline
	}
	return plate.Board(b.LengthMM, b.WidthStartMM, b.WidthEndMM, b.CornerRadiusMM, keyOf(j))
}

// BoardRoom is how far a pin hole must stay from the board's outline so that the
// cutter that profiles the board, or trims its strips, passes by.
func BoardRoom(j *job.Job) float64 {
	strip := 0.0
	if j.Rails != nil {
		strip = j.Rails.StripMM
	}
	return strip + j.Machine.Cutter.DiameterMM + cutterRoomMM
}

// Region makes the constraints on the pins' places. r is the radius of the largest
// hole, web the least material round it in the plate; rails stand on the plate.
func (s Site) Region(j *job.Job, r, web float64, rails []geom.Loop) *layout.Region {
	g := &layout.Region{Box: s.Plate.Bounds(), StepMM: s.StepMM, HoleRadiusMM: r, WebMM: web}
	add := func(id, what string, need float64, from any, room func(geom.Vec) float64) {
		g.Constraints = append(g.Constraints, layout.Constraint{
			ID: id, What: what, NeedMM: need, RelaxMM: moreRoom(j, id), Room: room, From: from,
			Edge: id == PlateEdge || id == InBlank || id == Travel,
		})
	}
	if s.Window != nil {
		add(Window, "the window", web, s.Window, layout.Outside(s.Window))
	}
	if s.Blank != nil || s.Window == nil {
		add(BoardPath, "the path of the cutter round the board", BoardRoom(j), s.Outline, layout.Outside(s.Outline))
	}
	add(PlateEdge, "the plate's edge", web, []any{s.Plate, s.MarginMM}, plate.EdgeRoom(s.Plate, s.MarginMM))
	if s.Blank != nil {
		k := j.Blank
		add(InBlank, "the blank's edge", plate.LeastWebMM(k.Wood, k.Make.By, k.ThicknessMM, 0, j.Dowel.DiameterMM),
			s.Blank.Bounds(), s.Blank.Bounds().Rounded(0))
	}
	if k := j.Rails; s.Landed != nil {
		need := plate.LeastWebMM(k.Material, k.Make.By, k.ThicknessMM, 0, j.Dowel.DiameterMM)
		add(Rail, "the window of the plate for gluing", need, s.Landed.Loop, layout.Outside(s.Landed.Loop))
	}
	if len(s.Pairs) > 0 {
		add(Rail, "a pocket for wedges", web, s.Printed, layout.Outside(s.Printed))
	}
	for _, l := range rails {
		add(Rail, "a gluing rail", KeepOutMM, l, layout.Outside(l))
	}
	for _, k := range j.Board.KeepOut {
		box := geom.Rect(geom.Box{Min: k.From, Max: k.To})
		add(KeepOut, fmt.Sprintf("the keep-out %q", k.Name), KeepOutMM, box, layout.Outside(box))
	}
	if room := travelRoom(j); room != nil {
		along, across := TravelAlong(j)
		add(Travel, "the machine's travel", 0, []float64{along, across, j.Board.LengthMM}, room)
	}
	return g
}

// travelRoom keeps the pattern within the machine's travel when the board's middle
// lies in the middle of the table; nil when no travel is given. The spindle need
// only reach a hole's centre; room is counted to its edge, on the safe side.
func travelRoom(j *job.Job) func(geom.Vec) float64 {
	along, across := TravelAlong(j)
	if along == 0 && across == 0 {
		return nil
	}
	h := geom.Vec{X: along / 2, Y: across / 2}
	c := j.Board.Center()
	return func(p geom.Vec) float64 {
		d := p.Sub(c)
		return math.Min(h.X-math.Abs(d.X), h.Y-math.Abs(d.Y))
	}
}

// TravelAlong returns the machine's travel along u and across it; 0: not given.
func TravelAlong(j *job.Job) (along, across float64) {
	x, y := j.Machine.TravelMM[0], j.Machine.TravelMM[1]
	if x == 0 || y == 0 {
		return 0, 0
	}
	if j.Machine.LongAxis == "y" {
		return y, x
	}
	return x, y
}

// moreRoomMM is how much room is added on trial to tell what more would bring: a
// strip that a maker can find. Practice.
const moreRoomMM = 10.0

// moreRoom is how far a constraint is thought away: a cutter can only be thinner by half,
// and window and rails stay where the board is.
func moreRoom(j *job.Job, id string) float64 {
	switch id {
	case Window, Rail:
		return 0
	case BoardPath:
		return math.Min(moreRoomMM, j.Machine.Cutter.DiameterMM/2)
	}
	return moreRoomMM
}
