package jig

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

// Rule names of the constraints on the pins' places.
const (
	rulePlateEdge = "pin-web-plate"
	ruleWindow    = "pin-web-window"
	ruleBoard     = "pin-clear-of-cutter"
	ruleBlank     = "pin-in-blank"
	ruleKeepOut   = "pin-clear-of-keep-out"
	ruleTravel    = "pin-in-travel"
	ruleRail      = "pin-clear-of-rail"
	ruleWebPins   = "pin-web-pin"
)

// site is what the pins are placed on: the board, the window round it, plate and blank.
type site struct {
	outline  geom.Loop // the board
	walls    geom.Loop // the window's straight walls, nil without a window
	key      plate.Key // the corner that the window fills
	filled   geom.Loop // the walls with that corner
	window   geom.Loop // with reliefs or roundings
	opening  geom.Loop // as the template is cut: the window with its finger reliefs
	liftMM   float64   // station of the finger reliefs; 0: none
	reliefMM float64
	plate    geom.Loop
	marginMM float64
	blank    geom.Loop // nil: none
	stepMM   float64   // of the grid that pin positions stand on
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
	// keepOutMM is the room left between a hole and a keep-out or a gluing rail. Practice.
	keepOutMM = 1.0
	// cutterRoomMM is the air between a passing cutter and a pin or its hole, which
	// covers a collet's runout and a board that is not quite at zero. Practice.
	cutterRoomMM = 1.0
)

// siteOf draws board, window, plate and blank for holes that reach r from their
// centre, slots included, and webs of web. The margin grows when the job's
// cannot carry the holes.
func siteOf(j *job.Job, nest *outlined.Nest, r, web float64) site {
	b, t := j.Board, j.Template
	s := site{key: keyOf(j), outline: boardOutline(j), stepMM: gridStepMM}
	if b.LengthMM > longBoardMM {
		s.stepMM = gridStepLongMM
	}
	if j.Units == units.Inch {
		s.stepMM = gridStepInch
	}
	box := s.outline.Bounds()
	if nest != nil {
		s.window, s.reliefMM = nest.Window, nest.ReliefMM
		box = s.window.Bounds()
	} else if t.Seat == "nest" {
		cutter, board := plateCutter(j), geom.Taper(b.LengthMM, b.WidthStartMM, b.WidthEndMM)
		s.walls = plate.Walls(board, plate.Gaps(t.ClearanceMM, t.Push))
		s.filled = s.key.Fill(board, s.walls)
		s.window, s.reliefMM = plate.Window(s.walls, b.CornerRadiusMM, cutter, t.Make.KerfMM+t.Make.EdgeMM)
		s.window = s.key.Opening(s.window, s.filled, cutter)
		box = s.window.Bounds()
	}
	// One grid step more, so that a position on the grid falls between the webs.
	s.marginMM = math.Max(t.MarginMM, 2*(r+web)+s.stepMM)
	if t.Seat == "pins" || j.Blank != nil {
		// The pins must also clear the cutter that goes round the board.
		s.marginMM = math.Max(s.marginMM, boardRoom(j)+2*r+web+s.stepMM)
	}
	if j.Rails != nil && t.Seat == "nest" {
		// And the rail that stands beside the window.
		beside := math.Max(j.Rails.GapMM, 2*j.Template.ClearanceMM) + rail.WidthMM + keepOutMM
		s.marginMM = math.Max(s.marginMM, beside+2*r+web+s.stepMM)
	}
	s.plate = plate.Outline(box, s.marginMM, s.stepMM)
	if k := j.Blank; k != nil {
		s.blank = plate.Under(b.Center(), k.LengthMM, k.WidthMM)
	}
	return s
}

// lifted is the site with finger reliefs in the window, where the job wants them and they
// leave every hole and the plate's edge their webs. Rails stand where they would be, and
// a plate in parts has its keys there.
func (p plan) lifted() site {
	s, j := p.site, p.job
	s.opening = s.window
	if s.window == nil || !j.Template.Lift || j.Template.Make.By == "print" && (j.Rails != nil || p.inParts()) {
		return s
	}
	web := p.spec.Region.WebMM
	l, u, ok := plate.Lifted(s.window, plateCutter(j), func(l geom.Loop) bool {
		for _, q := range p.pins {
			if -l.Depth(q.At) < q.widest()+web {
				return false
			}
		}
		for _, v := range l.Flatten(windowChordMM) {
			if s.plate.Depth(v) < web {
				return false
			}
		}
		return true
	})
	if ok {
		s.opening, s.liftMM = l, u
	}
	return s
}

// inParts reports whether the printed plate is too long for its printer.
func (p plan) inParts() bool {
	bed := p.Print.Make.BedMM
	_, size := plate.Place(FrameOf(p.job).ToMachine, p.site.plate)
	return bed[0] > 0 && bed[1] > 0 && !plate.FitsBed(size, bed[0], bed[1])
}

// printed is the window of the printed plate: a template's own, or that of a gluing plate,
// which lifts off the board.
func (p plan) printed() geom.Loop {
	if p.job.Template.Make.By == "print" {
		if edge := p.Print.CutMM(); edge != 0 && p.site.opening != nil {
			return plate.Moved(plate.Opening, p.site.opening, -edge/2)[0].Loop
		}
		return p.site.opening
	}
	return p.site.window
}

// plateCutter is the radius of the cutter that cuts the plate; 0: none does.
func plateCutter(j *job.Job) float64 {
	if j.Template.Make.By != "router" {
		return 0
	}
	return program.PlateCutter(j).DiameterMM / 2
}

// keyOf is the corner of the board that the job wants cut off.
func keyOf(j *job.Job) plate.Key {
	if t := j.Template; t.Key == "corner" {
		return plate.NewKey(j.Board.WidthStartMM, t.ClearanceMM, j.Board.CornerRadiusMM, plateCutter(j), t.Push)
	}
	return plate.Key{}
}

// boardOutline is the board's contour, counter-clockwise.
func boardOutline(j *job.Job) geom.Loop {
	b := j.Board
	if b.Outline != nil {
		return b.Outline
	}
	return plate.Board(b.LengthMM, b.WidthStartMM, b.WidthEndMM, b.CornerRadiusMM, keyOf(j))
}

// boardRoom is how far a pin hole must stay from the board's outline so that the
// cutter that profiles the board, or trims its strips, passes by.
func boardRoom(j *job.Job) float64 {
	strip := 0.0
	if j.Rails != nil {
		strip = j.Rails.StripMM
	}
	return strip + j.Machine.Cutter.DiameterMM + cutterRoomMM
}

// region makes the constraints on the pins' places. r is the radius of the largest
// hole, web the least material round it in the plate; rails stand on the plate.
func (s site) region(j *job.Job, r, web float64, rails []geom.Loop) *layout.Region {
	g := &layout.Region{Box: s.plate.Bounds(), StepMM: s.stepMM, HoleRadiusMM: r, WebMM: web}
	add := func(id, what string, need float64, from any, room func(geom.Vec) float64) {
		g.Constraints = append(g.Constraints, layout.Constraint{
			ID: id, What: what, NeedMM: need, RelaxMM: moreRoom(j, id), Room: room, From: from,
			Edge: id == rulePlateEdge || id == ruleBlank || id == ruleTravel,
		})
	}
	if s.window != nil {
		add(ruleWindow, "the window", web, s.window, layout.Outside(s.window))
	}
	if s.blank != nil || s.window == nil {
		add(ruleBoard, "the path of the cutter round the board", boardRoom(j), s.outline, layout.Outside(s.outline))
	}
	add(rulePlateEdge, "the plate's edge", web, []any{s.plate, s.marginMM}, plate.Inside(s.plate, s.marginMM))
	if s.blank != nil {
		k := j.Blank
		add(ruleBlank, "the blank's edge", plate.LeastWebMM(k.Wood, k.Make.By, k.ThicknessMM, 0, j.Dowel.DiameterMM),
			s.blank.Bounds(), s.blank.Bounds().Rounded(0))
	}
	for _, l := range rails {
		add(ruleRail, "a gluing rail", keepOutMM, l, layout.Outside(l))
	}
	for _, k := range j.Board.KeepOut {
		box := geom.Rect(geom.Box{Min: k.From, Max: k.To})
		add(ruleKeepOut, fmt.Sprintf("the keep-out %q", k.Name), keepOutMM, box, layout.Outside(box))
	}
	if room := travelRoom(j); room != nil {
		along, across := travelAlong(j)
		add(ruleTravel, "the machine's travel", 0, []float64{along, across, j.Board.LengthMM}, room)
	}
	return g
}

// travelRoom keeps the pattern within the machine's travel when the board's middle
// lies in the middle of the table; nil when no travel is given. The spindle need
// only reach a hole's centre; room is counted to its edge, on the safe side.
func travelRoom(j *job.Job) func(geom.Vec) float64 {
	along, across := travelAlong(j)
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

// travelAlong returns the machine's travel along u and across it; 0: not given.
func travelAlong(j *job.Job) (along, across float64) {
	x, y := j.Machine.TravelMM[0], j.Machine.TravelMM[1]
	if x == 0 || y == 0 {
		return 0, 0
	}
	if j.Machine.LongAxis == "y" {
		return y, x
	}
	return x, y
}
